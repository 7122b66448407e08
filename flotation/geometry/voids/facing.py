"""Where two surfaces stand opposite each other, exactly: the part of a triangle in front of which
another one stands within reach.

Works on arrays. The second triangle is laid over the first one's plane, each point keeping its
height above it, and is cut by the first one's three edges, by the plane itself and by the reach.
What remains is a convex polygon with a height at each corner; nothing is sampled.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.proximity import facing_triangles

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_BATCH = 200_000
_ROUNDING = 1e-9
_CORNERS = 8  # three of the triangle and at most one more for each of the five cuts


@dataclass(frozen=True, eq=False)
class Triangles:
    """All triangles of all parts, and the part that each belongs to.

    corners     (n, 3, 3) m
    normals     (n, 3) unit, outward
    part        (n,) number of the part
    neighbours  (n, 3) triangle beyond edge k, which runs from corner k to corner k + 1
    """

    corners: Floats
    normals: Floats
    part: Integers
    neighbours: Integers

    @cached_property
    def circles(self) -> tuple[Floats, Floats]:
        """Middles (n, 3) and radii (n,) of balls round the triangles."""
        middle = self.corners.mean(axis=1)
        return middle, np.linalg.norm(self.corners - middle[:, None], axis=2).max(axis=1)

    def frame(self, index: Integers) -> tuple[Floats, Floats, Floats]:
        """Origin and two axes in the plane of each triangle, (m, 3) each."""
        origin = self.corners[index, 0]
        along = self.corners[index, 1] - origin
        along /= np.linalg.norm(along, axis=1)[:, None]
        return origin, along, np.cross(self.normals[index], along)


@dataclass(frozen=True, eq=False)
class Pieces:
    """Places where triangle `one` has triangle `other` in front of it.

    base    (m, 8, 3) m, corners on the plane of `one`, counterclockwise seen from outside
    height  (m, 8) m, free distance along the normal of `one` at each corner
    count   (m,) corners in use
    """

    one: Integers
    other: Integers
    base: Floats
    height: Floats
    count: Integers

    def __len__(self) -> int:
        return len(self.one)

    def take(self, index: Integers | NDArray[np.bool_]) -> "Pieces":
        """The pieces of `index`."""
        return Pieces(
            self.one[index],
            self.other[index],
            self.base[index],
            self.height[index],
            self.count[index],
        )

    @property
    def in_use(self) -> NDArray[np.bool_]:
        """(m, 8), which corners are."""
        return np.arange(self.base.shape[1])[None, :] < self.count[:, None]

    @property
    def narrowest(self) -> Floats:
        """(m,) m."""
        return np.asarray(np.where(self.in_use, self.height, np.inf).min(axis=1))

    @property
    def widest(self) -> Floats:
        """(m,) m."""
        return np.asarray(np.where(self.in_use, self.height, -np.inf).max(axis=1))


def join_pieces(groups: list[Pieces]) -> Pieces:
    """Several lots of pieces as one."""
    return Pieces(
        np.concatenate([g.one for g in groups]),
        np.concatenate([g.other for g in groups]),
        np.concatenate([g.base for g in groups]),
        np.concatenate([g.height for g in groups]),
        np.concatenate([g.count for g in groups]),
    )


def facing_pieces(
    triangles: Triangles, reach: float, touch: float, among: Integers | None = None
) -> Pieces:
    """Every place where a triangle stands opposite another, at most `reach` away.

    reach, touch  m; surfaces that overlap by up to `touch` count as touching
    among         numbers of the triangles that are looked at; None for all
    Pieces thinner than a quarter of `touch` are left out.
    """
    limits = (-touch, reach)

    def ahead(one: Integers, other: Integers) -> NDArray[np.bool_]:
        one, other = look[one], look[other]
        return in_front(triangles, one, other, limits) | in_front(triangles, other, one, limits)

    look = np.arange(len(triangles.corners)) if among is None else among
    i, j = facing_triangles(triangles.corners[look], triangles.normals[look], reach, ahead)
    i, j = look[i], look[j]
    one, other = np.concatenate([i, j]), np.concatenate([j, i])
    lots = [
        opposite(triangles, one[at : at + _BATCH], other[at : at + _BATCH], limits)
        for at in range(0, max(len(one), 1), _BATCH)
    ]
    pieces = join_pieces(lots)
    return pieces.take(np.argsort(pieces.one, kind="stable"))


def opposite(
    triangles: Triangles, one: Integers, other: Integers, limits: tuple[float, float]
) -> Pieces:
    """Where each `other` stands opposite its `one` between two heights: laid over it and cut."""
    ahead = in_front(triangles, one, other, limits)
    one, other = one[ahead], other[ahead]
    origin, x, y = triangles.frame(one)
    z = triangles.normals[one]
    axes = np.stack([x, y, z], axis=1)
    shape = _local(triangles.corners[other], origin, axes)[:, ::-1]
    own = _local(triangles.corners[one], origin, axes)[:, :, :2]
    points, count, left = _cut_all(shape, own, limits)
    points, count = _without_doubles(points, count, -limits[0] / 100.0)
    broad = (count >= 3) & (_breadth(points, count) > -limits[0] / 4.0)
    points, count, left = points[broad], count[broad], left[broad]
    one, other, origin, axes = one[left], other[left], origin[left], axes[left]
    flat = np.einsum("nkc,ncx->nkx", points[:, :, :2], axes[:, :2])
    return Pieces(one, other, flat + origin[:, None], points[:, :, 2], count)


def in_front(
    triangles: Triangles, one: Integers, other: Integers, limits: tuple[float, float]
) -> NDArray[np.bool_]:
    """Pairs whose second may come between the limits above the first, and over it.

    Each triangle is taken for the disc round it: a disc of radius r whose normal makes the angle t
    with the first one's reaches r sin t up and down.
    """
    middle, radius = triangles.circles
    apart = middle[other] - middle[one]
    z = triangles.normals[one]
    cosine = np.einsum("nx,nx->n", z, triangles.normals[other])
    reach = radius[other] * np.sqrt(np.clip(1.0 - cosine**2, 0.0, None)) + _ROUNDING
    up = np.einsum("nx,nx->n", apart, z)
    aside = np.einsum("nx,nx->n", apart, apart) - up**2
    keep = (up - reach <= limits[1]) & (up + reach >= limits[0])
    return np.asarray(keep & (aside <= (radius[one] + radius[other]) ** 2))


def _local(points: Floats, origin: Floats, axes: Floats) -> Floats:
    """Coordinates of points (n, k, 3) along axes (n, c, 3) from origin (n, 3)."""
    result: Floats = np.einsum("nkx,ncx->nkc", points - origin[:, None], axes)
    return result


def _cut_all(
    shape: Floats, own: Floats, limits: tuple[float, float]
) -> tuple[Floats, Integers, Integers]:
    """Cut triangles (n, 3, 3) by the edges of others (n, 3, 2) and by two heights.

    Returns what is left, its corners in use, and which of the n it belongs to.
    """
    points = np.zeros((len(shape), _CORNERS, 3))
    points[:, :3] = shape
    count = np.full(len(shape), 3)
    alive = np.arange(len(shape))
    for edge in range(5):
        if edge < 3:
            start, end = own[alive, edge], own[alive, (edge + 1) % 3]
            along = (end - start) / np.linalg.norm(end - start, axis=1)[:, None]
            inward = np.stack([-along[:, 1], along[:, 0]], axis=1)
            side = np.einsum("nkc,nc->nk", points[:, :, :2] - start[:, None], inward)
        else:
            side = points[:, :, 2] - limits[0] if edge == 3 else limits[1] - points[:, :, 2]
        points, count = cut_convex(points, count, side)
        keep = count >= 3
        points, count, alive = points[keep], count[keep], alive[keep]
    return points, count, alive


def cut_convex(points: Floats, count: Integers, side: Floats) -> tuple[Floats, Integers]:
    """The part of convex polygons where `side`, linear over each, is not negative.

    points  (n, k, c), `count` (n,) of them in use; side (n, k)
    Returns the same arrays, cut; a polygon wholly outside has no corners left.
    """
    number, room = side.shape
    step = np.arange(room)[None, :]
    used = step < count[:, None]
    after = np.where(step + 1 < count[:, None], step + 1, 0)
    next_side = np.take_along_axis(side, after, axis=1)
    next_point = np.take_along_axis(points, after[:, :, None], axis=1)
    inside = used & (side >= 0.0)
    crossing = used & ((side >= 0.0) != (next_side >= 0.0))
    share = np.where(crossing, side / np.where(crossing, side - next_side, 1.0), 0.0)
    cut = points + share[:, :, None] * (next_point - points)
    emitted = inside.astype(np.intp) + crossing
    place = np.cumsum(emitted, axis=1) - emitted
    result = np.zeros((number, room + 2, points.shape[2]))
    row, column = np.nonzero(inside)
    result[row, place[row, column]] = points[row, column]
    row, column = np.nonzero(crossing)
    result[row, place[row, column] + inside[row, column]] = cut[row, column]
    return result[:, :room], emitted.sum(axis=1)


def _without_doubles(points: Floats, count: Integers, close: float) -> tuple[Floats, Integers]:
    """Polygons without the corners that lie within `close` of the next one."""
    step = np.arange(points.shape[1])[None, :]
    used = step < count[:, None]
    after = np.where(step + 1 < count[:, None], step + 1, 0)
    ahead = np.take_along_axis(points, after[:, :, None], axis=1) - points
    keep = used & (np.linalg.norm(ahead, axis=2) > close)
    order = np.argsort(~keep, axis=1, kind="stable")
    return np.take_along_axis(points, order[:, :, None], axis=1), keep.sum(axis=1)


def polygon_area(points: Floats, count: Integers) -> Floats:
    """Area of polygons (n, k, 2+) in their first two coordinates, counterclockwise positive."""
    step = np.arange(points.shape[1])[None, :]
    after = np.where(step + 1 < count[:, None], step + 1, 0)
    x, y = points[:, :, 0], points[:, :, 1]
    x2, y2 = np.take_along_axis(x, after, axis=1), np.take_along_axis(y, after, axis=1)
    result: Floats = 0.5 * np.where(step < count[:, None], x * y2 - x2 * y, 0.0).sum(axis=1)
    return result


def _breadth(points: Floats, count: Integers) -> Floats:
    """Twice the area over the perimeter: the breadth of a sliver."""
    step = np.arange(points.shape[1])[None, :]
    after = np.where(step + 1 < count[:, None], step + 1, 0)
    ahead = np.take_along_axis(points[:, :, :2], after[:, :, None], axis=1) - points[:, :, :2]
    length = np.where(step < count[:, None], np.linalg.norm(ahead, axis=2), 0.0).sum(axis=1)
    flat = points[:, :, :2] - points[:, :1, :2]
    result: Floats = 2.0 * polygon_area(flat, count) / np.where(length > 0.0, length, 1.0)
    return result
