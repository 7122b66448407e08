"""Putty for the places where parts come close: one convex plug for each piece of opposite wall.

Works on arrays. A plug is the column over its polygon, from just inside one wall to just inside
the other, so it ends flush with the edge of a flange and stands nowhere else. Its overlap into
the walls and its neighbours, `lap`, keeps rounding from leaving a crack between them.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.facing import Pieces, Triangles, join_pieces
from flotation.geometry.voids.proximity import near_boxes
from flotation.geometry.voids.sheets import FALL, SHARPEST, stretches

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]

# Each plug owns this many face numbers: a column needs 16 sides, a floor and a roof; a hull more.
FACES_OF_PLUG = 256
_STEEPEST_MITRE = np.tan(np.radians(55.0))
# Half of the turn up to which the putty on both sides of an edge is one body.
BLUNT = np.tan(np.radians(15.0))


@dataclass(frozen=True, eq=False)
class PlugMesh:
    """Plugs of which no two touch, as one mesh; `face` // FACES_OF_PLUG is the plug."""

    vertices: Floats
    faces: Integers
    face: Integers


def with_corners_filled(
    pieces: Pieces, whole: Mask, triangles: Triangles, at: tuple[float, float]
) -> Pieces:
    """The pieces, and strips that carry them on over convex edges both of whose sides have putty.

    at  lap of the putty, m, and width of the widest gap that is no tape, m

    Columns over the two sides of a convex edge leave a wedge between them; each side is carried
    on to the plane that halves the wedge. Whole triangles on the two sides of a blunt edge will
    be one body and leave none. Tape goes round no edge whose other side only touches a part:
    there is no column beside it, and as wide as it is it would stand far out in the cavity.
    """
    lap, width = at
    convex, mitre = _convex_edges(triangles)
    start, end, k = _on_own_edges(pieces, triangles, lap)
    piece = start // pieces.base.shape[1]
    one = pieces.one[piece]
    beyond = triangles.neighbours[one, k]
    height = np.maximum(pieces.height.ravel()[start], pieces.height.ravel()[end])
    touched = np.zeros(mitre.shape, dtype=bool)
    touched[one, k] = True
    stands_off = np.zeros(mitre.shape, dtype=bool)
    stands_off[one[height > 2.0 * lap], k[height > 2.0 * lap]] = True
    covered = np.zeros(len(mitre), dtype=bool)
    covered[pieces.one[whole]] = True
    length = height * mitre[one, k]
    back = _edge_back(triangles, one, k)
    keep = convex[one, k] & touched[beyond, back] & (length > lap)
    keep &= stands_off[beyond, back] | (height <= width + lap)
    keep &= ~(whole[piece] & covered[beyond] & (mitre[one, k] < BLUNT))
    piece, start, end, length, one, k = (a[keep] for a in (piece, start, end, length, one, k))
    rise = length * _slope(pieces.take(piece), triangles, k)
    rise = np.where(mitre[one, k] < BLUNT, np.maximum(rise, 0.0) + FALL * length, rise)
    out = _outward(triangles, one, k) * length[:, None]
    return join_pieces([pieces, _strips(pieces, (piece, start, end), out, rise)])


def _slope(pieces: Pieces, triangles: Triangles, k: Integers) -> Floats:
    """How fast the height of each piece grows outward over edge k of its triangle."""
    first = pieces.base[:, :1]
    matrix = np.concatenate(
        [pieces.base[:, 1:3] - first, triangles.normals[pieces.one][:, None]], axis=1
    )
    grown = np.zeros((len(pieces), 3, 1))
    grown[:, :2, 0] = pieces.height[:, 1:3] - pieces.height[:, :1]
    gradient = (np.linalg.pinv(matrix) @ grown)[:, :, 0]
    return np.asarray(np.einsum("nx,nx->n", gradient, _outward(triangles, pieces.one, k)))


def _convex_edges(triangles: Triangles) -> tuple[NDArray[np.bool_], Floats]:
    """Which edges (n, 3) are convex, and the tangent of half the turn across them."""
    turn_cos = np.einsum("ix,ikx->ik", triangles.normals, triangles.normals[triangles.neighbours])
    tangent = np.sqrt(np.clip((1.0 - turn_cos) / np.maximum(1.0 + turn_cos, 1e-12), 0.0, None))
    middle = triangles.corners.mean(axis=1)
    ahead = middle[triangles.neighbours] - triangles.corners
    falls = np.einsum("ix,ikx->ik", triangles.normals, ahead) < 0.0
    return falls, np.minimum(tangent, _STEEPEST_MITRE)


def _on_own_edges(
    pieces: Pieces, triangles: Triangles, lap: float
) -> tuple[Integers, Integers, Integers]:
    """Polygon edges that lie on an edge of their triangle: flat corner numbers, and the edge."""
    room = pieces.base.shape[1]
    step = np.arange(room)[None, :]
    after = np.where(step + 1 < pieces.count[:, None], step + 1, 0)
    corners = triangles.corners[pieces.one]
    found: list[tuple[Integers, Integers, Integers]] = []
    for k in range(3):
        start, end = corners[:, k], corners[:, (k + 1) % 3]
        along = (end - start) / np.linalg.norm(end - start, axis=1)[:, None]
        inward = np.cross(triangles.normals[pieces.one], along)
        off = np.abs(np.einsum("nkx,nx->nk", pieces.base - start[:, None], inward)) < lap / 4.0
        both = off & np.take_along_axis(off, after, axis=1) & pieces.in_use
        row, column = (np.asarray(n, dtype=np.intp) for n in np.nonzero(both))
        found.append((row * room + column, row * room + after[row, column], np.full(len(row), k)))
    first, last, edge = zip(*found, strict=True)
    return np.concatenate(first), np.concatenate(last), np.concatenate(edge)


def _edge_back(triangles: Triangles, one: Integers, k: Integers) -> Integers:
    """The number that the neighbour beyond edge k gives to the same edge."""
    theirs = triangles.neighbours[triangles.neighbours[one, k]]
    return np.asarray(np.argmax(theirs == one[:, None], axis=1))


def _outward(triangles: Triangles, one: Integers, k: Integers) -> Floats:
    """Unit direction in the plane of the triangle, out over edge k."""
    start = triangles.corners[one, k]
    along = triangles.corners[one, (k + 1) % 3] - start
    along /= np.linalg.norm(along, axis=1)[:, None]
    return np.cross(along, triangles.normals[one])


def _strips(
    pieces: Pieces, at: tuple[Integers, Integers, Integers], out: Floats, rise: Floats
) -> Pieces:
    """Four-cornered pieces that carry a polygon edge on by `out`, (m, 3), rising by `rise`."""
    piece, start, end = at
    room = pieces.base.shape[1]
    flat, height = pieces.base.reshape(-1, 3), pieces.height.ravel()
    base = np.zeros((len(piece), room, 3))
    level = np.zeros((len(piece), room))
    corners = (flat[start], flat[start] + out, flat[end] + out, flat[end])
    for corner, place in enumerate(corners):
        base[:, corner] = place
    level[:, 0], level[:, 3] = height[start], height[end]
    level[:, 1] = np.maximum(height[start] + rise, 0.0)
    level[:, 2] = np.maximum(height[end] + rise, 0.0)
    # A roof of four corners is flat only where both ends rise alike.
    return Pieces(pieces.one[piece], pieces.other[piece], base, level, np.full(len(piece), 4))


def plug_meshes(
    pieces: Pieces, whole: Mask, triangles: Triangles, lap: float, faced: Mask
) -> list[PlugMesh]:
    """The plugs of all pieces, in as few meshes of plugs that stand clear of each other.

    faced  (triangles,) which have walls opposite, also those whose putty stands on those walls
    """
    first, rest = np.flatnonzero(whole), np.flatnonzero(~whole)
    plugs = [
        PlugMesh(body.vertices, body.faces, first[body.piece] * FACES_OF_PLUG + body.side)
        for body in stretches(pieces.take(first), triangles, lap, faced)
    ]
    return plugs + _columns(pieces.take(rest), rest, triangles, lap)


def _columns(pieces: Pieces, number: Integers, triangles: Triangles, lap: float) -> list[PlugMesh]:
    if not len(pieces):
        return []
    base = _with_lap(pieces, triangles, lap)
    normal = triangles.normals[pieces.one]
    floor = base - lap * normal[:, None]
    roof = base + (pieces.height + lap)[:, :, None] * normal[:, None]
    used = pieces.in_use[:, :, None]
    low = np.minimum(np.where(used, floor, np.inf), np.where(used, roof, np.inf)).min(axis=1)
    high = np.maximum(np.where(used, floor, -np.inf), np.where(used, roof, -np.inf)).max(axis=1)
    lots = apart(low, high, lap)
    return [_mesh(floor[lot], roof[lot], pieces.count[lot], number[lot]) for lot in lots]


def _with_lap(pieces: Pieces, triangles: Triangles, lap: float) -> Floats:
    """Corners of every polygon moved out so that its edges move by `lap`."""
    room = pieces.base.shape[1]
    step = np.arange(room)[None, :]
    after = np.where(step + 1 < pieces.count[:, None], step + 1, 0)
    before = np.where(step > 0, step - 1, pieces.count[:, None] - 1)
    along = np.take_along_axis(pieces.base, after[:, :, None], axis=1) - pieces.base
    along /= np.maximum(np.linalg.norm(along, axis=2), 1e-300)[:, :, None]
    out = np.cross(along, triangles.normals[pieces.one][:, None])
    total = out + np.take_along_axis(out, before[:, :, None], axis=1)
    # Twice the square of the cosine between an edge's normal and the corner's bisector.
    share = np.maximum(np.einsum("nkx,nkx->nk", total, total) / 2.0, SHARPEST)
    return np.asarray(pieces.base + lap * total / share[:, :, None])


def apart(low: Floats, high: Floats, clearance: float) -> list[Integers]:
    """Boxes dealt into lots of which no two boxes come within `clearance`."""
    i, j = near_boxes(low, high, clearance)
    # A fixed scatter of ranks; which box goes first has no bearing on the solid that results.
    rank = np.random.default_rng(1).permutation(len(low))
    left = np.ones(len(low), dtype=bool)
    lots = []
    while left.any():
        lots.append(_independent(left.copy(), rank, i, j))
        left[lots[-1]] = False
        keep = left[i] & left[j]
        i, j = i[keep], j[keep]
    return lots


def _independent(free: NDArray[np.bool_], rank: Integers, i: Integers, j: Integers) -> Integers:
    """As many of the free boxes as can be had without two that are paired."""
    chosen = np.zeros(len(free), dtype=bool)
    while free.any():
        best = np.full(len(free), len(free))
        np.minimum.at(best, i, np.where(free[j], rank[j], len(free)))
        np.minimum.at(best, j, np.where(free[i], rank[i], len(free)))
        take = free & (rank < best)
        chosen |= take
        free &= ~take
        free[j[take[i]]] = False
        free[i[take[j]]] = False
        keep = free[i] & free[j]
        i, j = i[keep], j[keep]
    return np.flatnonzero(chosen)


def _mesh(floor: Floats, roof: Floats, count: Integers, plug: Integers) -> PlugMesh:
    """Closed columns between floor and roof polygons, counterclockwise seen from the roof."""
    vertices, faces, face = [], [], []
    before = 0
    for corners in np.unique(count):
        lot = np.flatnonzero(count == corners)
        points = np.concatenate([floor[lot, :corners], roof[lot, :corners]], axis=1)
        pattern, side = _column(int(corners))
        offset = before + 2 * corners * np.arange(len(lot))
        vertices.append(points.reshape(-1, 3))
        faces.append((pattern[None] + offset[:, None, None]).reshape(-1, 3))
        face.append((plug[lot][:, None] * FACES_OF_PLUG + side[None]).ravel())
        before += points.shape[0] * points.shape[1]
    return PlugMesh(np.concatenate(vertices), np.concatenate(faces), np.concatenate(face))


def _column(corners: int) -> tuple[Integers, Integers]:
    """Triangles of a column on a polygon, and the number of the flat face each belongs to."""
    middle = np.arange(1, corners - 1)
    first = np.zeros_like(middle)
    base = np.stack([first, middle + 1, middle], axis=1)
    lid = np.stack([first, middle, middle + 1], axis=1) + corners
    here = np.arange(corners)
    there = (here + 1) % corners
    one = np.stack([here, there, there + corners], axis=1)
    two = np.stack([here, there + corners, here + corners], axis=1)
    faces = np.concatenate([base, lid, one, two])
    side = np.concatenate([np.full(len(base), 16), np.full(len(lid), 17), here, here])
    return faces, side
