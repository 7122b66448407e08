"""Which cells of blocks a surface passes through. Works on arrays.

A triangle is looked at in the blocks that it passes only, found from large boxes down to blocks,
so that a long triangle costs no more than what is wanted of it.
"""

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.blocks import SIDE, Blocks, codes
from flotation.geometry.voids.cells import Crossings, mark_surfaces

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]

# A block takes part in all lines from one cell below it to one cell above: so far, in blocks,
# it reaches down from the centre of its first cell, and up from there.
_DOWN, _UP = 1.0 / SIDE, 1.0
_AT_ONCE = 400_000


def block_walls(blocks: Blocks, corners: Floats) -> tuple[Mask, list[Crossings]]:
    """Wall cells, shaped as the blocks, and where lines of centres cross the surfaces.

    corners  (n, 3, 3) m
    A line that runs from block to block has a crossing between the two in both of them.
    """
    points = (corners - blocks.first) / blocks.cell
    triangle, block = _passes(blocks, points / SIDE)
    wall = np.zeros(blocks.shape, dtype=bool)
    found = []
    for at in range(0, len(block), _AT_ONCE):
        number, there = triangle[at : at + _AT_ONCE], block[at : at + _AT_ONCE]
        origin = SIDE * blocks.at[there].astype(np.float64)
        for lot in mark_surfaces(wall, points[number] - origin[:, None], there):
            place = lot.place + origin[lot.triangle]
            found.append(Crossings(lot.axis, number[lot.triangle], place))
    return wall, found


def _passes(blocks: Blocks, points: Floats) -> tuple[Integers, Integers]:
    """Pairs (triangle, block) that pass each other; `points` are the corners, in blocks."""
    if not len(blocks.at):
        return np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.intp)
    low, high = points.min(axis=1), points.max(axis=1)
    top = int(np.ceil(np.log2(float(blocks.at.max()) + 2.0)))
    extent = (high - low).max(axis=1) + _DOWN
    depth = np.clip(np.ceil(np.log2(extent)), 0, top).astype(np.intp)
    triangle, at = np.zeros(0, dtype=np.intp), np.zeros((0, 3), dtype=np.intp)
    for level in range(top, -1, -1):
        size = 2**level
        known = np.unique(codes(blocks.at // size))
        triangle, at = _halved(triangle, at)
        new, boxes = _boxes_of(low, high, np.flatnonzero(depth == level), size)
        triangle, at = np.concatenate([triangle, new]), np.concatenate([at, boxes])
        code = codes(at)
        place = np.minimum(np.searchsorted(known, code), len(known) - 1)
        there = np.flatnonzero(known[place] == code)
        triangle, at = triangle[there], at[there]
        keep = _meets(points[triangle], (low[triangle], high[triangle]), at * size, size)
        triangle, at = triangle[keep], at[keep]
    return triangle, blocks.find(at)


def _halved(triangle: Integers, at: Integers) -> tuple[Integers, Integers]:
    """The eight boxes of half the size in each box."""
    part = np.array(list(np.ndindex(2, 2, 2)), dtype=np.intp)
    return np.repeat(triangle, 8), (2 * at[:, None] + part).reshape(-1, 3)


def _boxes_of(
    low: Floats, high: Floats, triangle: Integers, size: int
) -> tuple[Integers, Integers]:
    """Pairs of triangles and the boxes of one size that their own boxes meet."""
    first = np.maximum(np.floor(low[triangle] / size), 0.0).astype(np.intp)
    last = np.floor((high[triangle] + _DOWN) / size).astype(np.intp)
    found, places = [], []
    span = last - first
    for step in np.ndindex(*(int(n) + 1 for n in span.max(axis=0, initial=0))):
        inside = (np.array(step) <= span).all(axis=1)
        found.append(triangle[inside])
        places.append(first[inside] + np.array(step))
    return np.concatenate(found), np.concatenate(places)


def _meets(points: Floats, box: tuple[Floats, Floats], at: Integers, size: int) -> Mask:
    """Whether each triangle's box meets the box, and its plane passes through it."""
    bottom, top = at - _DOWN, at + (size - 1) + _UP
    keep = (box[0] <= top).all(axis=1) & (box[1] >= bottom).all(axis=1)
    normal = np.cross(points[:, 1] - points[:, 0], points[:, 2] - points[:, 0])
    middle, half = (bottom + top) / 2.0, (top - bottom) / 2.0
    off = np.abs(np.einsum("nx,nx->n", normal, middle - points[:, 0]))
    reach = np.einsum("nx,nx->n", np.abs(normal), half)
    return np.asarray(keep & (off <= reach * (1.0 + 1e-9) + 1e-300))
