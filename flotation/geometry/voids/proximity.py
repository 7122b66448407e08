"""Which triangles come near which and look at each other: a search in boxes within boxes.

Works on arrays. Triangles are put in the order of a space-filling curve and gathered in pairs,
fours, eights: each gathering keeps its box and the cone of its normals. Two gatherings are
opened only while their boxes come within reach and their normals can oppose, so that the work
grows with the pairs that are found and not with the square of the triangles.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Wanted = Callable[[Integers, Integers], NDArray[np.bool_]]

# Surfaces whose outward normals are less than about 91 degrees apart do not look at each other.
FACING = -0.02
_BATCH = 1_000_000
_ALL_WAYS = np.pi


@dataclass(frozen=True, eq=False)
class _Level:
    """Boxes and normal cones of all gatherings of one size, along the curve."""

    low: Floats
    high: Floats
    axis: Floats
    spread: Floats


def curve_order(points: Floats) -> Integers:
    """The order of points, (n, 3), along a Z-shaped curve through space: near stays near."""
    low = points.min(axis=0)
    span = float(np.ptp(points, axis=0).max()) or 1.0
    cell = ((points - low) / span * 1023.0).astype(np.uint64)
    code = np.zeros(len(points), dtype=np.uint64)
    for axis in range(3):
        code |= _spread_bits(cell[:, axis]) << np.uint64(axis)
    return np.argsort(code, kind="stable")


def _spread_bits(number: NDArray[np.uint64]) -> NDArray[np.uint64]:
    """Ten bits moved two places apart each, so that three numbers interleave."""
    masks = ((16, 0x030000FF), (8, 0x0300F00F), (4, 0x030C30C3), (2, 0x09249249))
    for shift, mask in masks:
        number = (number | (number << np.uint64(shift))) & np.uint64(mask)
    return number


def near_boxes(low: Floats, high: Floats, reach: float) -> tuple[Integers, Integers]:
    """Pairs i < j of boxes, low and high corners (n, 3), whose gap along every axis <= reach."""
    free = np.zeros((len(low), 3))
    return _pairs(low, high, free, np.full(len(low), _ALL_WAYS), reach)


def near_boxes_of(
    first: tuple[Floats, Floats], second: tuple[Floats, Floats], reach: float
) -> tuple[Integers, Integers]:
    """Pairs (i of the first, j of the second boxes) whose gap along every axis <= reach."""
    low, high = np.concatenate([first[0], second[0]]), np.concatenate([first[1], second[1]])
    count = len(first[0])
    # Two opposed directions keep the search from opening pairs within one lot of boxes.
    axis = np.zeros((len(low), 3))
    axis[:count, 2], axis[count:, 2] = 1.0, -1.0
    i, j = _pairs(low, high, axis, np.zeros(len(low)), reach)
    keep = (i < count) & (j >= count)
    return i[keep], j[keep] - count


def facing_triangles(
    corners: Floats, normals: Floats, reach: float, wanted: Wanted
) -> tuple[Integers, Integers]:
    """Pairs i < j of triangles whose boxes come within `reach` and whose normals oppose.

    corners  (n, 3, 3) m
    normals  (n, 3) of unit length
    wanted   asked of lots of pairs as they are found, so that those it turns down need no room
    """
    low, high = corners.min(axis=1), corners.max(axis=1)
    return _pairs(low, high, normals, np.zeros(len(normals)), reach, wanted)


def _pairs(
    low: Floats,
    high: Floats,
    axis: Floats,
    spread: Floats,
    reach: float,
    wanted: Wanted | None = None,
) -> tuple[Integers, Integers]:
    if len(low) < 2:
        return np.zeros(0, np.intp), np.zeros(0, np.intp)
    order = curve_order((low + high) / 2.0)
    levels = _levels(_Level(low[order], high[order], axis[order], spread[order]))
    found = [(np.zeros(0, np.intp), np.zeros(0, np.intp))]
    for first, second in _descend(levels, reach):
        i, j = order[first], order[second]
        i, j = np.minimum(i, j), np.maximum(i, j)
        keep = slice(None) if wanted is None else wanted(i, j)
        found.append((i[keep], j[keep]))
    return np.concatenate([i for i, _ in found]), np.concatenate([j for _, j in found])


def _levels(leaves: _Level) -> list[_Level]:
    """From single boxes up to one box round everything; an odd one out goes up alone."""
    levels = [leaves]
    while len(levels[-1].low) > 1:
        below = levels[-1]
        starts = np.arange(0, len(below.low), 2)
        partner = np.minimum(starts + 1, len(below.low) - 1)
        axis, spread = _cone(below, starts, partner)
        low = np.minimum(below.low[starts], below.low[partner])
        high = np.maximum(below.high[starts], below.high[partner])
        levels.append(_Level(low, high, axis, spread))
    return levels


def _cone(below: _Level, one: Integers, other: Integers) -> tuple[Floats, Floats]:
    """A cone round two cones; all directions where the two axes cancel."""
    total = below.axis[one] + below.axis[other]
    length = np.linalg.norm(total, axis=1)
    axis = total / np.where(length > 1e-6, length, 1.0)[:, None]
    spread = np.zeros(len(one))
    for child in (one, other):
        turn = np.arccos(np.clip(np.einsum("ij,ij->i", axis, below.axis[child]), -1.0, 1.0))
        spread = np.maximum(spread, turn + below.spread[child])
    spread = np.where(length > 1e-6, np.minimum(spread, _ALL_WAYS), _ALL_WAYS)
    return axis, spread


def _descend(levels: list[_Level], reach: float) -> Iterator[tuple[Integers, Integers]]:
    """Pairs of leaves, lot by lot: opened from the top in batches, so that memory stays bounded."""
    stack = [(len(levels) - 1, np.zeros(1, np.intp), np.zeros(1, np.intp))]
    while stack:
        depth, i, j = stack.pop()
        if depth == 0:
            yield i, j
            continue
        i, j = _children(i, j, len(levels[depth - 1].low))
        keep = _near(levels[depth - 1], i, j, reach)
        i, j = i[keep], j[keep]
        keep = _may_face(levels[depth - 1], i, j)
        if depth == 1:
            keep &= i != j
        i, j = i[keep], j[keep]
        stack.extend(
            (depth - 1, i[at : at + _BATCH], j[at : at + _BATCH]) for at in range(0, len(i), _BATCH)
        )


def _children(i: Integers, j: Integers, count: int) -> tuple[Integers, Integers]:
    """The pairs below each pair, every unordered pair once."""
    left = np.concatenate([2 * i, 2 * i, 2 * i + 1, 2 * i + 1])
    right = np.concatenate([2 * j, 2 * j + 1, 2 * j, 2 * j + 1])
    once = (left <= right) & (right < count)
    return left[once], right[once]


def _near(level: _Level, i: Integers, j: Integers, reach: float) -> NDArray[np.bool_]:
    """Whether boxes come within reach along every axis."""
    near = np.ones(len(i), dtype=bool)
    for axis in range(3):
        near &= level.low[i, axis] <= level.high[j, axis] + reach
        near &= level.low[j, axis] <= level.high[i, axis] + reach
    return near


def _may_face(level: _Level, i: Integers, j: Integers) -> NDArray[np.bool_]:
    """Whether some direction in one cone can oppose some direction in the other."""
    cosine = np.einsum("ij,ij->i", level.axis[i], level.axis[j])
    wide = level.spread[i] + level.spread[j]
    facing = cosine < FACING
    # Only where the axes themselves do not oppose do the cones' spreads matter.
    rest = np.flatnonzero(~facing & (wide > 0.0))
    turn = np.arccos(np.clip(cosine[rest], -1.0, 1.0))
    facing[rest] = turn + wide[rest] >= np.arccos(FACING)
    return np.asarray(facing)
