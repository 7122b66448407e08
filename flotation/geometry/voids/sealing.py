"""The regions of space that walls and putty close off, out of one boolean union.

The only door to the solid modeller for cavities. A union of closed bodies is again closed; where
it shuts off a region, that region comes back as a shell of its own that is wound inward, and a
body adrift inside a region as a shell wound outward. Every triangle remembers the part or the
plug that it came from.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.voids.plugs import FACES_OF_PLUG, PlugMesh, apart
from flotation.geometry.voids.winding import contains

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]


# What the modeller leaves of a boat's coordinates, m: far more than rounding in double precision.
ROUNDING = 1e-9


@dataclass(frozen=True, eq=False)
class Body:
    """A closed body of a part, as arrays: vertices (n, 3) m, faces (m, 3) outward."""

    vertices: Floats
    faces: Integers
    name: str


@dataclass(frozen=True, eq=False)
class Region:
    """Space that is closed off, or a shell of the union.

    vertices, faces  wound outward as seen from the region itself
    part             (m,) part that each triangle came from, -1 where putty
    plug             (m,) plug that each triangle came from, -1 where part, -2 where older putty
    volume           m3, what floats inside taken off
    adrift           parts, one tuple a body, of which nothing touches the region's wall
    """

    vertices: Floats
    faces: Integers
    part: Integers
    plug: Integers
    volume: float
    adrift: tuple[tuple[int, ...], ...] = ()

    @property
    def areas(self) -> Floats:
        """(m,) m2."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        result: Floats = 0.5 * np.linalg.norm(np.cross(b - a, c - a), axis=1)
        return result

    @property
    def centroid(self) -> Floats:
        """(3,) m, of the space inside."""
        middle = self.vertices.mean(axis=0)
        a, b, c = (self.vertices[self.faces[:, i]] - middle for i in range(3))
        six = np.einsum("ij,ij->i", a, np.cross(b, c))
        result: Floats = middle + (six @ (a + b + c)) / (4.0 * six.sum())
        return result


@dataclass(frozen=True, eq=False)
class Walls:
    """The union of all parts, with or without putty, and the modeller's mark of each part."""

    solid: Any
    mark: dict[int, int]


@dataclass(frozen=True, eq=False)
class Sealed:
    """Regions closed off, the outward shells that nothing encloses, and walls and putty as one."""

    regions: tuple[Region, ...]
    outer: tuple[Region, ...]
    walls: Walls


def unite(bodies: Sequence[Body]) -> Walls:
    """All parts as one solid; bodies of one part that overlap count once.

    Raises MeshError naming each part of which the modeller makes no solid.
    """
    from manifold3d import Manifold, OpType  # noqa: PLC0415 - only a search pays for it

    first = Manifold.reserve_ids(len(bodies))
    solids, faults = [], []
    for number, body in enumerate(bodies):
        solid = _solid(body.vertices, body.faces, np.arange(len(body.faces)), first + number)
        if solid.status().name != "NoError" or solid.volume() <= 0.0:
            problem = f"no solid can be made of the part ({solid.status().name})"
            faults.append(Fault(body.name, problem, "Repair the part in the drawing."))
        solids.extend(_bodies(solid))
    if faults:
        raise MeshError(faults)
    mark = {first + number: number for number in range(len(bodies))}
    return Walls(Manifold.batch_boolean(solids, OpType.Add), mark)


def seal(walls: Walls, plugs: Sequence[PlugMesh]) -> Sealed:
    """What the walls close off once the plugs are in."""
    from manifold3d import Manifold, OpType  # noqa: PLC0415 - only a search pays for it

    first = Manifold.reserve_ids(max(len(plugs), 1))
    putty = {first + number for number in range(len(plugs))}
    solids = [
        _solid(plug.vertices, plug.faces, plug.face, first + number)
        for number, plug in enumerate(plugs)
    ]
    union = Manifold.batch_boolean([walls.solid, *solids], OpType.Add) if solids else walls.solid
    if union.status().name != "NoError":
        raise MeshError(
            Fault("", f"the parts could not be joined ({union.status().name})", "Report the case.")
        )
    shells = [_shell(shell, walls.mark, putty) for shell in union.decompose()]
    hollows = [shell for shell in shells if shell.volume < -_least(shell)]
    bodies = [shell for shell in shells if shell.volume > _least(shell)]
    return Sealed(*_nest(hollows, bodies), Walls(union, walls.mark))


def lumps(walls: Walls, plugs: Sequence[PlugMesh]) -> list[tuple[Floats, Integers]]:
    """What of the plugs stands clear of the walls, in lumps that touch nowhere: surfaces."""
    from manifold3d import Manifold, OpType  # noqa: PLC0415 - only a search pays for it

    solids = [_solid(plug.vertices, plug.faces, plug.face, 0) for plug in plugs]
    clear = Manifold.batch_boolean(solids, OpType.Add) - walls.solid
    return [_surface(lump) for lump in clear.decompose()]


def surface(walls: Walls) -> tuple[Floats, Integers]:
    """Vertices (n, 3) m and faces of the walls, outward."""
    return _surface(walls.solid)


def _surface(solid: Any) -> tuple[Floats, Integers]:
    mesh = solid.to_mesh64()
    vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
    return vertices, np.asarray(mesh.tri_verts, dtype=np.intp)


def hull_plugs(points: Floats, first: int, lap: float) -> list[PlugMesh]:
    """A plug round each row of points, (n, k, 3), and `lap` beyond; numbered from `first` on."""
    from manifold3d import Manifold  # noqa: PLC0415 - only a search pays for it

    if not len(points):
        return []
    star = lap * np.concatenate([np.eye(3), -np.eye(3)])
    meshes = [
        Manifold.hull_points(np.ascontiguousarray((row[:, None] + star).reshape(-1, 3))).to_mesh64()
        for row in points
    ]
    vertices = [np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3] for mesh in meshes]
    faces = [np.asarray(mesh.tri_verts, dtype=np.intp) for mesh in meshes]
    lots = apart(points.min(axis=1) - lap, points.max(axis=1) + lap, lap)
    return [_hull_lot(lot, vertices, faces, first) for lot in lots]


def _hull_lot(lot: Integers, vertices: list[Floats], faces: list[Integers], first: int) -> PlugMesh:
    before = np.cumsum([0] + [len(vertices[n]) for n in lot])
    return PlugMesh(
        np.concatenate([vertices[n] for n in lot]),
        np.concatenate([faces[n] + start for n, start in zip(lot, before, strict=False)]),
        np.concatenate([(first + n) * FACES_OF_PLUG + np.arange(len(faces[n])) for n in lot]),
    )


def _least(shell: Region) -> float:
    """m3 below which a shell is a crumb that rounding left, nowhere a nanometre thick."""
    return ROUNDING * float(shell.areas.sum())


def _solid(vertices: Floats, faces: Integers, face: Integers, mark: int) -> Any:
    from manifold3d import Manifold, Mesh64  # noqa: PLC0415 - only a search pays for it

    return Manifold(
        Mesh64(
            np.ascontiguousarray(vertices, dtype=np.float64),
            np.ascontiguousarray(faces, dtype=np.uint64),
            run_index=np.array([0, 3 * len(faces)], dtype=np.uint64),
            run_original_id=np.array([mark], dtype=np.uint32),
            face_id=np.ascontiguousarray(face, dtype=np.uint64),
        )
    )


def _bodies(solid: Any) -> list[Any]:
    """Bodies that stand side by side in a part, unless one of them is a hollow in another."""
    shells = solid.decompose()
    if len(shells) > 1 and all(shell.volume() > 0.0 for shell in shells):
        return list(shells)
    return [solid]


def _shell(solid: Any, mark: dict[int, int], putty: set[int]) -> Region:
    mesh = solid.to_mesh64()
    faces = np.asarray(mesh.tri_verts, dtype=np.intp)
    part = np.full(len(faces), -1)
    plug = np.full(len(faces), -1)
    face = np.asarray(mesh.face_id, dtype=np.intp)
    starts = np.asarray(mesh.run_index, dtype=np.intp) // 3
    for run, original in enumerate(np.asarray(mesh.run_original_id).tolist()):
        rows = slice(starts[run], starts[run + 1])
        if original in putty:
            plug[rows] = face[rows] // FACES_OF_PLUG
        elif original in mark:
            part[rows] = mark[original]
        else:
            plug[rows] = -2
    vertices = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
    return Region(vertices, faces, part, plug, solid.volume())


def _nest(
    hollows: list[Region], bodies: list[Region]
) -> tuple[tuple[Region, ...], tuple[Region, ...]]:
    """Hang each outward shell into the smallest hollow round it."""
    inside: list[list[Region]] = [[] for _ in hollows]
    outer = []
    for body in bodies:
        point = body.vertices[body.faces[0]].mean(axis=0)
        around = [
            number
            for number, hollow in enumerate(hollows)
            if hollow.volume < -body.volume and contains(hollow.vertices, hollow.faces, point)
        ]
        if around:
            inside[max(around, key=lambda number: hollows[number].volume)].append(body)
        else:
            outer.append(body)
    regions = [_region(hollow, adrift) for hollow, adrift in zip(hollows, inside, strict=True)]
    return tuple(regions), tuple(outer)


def _region(hollow: Region, adrift: list[Region]) -> Region:
    """A hollow less what floats in it, wound outward."""
    shells = [hollow, *adrift]
    before = np.cumsum([0] + [len(shell.vertices) for shell in shells])
    faces = [shell.faces[:, ::-1] + start for shell, start in zip(shells, before, strict=False)]
    return Region(
        np.concatenate([shell.vertices for shell in shells]),
        np.concatenate(faces),
        np.concatenate([shell.part for shell in shells]),
        np.concatenate([shell.plug for shell in shells]),
        -sum(shell.volume for shell in shells),
        tuple(parts for parts in map(_parts_of, adrift) if parts),
    )


def _parts_of(shell: Region) -> tuple[int, ...]:
    """The parts of a body; none for a lump of putty."""
    return tuple(int(part) for part in np.unique(shell.part[shell.part >= 0]))
