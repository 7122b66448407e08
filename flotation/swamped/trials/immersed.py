"""How much of each piece of a boat afloat is under water, and where."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from flotation.boat_places import Point
from flotation.equilibrium.bodies import Box, as_point
from flotation.geometry.solid import Joined
from flotation.swamped.trials.condition import Kind, Piece

_CORNERS = np.array(list(product((0.0, 1.0), repeat=3)))
_QUADS = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
_FACES = np.array([face for a, b, c, d in _QUADS for face in ((a, b, c), (a, c, d))])


@dataclass(frozen=True)
class Immersed:
    """A piece at one attitude.

    whole   m3 that it displaces with all of it under water
    volume  m3 that it displaces now, acting at `centre`; (its own place where it is nothing)
    """

    piece: Piece
    whole: float
    volume: float
    centre: Point

    @property
    def share(self) -> float:
        """Share of what it displaces that is under water; 0 for what displaces nothing."""
        return self.volume / self.whole if self.whole > 0.0 else 0.0


def immersed(pieces: Sequence[Piece], normal: Point, offset: float) -> tuple[Immersed, ...]:
    """Each piece under the surface normal . x = offset."""
    return tuple(_immersed(piece, normal, offset) for piece in pieces)


def _immersed(piece: Piece, normal: Point, offset: float) -> Immersed:
    body = piece.body
    if body.displaces is None:
        return Immersed(piece, 0.0, 0.0, body.at)
    if isinstance(body.displaces, Box):
        whole = math.prod(body.displaces.size)
        part = _lump(body.displaces, body.at).below(normal, offset)
    else:
        whole = body.displaces.volume
        part = body.displaces.below(normal, offset)
    centre = as_point(part.centroid) if part.volume > 0.0 else body.at
    return Immersed(piece, whole, part.volume, centre)


def _lump(box: Box, at: Point) -> Joined:
    """The box as closed triangles; its own check is that its edges are positive."""
    corners = (_CORNERS - 0.5) * np.array(box.size) + np.array(at)
    return Joined(corners, _FACES)


def share_of(parts: Sequence[Immersed], kind: Kind) -> float | None:
    """Share of the volume of all pieces of a kind that is under water; None without any."""
    own = [part for part in parts if part.piece.kind is kind]
    whole = sum(part.whole for part in own)
    return sum(part.volume for part in own) / whole if whole > 0.0 else None
