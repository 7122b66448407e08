"""A sheet as a closed thin body: its two faces and its rim.

Works on arrays. Each vertex moves to where the offset planes of the triangles round it meet, so
that a folded sheet of flat panels keeps its thickness up to the fold. Where more than three
planes meet the point that fits them best is taken, and the misfit is handed back.
"""

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]


def closed_sheet(
    vertices: Floats, faces: Integers, thickness: float, name: str
) -> tuple[Floats, Integers, float]:
    """The closed body of a sheet, half its thickness on either side of the triangles.

    vertices (n, 3) m, faces (m, 3), thickness m
    Returns vertices, faces, and by how much, m, a face may stand off its due distance.
    Raises MeshError where three triangles share an edge or two neighbours' normals disagree.

    It does not look for a sheet that is folded tighter than its own thickness.
    """
    rim = _rim(faces, name)
    corners = vertices[faces]
    area_normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(area_normal, axis=1)
    normal = area_normal / np.where(length > 0.0, length, 1.0)[:, None]
    move = _moves(faces, normal, length, len(vertices)) * (thickness / 2.0)
    reached = np.einsum("fkx,fx->fk", move[faces], normal)[length > 0.0]
    misfit = float(np.abs(reached - thickness / 2.0).max())
    count = len(vertices)
    sides = np.concatenate(
        [
            np.stack([rim[:, 1], rim[:, 0], rim[:, 0] + count], axis=1),
            np.stack([rim[:, 1], rim[:, 0] + count, rim[:, 1] + count], axis=1),
        ]
    )
    shell = np.concatenate([faces, faces[:, ::-1] + count, sides])
    return np.concatenate([vertices + move, vertices - move]), shell, misfit


def _rim(faces: Integers, name: str) -> Integers:
    """Directed edges, (k, 2), that have no second triangle."""
    count = int(faces.max()) + 1
    start, end = faces.ravel(), np.roll(faces, -1, axis=1).ravel()
    ahead, back = start * count + end, end * count + start
    _, place, times = np.unique(ahead, return_inverse=True, return_counts=True)
    doubled = np.flatnonzero(times[place] > 1) // 3
    if doubled.size:
        listed = ", ".join(str(int(t)) for t in np.unique(doubled)[:5])
        raise MeshError(
            Fault(
                name,
                f"triangles {listed} of the skin share an edge with another in the same direction",
                "Make the normals of the skin agree and split it where three sheets meet.",
            )
        )
    free = ~np.isin(back, ahead)
    return np.stack([start[free], end[free]], axis=1)


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
