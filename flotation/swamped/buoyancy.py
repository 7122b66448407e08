"""Everything that lifts, joined once so that a plane asks one question of the whole boat."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boat import Point
from flotation.geometry.solid import Joined, Skin, Solid, join
from flotation.swamped.floating import Body, Box

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Buoyancy:
    """What a list of bodies displaces, joined once and immersed many times.

    bodies     those that displace something
    parts      the solids and skins joined, then the boxes joined: boxes are few and move often
    lost       joined, and taken off the parts again
    volume     m3
    low, high  (3,) m, corners of the box around all that displaces

    Make it with `buoyancy`. It does not depend on the masses: hand it to `float_freely` with
    bodies of other masses, or of other places where they displace nothing.
    """

    bodies: tuple[Body, ...]
    parts: tuple[Joined, ...]
    lost: tuple[Joined, ...]
    volume: float
    low: Floats
    high: Floats

    @property
    def length(self) -> float:
        """M, diagonal of the box around all that displaces."""
        return float(np.linalg.norm(self.high - self.low))

    @property
    def signed(self) -> Iterator[tuple[float, Joined]]:
        """The parts with 1, what is lost with -1."""
        yield from ((1.0, part) for part in self.parts)
        yield from ((-1.0, part) for part in self.lost)

    def fits(self, bodies: Sequence[Body]) -> bool:
        """True if these bodies displace what this was made from."""
        displacing = [body for body in bodies if body.displaces is not None]
        return len(displacing) == len(self.bodies) and all(
            _same_place(here, there) for here, there in zip(displacing, self.bodies, strict=True)
        )

    def with_boxes(self, bodies: Sequence[Body]) -> "Buoyancy":
        """The same solids and skins, their join kept, with the boxes of these bodies.

        Raises ValueError if the solids and skins of `bodies` are others.
        """
        if _meshes(bodies) != _meshes(self.bodies):
            raise ValueError("the bodies displace other solids or skins than the join was made of")
        return _gathered(bodies, self.parts[:1] if _meshes(self.bodies) else (), self.lost)

    def without(self, body: Body) -> "Buoyancy":
        """The join kept, less one of its bodies: a cavity that lost its foam.

        Raises ValueError if that body is not one of them or is a box.
        """
        if body not in self.bodies or body.displaces is None or isinstance(body.displaces, Box):
            raise ValueError(f"body {body.name!r} is no solid or skin of this join")
        place = self.bodies.index(body)
        bodies = (*self.bodies[:place], *self.bodies[place + 1 :])
        return _gathered(bodies, self.parts[:1], (*self.lost, join([body.displaces])))


def buoyancy(bodies: Sequence[Body]) -> Buoyancy:
    """Join what the bodies displace. Where two of them overlap, the overlap counts twice."""
    meshes = _meshes(bodies)
    return _gathered(bodies, (join(meshes),) if meshes else (), ())


def _gathered(
    bodies: Sequence[Body], meshes: tuple[Joined, ...], lost: tuple[Joined, ...]
) -> Buoyancy:
    displacing = tuple(body for body in bodies if body.displaces is not None)
    if not displacing:
        raise ValueError("none of the bodies displaces anything")
    boxes = [_box(body.displaces, body.at) for body in bodies if isinstance(body.displaces, Box)]
    parts = (*meshes, join(boxes)) if boxes else meshes
    volumes = [part.volume for part in parts] + [-part.volume for part in lost]
    low, high = zip(*(_corners(body) for body in displacing), strict=True)
    corners = np.min(low, axis=0), np.max(high, axis=0)
    return Buoyancy(displacing, parts, lost, math.fsum(volumes), *corners)


def _meshes(bodies: Sequence[Body]) -> list[Solid | Skin]:
    return [body.displaces for body in bodies if isinstance(body.displaces, Solid | Skin)]


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
