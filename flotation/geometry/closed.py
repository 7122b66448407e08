"""Whether triangles bound a solid: finite, closed, consistently wound, outward."""

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_SHOWN = 5


def check_surface(vertices: Floats, faces: Integers, name: str) -> None:
    """Raise MeshError unless the arrays are finite triangles of vertices that exist."""
    faults = []
    bad = np.flatnonzero(~np.isfinite(vertices).all(axis=1))
    if bad.size:
        faults.append(
            Fault(name, f"{_listed('vertex', 'vertices', bad)} not finite", "Export it again.")
        )
    bad = np.flatnonzero(((faces < 0) | (faces >= len(vertices))).any(axis=1))
    if bad.size:
        faults.append(
            Fault(
                name,
                f"{_listed('triangle', 'triangles', bad)} naming a vertex that is not there",
                "Export it again.",
            )
        )
    a, b, c = faces.T
    bad = np.flatnonzero((a == b) | (b == c) | (c == a))
    if bad.size:
        faults.append(
            Fault(
                name,
                f"{_listed('triangle', 'triangles', bad)} using one vertex twice",
                "Remove them or export again.",
            )
        )
    if not len(faces):
        faults.append(Fault(name, "the mesh has no triangles", "Export it again."))
    if faults:
        raise MeshError(faults)


def check_closed(vertices: Floats, faces: Integers, name: str) -> None:
    """Raise MeshError unless every edge has exactly one triangle on each side."""
    count = len(vertices)
    start = faces.astype(np.int64)
    end = np.roll(start, -1, axis=1)
    ahead = (start * count + end).ravel()
    back = (end * count + start).ravel()
    ordered = np.sort(ahead)
    faults = []
    doubled = (
        np.isin(ahead, ordered[1:][ordered[1:] == ordered[:-1]]) if _repeats(ordered) else None
    )
    if doubled is not None:
        triangles = np.unique(np.flatnonzero(doubled) // 3)
        faults.append(
            Fault(
                name,
                f"{_listed('triangle', 'triangles', triangles)} sharing an edge in the same "
                "direction with another (flipped, doubled, or bodies that share an edge)",
                "Make the normals agree, remove doubled faces, and export again.",
            )
        )
    elif not np.array_equal(ordered, np.sort(back)):
        triangles = np.unique(np.flatnonzero(~np.isin(back, ordered)) // 3)
        faults.append(
            Fault(
                name,
                f"{_listed('triangle', 'triangles', triangles)} with an edge that has no second "
                "triangle",
                "Close the surface in the drawing and export again.",
            )
        )
    if faults:
        raise MeshError(faults)


def _repeats(ordered: NDArray[np.int64]) -> bool:
    return bool((ordered[1:] == ordered[:-1]).any())


def _listed(one: str, many: str, rows: Integers) -> str:
    shown = ", ".join(str(row) for row in rows[:_SHOWN])
    more = ", ..." if rows.size > _SHOWN else ""
    return f"{rows.size} {one if rows.size == 1 else many} ({shown}{more})"
