"""Volume, level area and moments below a height, summed over the columns above each triangle.

    V(z) = - sum over triangles of  n_z * integral of max(z - h, 0) dA

with h the height over the triangle. Triangles wholly below z enter through running sums of
projected area times powers of height, so nothing is ever divided by a small height difference
and stored; those near z are evaluated directly. To find these, triangles are put in classes of
height extent and sorted by their lowest corner within a class: a triangle of a class of extent E
can reach z only if its lowest corner lies in (z - E, z].

Heights here are measured from the lowest corner, so that rounding shrinks with the volume.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_CLASSES = 24
_PAIRS_AT_ONCE = 1 << 15
_TINY = float(np.finfo(float).tiny)


@dataclass(frozen=True, eq=False)
class Columns:
    """Triangles by class of height extent and then by lowest corner.

    heights  (3, m) m above the lowest of all: lowest, middle and highest corner
    weight   (m,) m2, projected area, positive where the triangle has filling above it
    mean     (m,) m, mean height
    starts   (classes + 1,) where each class begins
    extents  (classes,) m, no triangle of the class is higher than this
    faces    (m, 3) rows of `plan` and `level`, in the same order
    plan     (n, 2) m, positions across the upward axis
    level    (n,) m, heights
    """

    heights: Floats
    weight: Floats
    mean: Floats
    starts: Integers
    extents: Floats
    faces: Integers
    plan: Floats
    level: Floats

    @cached_property
    def top(self) -> float:
        """Height over the lowest corner, m."""
        return float(self.heights[2].max())

    @cached_property
    def volume(self) -> float:
        """Of the whole space, m3."""
        return float(self._running[0, -1] * self.top - self._running[1, -1])

    @cached_property
    def spans(self) -> Floats:
        """(spans, 2) m, heights between which there is something; most spaces have one span."""
        order = self.heights[0].argsort()
        low, high = self.heights[0, order], np.maximum.accumulate(self.heights[2, order])
        gap = np.flatnonzero(low[1:] > high[:-1])
        begins = np.concatenate([low[:1], low[gap + 1]])
        return np.stack([begins, np.concatenate([high[gap], high[-1:]])], axis=1)

    def volume_and_area(self, z: Floats) -> tuple[Floats, Floats]:
        """(k,) m3 below heights 0 <= z <= top, and (k,) m2 of level surface just above them."""
        first, last = self._near(z)
        area, lever = self._whole(self._running, first)
        volume = z * area - lever
        for chosen, row, triangle in _pairs(first, last):
            low, middle, high = self.heights.take(triangle, axis=1)
            height = z[chosen].take(row)
            upper, reach, tip = _tip(height, low, middle, high)[:3]
            depth = np.where(upper, height - self.mean.take(triangle), 0.0) + tip * reach / 3.0
            weight = self.weight.take(triangle)
            count = chosen.stop - chosen.start
            volume[chosen] += np.bincount(row, weight * depth, count)
            area[chosen] += np.bincount(row, weight * np.where(upper, 1.0 - tip, tip), count)
        return volume, area

    def moments(self, z: Floats) -> Floats:
        """(k, 3) m4 below heights 0 <= z <= top: two across in the plan's axes, one upward."""
        first, last = self._near(z)
        u, uh, v, vh, w, wh, whh = self._whole(self._running_moments, first)
        moments = np.stack([z * u - uh, z * v - vh, 0.5 * (z * z * w - 2.0 * z * wh + whh)])
        for chosen, row, triangle in _pairs(first, last):
            heights = self.heights.take(triangle, axis=1)
            height = z[chosen].take(row)
            plan = self._corner_plan.take(triangle, axis=2)
            parts = _part_moments(height, heights, plan) * self.weight.take(triangle)
            for axis in range(3):
                moments[axis, chosen] += np.bincount(row, parts[axis], chosen.stop - chosen.start)
        moments[2] = z * self.volume_and_area(z)[0] - moments[2]
        return moments.T

    @cached_property
    def _running(self) -> Floats:
        """(2, m + 1) sums over the triangles before each: weight, weight times mean height."""
        return np.stack([_running(self.weight), _running(self.weight * self.mean)])

    @cached_property
    def _corner_plan(self) -> Floats:
        """(2, 3, m) plan positions of the lowest, middle and highest corner."""
        order = np.argsort(self.level[self.faces], axis=1, kind="stable")
        corners = np.take_along_axis(self.faces, order, axis=1)
        return np.ascontiguousarray(self.plan[corners].transpose(2, 1, 0))

    @cached_property
    def _running_moments(self) -> Floats:
        """(7, m + 1) sums of weight times u, u h, v, v h, 1, h, h h, meant over the triangle."""
        height = self.heights.sum(axis=0)
        rows = []
        for plan in self._corner_plan:
            position = plan.sum(axis=0)
            rows.append(position / 3.0)
            rows.append((position * height + (plan * self.heights).sum(axis=0)) / 12.0)
        squares = (height * height + (self.heights * self.heights).sum(axis=0)) / 12.0
        rows += [np.ones_like(height), self.mean, squares]
        return np.stack([_running(self.weight * row) for row in rows])

    def _near(self, z: Floats) -> tuple[Integers, Integers]:
        """(k, classes) first and end of the triangles that may reach a height."""
        first, last = [], []
        for begin, end, extent in zip(self.starts, self.starts[1:], self.extents, strict=False):
            low = self.heights[0, begin:end]
            first.append(begin + low.searchsorted(z - extent, "right"))
            last.append(begin + low.searchsorted(z, "right"))
        return np.stack(first, axis=1), np.stack(last, axis=1)

    def _whole(self, running: Floats, first: Integers) -> Floats:
        """(sums, k) over the triangles of every class that lie before the near ones."""
        before: Floats = (running[:, first] - running[:, None, self.starts[:-1]]).sum(axis=2)
        return before


def columns_of(vertices: Floats, faces: Integers, axes: Floats) -> tuple[Columns, float]:
    """Columns along axes[2], and the height of their lowest corner.

    vertices  (n, 3) m about a local origin
    axes      (3, 3) two directions across and the upward one, right-handed, unit
    """
    plan = vertices @ axes[:2].T
    up = axes[2]
    level = vertices[:, 0] * up[0] + vertices[:, 1] * up[1] + vertices[:, 2] * up[2]
    bottom = float(level[faces.ravel()].min())
    level = level - bottom
    a, b, c = level[faces[:, 0]], level[faces[:, 1]], level[faces[:, 2]]
    low, high = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
    middle = np.maximum(np.minimum(a, b), np.minimum(np.maximum(a, b), c))
    kind, bounds = _extent_class(high - low, float(high.max()))
    order = np.lexsort((low, kind))
    present, counts = np.unique(kind, return_counts=True)
    corner = plan[faces[:, 0]]
    ab, ac = plan[faces[:, 1]] - corner, plan[faces[:, 2]] - corner
    weight = -0.5 * (ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0])
    columns = Columns(
        heights=np.stack([low[order], middle[order], high[order]]),
        weight=weight[order],
        mean=((a + b + c) / 3.0)[order],
        starts=np.concatenate([[0], np.cumsum(counts)]),
        extents=bounds[present],
        faces=faces[order],
        plan=plan,
        level=level,
    )
    return columns, bottom


def _extent_class(extent: Floats, top: float) -> tuple[Integers, Floats]:
    """Class of each height extent, and the extents of the classes, each half of the next."""
    bounds = top * 0.5 ** np.arange(_CLASSES - 1.0, -1.0, -1.0)
    bounds = bounds * (1.0 + 1e-9) + 4.0 * np.spacing(top)
    return bounds.searchsorted(extent), bounds


def _tip(
    z: Floats, low: Floats, middle: Floats, high: Floats
) -> tuple[NDArray[np.bool_], Floats, Floats, Floats, Floats]:
    """The tip of each triangle on the far side of z from its middle corner.

    Returns whether it lies above z (at the highest corner), its height (0 where z is above the
    triangle), its share of the triangle, and the shares of the short and of the long edge.
    """
    upper = z >= middle
    reach = np.where(upper, np.maximum(high - z, 0.0), z - low)
    short = reach / np.maximum(np.where(upper, high - middle, middle - low), _TINY)
    long = reach / np.maximum(high - low, _TINY)
    return upper, reach, short * long, short, long


def _part_moments(z: Floats, heights: Floats, plan: Floats) -> Floats:
    """(3, k) means over the triangle of u g, v g and g g / 2, with g = max(z - h, 0)."""
    upper, reach, tip, short, long = _tip(z, *heights)
    depths = z - heights
    total = depths.sum(axis=0)
    means = np.empty((3, z.size))
    for axis, (low, middle, high) in enumerate(plan):
        lone, far = np.where(upper, high, low), np.where(upper, low, high)
        around = 4.0 * lone + short * (middle - lone) + long * (far - lone)
        whole = ((low + middle + high) * total + (plan[axis] * depths).sum(axis=0)) / 12.0
        means[axis] = np.where(upper, whole, 0.0) + tip * reach * around / 12.0
    whole = (total * total + (depths * depths).sum(axis=0)) / 12.0
    squares = np.where(upper, whole, 0.0) + np.where(upper, -1.0, 1.0) * tip * reach**2 / 6.0
    means[2] = 0.5 * squares
    return means


def _running(values: Floats) -> Floats:
    """Sums over the values before each one, in blocks, so that rounding grows with the block."""
    block = 1024
    padded = np.zeros(-(-values.size // block) * block)
    padded[: values.size] = values
    within = np.cumsum(padded.reshape(-1, block), axis=1)
    before = np.concatenate([[0.0], np.cumsum(within[:-1, -1])])
    return np.concatenate([[0.0], (within + before[:, None]).ravel()[: values.size]])


def _pairs(first: Integers, last: Integers) -> Iterator[tuple[slice, Integers, Integers]]:
    """Every pair of a height and a triangle near it, a bounded number of pairs at once.

    Yields the heights taken, the row of each pair among them, and its triangle.
    """
    lengths = last - first
    ends = np.cumsum(lengths.sum(axis=1))
    start, done = 0, 0
    while start < len(first):
        stop = max(start + 1, int(ends.searchsorted(done + _PAIRS_AT_ONCE, "right")))
        length = lengths[start:stop].ravel()
        begin = first[start:stop].ravel() - (np.cumsum(length) - length)
        triangle = np.arange(length.sum()) + begin.repeat(length)
        row = (np.arange(length.size) // first.shape[1]).repeat(length)
        yield slice(start, stop), row, triangle
        start, done = stop, int(ends[stop - 1])
