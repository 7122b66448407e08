"""Parts as the search for cavities needs them, or a refusal that names the part.

Solids go in as they are, skins as thin closed bodies. What can be seen from the parts alone is
checked here: a part in another unit than the rest, a part given twice.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.solid import Skin, Solid
from flotation.geometry.voids.facing import Triangles
from flotation.geometry.voids.sealing import Body
from flotation.geometry.voids.thickening import closed_sheet

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

# A boat has no part so many times as large as its next largest, nor so much smaller than its
# largest. Common practice, no source; millimetres read as metres are a thousand times too large.
_TOO_LARGE = 15.0
_TOO_SMALL = 1.0 / 400.0
_SHOWN = 5


@dataclass(frozen=True, eq=False)
class Gathered:
    """All parts.

    bodies      closed, about `origin`
    triangles   the same, in one list
    misfit      (parts,) m, by how much the faces of a thickened skin may stand off
    origin      (3,) m, taken off all coordinates
    cautions    what a reader should know
    """

    bodies: tuple[Body, ...]
    triangles: Triangles
    misfit: Floats
    origin: Floats
    cautions: tuple[str, ...]


def gather(parts: Sequence[Solid | Skin], names: Sequence[str], touch: float) -> Gathered:
    """All parts about their common middle.

    Raises MeshError for sizes that cannot belong to one boat and for a skin that cannot be
    thickened. A part given twice is allowed and mentioned: it counts once.
    """
    _check_sizes(parts, names)
    bounds = np.stack([_bounds(part) for part in parts])
    middle = (bounds[:, 0].min(axis=0) + bounds[:, 1].max(axis=0)) / 2.0
    origin = middle.astype(np.float32).astype(np.float64)
    bodies, misfit = [], []
    for part, name in zip(parts, names, strict=True):
        vertices, faces, off = _closed(part, name)
        bodies.append(Body(vertices - origin, faces, name))
        misfit.append(off)
    triangles = _triangles(bodies)
    return Gathered(tuple(bodies), triangles, np.array(misfit), origin, _twice(bodies, touch))


def _closed(part: Solid | Skin, name: str) -> tuple[Floats, Integers, float]:
    if isinstance(part, Solid):
        return part.vertices, part.faces, 0.0
    return closed_sheet(part.vertices, part.faces, part.thickness, name)


def _bounds(part: Solid | Skin) -> Floats:
    used = part.vertices[part.faces.ravel()]
    return np.stack([used.min(axis=0), used.max(axis=0)])


def _check_sizes(parts: Sequence[Solid | Skin], names: Sequence[str]) -> None:
    """Raise MeshError naming parts whose size cannot belong with the others'."""
    if len(parts) < 2:
        return
    size = np.array([float(np.linalg.norm(np.ptp(_bounds(part), axis=0))) for part in parts])
    faults = []
    fitting = size <= _TOO_LARGE * np.sort(size)[-2]
    for number, name in enumerate(names):
        others = float(np.delete(size, number)[np.delete(fitting, number)].max(initial=0.0))
        too_small = fitting[number] and size[number] < _TOO_SMALL * others
        if too_small or not fitting[number]:
            problem = (
                f"the part measures {size[number]:.4g} m across, the largest of the others "
                f"{others:.4g} m: it seems to be in another unit"
            )
            faults.append(Fault(name, problem, "Give the unit of its file, or leave it out."))
    if faults:
        raise MeshError(faults[:_SHOWN])


def _twice(bodies: Sequence[Body], touch: float) -> tuple[str, ...]:
    """A line for each part that is the same as one before it."""
    found = []
    for number, body in enumerate(bodies):
        for earlier in bodies[:number]:
            if _same(body, earlier, touch):
                found.append(f"{body.name} is the same as {earlier.name}; it counts once")
                break
    return tuple(found)


def _same(body: Body, other: Body, touch: float) -> bool:
    if body.vertices.shape != other.vertices.shape or body.faces.shape != other.faces.shape:
        return False
    ordered = (a.vertices[np.lexsort(np.round(a.vertices / touch).T)] for a in (body, other))
    first, second = ordered
    return bool(np.allclose(first, second, rtol=0.0, atol=2.0 * touch))


def _triangles(bodies: Sequence[Body]) -> Triangles:
    corners, part, beyond = [], [], []
    before = 0
    for number, body in enumerate(bodies):
        corners.append(body.vertices[body.faces])
        part.append(np.full(len(body.faces), number))
        beyond.append(neighbours(body.faces) + before)
        before += len(body.faces)
    joined = np.concatenate(corners)
    normal = np.cross(joined[:, 1] - joined[:, 0], joined[:, 2] - joined[:, 0])
    length = np.linalg.norm(normal, axis=1)
    normal /= np.where(length > 0.0, length, 1.0)[:, None]
    return Triangles(joined, normal, np.concatenate(part), np.concatenate(beyond))


def neighbours(faces: Integers) -> Integers:
    """The triangle beyond each edge of a closed surface, (m, 3); edge k starts at corner k."""
    count = int(faces.max()) + 1
    end = np.roll(faces, -1, axis=1)
    ahead = (faces * count + end).ravel()
    back = (end * count + faces).ravel()
    order = np.argsort(ahead, kind="stable")
    place = np.minimum(np.searchsorted(ahead[order], back), len(order) - 1)
    return np.asarray(order[place] // 3, dtype=np.intp).reshape(-1, 3)
