"""A sheet as a closed thin body: its two faces and its rim.

Works on arrays. Each vertex moves to where the offset planes of the triangles round it meet, so
that a folded sheet of flat panels keeps its thickness up to the fold. Where more than three
planes meet the point that fits them best is taken, and the misfit is handed back.
"""

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.bodies import label_bodies
from flotation.geometry.overlap import find_overlap

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]

# A fold is mitred up to four half thicknesses, which a turn of 151 degrees needs; beyond it the
# point of the mitre would be no laminate that anybody lays. Common practice, no source.
_LONGEST_MITRE = 4.0
_LEAST_REACH = 0.25
_SLIVER = 1e-5  # m; a triangle less high than this tells nothing of the sheet
_SHOWN = 5


def closed_sheet(
    vertices: Floats, faces: Integers, thickness: float, name: str
) -> tuple[Floats, Integers, float]:
    """The closed body of a sheet, half its thickness on either side of the triangles.

    vertices (n, 3) m, faces (m, 3), thickness m
    Returns vertices, faces, and by how much, m, a face may stand off its due distance.
    Raises MeshError where three triangles share an edge or two neighbours' normals disagree, and
    where the sheet is bent or folded tighter than its own thickness: its two faces would run
    through each other, and what is there twice would count twice. Sheets of one part that hang
    together nowhere may cross.
    """
    rim, owner = _rim(faces, name)
    corners = vertices[faces]
    area_normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(area_normal, axis=1)
    normal = area_normal / np.where(length > 0.0, length, 1.0)[:, None]
    due = _moves(faces, normal, length, len(vertices))
    reached = np.einsum("fkx,fx->fk", due[faces], normal)
    broad = length > _SLIVER * np.linalg.norm(corners - np.roll(corners, 1, 1), axis=2).max(axis=1)
    sharp = (reached.min(axis=1) < _LEAST_REACH) | (
        np.linalg.norm(due, axis=1)[faces].max(axis=1) > _LONGEST_MITRE
    )
    _refuse(sharp & broad, corners, (thickness, name), "is folded back sharper than a mitre goes")
    misfit = float(np.abs(reached - 1.0)[length > 0.0].max()) * thickness / 2.0
    count = len(vertices)
    sides = np.concatenate(
        [
            np.stack([rim[:, 1], rim[:, 0], rim[:, 0] + count], axis=1),
            np.stack([rim[:, 1], rim[:, 0] + count, rim[:, 1] + count], axis=1),
        ]
    )
    shell = np.concatenate([faces, faces[:, ::-1] + count, sides])
    move = due * (thickness / 2.0)
    both = np.concatenate([vertices + move, vertices - move])
    of_sheet = np.concatenate([np.arange(len(faces)), np.arange(len(faces)), owner, owner])
    tight = _turned_over(both, corners, faces, normal) & broad
    tight[_crossing(both, shell, faces, of_sheet)] = True
    _refuse(tight, corners, (thickness, name), "is bent or folded tighter than its thickness")
    return both, shell, misfit


def _turned_over(both: Floats, corners: Floats, faces: Integers, normal: Floats) -> Mask:
    """Which triangles look the other way on one of the two faces of the body.

    Bent tighter one way only, a triangle shows its back; bent tighter both ways it comes out the
    right way round beyond the middle, and its sides run backwards.
    """
    result = np.zeros(len(faces), dtype=bool)
    sides = np.roll(corners, -1, axis=1) - corners
    long = np.linalg.norm(sides, axis=2) > _SLIVER
    for first in (0, len(both) // 2):
        there = both[faces + first]
        moved = np.roll(there, -1, axis=1) - there
        result |= ((np.einsum("fkx,fkx->fk", moved, sides) < 0.0) & long).any(axis=1)
        result |= np.einsum("fx,fx->f", np.cross(moved[:, 0], moved[:, 1]), normal) < 0.0
    return result


def _crossing(both: Floats, shell: Integers, faces: Integers, of_sheet: Integers) -> Integers:
    """Triangles of the sheet whose faces in the body go through another one of the same sheet."""
    pairs = of_sheet[find_overlap(both, shell)]
    body = label_bodies(faces)[pairs]
    return np.unique(pairs[body[:, 0] == body[:, 1]])


def _refuse(found: Mask, corners: Floats, of: tuple[float, str], what: str) -> None:
    """Raise MeshError naming triangles and the place of the first, where there are any."""
    rows = np.flatnonzero(found)
    if not rows.size:
        return
    thickness, name = of
    x, y, z = corners[rows[0]].mean(axis=0)
    more = ", ..." if rows.size > _SHOWN else ""
    listed = ", ".join(str(row + 1) for row in rows[:_SHOWN].tolist()) + more
    problem = (
        f"with a thickness of {1000.0 * thickness:.4g} mm the skin {what}, at {rows.size} of its "
        f"triangles ({listed}), the first near {x:.3f} m, {y:.3f} m, {z:.3f} m"
    )
    remedy = "Look at the thickness and its unit, or draw the part as a solid with its real faces."
    raise MeshError(Fault(name, problem, remedy))


def _rim(faces: Integers, name: str) -> tuple[Integers, Integers]:
    """Directed edges, (k, 2), that have no second triangle, and the triangle of each."""
    count = int(faces.max()) + 1
    start, end = faces.ravel(), np.roll(faces, -1, axis=1).ravel()
    ahead, back = start * count + end, end * count + start
    _, place, times = np.unique(ahead, return_inverse=True, return_counts=True)
    doubled = np.flatnonzero(times[place] > 1) // 3
    if doubled.size:
        listed = ", ".join(str(int(t) + 1) for t in np.unique(doubled)[:_SHOWN])
        raise MeshError(
            Fault(
                name,
                f"triangles {listed} of the skin share an edge with another in the same direction",
                "Make the normals of the skin agree and split it where three sheets meet.",
            )
        )
    free = ~np.isin(back, ahead)
    return np.stack([start[free], end[free]], axis=1), np.flatnonzero(free) // 3


def _moves(faces: Integers, normal: Floats, weight: Floats, count: int) -> Floats:
    """For each vertex the shortest d with normal . d = 1 for the triangles round it."""
    matrix = np.zeros((count, 3, 3))
    target = np.zeros((count, 3))
    share = weight / weight.max()
    products = share[:, None, None] * normal[:, :, None] * normal[:, None, :]
    for corner in range(3):
        np.add.at(matrix, faces[:, corner], products)
        np.add.at(target, faces[:, corner], share[:, None] * normal)
    # Directions in which the normals hardly vary are left alone: there any move would fit.
    inverse = np.linalg.pinv(matrix, rcond=1e-3, hermitian=True)
    result: Floats = np.einsum("vij,vj->vi", inverse, target)
    return result
