"""A local origin near a body, and planes moved there without rounding.

A boat drawn five kilometres from the origin loses nothing: coordinates are measured from the
middle of the body, and the distance of a plane from there is worked out exactly and rounded once.
"""

from math import fsum

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def local_origin(vertices: Floats, faces: NDArray[np.intp]) -> Floats:
    """(3,) m, the middle of the triangles, rounded to 24 binary digits."""
    middle: Floats = extent_of(vertices, faces).mean(axis=0)
    short: Floats = middle.astype(np.float32).astype(np.float64)
    return short


def extent_of(vertices: Floats, faces: NDArray[np.intp]) -> Floats:
    """(2, 3) m, lowest and highest coordinates of the vertices that a triangle uses."""
    used = np.zeros(len(vertices), dtype=bool)
    used[faces.ravel()] = True
    places = (vertices if used.all() else vertices[used]).T.copy()
    return np.stack([places.min(axis=1), places.max(axis=1)])


def along(direction: Floats, origin: Floats) -> tuple[float, ...]:
    """Terms whose exact sum is direction . origin, for an origin of 24 binary digits.

    A direction cut at 24 binary digits leaves two parts of at most 29, so that every product
    fits the 53 of a float.
    """
    coarse = direction.astype(np.float32).astype(np.float64)
    return tuple((coarse * origin).tolist() + ((direction - coarse) * origin).tolist())


def offset_from(origin: Floats, normal: Floats, offset: float) -> float:
    """Offset of the plane normal . x = offset for positions from the origin, rounded once."""
    return fsum((float(offset), *(-term for term in along(normal, origin))))
