"""Which points lie on a surface, or as good as: for comparing parts that should touch."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_AT_ONCE = 2_000_000  # pairs of a point and a triangle


def touching_share(points: ArrayLike, triangles: ArrayLike, within: float) -> float:
    """What share of the points lies within a small distance of a surface?

    points     (n, 3) m, at least one
    triangles  (m, 3, 3) m, the corners of each; without area they count for nothing
    within     m
    Returns 0 to 1. A point counts where it lies over or under a triangle and no farther from its
    plane than `within`, or beyond its edge by no more than that: up to 1.5 times as far in all.
    """
    at = np.asarray(points, dtype=np.float64)
    corners = np.asarray(triangles, dtype=np.float64)
    at = at[np.argsort(at[:, 0], kind="stable")]
    met = np.zeros(len(at), dtype=bool)
    step = max(1, _AT_ONCE // len(at))
    for start in range(0, len(corners), step):
        some = corners[start : start + step]
        one, other = _in_box(at, some, within)
        met[one[_over(at[one], some[other], within)]] = True
    return float(met.mean())


def _in_box(at: Floats, corners: Floats, within: float) -> tuple[Integers, Integers]:
    """Pairs of a point, sorted along x, and a triangle in whose grown box it lies."""
    low, high = corners.min(axis=1) - within, corners.max(axis=1) + within
    first = np.searchsorted(at[:, 0], low[:, 0], side="left")
    count = np.searchsorted(at[:, 0], high[:, 0], side="right") - first
    triangle = np.repeat(np.arange(len(corners)), count)
    start = np.repeat(np.cumsum(count) - count, count)
    point = np.arange(len(triangle)) - start + np.repeat(first, count)
    beside = (at[point, 1:] >= low[triangle, 1:]) & (at[point, 1:] <= high[triangle, 1:])
    inside = beside.all(axis=1)
    return point[inside], triangle[inside]


def _over(at: Floats, corners: Floats, within: float) -> NDArray[np.bool_]:
    """Whether each point lies over its triangle, or under it, and near its plane."""
    a, b, c = (corners[:, k] for k in range(3))
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    sound = size > 0.0
    normal = normal / np.where(sound, size, 1.0)[:, None]
    near = sound & (np.abs(np.einsum("ij,ij->i", at - a, normal)) <= within)
    for start, end in ((a, b), (b, c), (c, a)):
        side = np.einsum("ij,ij->i", np.cross(end - start, at - start), normal)
        near &= side >= -within * np.linalg.norm(end - start, axis=1)
    return np.asarray(near)
