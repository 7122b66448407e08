"""Putty between edges that pass each other with no wall of either opposite the other.

Works on arrays. Between two edges the putty is a thin ribbon, the hull of the two stretches that
come within the width. Ribbons and columns that only meet in a corner leave a hole there: wherever
two edges and a third one, or a wall, all stand within the width of each other, there is a membrane
across them. A ball as wide as the width might pass between the three, but not past the putty that
joins each two of them. Such wide membranes are left out beside one that no ball passes: they would
be many, and close nothing more.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.edges import Edges, Passing, passing, to_segment
from flotation.geometry.voids.facing import Pieces, Triangles
from flotation.geometry.voids.hiding import within_columns
from flotation.geometry.voids.proximity import near_boxes_of

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]
Nearest = Callable[[Floats], Floats]

# Places along a ribbon that must all lie in putty already for it to be left out.
_TRIED = (0.02, 0.5, 0.98)
_STEPS = 60
_CORNERS = 5  # of a membrane between two edges and a wall


@dataclass(frozen=True, eq=False)
class Ties:
    """Hulls of putty.

    one, other  (n,) triangles at the two edges
    points      (n, 5, 3) m, corners of the hull, the last one repeated where there are fewer
    narrowest   (n,) m, and
    widest      (n,) m, between the two edges
    """

    one: Integers
    other: Integers
    points: Floats
    narrowest: Floats
    widest: Floats

    def __len__(self) -> int:
        return len(self.one)

    def take(self, index: Integers | Mask) -> "Ties":
        """The ties of `index`."""
        return Ties(
            self.one[index],
            self.other[index],
            self.points[index],
            self.narrowest[index],
            self.widest[index],
        )

    @property
    def middle(self) -> Floats:
        """(n, 3) m."""
        return np.asarray((self.points.min(axis=1) + self.points.max(axis=1)) / 2.0)

    @property
    def length(self) -> Floats:
        """(n,) m, along the longer of the two edges."""
        one = np.linalg.norm(self.points[:, 1] - self.points[:, 0], axis=1)
        two = np.linalg.norm(self.points[:, 3] - self.points[:, 2], axis=1)
        return np.asarray(np.maximum(one, two))


def ties(
    triangles: Triangles, columns: Pieces, edges: Edges, width: float, sealed: float, touch: float
) -> Ties:
    """Every hull that the columns leave wanting, with edges up to `width`, m, apart.

    edges   those of `sharp_edges`
    sealed  m, the width up to which ribbons are in place already; 0 for none
    """
    pairs = passing(edges, triangles, width, touch)
    alone = pairs.take(~pairs.beside)
    ribbons = _ribbons(edges, alone)
    bare = ~_filled(ribbons, columns, triangles)
    with_walls = _with_walls(edges, alone.take(bare), triangles, (width, touch))
    with_edges = _with_third_edge(edges, pairs, triangles, width)
    three = _each_once(_together([with_edges, with_walls]), touch)
    open_corner = three.take(~_filled_throughout(three, columns, triangles))
    found = _together([ribbons.take(bare), open_corner])
    return found.take(found.widest > sealed) if sealed > 0.0 else found


def no_ties() -> Ties:
    """None at all."""
    nothing = np.zeros(0, dtype=np.intp)
    return Ties(nothing, nothing, np.zeros((0, _CORNERS, 3)), np.zeros(0), np.zeros(0))


def _each_once(found: Ties, touch: float) -> Ties:
    """Membranes without those whose corners are the corners of another one."""
    if not len(found):
        return found
    points = np.round(found.points / touch)
    order = np.lexsort((points[:, :, 2], points[:, :, 1], points[:, :, 0]), axis=1)
    sorted_points = np.take_along_axis(points, order[:, :, None], axis=1)
    repeated = (sorted_points[:, 1:] == sorted_points[:, :-1]).all(axis=2)
    sorted_points[:, 1:][repeated] = np.inf
    again = np.lexsort(
        (sorted_points[:, :, 2], sorted_points[:, :, 1], sorted_points[:, :, 0]), axis=1
    )
    key = np.take_along_axis(sorted_points, again[:, :, None], axis=1).reshape(
        len(found), 3 * _CORNERS
    )
    return found.take(np.unique(key, axis=0, return_index=True)[1])


def _ribbons(edges: Edges, pairs: Passing) -> Ties:
    """Hulls round the two stretches of each pair that is not beside a wall of the other."""
    i, j = pairs.i, pairs.j
    corners = [edges.at(i, pairs.on_i[:, 0]), edges.at(i, pairs.on_i[:, 1])]
    corners += [edges.at(j, pairs.on_j[:, 0]), edges.at(j, pairs.on_j[:, 1])]
    across = [to_segment(corner, edges.start[j], edges.end[j]) for corner in corners[:2]]
    across += [to_segment(corner, edges.start[i], edges.end[i]) for corner in corners[2:]]
    widest = np.max(across, axis=0)
    return _hulls((edges.one[i], edges.one[j]), corners, (pairs.nearest, widest))


def _hulls(
    at: tuple[Integers, Integers], corners: list[Floats], size: tuple[Floats, Floats]
) -> Ties:
    points = np.stack(corners + corners[-1:] * (_CORNERS - len(corners)), axis=1)
    return Ties(*at, points, *size)


def _with_third_edge(edges: Edges, pairs: Passing, triangles: Triangles, width: float) -> Ties:
    """Membranes between places on three edges of three lines, all within `width` of each other."""
    ab, ac, _ = _triangles_of_pairs(edges, pairs)
    a, b, c = pairs.i[ab], pairs.j[ab], pairs.j[ac]
    near = [_nearest_on(edges, index) for index in (a, b, c)]
    middle = [edges.at(index, np.full(len(a), 0.5)) for index in (a, b, c)]
    places, radius = _meeting(near, middle)
    sizes = _sizes([(places[k - 1], places[k]) for k in range(3)])
    close = np.flatnonzero(sizes[1] <= width)
    at = [edges.one[index[close]] for index in (a, b, c)]
    found = _hulls((at[0], at[1]), [p[close] for p in places], (sizes[0][close], sizes[1][close]))
    return found.take(_wanted(found, triangles.part[np.stack(at, 1)], radius[close], width))


def _nearest_on(edges: Edges, index: Integers) -> Nearest:
    return lambda at: _to_stretch(at, edges.start[index], edges.end[index])


def _to_stretch(places: Floats, start: Floats, end: Floats) -> Floats:
    along = end - start
    share = np.einsum("nx,nx->n", places - start, along) / np.einsum("nx,nx->n", along, along)
    result: Floats = start + np.clip(share, 0.0, 1.0)[:, None] * along
    return result


def _meeting(near: Sequence[Nearest], start: Sequence[Floats]) -> tuple[list[Floats], Floats]:
    """The smallest ball that reaches three things: the places where it does, and its radius.

    Steps towards whatever is farthest, ever shorter (Badoiu and Clarkson 2003, recalled): the
    radius comes out at most a hundredth too large.
    """
    at = np.mean(start, axis=0)
    for step in range(_STEPS):
        places = np.stack([nearest(at) for nearest in near])
        off = np.linalg.norm(places - at, axis=2)
        farthest = places[np.argmax(off, axis=0), np.arange(len(at))]
        at = at + (farthest - at) / (step + 2.0)
    places = np.stack([nearest(at) for nearest in near])
    return list(places), np.linalg.norm(places - at, axis=2).max(axis=0)


def _sizes(sides: Sequence[tuple[Floats, Floats]]) -> tuple[Floats, Floats]:
    """The shortest and the longest of the ways between pairs of places."""
    lengths = [np.linalg.norm(one - other, axis=1) for one, other in sides]
    return np.min(lengths, axis=0), np.max(lengths, axis=0)


def _triangles_of_pairs(edges: Edges, pairs: Passing) -> tuple[Integers, Integers, Integers]:
    """Numbers of the pairs a-b, a-c and b-c wherever all three are there."""
    count = len(edges)
    order = np.lexsort((pairs.j, pairs.i))
    i, j = pairs.i[order], pairs.j[order]
    key = i * count + j
    group_end = np.searchsorted(i, i, side="right")
    later = group_end - np.arange(len(i)) - 1
    ab = np.repeat(np.arange(len(i)), later)
    ac = ab + 1 + np.arange(len(ab)) - np.repeat(np.cumsum(later) - later, later)
    lines = edges.line[i[ab]], edges.line[j[ab]], edges.line[j[ac]]
    apart = (lines[0] != lines[1]) & (lines[0] != lines[2]) & (lines[1] != lines[2])
    ab, ac = ab[apart], ac[apart]
    wanted = j[ab] * count + j[ac]
    bc = np.minimum(np.searchsorted(key, wanted), max(len(key) - 1, 0))
    there = key[bc] == wanted if len(key) else np.zeros(0, dtype=bool)
    return order[ab[there]], order[ac[there]], order[bc[there]]


def _with_walls(
    edges: Edges, pairs: Passing, triangles: Triangles, limits: tuple[float, float]
) -> Ties:
    """Membranes between two edges and a wall that both stand in front of."""
    width, touch = limits
    if not len(pairs.i):
        return no_ties()
    ends = _ribbons(edges, pairs).points[:, :4]
    corners = triangles.corners
    pair, wall = near_boxes_of(
        (ends.min(axis=1), ends.max(axis=1)), (corners.min(axis=1), corners.max(axis=1)), width
    )
    up = np.einsum("nkx,nx->nk", ends[pair] - corners[wall, :1], triangles.normals[wall])
    ahead = (up.max(axis=1) > touch) & (up.min(axis=1) <= width)
    ahead &= ~_adjoining(edges, pairs.take(pair), triangles, wall)
    pair, wall = pair[ahead], wall[ahead]
    i, j = pairs.i[pair], pairs.j[pair]
    near = [_nearest_on(edges, i), _nearest_on(edges, j), lambda at: _foot(at, corners[wall])]
    places, radius = _meeting(near, [ends[pair].mean(axis=1)])
    front = np.einsum("nx,nx->n", places[0] - corners[wall, 0], triangles.normals[wall]) >= -touch
    front &= np.einsum("nx,nx->n", places[1] - corners[wall, 0], triangles.normals[wall]) >= -touch
    feet = [_foot(place, corners[wall]) for place in places[:2]]
    sizes = _sizes([(places[0], places[1]), (places[0], feet[0]), (places[1], feet[1])])
    close = np.flatnonzero((sizes[1] <= width) & front)
    at = [edges.one[i[close]], edges.one[j[close]], wall[close]]
    corners_of = [p[close] for p in places + feet]
    found = _hulls((at[0], at[1]), corners_of, (sizes[0][close], sizes[1][close]))
    return found.take(_wanted(found, triangles.part[np.stack(at, 1)], radius[close], width))


def _wanted(found: Ties, parts: Integers, radius: Floats, width: float) -> Mask:
    """Membranes that no ball of `width` passes, and others only where there are none of these.

    parts   (n, 3) the parts between which they stand
    radius  (n,) m, of the ball that passes between the three
    """
    snug = radius <= width / 2.0
    loose, tight = np.flatnonzero(~snug), np.flatnonzero(snug)
    low, high = found.points.min(axis=1), found.points.max(axis=1)
    i, j = near_boxes_of((low[loose], high[loose]), (low[tight], high[tight]), width)
    names = np.sort(parts, axis=1)
    same = (names[loose[i]] == names[tight[j]]).all(axis=1)
    result = snug.copy()
    result[np.setdiff1d(loose, loose[i[same]])] = True
    return result


def _adjoining(edges: Edges, pairs: Passing, triangles: Triangles, wall: Integers) -> Mask:
    """Walls that one of the two edges belongs to, or touches at a corner of its own part."""
    result = np.zeros(len(wall), dtype=bool)
    for index in (pairs.i, pairs.j):
        own = triangles.part[edges.one[index]] == triangles.part[wall]
        shared = np.zeros(len(wall), dtype=bool)
        for place in (edges.start[index], edges.end[index]):
            shared |= (triangles.corners[wall] == place[:, None]).all(axis=2).any(axis=1)
        result |= own & shared
    return result


def _foot(places: Floats, corners: Floats) -> Floats:
    """The nearest point of triangles, (n, 3, 3), to places, (n, 3)."""
    a, b, c = (corners[:, k] for k in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.maximum(np.linalg.norm(normal, axis=1), 1e-300)[:, None]
    flat = places - np.einsum("nx,nx->n", places - a, normal)[:, None] * normal
    best, off = flat, np.full(len(places), np.inf)
    inside = np.ones(len(places), dtype=bool)
    for start, end in ((a, b), (b, c), (c, a)):
        along = end - start
        inside &= np.einsum("nx,nx->n", np.cross(along, places - start), normal) >= 0.0
        share = np.einsum("nx,nx->n", places - start, along)
        share = share / np.maximum(np.einsum("nx,nx->n", along, along), 1e-300)
        foot = start + np.clip(share, 0.0, 1.0)[:, None] * along
        length = np.linalg.norm(places - foot, axis=1)
        best = np.where((length < off)[:, None], foot, best)
        off = np.minimum(off, length)
    return np.asarray(np.where(inside[:, None], flat, best))


def _filled(ribbons: Ties, columns: Pieces, triangles: Triangles) -> Mask:
    """Ribbons that lie within columns at every place that is tried."""
    one, two, three, four = (ribbons.points[:, k] for k in range(4))
    same_way = np.einsum("nx,nx->n", two - one, four - three) >= 0.0
    three, four = np.where(same_way[:, None], three, four), np.where(same_way[:, None], four, three)
    tried = [(one + t * (two - one) + three + t * (four - three)) / 2.0 for t in _TRIED]
    return _all_within(np.stack(tried, axis=1), columns, triangles)


def _filled_throughout(hulls: Ties, columns: Pieces, triangles: Triangles) -> Mask:
    """Hulls that lie within columns in their middle and half way to every corner."""
    middle = hulls.points.mean(axis=1, keepdims=True)
    tried = np.concatenate([middle, (middle + hulls.points) / 2.0], axis=1)
    return _all_within(tried, columns, triangles)


def _all_within(places: Floats, columns: Pieces, triangles: Triangles) -> Mask:
    """Whether all of a row of places, (n, k, 3), lie within columns."""
    inside = within_columns(places.reshape(-1, 3), columns, triangles)
    return np.asarray(inside.reshape(places.shape[:2]).all(axis=1))


def _together(groups: list[Ties]) -> Ties:
    return Ties(
        np.concatenate([g.one for g in groups]),
        np.concatenate([g.other for g in groups]),
        np.concatenate([g.points for g in groups]),
        np.concatenate([g.narrowest for g in groups]),
        np.concatenate([g.widest for g in groups]),
    )
