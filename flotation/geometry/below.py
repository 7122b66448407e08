"""What lies below a plane: volume, centroid and waterplane, without building the cap.

Every triangle spans a signed tetrahedron with an apex p in the cutting plane. The tetrahedra over
the cap are flat, so the surface below the plane alone gives the volume:

    D = (a - p) . N,  N = (b - a) x (c - a)
    volume = sum D / 6,  first moment = sum D (a + b + c + p) / 24

Groups of triangles wholly below enter by their stored sums (grouping). A triangle that the plane
crosses has one corner alone on its side. The tip at that corner is the triangle scaled by the
shares s, t of its two edges up to the plane, so it has D s t; the part below is the tip, or the
triangle less the tip. The waterplane comes from the segments across those triangles by Green's
theorem. A point on the plane counts as below: at a level face the waterplane is the one just
above it.
"""

from dataclasses import dataclass
from math import copysign

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.grouping import GROUP, GroupedTriangles

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Bytes = NDArray[np.uint8]

Section = tuple[float, Floats, Floats]
"""Area, first and second moments of a waterplane."""

_BITS = GROUP.bit_length() - 1
_NONE = np.empty(0, dtype=np.intp)

# By which corners lie above (a 1, b 2, c 4): the corner alone on its side (3: none), the sign of
# its tip, and whether the triangle counts before the tip is added.
_LONE = np.array([3, 0, 1, 2, 2, 1, 0, 3], dtype=np.uint8)
_SIGN = np.array([0.0, -1.0, -1.0, 1.0, -1.0, 1.0, 1.0, 0.0])
_WHOLE = np.array([1.0, 1.0, 1.0, 0.0, 1.0, 0.0, 0.0, 0.0])


@dataclass(frozen=True, eq=False)
class Waterplane:
    """The section of a body by the plane.

    area            m2; rounding may leave some 1e-17 of the body's, either way, where it vanishes
    centroid        (3,) m; NaN where the area is not above zero
    second_moments  (3, 3) m4 about the centroid, the integral of (x - c)(x - c)^T over the
                    section in the axes of the body; along an in-plane unit direction e the
                    moment is e . second_moments e
    """

    area: float
    centroid: Floats
    second_moments: Floats


@dataclass(frozen=True, eq=False)
class Below:
    """The part of a body at and below a plane.

    volume    m3; rounding may leave some 1e-17 of the body's, either way, where it vanishes
    centroid  (3,) m; NaN where the volume is not above zero
    """

    volume: float
    centroid: Floats
    waterplane: Waterplane


@dataclass(frozen=True, eq=False)
class Sums:
    """Integrals over the part below a plane, all about the local origin.

    volume               m3
    moment               (3,) m4, of the volume
    area                 m2, of the waterplane
    area_moment          (3,) m3
    area_second_moments  (3, 3) m4, the integral of x x^T over the waterplane
    """

    volume: float
    moment: Floats
    area: float
    area_moment: Floats
    area_second_moments: Floats


def sums_below(grouped: GroupedTriangles, normal: Floats, offset: float) -> Sums:
    """Integrals below normal . x = offset over closed, outward triangles.

    grouped  the triangles about the local origin
    normal   (3,) unit
    offset   m about the local origin
    Relative error: some 1e-15 of the body's volume, and of volume times size for the moments.
    """
    reach = 1.0625 * grouped.reach
    offset = min(max(float(offset), -reach), reach)
    apex = normal * offset
    sums, below, near = _sort_out(grouped, normal, offset)
    volume = sums[0] - apex @ sums[1:4]
    moment = sums[4:7] - sums[7:].reshape(3, 3) @ apex
    seen_from_apex = np.array((1.0, *(-apex).tolist()))
    terms = grouped.terms.take(below, axis=0)
    tetra = terms[:, :4] @ seen_from_apex
    volume += tetra.sum()
    moment += tetra @ terms[:, 4:]
    waterplane: Section = (0.0, np.zeros(3), np.zeros((3, 3)))
    if near.size:
        corners = grouped.corners.take(near, axis=0).T.copy()
        tetra = grouped.terms.take(near, axis=0)[:, :4] @ seen_from_apex
        more_volume, more_moment, waterplane = _parts_below(corners, tetra, normal, offset)
        volume += more_volume
        moment += more_moment
    moment = (moment + apex * volume) / 24.0
    for array in (moment, *waterplane[1:]):
        array.flags.writeable = False
    return Sums(float(volume) / 6.0, moment, *waterplane)


def _sort_out(
    grouped: GroupedTriangles, normal: Floats, offset: float
) -> tuple[Floats, Integers, Integers]:
    """Sums over the largest groups wholly below, other triangles below, triangles near.

    Near is a box whose middle is no farther from the plane than the box reaches towards it.
    """
    direction = normal.astype(np.float32)
    spread = np.abs(direction)
    total = np.zeros(16)
    near = below = _NONE
    for size, all_boxes in enumerate(grouped.boxes):
        boxes = all_boxes
        if size:
            boxes = all_boxes.reshape(-1, GROUP * 6).take(near, axis=0).reshape(-1, 6)
        height = boxes[:, :3] @ direction
        height -= offset
        is_near = np.abs(height) <= boxes[:, 3:] @ spread
        is_below = (height < 0.0) > is_near
        below, near = (
            _members(near, is_below.nonzero()[0], size),
            _members(near, is_near.nonzero()[0], size),
        )
        if size < len(grouped.sums):
            total += grouped.sums[size].take(below, axis=0).sum(axis=0)
    return total, below, near


def _members(groups: Integers, places: Integers, size: int) -> Integers:
    """The members at these places where the members of these groups stand in one row."""
    return (groups.take(places >> _BITS) << _BITS) | (places & (GROUP - 1)) if size else places


def _parts_below(
    corners: Floats, tetra: Floats, normal: Floats, offset: float
) -> tuple[float, Floats, Section]:
    """Triangles near the plane: sums of D and of D S of their parts below, and the waterplane.

    corners  (9, k) ax bx cx ay by cy az bz cz
    tetra    (k,) D
    """
    across = _plane_axes(normal)
    placed = _over_the_plane(corners, normal, offset, across)
    above = (placed[:3] > 0.0).view(np.uint8)
    code = above[0] + 2 * above[1] + 4 * above[2]
    whole = tetra * _WHOLE.take(code)
    crossed, turned = _lone_corner_first(placed, _LONE.take(code))
    sign = _SIGN.take(code.take(crossed))
    lone, others = turned[:, 0], turned[:, 1:]
    shares = lone[0] / (lone[0] - others[0])
    ends = np.ones((5, crossed.size))
    ends[:4].reshape(2, 2, -1)[:] = lone[1:, None] + shares * (others[1:] - lone[1:, None])
    tip = sign * shares[0] * shares[1] * tetra.take(crossed)
    h, u, v = lone @ tip
    start_u, end_u, start_v, end_v, total = ends @ tip
    moment = (corners @ whole).reshape(3, 3).sum(axis=1)
    moment += (h + 3.0 * total * offset) * normal
    moment += (u + start_u + end_u) * across[0] + (v + start_v + end_v) * across[1]
    return whole.sum() + total, moment, _waterplane(ends, -sign, across, normal * offset)


def _over_the_plane(corners: Floats, normal: Floats, offset: float, across: Floats) -> Floats:
    """(9, k) heights of a, b, c over the plane, then their places along the axes `across`.

    A corner that two triangles share gets the same height to the last bit in both, because the
    same operations are done element by element; a matrix product does not promise that, and the
    waterplane would not close where two heights of one corner differ in sign.
    """
    placed = np.empty((9, corners.shape[1]))
    height = np.multiply(corners[:3], normal[0], out=placed[:3])
    height += corners[3:6] * normal[1]
    height += corners[6:] * normal[2]
    height -= offset
    np.matmul(across, corners.reshape(3, -1), out=placed[3:].reshape(2, -1))
    return placed


def _lone_corner_first(placed: Floats, alone: Bytes) -> tuple[Integers, Floats]:
    """Triangles with a corner alone on its side, and their corners in turn from that one.

    placed  (9, k) three coordinates of the three corners
    alone   (k,) number of the corner, 3 for none
    Returns rows of the triangles that are crossed, sorted by `alone`, and (3, 3, crossed):
    coordinate, corner, triangle.
    """
    order = alone.argsort(kind="stable")
    starts = alone.take(order).searchsorted((0, 1, 2, 3)).tolist()
    crossed = order[: starts[3]]
    kept = placed.take(crossed, axis=1).reshape(3, 3, -1)
    turned = np.empty_like(kept)
    for first in range(3):
        part = slice(starts[first], starts[first + 1])
        for corner in range(3):
            turned[:, corner, part] = kept[:, (first + corner) % 3, part]
    return crossed, turned


def _waterplane(ends: Floats, sign: Floats, across: Floats, apex: Floats) -> Section:
    """Area, first and second moments about the local origin, by Green's theorem.

    ends  (5, k) start u, end u, start v, end v of the segments in the axes `across` from the
          apex, m, and 1
    sign  (k,) 1 where the waterplane lies to the left going from start to end, else -1

    With t the doubled area of the triangle from the apex to a segment:
    area = sum t / 2, first = sum t (s + e) / 6, second = sum t (2 s s + 2 e e + s e + e s) / 24.
    """
    doubled = sign * (ends[0] * ends[3] - ends[1] * ends[2])
    s_u, e_u, s_v, e_v, one = ((ends * doubled) @ ends.T).tolist()
    uu = (s_u[0] + s_u[1] + e_u[1]) / 12.0
    vv = (s_v[2] + s_v[3] + e_v[3]) / 12.0
    uv = (2.0 * (s_u[2] + e_u[3]) + s_u[3] + e_u[2]) / 24.0
    area = one[4] / 2.0
    first = np.array((one[0] + one[1], one[2] + one[3])) @ across / 6.0
    second = across.T @ np.array(((uu, uv), (uv, vv))) @ across
    moved = np.outer(apex, first + 0.5 * area * apex)
    return area, first + area * apex, second + moved + moved.T


def _plane_axes(normal: Floats) -> Floats:
    """(2, 3) unit directions across the normal, right-handed with it.

    Duff et al., "Building an orthonormal basis, revisited", JCGT 6 (2017) [recalled].
    """
    x, y, z = normal.tolist()
    sign = copysign(1.0, z)
    a = -1.0 / (sign + z)
    b = x * y * a
    return np.array(((1.0 + sign * x * x * a, sign * b, -sign * x), (b, sign + y * y * a, -y)))
