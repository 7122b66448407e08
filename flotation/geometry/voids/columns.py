"""Fewer columns for the same putty: a triangle wholly faced by walls needs one, not one a wall.

Works on arrays. A flange on a curved hull is opposite many triangles, and the hull's triangles are
opposite the flange again. Where a triangle is faced all over, its pieces are replaced by one column
under a sloping roof, and the pieces that look back at it from the other side, which lie within that
column, are left out.
"""

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.facing import Pieces, Triangles, join_pieces, polygon_area

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]

_STEEP = -0.5
# Share of a triangle that may be left to rounding.
_MOST_ROUNDED = 0.25


def merged(pieces: Pieces, triangles: Triangles, slack: float, touch: float) -> tuple[Pieces, Mask]:
    """The pieces, those of each triangle that is faced all over joined into one.

    slack  m, by how much a roof may rise above the wall that it replaces
    Returns the pieces, and which of them are whole triangles.
    """
    if not len(pieces):
        return pieces, np.zeros(0, dtype=bool)
    whole, heights = _roofs(pieces, triangles, slack, touch)
    kept = whole & ~_redundant(pieces, triangles, whole)
    needed = ~whole[pieces.one] & ~kept[pieces.other] & ~_beside(pieces, triangles, kept)
    rest = pieces.take(needed)
    full = np.flatnonzero(kept)
    room = pieces.base.shape[1]
    base = np.zeros((len(full), room, 3))
    base[:, :3] = triangles.corners[full]
    height = np.zeros((len(full), room))
    height[:, :3] = heights[full]
    first = np.searchsorted(pieces.one, full)
    joined = Pieces(full, pieces.other[first], base, height, np.full(len(full), 3))
    return join_pieces([joined, rest]), np.arange(len(joined) + len(rest)) < len(joined)


def _roofs(pieces: Pieces, triangles: Triangles, slack: float, touch: float) -> tuple[Mask, Floats]:
    """Which triangles are faced all over under one plane, and its height at their corners.

    Slivers thinner than `touch` along the rim of a triangle do not matter. Of a needle that would
    be most of it: whether it is faced all over cannot be told, and it is not taken to be.
    """
    count = len(triangles.corners)
    own = triangles.corners
    edges = np.roll(own, -1, axis=1) - own
    whole_area = 0.5 * np.linalg.norm(np.cross(edges[:, 0], edges[:, 1]), axis=1)
    rounding = touch * np.linalg.norm(edges, axis=2).sum(axis=1)
    local, corners = _local(pieces, triangles)
    faced = np.bincount(pieces.one, polygon_area(local, pieces.count), minlength=count)
    whole = (faced >= whole_area - rounding) & (rounding < _MOST_ROUNDED * whole_area)
    plane = _planes(pieces, local, count)
    fitted = np.einsum("nkc,nc->nk", local, plane[pieces.one])
    above = np.where(pieces.in_use, pieces.height - fitted, -np.inf).max(axis=1)
    below = np.where(pieces.in_use, fitted - pieces.height, -np.inf).max(axis=1)
    lift, drop = np.full(count, -np.inf), np.full(count, -np.inf)
    np.maximum.at(lift, pieces.one, above)
    np.maximum.at(drop, pieces.one, below)
    whole &= lift + drop <= slack
    heights = np.einsum("nkc,nc->nk", corners, plane) + lift[:, None]
    return whole, heights


def _local(pieces: Pieces, triangles: Triangles) -> tuple[Floats, Floats]:
    """Corners of the pieces and of all triangles as (x, y, 1) in the triangles' own frames."""
    origin, x, y = triangles.frame(np.arange(len(triangles.corners)))
    axes = np.stack([x, y], axis=1)
    shape = np.ones((len(pieces), pieces.base.shape[1], 3))
    shape[:, :, :2] = np.einsum(
        "nkx,ncx->nkc", pieces.base - origin[pieces.one][:, None], axes[pieces.one]
    )
    corners = np.ones((len(origin), 3, 3))
    corners[:, :, :2] = np.einsum("nkx,ncx->nkc", triangles.corners - origin[:, None], axes)
    return shape, corners


def _planes(pieces: Pieces, local: Floats, count: int) -> Floats:
    """The plane that fits the heights over each triangle best, as (slope, slope, height)."""
    weight = pieces.in_use.astype(float)
    matrix = np.zeros((count, 3, 3))
    target = np.zeros((count, 3))
    weighted = local * weight[:, :, None]
    np.add.at(matrix, pieces.one, np.einsum("nki,nkj->nij", weighted, local))
    np.add.at(target, pieces.one, np.einsum("nki,nk->ni", weighted, pieces.height))
    used = np.unique(pieces.one)
    plane = np.zeros((count, 3))
    inverse = np.linalg.pinv(matrix[used], rcond=1e-12, hermitian=True)
    plane[used] = np.einsum("nij,nj->ni", inverse, target[used])
    return plane


def _redundant(pieces: Pieces, triangles: Triangles, whole: Mask) -> Mask:
    """Triangles all of whose opposites are faced all over themselves and come first.

    Of two parts that one comes first of which more stands wholly opposite the other, so that one
    side of a joint is kept throughout.
    """
    one, other = triangles.part[pieces.one], triangles.part[pieces.other]
    parts = int(triangles.part.max()) + 1
    share = np.bincount(one * parts + other, whole[pieces.one], minlength=parts * parts)
    ahead, behind = share[one * parts + other], share[other * parts + one]
    first = (ahead > behind) | ((ahead == behind) & (pieces.one < pieces.other))
    mixed = (ahead == behind) & (one != other)
    first = np.where(mixed, one < other, first)
    needed = np.zeros(len(whole), dtype=bool)
    needed[pieces.one[first | ~whole[pieces.other]]] = True
    return ~needed


def clearances(filled: Pieces, whole: Mask, faced: Pieces) -> Floats:
    """How far apart the walls stand, (n, 2) m least and most, at each piece that putty is made of.

    whole  of `filled`, those that stand for all of their triangle
    faced  the pieces before they were merged and carried on: exactly what stands opposite
    A roof rises above the walls that it covers, and putty that goes round an edge is taller still:
    neither makes the gap any wider.
    """
    count = int(faced.other.max(initial=0)) + 1
    pair, theirs = filled.one * count + filled.other, faced.one * count + faced.other
    result = _extremes(theirs, faced, pair)
    result[whole] = _extremes(faced.one, faced, filled.one[whole])
    return result


def _extremes(key: Integers, faced: Pieces, asked: Integers) -> Floats:
    """The least and the most height, (n, 2), among the pieces of each key that is asked for."""
    kinds, place = np.unique(key, return_inverse=True)
    least, most = np.full(len(kinds), np.inf), np.full(len(kinds), -np.inf)
    np.minimum.at(least, place, faced.narrowest)
    np.maximum.at(most, place, faced.widest)
    at = np.searchsorted(kinds, asked)
    return np.stack([least[at], most[at]], axis=1)


def steep(pieces: Pieces, triangles: Triangles) -> Mask:
    """Pieces between walls more than sixty degrees from parallel."""
    one, other = triangles.normals[pieces.one], triangles.normals[pieces.other]
    return np.asarray(np.einsum("ij,ij->i", one, other) > _STEEP)


def _beside(pieces: Pieces, triangles: Triangles, kept: Mask) -> Mask:
    """Steep pieces next to a column that already ends flush with the edge they belong to."""
    next_to: Mask = np.asarray(kept[triangles.neighbours].any(axis=1))
    return steep(pieces, triangles) & (next_to[pieces.one] | next_to[pieces.other])
