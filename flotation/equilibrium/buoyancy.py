"""Everything that lifts, joined once so that a plane asks one question of the whole boat."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boat_places import Point
from flotation.equilibrium.bodies import Body, Box
from flotation.geometry.solid import Joined, Skin, Solid, join

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Buoyancy:
    """What a list of bodies displaces, joined once and immersed many times.

    bodies     those that displace something
    base       those that were joined at first
    parts      the join of the base; then, with 1 and -1, joins of what was added and lost since
    volume     m3
    low, high  (3,) m, corners of the box around all that displaces

    Make it with `buoyancy`. It does not depend on the masses: hand it to `float_freely` with
    bodies of other masses, or of other places where they displace nothing.
    """

    bodies: tuple[Body, ...]
    base: tuple[Body, ...]
    parts: tuple[tuple[float, Joined], ...]
    volume: float
    low: Floats
    high: Floats

    @property
    def length(self) -> float:
        """M, diagonal of the box around all that displaces."""
        return float(np.linalg.norm(self.high - self.low))

    def fits(self, bodies: Sequence[Body]) -> bool:
        """True if these bodies displace what this was made from."""
        displacing = _displacing(bodies)
        return len(displacing) == len(self.bodies) and all(
            _same_place(here, there) for here, there in zip(displacing, self.bodies, strict=True)
        )

    def changed_to(self, bodies: Sequence[Body]) -> "Buoyancy":
        """The same for a boat a little changed: crew that moved, a cavity that lost its foam.

        What the two have in common stays joined; the rest is added to and taken off every
        answer, at the price of a small query each. Told from the base, so changes do not pile up.
        """
        lost, added = list(self.base), list[Body]()
        for body in _displacing(bodies):
            same = next((i for i, old in enumerate(lost) if _same_place(body, old)), None)
            if same is None:
                added.append(body)
            else:
                del lost[same]
        changes = [(sign, _join(some)) for sign, some in ((1.0, added), (-1.0, lost)) if some]
        return _gathered(bodies, self.base, (self.parts[0], *changes))


def buoyancy(bodies: Sequence[Body]) -> Buoyancy:
    """Join what the bodies displace. Where two of them overlap, the overlap counts twice.

    Raises ValueError if none displaces anything.
    """
    base = _displacing(bodies)
    return _gathered(bodies, base, ((1.0, _join(base)),))


def _gathered(
    bodies: Sequence[Body], base: tuple[Body, ...], parts: tuple[tuple[float, Joined], ...]
) -> Buoyancy:
    displacing = _displacing(bodies)
    low, high = zip(*(_corners(body) for body in displacing), strict=True)
    volume = math.fsum(sign * part.volume for sign, part in parts)
    return Buoyancy(displacing, base, parts, volume, np.min(low, axis=0), np.max(high, axis=0))


def _displacing(bodies: Sequence[Body]) -> tuple[Body, ...]:
    displacing = tuple(body for body in bodies if body.displaces is not None)
    if not displacing:
        raise ValueError("none of the bodies displaces anything")
    return displacing


def _join(bodies: Sequence[Body]) -> Joined:
    shapes: list[Solid | Skin] = []
    for body in bodies:
        if isinstance(body.displaces, Box):
            shapes.append(_box(body.displaces, body.at))
        elif body.displaces is not None:
            shapes.append(body.displaces)
    return join(shapes)


def _same_place(here: Body, there: Body) -> bool:
    if isinstance(here.displaces, Box):
        return here.displaces == there.displaces and here.at == there.at
    return here.displaces is there.displaces


def _corners(body: Body) -> tuple[Floats, Floats]:
    """Lowest and highest corner of what a body displaces."""
    match body.displaces:
        case Solid() as solid:
            return solid.bounds[0], solid.bounds[1]
        case Skin() as skin:
            half = 0.5 * skin.thickness
            return skin.vertices.min(axis=0) - half, skin.vertices.max(axis=0) + half
        case Box() as box:
            half_size = 0.5 * np.array(box.size)
            return np.array(body.at) - half_size, np.array(body.at) + half_size
    raise ValueError(f"body {body.name!r} displaces nothing")


def _box(box: Box, at: Point) -> Solid:
    corner = np.array([[x, y, z] for x in (-0.5, 0.5) for y in (-0.5, 0.5) for z in (-0.5, 0.5)])
    quads = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
    faces = [face for a, b, c, d in quads for face in ((a, b, c), (a, c, d))]
    return Solid(corner * np.array(box.size) + np.array(at), np.array(faces))
