"""Sharp outward edges of the parts, and where two of them pass each other closely.

Works on arrays. Walls that stand opposite each other are one way for parts to come close; the
other is edge past edge, with no wall of either opposite the other.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.facing import Triangles
from flotation.geometry.voids.proximity import near_boxes, near_boxes_of
from flotation.geometry.voids.sheets import joined

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]
Distance = Callable[[Floats], Floats]

# Less than this turn, thirty degrees, is a curved wall and no edge.
_SHARP = float(np.cos(np.radians(30.0)))
# Edges of one part that go on within 45 degrees of each other are one line.
_ALONG = float(np.cos(np.radians(45.0)))
_HALVINGS = 22
_INTO = 1e-3


@dataclass(frozen=True, eq=False)
class Edges:
    """Sharp outward edges.

    start, end   (n, 3) m
    one, beyond  (n,) the triangles on either side
    line         (n,) a number, alike for edges of one part that go on into each other
    """

    start: Floats
    end: Floats
    one: Integers
    beyond: Integers
    line: Integers

    def __len__(self) -> int:
        return len(self.one)

    def at(self, index: Integers, share: Floats) -> Floats:
        """Places at a share of the way along edges."""
        result: Floats = self.start[index] + share[..., None] * (
            self.end[index] - self.start[index]
        )
        return result


@dataclass(frozen=True, eq=False)
class Passing:
    """Pairs of edges that pass within a width: edge i between shares `on_i`, (n, 2), and j.

    beside  (n,) whether a wall at one of the two edges is as near to the other edge: there
            the walls' own putty ends, and no ribbon is wanted
    """

    i: Integers
    j: Integers
    on_i: Floats
    on_j: Floats
    nearest: Floats
    beside: Mask

    def take(self, index: Integers | Mask) -> "Passing":
        """The pairs of `index`."""
        return Passing(
            self.i[index],
            self.j[index],
            self.on_i[index],
            self.on_j[index],
            self.nearest[index],
            self.beside[index],
        )


def sharp_edges(triangles: Triangles) -> Edges:
    """The outward edges at which a part turns by more than thirty degrees, each once."""
    near = triangles.neighbours
    cosine = np.einsum("ix,ikx->ik", triangles.normals, triangles.normals[near])
    ahead = triangles.corners[near].mean(axis=2) - triangles.corners
    falls = np.einsum("ix,ikx->ik", triangles.normals, ahead) < 0.0
    once = np.arange(len(near))[:, None] < near
    one, k = np.nonzero((cosine < _SHARP) & falls & once)
    start, end = triangles.corners[one, k], triangles.corners[one, (k + 1) % 3]
    long_enough = (start != end).any(axis=1)
    one, k, start, end = one[long_enough], k[long_enough], start[long_enough], end[long_enough]
    line = _lines(start, end, triangles.part[one])
    return Edges(start, end, one, near[one, k], line)


def edges_near(edges: Edges, low: Floats, high: Floats, reach: float) -> Edges:
    """The edges that come within `reach`, m, of boxes, corners (n, 3) m."""
    ends = np.minimum(edges.start, edges.end), np.maximum(edges.start, edges.end)
    at = np.unique(near_boxes_of(ends, (low, high), reach)[0])
    return Edges(edges.start[at], edges.end[at], edges.one[at], edges.beyond[at], edges.line[at])


def _lines(start: Floats, end: Floats, part: Integers) -> Integers:
    """Labels of edges, alike where one goes on into the other."""
    count = len(start)
    if not count:
        return np.zeros(0, dtype=np.intp)
    points = np.column_stack([np.concatenate([start, end]), np.concatenate([part, part])])
    vertex = np.unique(points, axis=0, return_inverse=True)[1].ravel()
    along = (end - start) / np.linalg.norm(end - start, axis=1)[:, None]
    away = np.concatenate([along, -along])
    order = np.argsort(vertex, kind="stable")
    first, second = [np.zeros(0, np.intp)], [np.zeros(0, np.intp)]
    for step in range(1, count + 1):
        here, there = order[:-step], order[step:]
        same = vertex[here] == vertex[there]
        if not same.any():
            break
        here, there = here[same], there[same]
        on = np.einsum("ij,ij->i", away[here], away[there]) < -_ALONG
        first.append(here[on] % count)
        second.append(there[on] % count)
    return joined(np.concatenate(first), np.concatenate(second), count)


def passing(edges: Edges, triangles: Triangles, width: float, touch: float) -> Passing:
    """Pairs of edges that come within `width`, m, of each other outside the parts' own walls.

    Edges of one part that meet in a corner do not pass each other.
    """
    low, high = np.minimum(edges.start, edges.end), np.maximum(edges.start, edges.end)
    if len(edges) < 2:
        i = j = np.zeros(0, dtype=np.intp)
    else:
        i, j = near_boxes(low, high, width)
    keep = ~_meet(edges, triangles, i, j, touch)
    i, j = i[keep], j[keep]
    s, t = closest(edges, i, j)
    off = edges.at(j, t) - edges.at(i, s)
    nearest = np.linalg.norm(off, axis=1)
    towards = off / np.maximum(nearest, 1e-300)[:, None]
    out_i, over_i = _outside(edges, triangles, i, towards)
    out_j, over_j = _outside(edges, triangles, j, -towards)
    keep = (nearest <= width) & ((nearest <= touch) | (out_i & out_j))
    beside = ((nearest > touch) & ~(over_i & over_j))[keep]
    i, j, s, t, nearest = i[keep], j[keep], s[keep], t[keep], nearest[keep]
    # The nearest places themselves must count as near in spite of rounding.
    reach = np.full(len(i), width * (1.0 + 1e-9) + 1e-12)
    on_i = stretch(edges, i, s, lambda p: to_segment(p, edges.start[j], edges.end[j]), reach)
    on_j = stretch(edges, j, t, lambda p: to_segment(p, edges.start[i], edges.end[i]), reach)
    return Passing(i, j, on_i, on_j, nearest, beside)


def _meet(edges: Edges, triangles: Triangles, i: Integers, j: Integers, touch: float) -> Mask:
    result = np.zeros(len(i), dtype=bool)
    for one in (edges.start, edges.end):
        for other in (edges.start, edges.end):
            result |= np.linalg.norm(one[i] - other[j], axis=1) <= touch
    return np.asarray(result & (triangles.part[edges.one[i]] == triangles.part[edges.one[j]]))


def _outside(
    edges: Edges, triangles: Triangles, index: Integers, direction: Floats
) -> tuple[Mask, Mask]:
    """Whether directions, unit, lead from an edge out of its wall, and past both its faces."""
    along = edges.end[index] - edges.start[index]
    along /= np.linalg.norm(along, axis=1)[:, None]
    up, past = [], []
    for side, way in ((edges.one, along), (edges.beyond, -along)):
        normal = triangles.normals[side[index]]
        up.append(np.einsum("ij,ij->i", normal, direction))
        past.append(np.einsum("ij,ij->i", np.cross(way, normal), direction))
    return np.maximum(*up) > _INTO, np.minimum(*past) > _INTO


def closest(edges: Edges, i: Integers, j: Integers) -> tuple[Floats, Floats]:
    """Shares along edges i and j where the two are nearest (Ericson 2005, recalled)."""
    d1, d2 = edges.end[i] - edges.start[i], edges.end[j] - edges.start[j]
    r = edges.start[i] - edges.start[j]
    a, e, b = (np.einsum("ij,ij->i", x, y) for x, y in ((d1, d1), (d2, d2), (d1, d2)))
    c, f = np.einsum("ij,ij->i", d1, r), np.einsum("ij,ij->i", d2, r)
    below = a * e - b * b
    parallel = below <= 1e-12 * a * e
    s = np.where(parallel, 0.0, (b * f - c * e) / np.where(parallel, 1.0, below))
    s = np.clip(s, 0.0, 1.0)
    t = (b * s + f) / e
    s = np.where(t < 0.0, np.clip(-c / a, 0.0, 1.0), s)
    s = np.where(t > 1.0, np.clip((b - c) / a, 0.0, 1.0), s)
    return s, np.clip(t, 0.0, 1.0)


def to_segment(points: Floats, start: Floats, end: Floats) -> Floats:
    """Distance of points from segments, row by row."""
    along = end - start
    share = np.einsum("ij,ij->i", points - start, along) / np.einsum("ij,ij->i", along, along)
    result: Floats = np.linalg.norm(
        points - start - np.clip(share, 0.0, 1.0)[:, None] * along, axis=1
    )
    return result


def stretch(
    edges: Edges, index: Integers, inside: Floats, distance: Distance, reach: Floats
) -> Floats:
    """The shares, (n, 2), between which edges are within `reach` of something convex.

    inside    (n,) shares at which they are
    distance  of places on the edges from that thing; along an edge it is a convex function
    """
    ends = []
    for limit in (0.0, 1.0):
        near, far = inside.copy(), np.full(len(inside), limit)
        whole = distance(edges.at(index, far)) <= reach
        for _ in range(_HALVINGS):
            middle = (near + far) / 2.0
            good = distance(edges.at(index, middle)) <= reach
            near, far = np.where(good, middle, near), np.where(good, far, middle)
        ends.append(np.where(whole, limit, near))
    return np.stack(ends, axis=1)
