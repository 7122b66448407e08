"""Points beside a solid: inside or not, how far from its surface, and where it is nearest."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from flotation.geometry.bodies import winding_number
from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]

_AT_ONCE = 1_000_000


def contains(solid: Solid, points: ArrayLike) -> NDArray[np.bool_]:
    """Which points (n, 3) m lie inside the solid, (n,)?

    On the surface itself the answer falls either way: ask `distance_to_surface` first.
    """
    return winding_number(solid.vertices, solid.faces, _points(points)) > 0.5


def distance_to_surface(solid: Solid, points: ArrayLike) -> Floats:
    """How far is each point (n, 3) m from the surface, (n,) m; never negative."""
    asked = _points(points)
    distance: Floats = np.linalg.norm(nearest_on_surface(solid, asked) - asked, axis=1)
    return distance


def nearest_on_surface(solid: Solid, points: ArrayLike) -> Floats:
    """Which point of the surface is nearest to each point (n, 3) m, (n, 3) m?

    Each triangle is asked, so the work is points x triangles. On a triangle the nearest point
    is the foot of the perpendicular, if that falls inside, or else the nearest on its sides.
    """
    asked = _points(points)
    return _nearest(solid, asked)[0]


def nearest_triangle(solid: Solid, points: ArrayLike) -> NDArray[np.intp]:
    """Which triangle of the surface is nearest to each point (n, 3) m, (n,) rows of `faces`?

    Of several at one distance the first. The work is points x triangles.
    """
    return _nearest(solid, _points(points))[1]


def _nearest(solid: Solid, asked: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """(n, 3) nearest points of the surface, and (n,) the triangles that they are on."""
    a, b, c = (solid.vertices[solid.faces[:, i]] for i in range(3))
    nearest = np.empty_like(asked)
    triangle = np.empty(len(asked), dtype=np.intp)
    step = max(1, _AT_ONCE // len(a))
    for start in range(0, len(asked), step):
        part = asked[start : start + step, None]
        found = _on_triangles(part, a, b, c)
        best = np.linalg.norm(found - part, axis=2).argmin(axis=1)
        nearest[start : start + step] = found[np.arange(len(best)), best]
        triangle[start : start + step] = best
    return nearest, triangle


def _on_triangles(p: Floats, a: Floats, b: Floats, c: Floats) -> Floats:
    """(n, m, 3) nearest points of m triangles to n points p (n, 1, 3)."""
    sides = [_on_side(p, start, end) for start, end in ((a, b), (b, c), (c, a))]
    apart = np.stack([np.linalg.norm(point - p, axis=2) for point in sides])
    found = np.take_along_axis(np.stack(sides), apart.argmin(axis=0)[None, :, :, None], axis=0)[0]
    normal = np.cross(b - a, c - a)
    size = np.einsum("ij,ij->i", normal, normal)
    safe = np.where(size > 0.0, size, 1.0)
    height = np.einsum("nmj,mj->nm", p - a, normal) / safe
    foot = p - height[:, :, None] * normal
    inside = size > 0.0
    for start, end in ((a, b), (b, c), (c, a)):
        left = np.einsum("nmj,mj->nm", foot - start, np.cross(normal, end - start))
        inside = inside & (left >= 0.0)
    nearest: Floats = np.where(inside[:, :, None], foot, found)
    return nearest


def _on_side(p: Floats, start: Floats, end: Floats) -> Floats:
    along = end - start
    length = np.einsum("ij,ij->i", along, along)
    share = np.einsum("nmj,mj->nm", p - start, along) / np.where(length > 0.0, length, 1.0)
    point: Floats = start + np.clip(share, 0.0, 1.0)[:, :, None] * along
    return point


def _points(points: ArrayLike) -> Floats:
    asked = np.asarray(points, dtype=np.float64)
    if asked.ndim != 2 or asked.shape[1] != 3:
        raise ValueError(f"points have three columns, got shape {asked.shape}")
    return asked
