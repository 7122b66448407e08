"""Sealing every gap up to a width: pieces of opposite wall, putty in them, regions closed off.

The search for opposite walls is done once, up to the widest opening asked about; each width is
then a matter of cutting the pieces and joining the putty with the walls.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.columns import clearances, merged, steep
from flotation.geometry.voids.crevices import dead_ends
from flotation.geometry.voids.edges import Edges, sharp_edges
from flotation.geometry.voids.facing import (
    Pieces,
    Triangles,
    cut_convex,
    facing_pieces,
    join_pieces,
)
from flotation.geometry.voids.finding import Closure
from flotation.geometry.voids.hiding import hidden
from flotation.geometry.voids.plugs import PlugMesh, plug_meshes, with_corners_filled
from flotation.geometry.voids.proximity import near_boxes, near_boxes_of
from flotation.geometry.voids.sealing import Sealed, Walls
from flotation.geometry.voids.sheets import joined
from flotation.geometry.voids.taping import NO_TAPE, Tape, pairs, tape_on
from flotation.geometry.voids.ties import Ties, no_ties, ties
from flotation.geometry.voids.tying import seal_with_ties

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]

# Surfaces this close touch: above what single precision leaves of a boat's coordinates (0.5 um),
# far below what a bond line is. Putty reaches half of it into walls and neighbours.
TOUCH = 1e-5
LAP = TOUCH / 2.0
# A roof over many walls rises above the lowest of them by at most this, so that it stays in them.
_SLACK = 1e-3

OUTSIDE = -1
_BATCH = 200_000


@dataclass(frozen=True, eq=False)
class Opening:
    """Putty that hangs together between one pair of parts.

    pieces    numbers of its pieces; those beyond the last piece are ties
    sides     regions that its faces stand in, OUTSIDE where nothing encloses it
    area      m2 of its faces, one for each of `sides`
    """

    pieces: Integers
    sides: tuple[int, ...]
    area: tuple[float, ...]


@dataclass(frozen=True, eq=False)
class Puttied:
    """What is closed off with every gap up to `width` sealed, and the putty that does it.

    clear  (pieces, 2) m, the least and the most that the walls stand apart at each piece: the putty
           itself may be taller, where one roof covers many walls and where it goes round an edge
    done   (triangles,) which have putty on them, or a corner that was looked at and wants none
    tight  the walls with all of the putty, also that which closes nothing off as yet
    plugs  the bodies of the putty, less the ties
    """

    width: float
    pieces: Pieces
    clear: Floats
    ties: Ties
    done: Mask
    sealed: Sealed
    openings: tuple[Opening, ...]
    tight: Walls
    plugs: Sequence[PlugMesh]

    @property
    def narrowest(self) -> Floats:
        """(pieces + ties,) m, between the walls or the edges."""
        return np.concatenate([self.clear[:, 0], self.ties.narrowest])

    @property
    def widest(self) -> Floats:
        """(pieces + ties,) m, between the walls or the edges."""
        return np.concatenate([self.clear[:, 1], self.ties.widest])

    def sides(self, number: int) -> tuple[int, int]:
        """The triangles on both sides of a piece or tie."""
        of = self.pieces if number < len(self.pieces) else self.ties
        at = number - (0 if number < len(self.pieces) else len(self.pieces))
        return int(of.one[at]), int(of.other[at])


@dataclass(frozen=True, eq=False)
class Opposites:
    """All walls, every place where they stand opposite each other up to `reach`, and tape."""

    walls: Walls
    triangles: Triangles
    pieces: Pieces
    edges: Edges
    reach: float
    tape: Tape = NO_TAPE


def opposites(walls: Walls, triangles: Triangles, reach: float) -> Opposites:
    """Find once what every width up to `reach`, m, will need."""
    pieces = facing_pieces(triangles, reach, TOUCH)
    return Opposites(walls, triangles, pieces, sharp_edges(triangles), reach)


def opposites_near(found: Opposites, low: Floats, high: Floats, reach: float) -> Opposites:
    """The same within `reach`, m, of boxes, corners (n, 3) m, and up to that distance apart."""
    triangles = found.triangles
    box = triangles.corners.min(axis=1), triangles.corners.max(axis=1)
    among = np.unique(near_boxes_of(box, (low, high), 2.0 * reach)[0])
    pieces = facing_pieces(triangles, reach, TOUCH, among)
    used = pieces.in_use[:, :, None]
    box = (
        np.where(used, pieces.base, np.inf).min(axis=1),
        np.where(used, pieces.base, -np.inf).max(axis=1),
    )
    near = np.unique(near_boxes_of(box, (low, high), reach)[0])
    return Opposites(found.walls, triangles, pieces.take(near), found.edges, reach)


def with_closures(found: Opposites, closures: Sequence[Closure]) -> Opposites:
    """The same, and what stands opposite in each closure up to its width."""
    pieces = [found.pieces]
    for closure in (c for c in closures if c.width > found.reach):
        at = np.array([closure.at])
        box = at - closure.width, at + closure.width
        pieces.append(opposites_near(found, *box, closure.width).pieces)
    # The same two triangles once, as far as they were looked at for the widest.
    joined_up = join_pieces(pieces[::-1])
    widest = np.lexsort((-joined_up.widest, pairs(joined_up)))
    first = widest[np.diff(pairs(joined_up)[widest], prepend=-1) > 0]
    once = joined_up.take(first)
    return replace(found, pieces=once, tape=tape_on(once, found.triangles, closures, found.reach))


def up_to(pieces: Pieces, width: Floats) -> Pieces:
    """The parts of the pieces where the walls stand at most `width`, (pieces,), apart."""
    close = pieces.narrowest <= width
    return _cut(pieces.take(close), width[close], 1.0)


def beyond(pieces: Pieces, width: float) -> Pieces:
    """The parts of the pieces where the walls stand at least `width` apart."""
    far = pieces.take(pieces.widest > width)
    return _cut(far, np.full(len(far), width), -1.0)


def _cut(pieces: Pieces, width: Floats, sign: float) -> Pieces:
    """Keep what is below `width` (sign 1) or above it (sign -1)."""
    crossed = np.flatnonzero((pieces.narrowest < width) & (pieces.widest > width))
    part = pieces.take(crossed)
    room = np.zeros((len(part), 1, 4))
    points = np.concatenate([part.base, part.height[:, :, None]], axis=2)
    side = sign * (width[crossed, None] - part.height)
    side = np.concatenate([side, room[:, :, 0]], axis=1)
    points, count = cut_convex(np.concatenate([points, room], axis=1), part.count, side)
    return _with_cut(pieces, crossed, points, count)


def _with_cut(pieces: Pieces, over: Integers, points: Floats, count: Integers) -> Pieces:
    """Pieces with the corners of some replaced; room for one more corner is added to all."""
    base = np.concatenate([pieces.base, np.zeros((len(pieces), 1, 3))], axis=1)
    height = np.concatenate([pieces.height, np.zeros((len(pieces), 1))], axis=1)
    used = pieces.count.copy()
    base[over], height[over], used[over] = points[:, :, :3], points[:, :, 3], count
    result = replace(pieces, base=base, height=height, count=used)
    return result.take(used >= 3)


def putty(found: Opposites, width: float) -> Puttied:
    """Seal every gap up to `width`, m, and what is taped; see what is closed off."""
    pieces = _within(found, width)
    corner = dead_ends(pieces, found.triangles, width, TOUCH)
    done = np.zeros(len(found.triangles.corners), dtype=bool)
    _mark(done, pieces)
    return _fill(found, found.walls, (pieces.take(~corner), None), (width, done))


def more_putty(
    found: Opposites,
    before: Puttied,
    width: float,
    *,
    with_ties: bool = False,
) -> Puttied:
    """Seal what stands farther apart than `before` had sealed and at most `width`, m.

    with_ties  look also for edges that pass each other; it takes long at large widths
    Only what is new appears among the pieces and openings.
    """
    pieces = _within(found, width)
    corner = dead_ends(pieces, found.triangles, width, before.width)
    done = before.done.copy()
    _mark(done, pieces.take(corner))
    pieces = beyond(pieces.take(~corner), before.width)
    # What is taped is sealed already, and no opening that is left.
    pieces = pieces.take(pieces.widest > found.tape.widths(pieces))
    pieces = pieces.take(~_bulges(pieces, found.triangles, done))
    pieces = pieces.take(~hidden(pieces, found.pieces, found.triangles))
    _mark(done, pieces)
    tied = no_ties()
    if with_ties:
        tied = ties(found.triangles, pieces, found.edges, width, before.width, TOUCH)
    if not len(pieces) and not len(tied):
        return replace(
            before,
            width=width,
            pieces=pieces,
            clear=np.zeros((0, 2)),
            ties=tied,
            openings=(),
            done=done,
            plugs=(),
        )
    return _fill(found, before.tight, (pieces, tied), (width, done))


def _mark(done: Mask, pieces: Pieces) -> None:
    done[pieces.one] = done[pieces.other] = True


def _bulges(pieces: Pieces, triangles: Triangles, done: Mask) -> Mask:
    """Steep pieces beside a corner, or beside putty: they would widen a mouth and close nothing.

    What lies beside such a piece is beside it too; `done` is carried on over them.
    """
    open_yet = steep(pieces, triangles)
    result = np.zeros(len(pieces), dtype=bool)
    while True:
        beside = done | done[triangles.neighbours].any(axis=1)
        new = open_yet & ~result & (beside[pieces.one] | beside[pieces.other])
        if not new.any():
            return result
        result |= new
        _mark(done, pieces.take(new))


def _within(found: Opposites, width: float) -> Pieces:
    limit = np.maximum(found.tape.widths(found.pieces), max(width, TOUCH))
    return up_to(found.pieces, limit)


def _fill(
    found: Opposites, walls: Walls, putty: tuple[Pieces, Ties | None], at: tuple[float, Mask]
) -> Puttied:
    """Columns on the pieces and the ties; None: those that are wanted between the columns."""
    (faced, tied), (width, done) = putty, at
    pieces, whole = merged(faced, found.triangles, _SLACK, TOUCH)
    filled = with_corners_filled(pieces, whole, found.triangles, (LAP, width))
    whole = np.concatenate([whole, np.zeros(len(filled) - len(whole), dtype=bool)])
    if tied is None:
        tied = ties(found.triangles, filled, found.edges, max(width, TOUCH), 0.0, TOUCH)
    clear = clearances(filled, whole, faced)
    covered = np.zeros(len(done), dtype=bool)
    covered[faced.one] = True
    plugs = plug_meshes(filled, whole, found.triangles, LAP, covered)
    sealed, tied, tight = seal_with_ties(walls, plugs, tied, (len(filled), width, LAP))
    openings = _openings(_with_ties(filled, tied), found.triangles, sealed, width)
    return Puttied(width, filled, clear, tied, done, sealed, openings, tight, plugs)


def _with_ties(pieces: Pieces, tied: Ties) -> Pieces:
    """The pieces and the ties, these as four-cornered pieces, to see which hang together."""
    room = pieces.base.shape[1]
    base = np.zeros((len(tied), room, 3))
    base[:, :4] = tied.points[:, :4]
    height = np.repeat(tied.widest[:, None], room, axis=1)
    rows = Pieces(tied.one, tied.other, base, height, np.full(len(tied), 4))
    return join_pieces([pieces, rows])


def _openings(
    pieces: Pieces, triangles: Triangles, sealed: Sealed, width: float
) -> tuple[Opening, ...]:
    """Pieces gathered where they hang together, with the regions that they stand in."""
    if not len(pieces):
        return ()
    contact = _contact(len(pieces), sealed)
    label = _hanging_together(pieces, triangles, width)
    order = np.argsort(label, kind="stable")
    lots = np.split(order, np.flatnonzero(np.diff(label[order])) + 1)
    found = []
    for lot in lots:
        area: Floats = contact[lot].sum(axis=0)
        sides = np.flatnonzero(area > 0.0)
        number = np.where(sides == len(sealed.regions), OUTSIDE, sides)
        found.append(Opening(lot, tuple(number.tolist()), tuple(float(a) for a in area[sides])))
    return tuple(found)


def _contact(count: int, sealed: Sealed) -> Floats:
    """m2 of each piece's putty that stands in each region; the last column is outside."""
    contact = np.zeros((count, len(sealed.regions) + 1))
    for column, shells in enumerate([*((r,) for r in sealed.regions), sealed.outer]):
        for shell in shells:
            of_putty = shell.plug >= 0
            contact[:, column] += np.bincount(
                shell.plug[of_putty], shell.areas[of_putty], minlength=count
            )
    return contact


def _hanging_together(pieces: Pieces, triangles: Triangles, width: float) -> Integers:
    """A label for each piece, alike where pieces between the same parts adjoin.

    They adjoin where a corner of one is within twice `width` of a corner of the other.
    """
    used = pieces.in_use[:, :, None]
    low = np.where(used, pieces.base, np.inf).min(axis=1)
    high = np.where(used, pieces.base, -np.inf).max(axis=1)
    i, j = near_boxes(low, high, 2.0 * max(width, TOUCH))
    first, second = triangles.part[pieces.one], triangles.part[pieces.other]
    pair = np.sort(np.stack([first, second], axis=1), axis=1)
    alike = (pair[i] == pair[j]).all(axis=1)
    i, j = i[alike], j[alike]
    at = [
        _adjoin(pieces, i[s : s + _BATCH], j[s : s + _BATCH], 2.0 * max(width, TOUCH))
        for s in range(0, len(i), _BATCH)
    ]
    close = np.concatenate(at) if at else np.zeros(0, dtype=bool)
    return joined(i[close], j[close], len(pieces))


def _adjoin(pieces: Pieces, i: Integers, j: Integers, reach: float) -> Mask:
    """Whether some corner of piece i comes within `reach` of some corner of piece j."""
    result = pieces.one[i] == pieces.one[j]
    for a in range(pieces.base.shape[1]):
        for b in range(pieces.base.shape[1]):
            off = np.linalg.norm(pieces.base[i, a] - pieces.base[j, b], axis=1)
            result |= (off <= reach) & (a < pieces.count[i]) & (b < pieces.count[j])
    return np.asarray(result)
