"""What lies below a plane: volume, centroid and waterplane, without building the cap.

Every triangle spans a signed tetrahedron with an apex p in the cutting plane. The tetrahedra over
the cap are flat, so the surface below the plane alone gives the volume:

    D = (a - p) . N,  N = (b - a) x (c - a)        one triangle
    volume = sum D / 6,  first moment = sum D (a + b + c + p) / 24

A triangle that the plane crosses has one corner alone on its side. The tip at that corner is the
triangle scaled by t1 t2, the shares of its two edges up to the plane; the part below is the tip,
or the triangle less the tip. The waterplane comes from the segments P to Q across those
triangles by Green's theorem. A point on the plane counts as below: at a level face the
waterplane is the one just above it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Waterplane:
    """The section of a body by the plane.

    area            m2
    centroid        (3,) m; NaN where the area is zero
    second_moments  (3, 3) m4 about the centroid, the integral of (x - c)(x - c)^T over the
                    section in the axes of the body; across an in-plane unit direction e the
                    moment is e . second_moments e
    """

    area: float
    centroid: Floats
    second_moments: Floats


@dataclass(frozen=True, eq=False)
class Below:
    """The part of a body at and below a plane.

    volume    m3
    centroid  (3,) m; NaN where the volume is zero
    """

    volume: float
    centroid: Floats
    waterplane: Waterplane


@dataclass(frozen=True, eq=False)
class Sums:
    """Integrals over the part below a plane, all about the local origin.

    volume m3, moment (3,) m4; area m2 of the waterplane, its first moments (3,) m3 and second
    moments (3, 3) m4, in the axes of the body.
    """

    volume: float
    moment: Floats
    area: float
    area_moment: Floats
    area_second_moments: Floats


def sums_below(corners: Floats, normal: Floats, offset: float) -> Sums:
    """Integrals below normal . x = offset over closed, outward triangles.

    corners  (3 corners, 3 axes, m) m about the local origin
    normal   (3,) unit
    offset   m about the local origin
    """
    apex = normal * offset
    heights = corners[:, 0] * normal[0] + corners[:, 1] * normal[1] + corners[:, 2] * normal[2]
    heights = heights - offset
    a, b, c = (corners[i].T for i in range(3))
    doubled = np.cross(b - a, c - a)
    tetra = np.einsum("ij,ij->i", a - apex, doubled)
    above = heights > 0.0
    count = above.sum(axis=0)
    full = np.where(count <= 1, tetra, 0.0)
    volume = full.sum()
    moment = full @ (a + b + c)
    crossed = np.flatnonzero((count == 1) | (count == 2))
    part = _tips(corners, heights, tetra, crossed, count[crossed] == 1, apex)
    tip_volume, tip_moment, start, end, sign = part
    volume += tip_volume
    moment = moment + tip_moment + apex * volume
    doubled_areas = -sign * (np.cross(start, end) @ normal)
    middle = start + end
    area = 0.5 * doubled_areas.sum()
    first = doubled_areas @ middle / 6.0
    weighted = doubled_areas[:, None]
    second = (
        (weighted * start).T @ start + (weighted * end).T @ end + (weighted * middle).T @ middle
    ) / 24.0
    second = second + np.outer(first, apex) + np.outer(apex, first) + area * np.outer(apex, apex)
    return Sums(float(volume) / 6.0, moment / 24.0, float(area), first + area * apex, second)


def _tips(
    corners: Floats,
    heights: Floats,
    tetra: Floats,
    crossed: NDArray[np.intp],
    lone_above: NDArray[np.bool_],
    apex: Floats,
) -> tuple[float, Floats, Floats, Floats, Floats]:
    """The tips of crossed triangles and the segments of the waterline, about the apex."""
    h = heights[:, crossed]
    lone = np.where(lone_above, (h > 0.0).argmax(axis=0), (h > 0.0).argmin(axis=0))
    following, last = (lone + 1) % 3, (lone + 2) % 3
    columns = np.arange(crossed.size)
    tip, b, c = (corners[i, :, crossed] for i in (lone, following, last))
    own = h[lone, columns]
    to_b = own / (own - h[following, columns])
    to_c = own / (own - h[last, columns])
    start = tip + to_b[:, None] * (b - tip)
    end = tip + to_c[:, None] * (c - tip)
    sign = np.where(lone_above, -1.0, 1.0)
    part = sign * to_b * to_c * tetra[crossed]
    return float(part.sum()), part @ (tip + start + end), start - apex, end - apex, sign
