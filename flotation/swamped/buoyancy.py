"""Everything that lifts, joined once so that a plane asks one question of the whole boat."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.boat import Point
from flotation.geometry.solid import Joined, Solid, join
from flotation.swamped.floating import Body, Box

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Buoyancy:
    """What a list of bodies displaces, joined once and immersed many times.

    Make it with `buoyancy`. It does not depend on the masses: hand it to `float_freely` with
    bodies of other masses, or of other places where they displace nothing.
    """

    bodies: tuple[Body, ...]
    parts: tuple[Joined, ...]
    volume: float
    low: Floats
    high: Floats

    @property
    def length(self) -> float:
        """M, diagonal of the box around all that displaces."""
        return float(np.linalg.norm(self.high - self.low))

    def fits(self, bodies: Sequence[Body]) -> bool:
        """True if these bodies displace what this was made from."""
        displacing = [body for body in bodies if body.displaces is not None]
        return len(displacing) == len(self.bodies) and all(
            _same_place(here, there) for here, there in zip(displacing, self.bodies, strict=True)
        )

    def with_boxes(self, bodies: Sequence[Body]) -> "Buoyancy":
        """The same solids and skins, their join kept, with the boxes of other bodies.

        Raises ValueError if the solids and skins of `bodies` are others.
        """
        solids = [body for body in bodies if _is_mesh(body)]
        mine = [body for body in self.bodies if _is_mesh(body)]
        if [body.displaces for body in solids] != [body.displaces for body in mine]:
            raise ValueError("the bodies displace other solids or skins than the join was made of")
        kept = self.parts[:1] if mine else ()
        return _gathered(bodies, kept)


def buoyancy(bodies: Sequence[Body]) -> Buoyancy:
    """Join what the bodies displace. Where two of them overlap, the overlap counts twice."""
    meshes = [body.displaces for body in bodies if _is_mesh(body)]
    solids = [mesh for mesh in meshes if mesh is not None and not isinstance(mesh, Box)]
    return _gathered(bodies, (join(solids),) if solids else ())


def _gathered(bodies: Sequence[Body], meshes: tuple[Joined, ...]) -> Buoyancy:
    boxes = [_box(body.displaces, body.at) for body in bodies if isinstance(body.displaces, Box)]
    parts = (*meshes, join(boxes)) if boxes else meshes
    if not parts:
        raise ValueError("none of the bodies displaces anything")
    return Buoyancy(
        tuple(body for body in bodies if body.displaces is not None),
        parts,
        math.fsum(part.volume for part in parts),
        np.min([part.vertices.min(axis=0) for part in parts], axis=0),
        np.max([part.vertices.max(axis=0) for part in parts], axis=0),
    )


def _is_mesh(body: Body) -> bool:
    return body.displaces is not None and not isinstance(body.displaces, Box)


def _same_place(here: Body, there: Body) -> bool:
    if isinstance(here.displaces, Box):
        return here.displaces == there.displaces and here.at == there.at
    return here.displaces is there.displaces


def _box(box: Box, at: Point) -> Solid:
    corner = np.array([[x, y, z] for x in (-0.5, 0.5) for y in (-0.5, 0.5) for z in (-0.5, 0.5)])
    quads = ((0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3))
    faces = [face for a, b, c, d in quads for face in ((a, b, c), (a, c, d))]
    return Solid(corner * np.array(box.size) + np.array(at), np.array(faces))
