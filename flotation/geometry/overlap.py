"""Where a surface goes through itself: there a volume is counted twice.

A pair of triangles overlaps where an edge of one goes through the other, or where both lie in one
plane, face the same way and cover each other. Triangles that share a vertex, and surfaces that
only touch, do not overlap.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.bodies import winding_number
from flotation.geometry.overlap_pairs import near_pairs

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Truths = NDArray[np.bool_]

_TOUCH = 4.0 * float(np.finfo(np.float32).eps)
"""Depth that counts as touching, per largest coordinate: four steps of single precision, in
which most files store them."""

_STEP = 16.0
"""How far before and behind a doubtful point to look, in depths that count as touching."""


def find_overlap(vertices: Floats, faces: Integers) -> Integers:
    """Which triangles of a closed surface go through one another?

    vertices  (n, 3), any length unit; corners at one position are one vertex
    faces     (m, 3)
    Returns (k, 2) rows of `faces`, lower first, sorted; (0, 2) where the surface has no overlap.

    Overlaps thinner than 5e-7 of the largest coordinate count as touching. A body wholly inside
    another goes through nothing and is not found here, unless the two lie flush somewhere.
    Time: about a microsecond for each pair of triangles whose boxes meet.
    """
    triangles = _Triangles.of(vertices, faces)
    crossings, doubts = _sure_and_doubtful(triangles)
    if not len(crossings):
        crossings = _goes_through(triangles, doubts)
    return np.unique(np.sort(crossings, axis=1), axis=0)


def find_crossings(vertices: Floats, faces: Integers) -> Integers:
    """Which triangles of an open sheet go through one another?

    Arguments and result as for `find_overlap`. A sheet has no inside, so only an edge that goes
    through the middle of a triangle counts, and triangles in one plane that face the same way and
    cover each other; a sheet may meet another along any line.
    """
    crossings, _ = _sure_and_doubtful(_Triangles.of(vertices, faces))
    return np.unique(np.sort(crossings, axis=1), axis=0)


@dataclass(frozen=True, eq=False)
class _Triangles:
    """Triangles with what the tests ask of them.

    normals  (m, 3) unit; zero for a triangle so thin that it has no plane to speak of
    inward   (m, 3, 3) unit, across each edge in the plane of the triangle
    touch    distance that counts as none
    """

    vertices: Floats
    faces: Integers
    corners: Floats
    normals: Floats
    inward: Floats
    touch: float

    @classmethod
    def of(cls, vertices: Floats, faces: Integers) -> "_Triangles":
        corners = vertices[faces]
        touch = _TOUCH * float(np.abs(corners).max())
        edges = np.roll(corners, -1, axis=1) - corners
        lengths = np.linalg.norm(edges, axis=2)
        doubled = np.cross(edges[:, 0], edges[:, 1])
        area = np.linalg.norm(doubled, axis=1)
        flat = area > touch * lengths.max(axis=1)
        normals = np.where(flat[:, None], doubled / np.where(flat, area, 1.0)[:, None], 0.0)
        units = edges / np.where(lengths > 0.0, lengths, 1.0)[:, :, None]
        return cls(vertices, faces, corners, normals, np.cross(normals[:, None], units), touch)

    def over_plane(self, points: Floats, of: Integers) -> Floats:
        """(k, p) signed distances of points (k, p, 3) from the planes of triangles (k,)."""
        away = points - self.corners[of][:, :1]
        over: Floats = np.einsum("kpi,ki->kp", away, self.normals[of])
        return over

    def within(self, points: Floats, of: Integers) -> Floats:
        """(k, p, 3) distances of points (k, p, 3) inward from the edges of triangles (k,)."""
        away = points[:, :, None] - self.corners[of][:, None]
        within: Floats = np.einsum("kpei,kei->kpe", away, self.inward[of])
        return within


@dataclass(frozen=True, eq=False)
class _Doubts:
    """Edges (k, 2 vertices) of triangles that meet the rim of another at a point (k, 3)."""

    pairs: Integers
    edges: Integers
    points: Floats


def _sure_and_doubtful(triangles: _Triangles) -> tuple[Integers, list[_Doubts]]:
    """All pairs that surely overlap, and the doubts about others."""
    found, doubts = [np.empty((0, 2), dtype=np.intp)], []
    for pairs in near_pairs(triangles.vertices, triangles.faces):
        crossing, doubt = _crossing(triangles, pairs)
        found.append(crossing)
        doubts += doubt
    return np.concatenate(found), doubts


def _crossing(triangles: _Triangles, pairs: Integers) -> tuple[Integers, list[_Doubts]]:
    """Pairs that surely overlap, and the doubts about others."""
    touch = triangles.touch
    one, other = pairs.T
    over_other = triangles.over_plane(triangles.corners[one], other)
    left = _straddles(over_other, touch).nonzero()[0]
    one, other, over_other = one[left], other[left], over_other[left]
    over_one = triangles.over_plane(triangles.corners[other], one)
    left = _straddles(over_one, touch).nonzero()[0]
    one, other, over_other, over_one = one[left], other[left], over_other[left], over_one[left]
    flush = (np.abs(over_other).max(axis=1) <= touch) & (np.abs(over_one).max(axis=1) <= touch)
    crossing = flush.copy()
    crossing[flush] = _cover(triangles, one[flush], other[flush])
    doubts = []
    for mine, yours, over in ((one, other, over_other), (other, one, over_one)):
        pierced, doubt = _pierce(triangles, mine, yours, over)
        crossing |= pierced
        doubts.append(doubt)
    return np.stack([one[crossing], other[crossing]], axis=1), doubts


def _straddles(over: Floats, touch: float) -> Truths:
    """Does a triangle have corners on both sides of a plane, or on it?"""
    a, b, c = over.T
    lowest, highest = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
    straddles: Truths = (lowest < -touch) & (highest > touch)
    straddles |= (lowest >= -touch) & (highest <= touch)
    return straddles


def _cover(triangles: _Triangles, one: Integers, other: Integers) -> Truths:
    """Do two triangles in one plane, facing the same way, cover each other somewhere?

    They do unless an edge of one has all of the other beyond it.
    """
    alike = np.einsum("ki,ki->k", triangles.normals[one], triangles.normals[other]) > 0.5
    beyond = np.zeros(len(one), dtype=bool)
    for mine, yours in ((one, other), (other, one)):
        inward = triangles.within(triangles.corners[mine], yours)
        beyond |= (inward.max(axis=1) <= triangles.touch).any(axis=1)
    cover: Truths = alike & ~beyond
    return cover


def _pierce(
    triangles: _Triangles, mine: Integers, yours: Integers, over: Floats
) -> tuple[Truths, _Doubts]:
    """Does an edge of mine go through the inside of yours, and which edges meet its rim?

    over  (k, 3) distances of my corners from your plane
    """
    touch = triangles.touch
    after = np.roll(over, -1, axis=1)
    row, edge = (
        (np.minimum(over, after) < -touch).__and__(np.maximum(over, after) > touch).nonzero()
    )
    start, end = over[row, edge], after[row, edge]
    corners = triangles.corners[mine[row]]
    pick = np.arange(len(row))
    from_, to = corners[pick, edge], corners[pick, (edge + 1) % 3]
    points = from_ + (start / (start - end))[:, None] * (to - from_)
    inward = triangles.within(points[:, None], yours[row])[:, 0].min(axis=1)
    pierced = np.zeros(len(mine), dtype=bool)
    pierced[row[inward > touch]] = True
    rim = np.abs(inward) <= touch
    faces = triangles.faces[mine[row[rim]]]
    pick = np.arange(len(faces))
    edges = np.stack([faces[pick, edge[rim]], faces[pick, (edge[rim] + 1) % 3]], axis=1)
    pairs = np.stack([mine[row[rim]], yours[row[rim]]], axis=1)
    return pierced, _Doubts(pairs, edges, points[rim])


def _goes_through(triangles: _Triangles, doubts: list[_Doubts]) -> Integers:
    """Pairs where an edge goes in or out of the body at the rim of a triangle.

    The winding number just before and just behind the point tells; the triangles along the edge
    itself are left out, because the points lie on them.
    """
    through = []
    judged: dict[tuple[int, ...], bool] = {}
    for doubt in doubts:
        for pair, edge, point in zip(doubt.pairs, doubt.edges, doubt.points, strict=True):
            place = np.rint(point / triangles.touch).astype(np.int64)
            key = (*np.sort(edge).tolist(), *place.tolist())
            if key not in judged:
                judged[key] = _turns_change(triangles, edge, point)
            if judged[key]:
                through.append(pair)
    return np.array(through, dtype=np.intp).reshape(-1, 2)


def _turns_change(triangles: _Triangles, edge: Integers, point: Floats) -> bool:
    """Is all about the point before inside, and all about the point behind outside, or back?"""
    along = np.isin(triangles.faces, edge).sum(axis=1) == 2
    start, end = triangles.vertices[edge]
    step = _STEP * triangles.touch * (end - start) / np.linalg.norm(end - start)
    about = 2.0 * triangles.touch * np.concatenate([np.eye(3), -np.eye(3)])
    points = np.concatenate([point - step + about, point + step + about])
    turns = winding_number(triangles.vertices, triangles.faces[~along], points)
    before, behind = turns[: len(about)], turns[len(about) :]
    return bool(max(behind.min() - before.max(), before.min() - behind.max()) > 0.5)
