"""Tape over openings that are closed by name: which walls it stands between. Works on arrays."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.crevices import distances
from flotation.geometry.voids.facing import Pieces, Triangles
from flotation.geometry.voids.finding import Closure

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]

# A place lies in every opening that is no more than this, m, farther off than the nearest one: an
# opening may be walled by three parts, and its place stands on the edge of it to a millimetre.
_AS_NEAR = 1e-3


@dataclass(frozen=True, eq=False)
class Tape:
    """Pairs of triangles that tape stands between, and how far apart they are closed.

    pair   (n,) as `pairs` gives them, ascending
    width  (n,) m
    """

    pair: Integers
    width: Floats

    def widths(self, pieces: Pieces) -> Floats:
        """(pieces,) m up to which each is taped; zero where none is."""
        result = np.zeros(len(pieces))
        if len(self.pair):
            asked = pairs(pieces)
            at = np.minimum(np.searchsorted(self.pair, asked), len(self.pair) - 1)
            result = np.where(self.pair[at] == asked, self.width[at], 0.0)
        return result


NO_TAPE = Tape(np.zeros(0, dtype=np.intp), np.zeros(0))


def pairs(pieces: Pieces) -> Integers:
    """(pieces,) one number for the two triangles of each piece."""
    return np.asarray((pieces.one << 32) + pieces.other)


def tape_on(pieces: Pieces, triangles: Triangles, closures: Sequence[Closure], gap: float) -> Tape:
    """The tape that the closures name, on pieces of which no two are of the same two triangles.

    gap  m, what stands no farther apart is sealed anyway
    """
    width = np.zeros(len(pieces))
    for closure in closures:
        of_it = _named(pieces, triangles, closure, gap)
        width[of_it] = np.maximum(width[of_it], closure.width)
    at = np.flatnonzero(width)
    at = at[np.argsort(pairs(pieces)[at])]
    return Tape(pairs(pieces)[at], width[at])


def _named(pieces: Pieces, triangles: Triangles, closure: Closure, gap: float) -> Mask:
    """Pieces of the opening that a closure names: those beside its place, between the same parts.

    Walls that stand as close by chance behind the wall of the opening, or above and below the
    space that it leads into, are none of it, however near.
    """
    place = np.asarray(closure.at, dtype=np.float64)
    beside = _off(pieces, np.zeros((len(pieces), 3)), place) <= closure.width
    at = np.flatnonzero(
        beside & (pieces.narrowest <= closure.width) & (pieces.widest > min(gap, closure.width))
    )
    if not at.size:
        return beside
    pair = np.sort(triangles.part[np.stack([pieces.one, pieces.other], axis=1)], axis=1)
    few = pieces.take(at)
    normal = triangles.normals[few.one]
    up = np.einsum("nx,nx->n", place - few.base[:, 0], normal)
    # The column over a piece, taken to be as tall everywhere as it is at its tallest.
    up = np.clip(up, 0.0, few.widest)
    off = _off(few, up[:, None] * normal, place)
    meant = np.unique(pair[at[off <= off.min() + _AS_NEAR]], axis=0)
    result: Mask = beside & (pair[:, None] == meant[None]).all(axis=2).any(axis=1)
    return result


def _off(pieces: Pieces, moved: Floats, place: Floats) -> Floats:
    """(pieces,) m, from a place to each piece, the piece moved by `moved`, (pieces, 3) m."""
    step = np.arange(pieces.base.shape[1])[None, :]
    after = np.where(step + 1 < pieces.count[:, None], step + 1, 0)
    following = np.take_along_axis(pieces.base, after[:, :, None], axis=1)
    first = np.repeat(pieces.base[:, :1], pieces.base.shape[1], axis=1)
    fan = np.stack([first, pieces.base, following], axis=2)
    result = np.full(len(pieces), np.inf)
    for corner in range(fan.shape[1]):
        used = np.flatnonzero(pieces.in_use[:, corner])
        away = distances(place - moved[used], fan[used, corner])
        result[used] = np.minimum(result[used], away)
    return result
