"""Where lines run a short way only from one wall to another that looks back at it.

Works on crossings of lines with surfaces. Along a line a wall that is left is followed by the
next one that is entered: between the two lies free space, and where the two walls face each other
and stand close, it is narrow. A plate is entered first and left then: that is no space.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.cells import Crossings

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

# Walls that stand square to each other make a corner, which is no narrow place.
_FACING = -0.1


def slits(lots: Sequence[Crossings], normals: Floats, least: float, most: float) -> Integers:
    """Cells, (n, 3), on lines between facing walls that are longer than `least`, up to `most`.

    normals      (triangles, 3) outward
    least, most  in cells
    """
    found = [np.zeros((0, 3), dtype=np.intp)]
    for axis in range(3):
        here = [lot for lot in lots if lot.axis == axis]
        if here:
            triangle = np.concatenate([lot.triangle for lot in here])
            place = np.concatenate([lot.place for lot in here])
            found.append(_between(axis, place, normals[triangle], (least, most)))
    return np.concatenate(found)


def _between(axis: int, place: Floats, normal: Floats, limits: tuple[float, float]) -> Integers:
    """Those along one axis, from crossings and the normals there."""
    u, v = (k for k in range(3) if k != axis)
    line = (place[:, u].astype(np.int64) << 32) | place[:, v].astype(np.int64)
    order = np.lexsort((place[:, axis], line))
    line, height, normal = line[order], place[order, axis], normal[order]
    length = np.diff(height)
    short = (line[1:] == line[:-1]) & (length > limits[0]) & (length <= limits[1])
    short &= (normal[:-1, axis] > 0.0) & (normal[1:, axis] < 0.0)
    at = np.flatnonzero(short)
    at = at[np.einsum("nx,nx->n", normal[at], normal[at + 1]) < _FACING]
    first = np.floor(height[at]).astype(np.intp)
    count = np.ceil(height[at + 1]).astype(np.intp) - first + 1
    which = np.repeat(at, count)
    cells: Integers = place[order[which]].astype(np.intp)
    cells[:, axis] = np.repeat(first - np.cumsum(count) + count, count) + np.arange(len(which))
    return cells
