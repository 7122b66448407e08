"""Triangles in groups of neighbours, each group with its box and its sums.

For triangles wholly below a plane, the sums over tetrahedra with an apex p on it are polynomials
in p, so sixteen numbers stand for a whole group whatever the plane:

    N = (b - a) x (c - a),  V = a . N,  S = a + b + c
    sum of V, of N, of V S and of S N^T            (1 + 3 + 3 + 9)

The triangles are sorted along a Morton curve and cut into equal runs: groups of eight, groups of
eight groups, and so on up to a short list. A query adds whole groups below the plane, skips whole
groups above and opens only those that the plane crosses.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Integers = NDArray[np.intp]

GROUP = 8
"""Members of a group. This and the next: tests/studies/group_size.py decided."""

LONGEST_LIST = 2048
"""Groups of the largest size, all of which every query looks at."""

_BITS = 21
_AT_ONCE = 1 << 14


@dataclass(frozen=True, eq=False)
class GroupedTriangles:
    """Triangles in groups of several sizes, about a local origin.

    Sizes run from the few large groups to the single triangles; the members of group i are
    GROUP i to GROUP i + GROUP - 1 of the next size.

    boxes    per size (groups, 6) middle and half extent, m, wide enough that single precision
             never takes a crossed group for a whole one
    sums     per size but the last (groups, 16) of V, N, V S, S N^T
    corners  (triangles, 9) ax bx cx ay by cy az bz cz, m
    terms    (triangles, 7) V, N, S
    reach    m, no corner is farther from the local origin
    total    (16,) sums over all triangles
    """

    boxes: tuple[Singles, ...]
    sums: tuple[Floats, ...]
    corners: Floats
    terms: Floats
    reach: float
    total: Floats


def group_triangles(vertices: Floats, faces: Integers) -> GroupedTriangles:
    """Sort the triangles into groups and add up each group.

    vertices  (n, 3) m about the local origin
    faces     (m, 3) rows of `vertices`, m at least 1

    The last triangle's first corner fills up the last groups, as triangles of no area.
    """
    groups, sizes = complete_tree(len(faces), LONGEST_LIST)
    ordered = np.empty((groups * GROUP, 3), dtype=np.intp)
    ordered[: len(faces)] = faces[morton_order(vertices, faces)]
    ordered[len(faces) :] = ordered[len(faces) - 1, 0]
    corners, low, high = _corners_and_ends(vertices, ordered)
    terms, added = _terms_and_sums(corners)
    reach = float(np.linalg.norm(np.maximum(np.abs(low), np.abs(high)).max(axis=0)))
    boxes, sums = [_boxes(low, high, reach)], []
    for size in range(sizes):
        if size:
            added = added.reshape(-1, GROUP, 16).sum(axis=1)
        low = low.reshape(-1, GROUP, 3).min(axis=1)
        high = high.reshape(-1, GROUP, 3).max(axis=1)
        boxes.append(_boxes(low, high, reach))
        sums.append(added)
    total = added.sum(axis=0)
    for array in (*boxes, *sums, corners, terms, total):
        array.flags.writeable = False
    return GroupedTriangles(
        tuple(reversed(boxes)), tuple(reversed(sums)), corners, terms, reach, total
    )


def complete_tree(triangles: int, longest_list: int) -> tuple[int, int]:
    """Number of the smallest groups, padded so that every group is full, and of group sizes.

    longest_list  no more than this many groups of the largest size
    """
    groups, sizes, span = -(-triangles // GROUP), 1, 1
    while -(-groups // span) > longest_list:
        sizes, span = sizes + 1, span * GROUP
    return -(-groups // span) * span, sizes


def _corners_and_ends(vertices: Floats, ordered: Integers) -> tuple[Floats, Floats, Floats]:
    """(m, 9) corners as they are kept, and (m, 3) lowest and highest coordinates of each."""
    corners = np.empty((len(ordered), 9))
    low, high = np.empty((len(ordered), 3)), np.empty((len(ordered), 3))
    for start in range(0, len(ordered), _AT_ONCE):
        part = slice(start, start + _AT_ONCE)
        a, b, c = (vertices[ordered[part, i]] for i in range(3))
        corners[part, 0::3], corners[part, 1::3], corners[part, 2::3] = a, b, c
        np.minimum(np.minimum(a, b), c, out=low[part])
        np.maximum(np.maximum(a, b), c, out=high[part])
    return corners, low, high


def _terms_and_sums(corners: Floats) -> tuple[Floats, Floats]:
    """(m, 7) terms of each triangle, and the (groups, 16) sums of each smallest group.

    A cache-full at once, members before groups, so that sums run along memory.
    """
    groups = len(corners) // GROUP
    terms, sums = np.empty((groups, GROUP, 7)), np.empty((groups, 16))
    for start in range(0, groups, _AT_ONCE // GROUP):
        part = slice(start, start + _AT_ONCE // GROUP)
        kept = corners.reshape(groups, GROUP, 3, 3)[part].transpose(3, 2, 1, 0)
        columns = _terms(*kept.copy())
        terms[part] = columns.transpose(2, 1, 0)
        sums[part] = _sums(columns).T
    return terms.reshape(-1, 7), sums


def _terms(a: Floats, b: Floats, c: Floats) -> Floats:
    """(7, members, groups) V, N, S of corners (3, members, groups)."""
    ab, ac = b - a, c - a
    terms = np.empty((7, *a.shape[1:]))
    for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        terms[1 + i] = ab[j] * ac[k] - ab[k] * ac[j]
    terms[0] = (a * terms[1:4]).sum(axis=0)
    terms[4:7] = a + b + c
    return terms


def _sums(terms: Floats) -> Floats:
    """(16, groups) sums of V, N, V S, S N^T over the members."""
    tetra, doubled, corners = terms[0], terms[1:4], terms[4:7]
    sums = np.empty((16, terms.shape[2]))
    sums[0] = tetra.sum(axis=0)
    sums[1:4] = doubled.sum(axis=1)
    sums[4:7] = (tetra * corners).sum(axis=1)
    for i in range(3):
        sums[7 + 3 * i : 10 + 3 * i] = (corners[i] * doubled).sum(axis=1)
    return sums


def _boxes(low: Floats, high: Floats, reach: float) -> Singles:
    """Middle and half extent, with room for the roundings of a single-precision height."""
    room = 16.0 * float(np.finfo(np.float32).eps) * reach
    boxes = np.empty((len(low), 6), dtype=np.float32)
    boxes[:, :3] = 0.5 * (low + high)
    boxes[:, 3:] = 0.5 * (high - low) + room
    return boxes


def morton_order(vertices: Floats, faces: Integers) -> Integers:
    """Triangles along a curve that keeps neighbours together: the bits of x, y, z in turn."""
    middle = vertices[faces[:, 0]] + vertices[faces[:, 1]] + vertices[faces[:, 2]]
    low = middle.min(axis=0)
    size = float((middle.max(axis=0) - low).max())
    scale = ((1 << _BITS) - 1) / size if size > 0.0 else 0.0
    cells = ((middle - low) * scale).astype(np.uint64)
    code = np.zeros(len(faces), dtype=np.uint64)
    for axis in range(3):
        code |= _spread(cells[:, axis]) << np.uint64(axis)
    return np.argsort(code)


def _spread(bits: NDArray[np.uint64]) -> NDArray[np.uint64]:
    """Two zeros after each of the low 21 bits."""
    spread = bits.copy()
    for shift, mask in (
        (32, 0x1F00000000FFFF),
        (16, 0x1F0000FF0000FF),
        (8, 0x100F00F00F00F00F),
        (4, 0x10C30C30C30C30C3),
        (2, 0x1249249249249249),
    ):
        spread = (spread | (spread << np.uint64(shift))) & np.uint64(mask)
    return spread
