"""Volume, level area and moments below a height, summed over the columns above each triangle.

    V(z) = - sum over triangles of  n_z * integral of max(z - h, 0) dA

with h the height over the triangle. Triangles wholly below z enter through running sums of
projected area times powers of height, so nothing is ever divided by a small height difference
and stored; those near z are evaluated directly. To find these, triangles are put in classes of
height extent and sorted by their lowest corner within a class: a triangle of a class of extent E
can reach z only if its lowest corner lies from z - E to z.

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

    places   (m,) number of the class, and within it the lowest corner as a share of the whole
             height; sorted
    heights  (3, m) m above the lowest of all: lowest, middle and highest corner
    weight   (m,) m2, projected area, positive where the triangle has filling above it
    mean     (m,) m, mean height
    faces    (m, 3) rows of `plan` and `level`
    plan     (2, n) m, positions across the upward axis
    level    (n,) m, heights
    order    (m,) which of `faces` each of the other arrays tells of
    """

    places: Floats
    heights: Floats
    weight: Floats
    mean: Floats
    faces: Integers
    plan: Floats
    level: Floats
    order: Integers

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
            heights, weight = self.heights.take(triangle, axis=1), self.weight.take(triangle)
            height = z[chosen].take(row)
            upper, reach, share = _tip(height, *heights)[:3]
            share *= weight
            depth = reach * share / 3.0
            depth += upper * weight * (height - self.mean.take(triangle))
            share = np.where(upper, weight - share, share)
            count = chosen.stop - chosen.start
            volume[chosen] += np.bincount(row, depth, count)
            area[chosen] += np.bincount(row, share, count)
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
        faces = self.faces[self.order]
        order = np.argsort(self.level[faces], axis=1, kind="stable")
        return self.plan[:, np.take_along_axis(faces, order, axis=1).T]

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

    @cached_property
    def _classes(self) -> tuple[Integers, Integers]:
        """Numbers of the classes that there are, and where each begins."""
        number = np.arange(_CLASSES)
        start, end = self.places.searchsorted(number), self.places.searchsorted(number + 1)
        return number[start < end], start[start < end]

    def _near(self, z: Floats) -> tuple[Integers, Integers]:
        """(k, classes) first and end of the triangles that may reach a height.

        Places are rounded, but never out of order: none that reaches z is missed.
        """
        number, _ = self._classes
        reach = np.maximum(z[:, None] - _class_extents(self.top)[number], 0.0)
        first = self.places.searchsorted(_place(number, reach, self.top))
        last = self.places.searchsorted(_place(number, z[:, None], self.top), "right")
        return first, last

    def _whole(self, running: Floats, first: Integers) -> Floats:
        """(sums, k) over the triangles of every class that lie before the near ones."""
        before: Floats = (running[:, first] - running[:, None, self._classes[1]]).sum(axis=2)
        return before


def columns_of(vertices: Floats, faces: Integers, axes: Floats) -> tuple[Columns, float]:
    """Columns along axes[2], and the height of their lowest corner.

    vertices  (n, 3) m about a local origin
    axes      (3, 3) two directions across and the upward one, right-handed, unit
    """
    level = vertices[:, 0] * axes[2, 0] + vertices[:, 1] * axes[2, 1] + vertices[:, 2] * axes[2, 2]
    plan = axes[:2] @ vertices.T
    a, b, c = faces.T.copy()
    bottom = float(min(level[corner].min() for corner in (a, b, c)))
    level -= bottom
    low, middle, high = _in_order(level.take(a), level.take(b), level.take(c))
    extents = _class_extents(float(high.max()))
    place = _place(extents.searchsorted(high - low), low, float(high.max()))
    order = place.argsort()
    u, v = ((axis.take(b) - axis.take(a), axis.take(c) - axis.take(a)) for axis in plan)
    weight = -0.5 * (u[0] * v[1] - u[1] * v[0])
    columns = Columns(
        places=place.take(order),
        heights=np.stack([low.take(order), middle.take(order), high.take(order)]),
        weight=weight.take(order),
        mean=((low + middle + high) / 3.0).take(order),
        faces=faces,
        plan=plan,
        level=level,
        order=order,
    )
    return columns, bottom


def _in_order(a: Floats, b: Floats, c: Floats) -> tuple[Floats, Floats, Floats]:
    """Each three heights from the lowest to the highest."""
    low, high = np.minimum(a, b), np.maximum(a, b)
    middle = np.maximum(low, np.minimum(high, c))
    return np.minimum(low, c), middle, np.maximum(high, c)


def _class_extents(top: float) -> Floats:
    """No triangle of a class is higher than this, m; each is twice the one before.

    With room for the rounding of a difference of heights.
    """
    extents: Floats = top * (1.0 + 1e-9) * 0.5 ** np.arange(_CLASSES - 1.0, -1.0, -1.0)
    extents += 4.0 * np.spacing(top)
    return extents


def _place(number: Integers, height: Floats, top: float) -> Floats:
    """Class and height in one number that sorts by class and then by height."""
    return number + height * ((1.0 - 1e-6) / top)


def _tip(
    z: Floats, low: Floats, middle: Floats, high: Floats
) -> tuple[NDArray[np.bool_], Floats, Floats, Floats, Floats]:
    """The tip of each triangle on the far side of z from its middle corner.

    Returns whether it lies above z (at the highest corner), its height (0 where z misses the
    triangle), its share of the triangle, and the shares of the short and of the long edge.
    """
    upper = z >= middle
    reach = np.maximum(np.where(upper, high - z, z - low), 0.0)
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
