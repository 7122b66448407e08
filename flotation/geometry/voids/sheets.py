"""Putty over a stretch of wall that is faced all over: one body for the whole stretch.

Works on arrays. The triangles of the stretch are the floor; their corners, moved along the wall's
normal to the wall opposite, are the roof; the rim is closed. A stretch ends where the wall turns
by more than thirty degrees.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.facing import Pieces, Triangles

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]

# In a hollow, roofs may shrink by this share of a triangle's height before the stretch is cut.
_CROWDED = 0.2
# Slope, over the wedge between two columns, that the wall opposite may fall away at: 27 degrees.
FALL = 0.5
# Corners of the rim sharper than about 6 degrees move out by less than the full mitre.
SHARPEST = 0.005
# Of less than two and a half degrees, across which the wall counts as level.
_LEVEL = 0.999
# A little beyond the turn from which strips bridge an edge, so that no edge is left out.
_SMOOTH = float(np.cos(np.radians(32.0)))


@dataclass(frozen=True, eq=False)
class Stretch:
    """One stretch as a closed body, and for each triangle the piece and the side it is of.

    side  0 to 2 the rim along that edge, 3 the floor, 4 the roof
    """

    vertices: Floats
    faces: Integers
    piece: Integers
    side: Integers


def stretches(pieces: Pieces, triangles: Triangles, lap: float, faced: Mask) -> list[Stretch]:
    """The bodies over pieces that are whole triangles, corner k on corner k.

    lap    m, by how much floor and roof reach into the walls, and the rim into other putty: of two
           stretches that end in one corner of the wall opposite rounding would leave a crack
    faced  (triangles,) which have walls opposite, whichever side their putty stands on
    """
    if not len(pieces):
        return []
    turns = _turns(pieces, triangles)
    beyond = _partners(pieces, triangles, turns)
    corner = _shared_corners(beyond, pieces, triangles)
    label = _components(beyond)
    move, height = _moves(pieces, triangles, corner)
    first = np.unique(corner, return_index=True)[1]
    point = pieces.base[:, :3].reshape(-1, 3)[first]
    crowded = (beyond < 0) & _no_mouth(turns, faced[triangles.neighbours[pieces.one]])
    point = point + lap * _out_of_rim(pieces, triangles, corner, crowded)
    floor = point - lap * move
    roof = point + (height + lap)[:, None] * move
    order = np.argsort(label, kind="stable")
    cuts = np.flatnonzero(np.diff(label[order])) + 1
    return [
        _body(lot, corner.reshape(-1, 3), beyond, (floor, roof)) for lot in np.split(order, cuts)
    ]


def _partners(pieces: Pieces, triangles: Triangles, turns: tuple[Floats, Mask]) -> Integers:
    """The piece beyond each edge, (n, 3), -1 where the stretch ends; `turns` of `_turns`.

    It ends at a sharp turn, and in a hollow so tight that roofs would run into each other.
    """
    place = np.full(len(triangles.corners), -1)
    place[pieces.one] = np.arange(len(pieces))
    neighbour = triangles.neighbours[pieces.one]
    corner = triangles.corners[pieces.one]
    cosine, hollow = turns
    shrinks = pieces.height[:, :3].max(axis=1)[:, None] * np.sqrt(
        np.clip((1.0 - cosine) / np.maximum(1.0 + cosine, 1e-12), 0.0, None)
    )
    edge = np.roll(corner, -1, axis=1) - corner
    length = np.linalg.norm(edge, axis=2)
    area = np.linalg.norm(np.cross(edge[:, 0], edge[:, 1]), axis=1)
    tight = hollow & (shrinks > _CROWDED * area[:, None] / length)
    found = np.where((cosine > _SMOOTH) & ~tight, place[neighbour], -1)
    # Both sides must agree: the other one may be the tight one.
    open_edge = np.where(tight, -1, neighbour)[np.maximum(found, 0)]
    mutual = (open_edge == pieces.one[:, None, None]).any(axis=2)
    return np.where((found >= 0) & mutual, found, -1)


def _turns(pieces: Pieces, triangles: Triangles) -> tuple[Floats, Mask]:
    """(n, 3) cosine of the turn of the wall across each edge, and whether it makes a hollow."""
    neighbour = triangles.neighbours[pieces.one]
    normal = triangles.normals[pieces.one]
    cosine: Floats = np.einsum("nx,nkx->nk", normal, triangles.normals[neighbour])
    ahead = triangles.corners[neighbour].mean(axis=2) - triangles.corners[pieces.one]
    return cosine, np.einsum("nx,nkx->nk", normal, ahead) > 0.0


def _shared_corners(beyond: Integers, pieces: Pieces, triangles: Triangles) -> Integers:
    """A number, from 0, for each corner, (3 n,), alike where triangles of a stretch meet.

    Triangles that only touch at a point keep corners of their own, so that the body is sound.
    """
    piece, k = np.nonzero(beyond >= 0)
    other = beyond[piece, k]
    theirs = triangles.neighbours[pieces.one[other]]
    back = np.argmax(theirs == pieces.one[piece][:, None], axis=1)
    one = np.concatenate([3 * piece + k, 3 * piece + (k + 1) % 3])
    two = np.concatenate([3 * other + (back + 1) % 3, 3 * other + back])
    label = joined(one, two, 3 * len(pieces))
    return np.unique(label, return_inverse=True)[1]


def _components(beyond: Integers) -> Integers:
    piece, k = np.nonzero(beyond >= 0)
    return joined(piece, beyond[piece, k], len(beyond))


def joined(one: Integers, two: Integers, count: int) -> Integers:
    """For `count` things, joined in pairs, the lowest number of those each hangs together with."""
    label = np.arange(count)
    while True:
        low = np.minimum(label[one], label[two])
        after = label.copy()
        np.minimum.at(after, label[one], low)
        np.minimum.at(after, label[two], low)
        after = after[after]
        if np.array_equal(after, label):
            return label
        label = after


def _moves(pieces: Pieces, triangles: Triangles, corner: Integers) -> tuple[Floats, Floats]:
    """Where each shared corner goes per metre of offset, and how far the wall opposite is."""
    count = int(corner.max()) + 1
    normal = np.repeat(triangles.normals[pieces.one], 3, axis=0)
    total = np.zeros((count, 3))
    np.add.at(total, corner, normal)
    total /= np.linalg.norm(total, axis=1)[:, None]
    least = np.ones(count)
    np.minimum.at(least, corner, np.einsum("ix,ix->i", normal, total[corner]))
    height = np.full(count, -np.inf)
    np.maximum.at(height, corner, pieces.height[:, :3].ravel())
    # Between the columns of two triangles the wall opposite may fall away a little farther.
    spread = height * np.sqrt(np.clip(1.0 - least**2, 0.0, None)) / least
    return total / least[:, None], height + FALL * spread


def _no_mouth(turns: tuple[Floats, Mask], more: Mask) -> Mask:
    """(n, 3) edges beyond which the wall rises, or goes on level with `more` putty on it.

    Where it goes on level without putty, or falls away, the stretch ends flush.
    """
    cosine, hollow = turns
    return np.asarray(np.where(cosine >= _LEVEL, more, hollow))


def _out_of_rim(pieces: Pieces, triangles: Triangles, corner: Integers, rim: Mask) -> Floats:
    """Where each shared corner goes per metre by which the edges in `rim`, (n, 3), move out."""
    row, k = np.nonzero(rim)
    start = pieces.base[row, k]
    along = pieces.base[row, (k + 1) % 3] - start
    along /= np.linalg.norm(along, axis=1)[:, None]
    out = np.cross(along, triangles.normals[pieces.one[row]])
    total = np.zeros((int(corner.max()) + 1, 3))
    count = np.zeros(len(total))
    for end in (k, (k + 1) % 3):
        np.add.at(total, corner[3 * row + end], out)
        np.add.at(count, corner[3 * row + end], 1.0)
    # Of a corner between two such edges the mitre; share is 1 where they run on straight.
    share = np.einsum("ix,ix->i", total, total) / np.maximum(count, 1.0)
    result: Floats = total / np.maximum(share, SHARPEST)[:, None]
    return result


def _body(
    lot: Integers, corner: Integers, beyond: Integers, levels: tuple[Floats, Floats]
) -> Stretch:
    """Floor, roof and rim of the pieces in `lot`."""
    used, place = np.unique(corner[lot], return_inverse=True)
    roof = place.reshape(-1, 3)
    floor = roof + len(used)
    row, k = np.nonzero(beyond[lot] < 0)
    start, end = roof[row, k], roof[row, (k + 1) % 3]
    rim = np.concatenate(
        [
            np.stack([start, start + len(used), end + len(used)], axis=1),
            np.stack([start, end + len(used), end], axis=1),
        ]
    )
    side = np.full(len(lot), 4)
    return Stretch(
        np.concatenate([levels[1][used], levels[0][used]]),
        np.concatenate([roof, floor[:, ::-1], rim]),
        np.concatenate([lot, lot, lot[row], lot[row]]),
        np.concatenate([side, side - 1, k, k]),
    )
