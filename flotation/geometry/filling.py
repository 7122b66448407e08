"""How high a volume stands in a closed space, and back, exactly.

Column by column, the volume below a level z is

    V(z) = - sum over triangles of  n_z * integral of max(z - h, 0) dA

with h the height over the triangle. Triangles wholly below z enter through two running sums
(projected area, and projected area times mean height), so nothing is ever divided by a small
height difference and stored; those near z are evaluated directly. To find those near z, the
triangles are put in classes of height extent and sorted by their lowest corner within a class:
a triangle of a class of extent E crosses z only if its lowest corner lies in (z - E, z].
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_CLASSES = 20
_PAIRS_AT_ONCE = 1 << 18
_KNOTS = 65
_ROUNDS = 200
_ROUNDING = 1e-12


@dataclass(frozen=True, eq=False)
class FillCurve:
    """Volume against height of a closed space in one attitude.

    up           (3,) unit direction
    bottom, top  m, lowest and highest height: heights are coordinates up . x
    volume       m3 of the whole space

    Every method takes a number and gives a number, or an array and gives an array of its shape.
    Exact up to rounding: some 1e-15 of the whole volume, and monotone within the same.
    """

    up: Floats
    bottom: float
    top: float
    volume: float
    _columns: "_Columns" = field(repr=False)

    @overload
    def volume_at(self, height: float) -> float: ...
    @overload
    def volume_at(self, height: NDArray[np.floating] | list[float]) -> Floats: ...
    def volume_at(self, height: ArrayLike) -> float | Floats:
        """m3 at and below a height; 0 below the bottom, the whole above the top."""
        return _shaped(self._columns.volume_and_area(_levels(height))[0], height)

    @overload
    def area_at(self, height: float) -> float: ...
    @overload
    def area_at(self, height: NDArray[np.floating] | list[float]) -> Floats: ...
    def area_at(self, height: ArrayLike) -> float | Floats:
        """m2 of level surface at a height; where a face is level, the one just above it."""
        return _shaped(self._columns.volume_and_area(_levels(height))[1], height)

    @overload
    def height_at(self, volume: float) -> float: ...
    @overload
    def height_at(self, volume: NDArray[np.floating] | list[float]) -> Floats: ...
    def height_at(self, volume: ArrayLike) -> float | Floats:
        """m, the lowest height at which that volume lies below.

        Raises ValueError for a volume below 0 or above the whole (by more than 1e-12 of it).
        """
        wanted = _levels(volume)
        slack = _ROUNDING * self.volume
        if wanted.size and (wanted.min() < -slack or wanted.max() > self.volume + slack):
            raise ValueError(
                f"volume must lie between 0 and {self.volume:.6g} m3, "
                f"got {wanted.min():.6g} to {wanted.max():.6g}"
            )
        return _shaped(self._columns.heights(wanted), volume)


def fill_curve(vertices: Floats, faces: Integers, up: ArrayLike) -> FillCurve:
    """The fill curve of closed, outward triangles.

    vertices  (n, 3) m
    faces     (m, 3) rows of vertices
    up        (3,), of any length above zero
    """
    axis = np.asarray(up, dtype=float)
    length = float(np.linalg.norm(axis))
    if axis.shape != (3,) or not np.isfinite(length) or length == 0.0:
        raise ValueError(f"up must be a direction of three numbers, got {up!r}")
    axis = axis / length
    axis.flags.writeable = False
    used = vertices[faces.ravel()]
    origin = 0.5 * (used.min(axis=0) + used.max(axis=0))
    columns = _columns(vertices - origin, faces, axis, origin)
    return FillCurve(axis, columns.bottom, columns.top, columns.total, columns)


def _levels(values: ArrayLike) -> Floats:
    levels = np.asarray(values, dtype=float).ravel()
    if np.isnan(levels).any():
        raise ValueError("a height or volume is not a number")
    return levels


def _shaped(values: Floats, like: ArrayLike) -> float | Floats:
    shape = np.shape(like)
    return values.reshape(shape) if shape else float(values[0])


@dataclass(frozen=True, eq=False)
class _Columns:
    """Triangles over a level plane, by class of height extent and lowest corner.

    low, middle, high  (m,) heights of the corners about the local origin, in order
    weight             (m,) minus the signed projected area: positive under a column of filling
    mean               (m,) mean height
    starts             (classes + 1,) where each class begins
    extents            (classes,) no triangle of the class is higher than this
    """

    low: Floats
    middle: Floats
    high: Floats
    weight: Floats
    mean: Floats
    starts: Integers
    extents: Floats
    plan: Floats
    corners: Integers
    axes: Floats
    origin: Floats

    @cached_property
    def shift(self) -> float:
        return float(self.axes[2] @ self.origin)

    @cached_property
    def bottom(self) -> float:
        return float(self.low.min()) + self.shift

    @cached_property
    def top(self) -> float:
        return float(self.high.max()) + self.shift

    @cached_property
    def total(self) -> float:
        return -float(self.weight @ self.mean)

    @cached_property
    def running(self) -> Floats:
        """(2, m + 1) sums over the triangles before each: weight, weight times mean height."""
        return np.stack([_running(self.weight), _running(self.weight * self.mean)])

    def volume_and_area(self, levels: Floats) -> tuple[Floats, Floats]:
        z = np.clip(levels - self.shift, self.low.min(), self.high.max())
        first, last = self._near(z)
        below, lever = (self.running[:, first] - self.running[:, self.starts[:-1]][:, None]).sum(-1)
        area = below
        volume = z * below - lever
        for chosen, level, triangle in _pairs(first, last):
            depth, share = self._direct(z[level], triangle)
            weight = self.weight[triangle]
            volume[chosen] += np.bincount(level - chosen.start, weight * depth, len(z[chosen]))
            area[chosen] += np.bincount(level - chosen.start, weight * share, len(z[chosen]))
        inside = (levels >= self.bottom) & (levels < self.top)
        volume = np.where(levels >= self.top, self.total, np.where(inside, volume, 0.0))
        return volume, np.where(inside, area, 0.0)

    def _near(self, z: Floats) -> tuple[Integers, Integers]:
        """(levels, classes) ranges of the triangles that a level may cross."""
        first, last = [], []
        for begin, end, extent in zip(self.starts, self.starts[1:], self.extents, strict=False):
            low = self.low[begin:end]
            first.append(begin + np.searchsorted(low, z - extent, "right"))
            last.append(begin + np.searchsorted(low, z, "right"))
        return np.stack(first, axis=1), np.stack(last, axis=1)

    def _direct(self, z: Floats, triangle: Integers) -> tuple[Floats, Floats]:
        """Mean of max(z - h, 0) over each triangle, and the share of it below z."""
        low, middle, high = self.low[triangle], self.middle[triangle], self.high[triangle]
        upper = z >= middle
        reach = np.maximum(np.where(upper, high - z, z - low), 0.0)
        side = np.where(upper, high - middle, middle - low)
        crossed = reach > 0.0
        tip = np.where(
            crossed,
            (reach / np.where(crossed, high - low, 1.0)) * (reach / np.where(crossed, side, 1.0)),
            0.0,
        )
        depth = np.where(upper, z - self.mean[triangle], 0.0) + tip * reach / 3.0
        return depth, np.where(upper, 1.0 - tip, tip)

    def heights(self, wanted: Floats) -> Floats:
        """Bracketed Newton: the slope of the curve is the area."""
        low = np.full(wanted.shape, self.bottom)
        high = np.full(wanted.shape, self.top)
        z = 0.5 * (low + high)
        for _ in range(_ROUNDS):
            volume, area = self.volume_and_area(z)
            reached = volume >= wanted
            high = np.where(reached, z, high)
            low = np.where(reached, low, z)
            with np.errstate(divide="ignore", invalid="ignore"):
                step = z - (volume - wanted) / area
            inside = (step > low) & (step < high)
            trial = np.where(inside, step, 0.5 * (low + high))
            if np.all((trial == low) | (trial == high) | (trial == z)):
                break
            z = trial
        return np.where(wanted <= 0.0, self.bottom, np.where(wanted >= self.total, self.top, z))


def _running(values: Floats) -> Floats:
    """Sums over the values before each one, in blocks: the error grows with the block only."""
    block = 1024
    padded = np.zeros(-(-values.size // block) * block)
    padded[: values.size] = values
    within = np.cumsum(padded.reshape(-1, block), axis=1)
    before = np.concatenate([[0.0], np.cumsum(within[:, -1])[:-1]])
    return np.concatenate([[0.0], (within + before[:, None]).ravel()[: values.size]])


def _pairs(first: Integers, last: Integers) -> Iterator[tuple[slice, Integers, Integers]]:
    """Level and triangle of every pair, a bounded number at once."""
    counts = (last - first).sum(axis=1)
    ends = np.cumsum(counts)
    start = 0
    while start < counts.size:
        done = ends[start - 1] if start else 0
        stop = max(start + 1, int(np.searchsorted(ends, done + _PAIRS_AT_ONCE, "right")))
        chosen = slice(start, stop)
        begin, length = first[chosen].ravel(), (last - first)[chosen].ravel()
        classes = first.shape[1]
        level = np.repeat(np.repeat(np.arange(start, stop), classes), length)
        offsets = np.cumsum(length) - length
        triangle = np.arange(level.size) + np.repeat(begin - offsets, length)
        yield chosen, level, triangle
        start = stop


def _columns(vertices: Floats, faces: Integers, axis: Floats, origin: Floats) -> _Columns:
    axes = _frame(axis)
    plan = vertices @ axes[:2].T
    height = vertices[:, 0] * axis[0] + vertices[:, 1] * axis[1] + vertices[:, 2] * axis[2]
    a, b, c = faces.T
    ha, hb, hc = height[a], height[b], height[c]
    low = np.minimum(np.minimum(ha, hb), hc)
    high = np.maximum(np.maximum(ha, hb), hc)
    middle = np.maximum(np.minimum(ha, hb), np.minimum(np.maximum(ha, hb), hc))
    ab, ac = plan[b] - plan[a], plan[c] - plan[a]
    weight = -0.5 * (ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0])
    size = float(high.max() - low.min())
    bounds = size * 0.5 ** np.arange(_CLASSES - 1, -1, -1.0)
    kind = np.searchsorted(bounds, high - low)
    order = np.lexsort((low, kind))
    present, counts = np.unique(kind, return_counts=True)
    margin = 4.0 * np.spacing(np.abs(vertices).max())
    return _Columns(
        low=low[order],
        middle=middle[order],
        high=high[order],
        weight=weight[order],
        mean=((ha + hb + hc) / 3.0)[order],
        starts=np.concatenate([[0], np.cumsum(counts)]),
        extents=bounds[np.minimum(present, _CLASSES - 1)] + margin,
        plan=plan,
        corners=faces[order],
        axes=axes,
        origin=origin,
    )


def _frame(axis: Floats) -> Floats:
    """Two directions across the axis and the axis, right-handed."""
    helper = np.eye(3)[np.abs(axis).argmin()]
    across = np.cross(helper, axis)
    across /= np.linalg.norm(across)
    return np.stack([across, np.cross(axis, across), axis])
