"""Whether a point lies inside a closed surface. Works on arrays."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]


def contains(vertices: Floats, faces: Integers, point: Floats) -> bool:
    """Whether a closed surface, wound either way, goes round a point that is not on it.

    The solid angles of the triangles as seen from the point add up to plus or minus 4 pi inside
    and to nothing outside (van Oosterom and Strackee 1983, recalled).
    """
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    if (point < low).any() or (point > high).any():
        return False
    return abs(turns(vertices, faces, point)) > 0.5


def turns(vertices: Floats, faces: Integers, point: Floats) -> float:
    """How many times the surface goes round the point, counted outward."""
    a, b, c = (vertices[faces[:, i]] - point for i in range(3))
    la, lb, lc = (np.linalg.norm(x, axis=1) for x in (a, b, c))
    above = np.einsum("ij,ij->i", a, np.cross(b, c))
    below = (
        la * lb * lc
        + np.einsum("ij,ij->i", a, b) * lc
        + np.einsum("ij,ij->i", b, c) * la
        + np.einsum("ij,ij->i", c, a) * lb
    )
    return float(np.arctan2(above, below).sum() / (2.0 * np.pi))
