"""How high a volume stands in a closed space, and back, exactly."""

from dataclasses import dataclass, field
from functools import cached_property
from math import fsum
from typing import overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from flotation.geometry.columns import Columns, columns_of
from flotation.geometry.origin import along, local_origin

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Many = NDArray[np.floating] | list[float]

_KNOTS = 65
_SLACK = 1e-12
_AT_GAP = 1e-14


@dataclass(frozen=True, eq=False)
class FillCurve:
    """Volume against height of a closed space in one attitude.

    up           (3,) unit direction
    bottom, top  m, lowest and highest height; heights are coordinates up . x
    volume       m3 of the whole space

    Every method takes a number and gives a number, or an array and gives an array of its shape.
    Volumes are right to some 1e-15 of the whole, and monotone to the same.
    """

    up: Floats
    bottom: float
    top: float
    volume: float
    _columns: Columns = field(repr=False)
    _frame: "_Frame" = field(repr=False)

    @overload
    def volume_at(self, height: float) -> float: ...
    @overload
    def volume_at(self, height: Many) -> Floats: ...
    def volume_at(self, height: float | Many) -> float | Floats:
        """m3 at and below a height; 0 below the bottom, the whole above the top."""
        return _shaped(self._volume_and_area(height)[0], height)

    @overload
    def area_at(self, height: float) -> float: ...
    @overload
    def area_at(self, height: Many) -> Floats: ...
    def area_at(self, height: float | Many) -> float | Floats:
        """m2 of level surface at a height; where a face is level, the one just above it."""
        return _shaped(self._volume_and_area(height)[1], height)

    def centroid_at(self, height: float | Many) -> Floats:
        """(3,) m, or an array's shape and 3: centroid of what lies below; NaN where it is empty."""
        z = self._frame.above_bottom(_numbers(height)).clip(0.0, self._columns.top)
        volume = self._columns.volume_and_area(z)[0][:, None]
        empty = volume <= 0.0
        local = np.where(empty, np.nan, self._columns.moments(z) / np.where(empty, 1.0, volume))
        return self._frame.position(local).reshape((*np.shape(height), 3))

    @overload
    def height_at(self, volume: float) -> float: ...
    @overload
    def height_at(self, volume: Many) -> Floats: ...
    def height_at(self, volume: float | Many) -> float | Floats:
        """m, the lowest height at which that volume lies below.

        Raises ValueError for a volume below 0 or above the whole by more than 1e-12 of it.
        """
        wanted = _numbers(volume)
        slack = _SLACK * self.volume
        if wanted.size and not -slack <= wanted.min() <= wanted.max() <= self.volume + slack:
            raise ValueError(
                f"a volume between 0 and {self.volume!r} m3 is needed, "
                f"got {wanted.min()!r} to {wanted.max()!r}"
            )
        z = self._solve(wanted.clip(0.0, self.volume))
        return _shaped(self._frame.height(z).clip(self.bottom, self.top), volume)

    def _volume_and_area(self, height: float | Many) -> tuple[Floats, Floats]:
        z = self._frame.above_bottom(_numbers(height))
        top = self._columns.top
        volume, area = self._columns.volume_and_area(z.clip(0.0, top))
        volume = np.where(z >= top, self.volume, np.where(z > 0.0, volume, 0.0))
        return volume, np.where((z >= 0.0) & (z < top), area, 0.0)

    @cached_property
    def _knots(self) -> tuple[Floats, Floats]:
        """Heights above the bottom at even steps, and the volumes below them, never falling."""
        z = np.linspace(0.0, self._columns.top, _KNOTS)
        volume = np.maximum.accumulate(self._columns.volume_and_area(z)[0])
        volume[0], volume[-1] = 0.0, self.volume
        return z, volume

    def _solve(self, wanted: Floats) -> Floats:
        """Heights above the bottom, by Newton's steps inside a closing bracket.

        The slope of the curve is the area. Where a step would leave the bracket or the last one
        did not halve the error, the bracket is halved: so the search ends, at the last digit.
        """
        knots, volumes = self._knots
        above = volumes.searchsorted(wanted).clip(1, _KNOTS - 1)
        low, high = knots[above - 1], knots[above]
        z, error = 0.5 * (low + high), np.full(wanted.size, np.inf)
        left = np.arange(wanted.size)
        while left.size:
            here = z[left]
            volume, area = self._columns.volume_and_area(here)
            excess = volume - wanted[left]
            high[left] = np.where(excess >= 0.0, here, high[left])
            low[left] = np.where(excess < 0.0, here, low[left])
            newton = here - excess / np.where(area > 0.0, area, np.inf)
            useful = (newton > low[left]) & (newton < high[left]) & (newton != here)
            useful &= np.abs(excess) <= 0.5 * error[left]
            error[left] = np.abs(excess)
            trial = np.where(useful, newton, 0.5 * (low[left] + high[left]))
            going = (excess != 0.0) & (trial > low[left]) & (trial < high[left])
            z[left] = np.where(going, trial, here)
            left = left[going]
        return self._lowest_of_level(z, wanted)

    def _lowest_of_level(self, z: Floats, wanted: Floats) -> Floats:
        """Where a volume is reached below a gap between two bodies, the height below the gap."""
        spans = self._columns.spans
        z = np.where(wanted <= 0.0, 0.0, np.where(wanted >= self.volume, spans[-1, 1], z))
        for end, reached in zip(spans[:-1, 1], self._volumes_at_gaps, strict=True):
            z = np.where(np.abs(wanted - reached) <= _AT_GAP * reached, end, z)
        return z

    @cached_property
    def _volumes_at_gaps(self) -> Floats:
        return self._columns.volume_and_area(self._columns.spans[:-1, 1])[0]


@dataclass(frozen=True, eq=False)
class _Frame:
    """From heights and positions in the caller's coordinates to those above the bottom.

    axes    (3, 3) across, across, up
    origin  (3,) m, the local origin
    lowest  m, height of the bottom over the local origin
    """

    axes: Floats
    origin: Floats
    lowest: float

    @cached_property
    def _shift(self) -> tuple[float, float]:
        """Height of the bottom in two parts, a rounded sum and what it leaves."""
        terms = along(self.axes[2], self.origin)
        rounded = fsum(terms)
        return rounded, fsum((*terms, -rounded, self.lowest))

    def above_bottom(self, height: Floats) -> Floats:
        high, low = self._shift
        return (height - high) - low

    def height(self, z: Floats) -> Floats:
        high, low = self._shift
        return high + (low + z)

    def position(self, local: Floats) -> Floats:
        position: Floats = self.origin + local @ self.axes + self.lowest * self.axes[2]
        return position

    def limits(self, top: float) -> tuple[float, float]:
        """Heights of bottom and top, rounded outwards."""
        low, high = self.height(np.array([0.0, top])).tolist()
        while self.above_bottom(np.array(low)) > 0.0:
            low = float(np.nextafter(low, -np.inf))
        while self.above_bottom(np.array(high)) < top:
            high = float(np.nextafter(high, np.inf))
        return low, high


def fill_curve(vertices: Floats, faces: Integers, up: ArrayLike) -> FillCurve:
    """The fill curve of closed, outward triangles.

    vertices  (n, 3) m
    faces     (m, 3) rows of `vertices`
    up        (3,), of any length above zero
    """
    axes = _upward_axes(up)
    origin = local_origin(vertices, faces)
    columns, lowest = columns_of(vertices - origin, faces, axes)
    frame = _Frame(axes, origin, lowest)
    bottom, top = frame.limits(columns.top)
    return FillCurve(axes[2], bottom, top, columns.volume, columns, frame)


def _upward_axes(up: ArrayLike) -> Floats:
    """(3, 3) read-only: two directions across and the unit upward one, right-handed."""
    upward = np.asarray(up, dtype=float)
    length = float(np.linalg.norm(upward))
    if upward.shape != (3,) or not 0.0 < length < np.inf:
        raise ValueError(f"up must be a direction of three numbers, got {up!r}")
    upward = upward / length
    across = np.cross(np.eye(3)[np.abs(upward).argmin()], upward)
    across /= np.linalg.norm(across)
    axes = np.stack([across, np.cross(upward, across), upward])
    axes.flags.writeable = False
    return axes


def _numbers(values: float | Many) -> Floats:
    numbers = np.asarray(values, dtype=float).ravel()
    if np.isnan(numbers).any():
        raise ValueError("a height or volume is not a number")
    return numbers


def _shaped(values: Floats, like: float | Many) -> float | Floats:
    shape = np.shape(like)
    return values.reshape(shape) if shape else float(values[0])
