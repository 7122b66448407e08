"""Pairs of triangles whose boxes meet, found group by group."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.grouping import GROUP, complete_tree, morton_order

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_PAIRS_AT_ONCE = 1 << 13
_LARGEST_GROUPS = 64


def near_pairs(vertices: Floats, faces: Integers) -> Iterator[Integers]:
    """Pairs of triangles whose boxes meet or touch and which share no vertex.

    vertices  (n, 3); faces (m, 3)
    Yields (k, 2) rows of `faces`, k bounded, every pair once. Two groups of neighbours are opened
    together where their boxes meet; the triangles are groups of one.
    """
    order = morton_order(vertices, faces)
    corners = faces[order].T.copy()
    sizes = _boxes(vertices, faces[order])
    first, second = np.triu_indices(sizes[0].shape[3])
    waiting = [(0, np.stack([first, second]))]
    while waiting:
        size, groups = waiting.pop()
        for start in range(0, groups.shape[1], _PAIRS_AT_ONCE):
            pairs = _meeting_members(sizes[size], *groups[:, start : start + _PAIRS_AT_ONCE])
            if size + 1 < len(sizes):
                waiting.append((size + 1, pairs))
            else:
                yield order[pairs[:, _share_no_vertex(corners, *pairs)]].T


def _boxes(vertices: Floats, ordered: Integers) -> list[Floats]:
    """(2, 3, GROUP, groups) lowest and highest corners of the members of groups, by size.

    From the few large members to the single triangles. What fills up the last groups has a box
    that meets none.
    """
    groups, depth = complete_tree(len(ordered), _LARGEST_GROUPS)
    low, high = np.full((3, groups * GROUP), np.inf), np.full((3, groups * GROUP), -np.inf)
    a, b, c = (vertices[ordered[:, i]].T for i in range(3))
    low[:, : len(ordered)] = np.minimum(np.minimum(a, b), c)
    high[:, : len(ordered)] = np.maximum(np.maximum(a, b), c)
    sizes = []
    for _ in range(depth):
        boxes = np.stack([low, high]).reshape(2, 3, -1, GROUP).transpose(0, 1, 3, 2)
        sizes.append(np.ascontiguousarray(boxes))
        low, high = sizes[-1][0].min(axis=1), sizes[-1][1].max(axis=1)
    return sizes[::-1]


def _meeting_members(boxes: Floats, one: Integers, other: Integers) -> Integers:
    """(2, k) pairs of members whose boxes meet, of pairs of groups or a group with itself."""
    low, high = boxes
    meet = np.ones((GROUP, GROUP, len(one)), dtype=bool)
    for axis in range(3):
        meet &= low[axis].take(one, axis=1)[:, None] <= high[axis].take(other, axis=1)
        meet &= low[axis].take(other, axis=1) <= high[axis].take(one, axis=1)[:, None]
    first, second, which = meet.nonzero()
    pairs = np.stack([one[which] * GROUP + first, other[which] * GROUP + second])
    return pairs[:, pairs[0] <= pairs[1]]


def _share_no_vertex(corners: Integers, one: Integers, other: Integers) -> NDArray[np.bool_]:
    """Which pairs (k,) are of triangles without a common vertex; corners are (3, m) vertices."""
    apart = np.ones(len(one), dtype=bool)
    others = corners.take(other, axis=1)
    for corner in corners.take(one, axis=1):
        for vertex in others:
            apart &= corner != vertex
    return apart
