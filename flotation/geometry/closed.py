"""Whether triangles bound a solid: finite, closed, consistently wound, outward."""

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError
from flotation.geometry.bodies import label_bodies, nesting_depth, signed_volumes

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_SHOWN = 5


def check_surface(vertices: Floats, faces: Integers, name: str) -> None:
    """Raise MeshError unless the arrays are finite triangles of three vertices that exist."""
    a, b, c = faces.T
    complaints = (
        (~np.isfinite(vertices).all(axis=1), "vertex", "vertices", "not finite"),
        (
            ((faces < 0) | (faces >= len(vertices))).any(axis=1),
            "triangle",
            "triangles",
            "naming a vertex that is not there",
        ),
        ((a == b) | (b == c) | (c == a), "triangle", "triangles", "naming one vertex twice"),
    )
    faults = [
        Fault(name, f"{_listed(one, many, np.flatnonzero(bad))} {what}", "Make the mesh anew.")
        for bad, one, many, what in complaints
        if bad.any()
    ]
    if not len(faces):
        faults.append(Fault(name, "the mesh has no triangles", "Make the mesh anew."))
    if faults:
        raise MeshError(faults)


def check_closed(vertices: Floats, faces: Integers, name: str) -> None:
    """Raise MeshError unless every edge has one triangle on each side, wound alike."""
    ahead, back = _directed_edges(faces, len(vertices))
    ordered = np.sort(ahead)
    faults = []
    repeated = ordered[1:][ordered[1:] == ordered[:-1]]
    if repeated.size:
        rows = np.unique(np.isin(ahead, repeated).nonzero()[0] // 3)
        problem = (
            f"{_listed('triangle', 'triangles', rows)} running along an edge in the direction of "
            "another: wound against it, there twice, or of bodies that share an edge"
        )
        remedy = "Turn flipped triangles, remove doubled ones, and give every body its own edges."
        faults.append(Fault(name, problem, remedy))
    if not np.array_equal(ordered, np.sort(back)):
        rows = np.unique((~np.isin(back, ahead)).nonzero()[0] // 3)
        if rows.size:
            problem = f"{_listed('triangle', 'triangles', rows)} with an edge that none runs back"
            remedy = "Close the surface; vertices at one place must be one vertex."
            faults.append(Fault(name, problem, remedy))
    if faults:
        raise MeshError(faults)


def check_outward(vertices: Floats, faces: Integers, name: str) -> None:
    """Raise MeshError unless every body is wound outward, and every hollow in one inward.

    The surface must be closed. A body inside another is a hollow; in a hollow may lie a body.
    """
    body = label_bodies(faces)
    volume = signed_volumes(vertices, faces, body)
    inside = nesting_depth(vertices, faces, body) % 2 == 1
    faults = []
    for label in np.flatnonzero((volume > 0.0) == inside)[:_SHOWN]:
        first = int((body == label).argmax())
        what = "surface" if len(volume) == 1 else f"body of triangle {first}"
        if inside[label]:
            problem = f"the {what} lies inside another and would count twice"
            remedy = "Subtract it, or unite the two."
        elif volume[label] == 0.0:
            problem = f"the {what} encloses no volume"
            remedy = "Remove it, or give it thickness."
        else:
            problem = f"the {what} is inside out: its volume is {volume[label]:.6g} m3"
            remedy = "Reverse its triangles."
        faults.append(Fault(name, problem, remedy))
    if faults:
        raise MeshError(faults)


def _directed_edges(faces: Integers, count: int) -> tuple[Integers, Integers]:
    """One number for every edge as its triangle runs along it, and for the way back."""
    start = faces.ravel()
    end = faces[:, (1, 2, 0)].ravel()
    return start * count + end, end * count + start


def _listed(one: str, many: str, rows: Integers) -> str:
    """'3 triangles (17, 18, 40)'; rows as arrays count them, from 0."""
    shown = ", ".join(str(row) for row in rows[:_SHOWN])
    more = ", ..." if rows.size > _SHOWN else ""
    return f"{rows.size} {one if rows.size == 1 else many} ({shown}{more})"
