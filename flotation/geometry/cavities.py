"""Cavities: what is taken out of them, where two of them overlap, what pokes out of one.

Exact booleans by manifold3d, in double precision. A boolean that fails gives an empty solid
without a word, so its status, and whether volumes add up, is asked each time.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from flotation.errors import Fault, MeshError
from flotation.geometry.bodies import label_bodies, signed_volumes, winding_number
from flotation.geometry.nearness import distance_to_surface
from flotation.geometry.solid import Solid

if TYPE_CHECKING:
    from manifold3d import Manifold

_SIMPLER = "Export a cleaner mesh: without needles and without faces that nearly coincide."

NOTHING = 1e-9
"""Share of a volume that rounding may leave where two surfaces touch: no overlap."""


@dataclass(frozen=True)
class PartOutside:
    """What of a thing lies outside a solid.

    volume    m3
    reach     m, how far it stands off the solid's surface, at its furthest corner
    furthest  m, that corner
    """

    volume: float
    reach: float
    furthest: tuple[float, float, float]


def take_out(solid: Solid, things: Sequence[Solid]) -> Solid:
    """What is left of a cavity where no foam goes into the things inside it.

    things  each at least partly inside; they may overlap one another and poke out of the
            solid, which `part_outside` tells
    Returns a Solid, maybe of several pieces, with a hollow for a thing wholly inside. Raises
    MeshError, with every fault, for a thing wholly outside, and where nothing is left.

    Exact to rounding; checked by volume = what is left + what the things fill inside.
    """
    whole = to_manifold(solid)
    faults = []
    for thing in things:
        if volume_inside(thing, solid) <= NOTHING * thing.volume:
            problem = f"{thing.name or 'what is taken out'} lies wholly outside"
            faults.append(Fault(solid.name, problem, "Correct its place, or take it off the list."))
    if faults:
        raise MeshError(faults)
    if not things:
        return solid
    filled = checked(_joined([to_manifold(thing) for thing in things]) ^ whole, solid.name)
    left = checked(whole - filled, solid.name)
    if left.volume() <= NOTHING * solid.volume:
        raise MeshError(
            Fault(solid.name, "what is taken out leaves nothing of it", "Correct the sizes.")
        )
    if abs(left.volume() + filled.volume() - solid.volume) > NOTHING * solid.volume:
        raise MeshError(Fault(solid.name, "the volumes taken out do not add up", _SIMPLER))
    return to_solid(left, solid.name, crumb=NOTHING * solid.volume)


def volume_inside(thing: Solid, solid: Solid) -> float:
    """How much of a thing lies inside a solid, m3? Zero where they only touch."""
    return overlap_volume(thing, solid)


def overlap_volume(one: Solid, other: Solid) -> float:
    """What volume do two solids share, m3? Zero where they only touch."""
    if (one.bounds[0] > other.bounds[1]).any() or (other.bounds[0] > one.bounds[1]).any():
        return 0.0
    shared = checked(to_manifold(one) ^ to_manifold(other), one.name or other.name)
    return max(0.0, float(shared.volume()))


def part_outside(thing: Solid, solid: Solid) -> PartOutside | None:
    """How much of a thing pokes out of a solid, and how far? None where nothing does.

    A tube cut square against a sloping wall pokes out by a sliver: compare `reach` with what the
    job allows. The reach is measured at corners; between them it can be more only where the
    solid's surface is hollowed.
    """
    outside = checked(to_manifold(thing) - to_manifold(solid), thing.name)
    if outside.volume() <= NOTHING * thing.volume:
        return None
    corners = to_solid(outside, thing.name, crumb=NOTHING * thing.volume).vertices
    distance = distance_to_surface(solid, corners)
    x, y, z = (float(value) for value in corners[distance.argmax()])
    return PartOutside(float(outside.volume()), float(distance.max()), (x, y, z))


def pieces(solid: Solid) -> tuple[Solid, ...]:
    """The separate pieces of a solid, each with the hollows in it, the largest first.

    Foam poured into one piece does not reach another.
    """
    body = label_bodies(solid.faces)
    volume = signed_volumes(solid.vertices, solid.faces, body)
    outer = sorted(np.flatnonzero(volume > 0.0), key=lambda label: volume[label])
    home = {label: [label] for label in outer}
    for hollow in np.flatnonzero(volume < 0.0):
        corner = solid.vertices[solid.faces[body == hollow][:1, 0]]
        around = (
            label
            for label in outer
            if winding_number(solid.vertices, solid.faces[body == label], corner)[0] > 0.5
        )
        home[next(around)].append(hollow)
    parts = [
        Solid(solid.vertices, solid.faces[np.isin(body, labels)], solid.name)
        for labels in home.values()
    ]
    return tuple(sorted(parts, key=lambda part: -part.volume))


def to_manifold(solid: Solid) -> "Manifold":
    """The solid as the boolean library holds it. Raises MeshError where it takes it for none."""
    from manifold3d import Manifold, Mesh64  # noqa: PLC0415 - loaded only for booleans

    mesh = Mesh64(solid.vertices.copy(), solid.faces.astype(np.uint64))
    return checked(Manifold(mesh), solid.name)


def to_solid(body: "Manifold", name: str, *, crumb: float = 0.0) -> Solid:
    """A result of the boolean library as a Solid; its vertices are taken as they are.

    crumb  m3; pieces and hollows of no more are left off: rounding leaves such films where
           surfaces touch
    Vertices are not joined by position: the library sets two at one place where surfaces touch.
    """
    parts = body.decompose()
    if any(abs(part.volume()) <= crumb for part in parts):
        body = body.compose([part for part in parts if abs(part.volume()) > crumb])
    mesh = body.to_mesh64()
    vertices = np.asarray(mesh.vert_properties)[:, :3]
    return Solid(vertices, np.asarray(mesh.tri_verts).astype(np.intp), name)


def checked(body: "Manifold", name: str) -> "Manifold":
    """The same body, or MeshError where the library flags it or its volume is no number."""
    from manifold3d import Error  # noqa: PLC0415 - loaded only for booleans

    if body.status() is not Error.NoError or not np.isfinite(body.volume()):
        problem = f"solids cannot be subtracted here ({body.status().name})"
        raise MeshError(Fault(name, problem, _SIMPLER))
    return body


def _joined(bodies: Sequence["Manifold"]) -> "Manifold":
    from manifold3d import Manifold, OpType  # noqa: PLC0415 - loaded only for booleans

    return Manifold.batch_boolean(list(bodies), OpType.Add)
