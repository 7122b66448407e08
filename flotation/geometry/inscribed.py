"""The largest ball inside a solid, or inside the part of it that is filled so far."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from flotation.geometry.nearness import contains
from flotation.geometry.solid import Solid

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

_ACROSS = 3
_PAIRS_AT_ONCE = 16_000
_MOST_CUBES = 30_000
"""Cubes in one round, about a tenth of a second; beyond it the error stays as it is, and is told.
"""
_TIE = 1e-7  # m, within which two triangles are equally near
_GRAIN = 2.0**-36
"""m; distances are rounded to multiples of it, since their last digits differ from processor to
processor, and among places that are equally wide they would decide which one is found."""
_ROUNDED = 4.0 * _GRAIN  # m, by which a bound from rounded distances may be too small
_FINEST = 1e-5  # m, half diagonal at which the search ends whatever it found
_STEPS = 8
_AROUND = np.stack(np.meshgrid(*[(-1.0, 0.0, 1.0)] * 3, indexing="ij"), axis=-1).reshape(-1, 3)
_EIGHT = np.array([[x, y, z] for x in (-0.5, 0.5) for y in (-0.5, 0.5) for z in (-0.5, 0.5)])


@dataclass(frozen=True)
class Ball:
    """A ball that fits, and how much larger one that fits can be at most.

    centre  (x, y, z) m; radius, error  m: the largest has from `radius` to `radius + error`
    """

    centre: tuple[float, float, float]
    radius: float
    error: float


def largest_ball(
    solid: Solid, up: ArrayLike = (0.0, 0.0, 1.0), level: float = math.inf, share: float = 0.05
) -> Ball:
    """Which is the largest ball inside the part of a solid that lies below a level?

    up     (3,) unit direction; level  m along it; infinite: the whole solid
    share  error of the radius that is asked for, as a share of it
    Returns a Ball; its radius is 0 where nothing lies below the level. The error may be larger
    than asked for in shapes with very many places that are nearly the widest; it is a bound all
    the same. Raises ValueError for a share that is not between 0 and 1.

    A ball about c + v is no larger than the distance from there to any triangle T, which is at
    most d + g . v + v^2 / (2 d), with d the distance of c from T and g its gradient. So within r of
    the middle of a cube it is at most d + r, and for each two triangles at most the mean of both
    bounds, which in the middle between two walls is much less; the level is a wall too. Cubes that
    cannot hold a better centre than the best so far are left out and the others cut into eight,
    until the error is small. A triangle is asked in a cube only if it may be the nearest somewhere
    in it. No ball is wider than the solid's box.
    """
    if not 0.0 < share < 1.0:
        raise ValueError(f"the share of error must lie between 0 and 1, got {share!r}")
    low, high = solid.bounds
    direction = np.asarray(up, dtype=float)
    heights = (solid.vertices[np.unique(solid.faces)] - low) @ direction
    level = min(level - float(low @ direction), float(heights.max()))
    most = 0.5 * min(float((high - low).min()), level - float(heights.min()))
    if most <= 0.0:
        return Ball((float(low[0]), float(low[1]), float(low[2])), 0.0, 0.0)
    search = _Search(solid, _Triangles.of(solid.vertices[solid.faces] - low), direction, level)
    return search.run(_first_cubes(high - low, search.triangles), most, share)


@dataclass(frozen=True, eq=False)
class _Triangles:
    """Triangles and what their distance from a point is reckoned from.

    first     (m, 3) m, a corner
    sides     two sides from it, each (m, 3) m
    normals   (m, 3) outward, as long as the triangle's area is large
    products  (3, m) m2, of the sides: first by itself, by the other, the other by itself
    middle    (m, 3) m; around  (m,) m, no corner is further from it
    """

    first: Floats
    sides: tuple[Floats, Floats]
    normals: Floats
    products: Floats
    middle: Floats
    around: Floats

    @classmethod
    def of(cls, corners: Floats) -> "_Triangles":
        a, b, c = (corners[:, i] for i in range(3))
        one, other = b - a, c - a
        pairs = ((one, one), (one, other), (other, other))
        products = np.stack([np.einsum("ij,ij->i", u, v) for u, v in pairs])
        middle = corners.mean(axis=1)
        around = np.linalg.norm(corners - middle[:, None], axis=2).max(axis=1)
        return cls(a, (one, other), np.cross(one, other), products, middle, around)

    def middles_away(self, points: Floats, faces: Integers) -> Floats:
        """(p,) m from each point (p, 3) m to the middle of the triangle beside it."""
        away = np.empty(len(points))
        for start in range(0, len(points), _PAIRS_AT_ONCE):
            part = slice(start, start + _PAIRS_AT_ONCE)
            off = points[part] - self.middle[faces[part]]
            away[part] = np.sqrt(np.einsum("ij,ij->i", off, off))
        return _even(away)

    def nearest_to(self, points: Floats, faces: Integers) -> tuple[Floats, Floats]:
        """Where on the triangle beside it each point (p, 3) m comes nearest, and how near.

        Returns (2, p) shares of the two sides from the first corner, and (p,) m.
        """
        shares, apart = np.empty((2, len(points))), np.empty(len(points))
        for start in range(0, len(points), _PAIRS_AT_ONCE):
            part = slice(start, start + _PAIRS_AT_ONCE)
            shares[:, part], apart[part] = self._nearest_to(points[part], faces[part])
        return shares, _even(apart)

    def _nearest_to(self, points: Floats, faces: Integers) -> tuple[Floats, Floats]:
        """The foot of the perpendicular where that hits the triangle, else on one of its sides."""
        away = points - self.first[faces]
        d0, d1 = (np.einsum("ij,ij->i", away, side[faces]) for side in self.sides)
        d00, d01, d11 = self.products[:, faces]
        size = d00 * d11 - d01 * d01
        s, t = _share(d11 * d0 - d01 * d1, size), _share(d00 * d1 - d01 * d0, size)
        over = (size > 0.0) & (s >= 0.0) & (t >= 0.0) & (s + t <= 1.0)
        # Squared distance, less that of the first corner.
        least = np.where(over, -s * d0 - t * d1, np.inf)
        third = _clipped(d1 - d0 - d01 + d00, d00 - 2.0 * d01 + d11)
        for u, v in ((_clipped(d0, d00), 0.0), (0.0, _clipped(d1, d11)), (1.0 - third, third)):
            gain = u * (u * d00 - 2.0 * d0) + v * (v * d11 - 2.0 * d1) + (2.0 * u * v) * d01
            nearer = gain < least
            s, t = np.where(nearer, u, s), np.where(nearer, v, t)
            least = np.where(nearer, gain, least)
        squared = np.einsum("ij,ij->i", away, away) + least
        return np.stack([s, t]), np.sqrt(np.maximum(squared, 0.0))

    def off(self, points: Floats, faces: Integers, shares: Floats) -> Floats:
        """(p, 3) m, from those places on the triangles to the points."""
        one, other = (side[faces] for side in self.sides)
        off: Floats = points - self.first[faces] - shares[0, :, None] * one
        return off - shares[1, :, None] * other


def _even(metres: Floats) -> Floats:
    """Rounded to the grain."""
    return np.round(metres / _GRAIN) * _GRAIN


def _share(part: Floats, whole: Floats) -> Floats:
    """0 where the whole is nothing."""
    share: Floats = part / np.where(whole > 0.0, whole, np.inf)
    return share


def _clipped(part: Floats, whole: Floats) -> Floats:
    return np.clip(_share(part, whole), 0.0, 1.0)


@dataclass(frozen=True, eq=False)
class _Cubes:
    """Cubes of one size.

    middles  (n, 3) m; half  m, of a side
    inside   (n,) known to lie inside the solid, walls and all
    cube, face  (p,) the triangles that may be nearest in each cube, sorted by cube
    """

    middles: Floats
    half: float
    inside: NDArray[np.bool_]
    cube: Integers
    face: Integers

    @property
    def reach(self) -> float:
        """Half diagonal, m."""
        return self.half * math.sqrt(3.0)

    def only(self, kept: NDArray[np.bool_]) -> "_Cubes":
        """The kept cubes."""
        pairs = kept[self.cube]
        number = np.cumsum(kept) - 1
        return _Cubes(
            self.middles[kept],
            self.half,
            self.inside[kept],
            number[self.cube[pairs]],
            self.face[pairs],
        )

    def cut(self, kept: NDArray[np.bool_], near: NDArray[np.bool_]) -> "_Cubes":
        """The kept cubes cut into eight; near  (p,) triangles that may still be nearest."""
        number = np.cumsum(kept) - 1
        pairs = kept[self.cube] & near
        cube, face = number[self.cube[pairs]], self.face[pairs]
        counts = np.bincount(cube, minlength=int(kept.sum()))
        spans = np.repeat(counts, 8)
        starts = np.repeat(np.cumsum(counts) - counts, 8)
        place = np.arange(spans.sum()) - np.repeat(np.cumsum(spans) - spans, spans)
        return _Cubes(
            (self.middles[kept][:, None] + self.half * _EIGHT).reshape(-1, 3),
            0.5 * self.half,
            np.repeat(self.inside[kept], 8),
            np.repeat(np.arange(len(spans)), spans),
            face[np.repeat(starts, spans) + place],
        )


def _first_cubes(size: Floats, triangles: _Triangles) -> _Cubes:
    """Cubes that fill a box of this size, (3,) m, a few across its narrowest side."""
    half = float(size.min()) / (2.0 * _ACROSS)
    counts = np.ceil(size / (2.0 * half) - 1e-9).astype(int)
    places = np.stack(np.meshgrid(*map(np.arange, counts), indexing="ij"), axis=-1).reshape(-1, 3)
    middles = 0.5 * size + 2.0 * half * (places - 0.5 * (counts - 1))
    cubes = _Cubes(middles, half, np.zeros(len(middles), bool), np.empty(0, int), np.empty(0, int))
    cube, face = [], []
    step = max(1, _PAIRS_AT_ONCE // len(triangles.around))
    for start in range(0, len(middles), step):
        part = middles[start : start + step]
        away = sum((part[:, None, axis] - triangles.middle[:, axis]) ** 2 for axis in range(3))
        away = np.sqrt(away)
        close = away - triangles.around <= away.min(axis=1)[:, None] + 2.0 * cubes.reach
        rows, columns = np.nonzero(close)
        cube.append(rows + start)
        face.append(columns)
    return replace(cubes, cube=np.concatenate(cube), face=np.concatenate(face))


@dataclass(frozen=True, eq=False)
class _Search:
    """Triangles and level, m along `up`, both from the lowest corner of the solid's box."""

    solid: Solid
    triangles: _Triangles
    up: Floats
    level: float

    def run(self, cubes: _Cubes, most: float, share: float) -> Ball:
        """From these cubes; most  m, no ball has a larger radius."""
        origin = self.solid.bounds[0]
        best, centre = 0.0, origin
        while True:
            cubes = self._hopeful(cubes, best)
            near = _Nearness.of(cubes, self.triangles)
            gap = self._gap(cubes.middles)
            hopeful = np.minimum(near.nearest, gap) + cubes.reach > best
            within, between = self._looked_at(cubes, near, gap, hopeful)
            room = np.minimum(np.where(within, near.nearest, -near.nearest), gap)
            if room.max() > best:
                best, at = float(room.max()), cubes.middles[room.argmax()]
                if most - best > share * best:
                    best, at = self._climbed(cubes, near, int(room.argmax()), best)
                centre = at + origin
            bound = room + cubes.reach
            # A place inside, seen from a middle outside, lies behind the surface.
            bound = _even(np.where(within, np.minimum(bound, between), bound))
            bound = np.minimum(bound + _ROUNDED, most)
            kept = hopeful & (bound > best * (1.0 + 1e-12))
            error = max(0.0, float(bound[hopeful].max(initial=0.0)) - best)
            if error <= share * best or 8 * kept.sum() > _MOST_CUBES or cubes.reach < _FINEST:
                return Ball((float(centre[0]), float(centre[1]), float(centre[2])), best, error)
            inside = within & (near.nearest > cubes.reach)
            may_be = near.apart <= near.nearest[cubes.cube] + 2.0 * cubes.reach
            cubes = replace(cubes, inside=inside).cut(kept, may_be)

    def _gap(self, points: Floats) -> Floats:
        """(p,) m from points (p, 3) m up to the level."""
        return _even(self.level - points @ self.up)

    def _hopeful(self, cubes: _Cubes, best: float) -> _Cubes:
        """Without the cubes that even the middles of their triangles leave no chance."""
        away = self.triangles.middles_away(cubes.middles[cubes.cube], cubes.face)
        starts = np.flatnonzero(np.diff(cubes.cube, prepend=-1))
        room = np.minimum(np.minimum.reduceat(away, starts), self._gap(cubes.middles))
        return cubes.only(room + cubes.reach > best)

    def _climbed(
        self, cubes: _Cubes, near: "_Nearness", number: int, room: float
    ) -> tuple[float, Floats]:
        """The room, m, and the place of a better centre within a cube, as far as small steps lead.

        Each step stays within the ball that is there already, so it leads nowhere outside; a
        better best leaves more cubes out.
        """
        middle, half = cubes.middles[number], cubes.half
        pairs = (cubes.cube == number) & (near.apart <= near.nearest[number] + 2.0 * cubes.reach)
        faces = cubes.face[pairs]
        at, step = middle, 0.5 * min(half, room)
        for _ in range(_STEPS):
            asked = (at + step * _AROUND).clip(middle - half, middle + half)
            points = np.repeat(asked, len(faces), axis=0)
            _, apart = self.triangles.nearest_to(points, np.tile(faces, len(asked)))
            found = apart.reshape(len(asked), -1).min(axis=1)
            found = np.minimum(found, self._gap(asked))
            if found.max() > room:
                room, at = float(found.max()), asked[found.argmax()]
            else:
                step *= 0.5
        return room, at

    def _looked_at(
        self, cubes: _Cubes, near: "_Nearness", gap: Floats, hopeful: NDArray[np.bool_]
    ) -> tuple[NDArray[np.bool_], Floats]:
        """(n,) the middle lies inside; and (n,) m, the bound between two walls, or wall and level.

        gap  (n,) m from the middle up to the level

        Only where there is hope, else False and infinite. Inside or outside is asked where the
        nearest triangles do not agree about it.
        """
        close = near.apart <= near.nearest[cubes.cube] + cubes.reach
        close &= hopeful[cubes.cube] & near.exact
        cube, face = cubes.cube[close], cubes.face[close]
        off = self.triangles.off(cubes.middles[cube], face, near.shares[:, close])
        apart, nearest = near.apart[close], near.nearest[hopeful]
        starts = np.flatnonzero(np.diff(cube, prepend=-1))
        row = np.repeat(np.arange(len(starts)), np.diff(starts, append=len(cube)))
        tied = apart <= nearest[row] + _TIE
        side = np.einsum("ij,ij->i", off, self.triangles.normals[face])
        before = np.minimum.reduceat(np.where(tied, side, np.inf), starts) > 0.0
        behind = np.maximum.reduceat(np.where(tied, side, -np.inf), starts) < 0.0
        inside = np.zeros(len(cubes.middles), dtype=bool)
        inside[hopeful] = behind
        unknown = np.flatnonzero(hopeful)[~(behind | before)]
        inside[unknown] = cubes.inside[unknown]
        unknown = unknown[~inside[unknown]]
        inside[unknown] = contains(self.solid, cubes.middles[unknown] + self.solid.bounds[0])
        first = np.flatnonzero(tied)[np.searchsorted(row[tied], np.arange(len(starts)))]
        gradient = off / np.maximum(apart, _TIE)[:, None]
        both = np.linalg.norm(gradient + gradient[first][row], axis=1)
        mean = np.minimum.reduceat(apart + cubes.reach * both, starts)
        below = np.linalg.norm(gradient - self.up, axis=1)
        level = np.minimum.reduceat(apart + cubes.reach * below, starts)
        between = np.full(len(cubes.middles), np.inf)
        bent = cubes.reach**2 / np.maximum(nearest, _TIE)
        between[hopeful] = 0.5 * (np.minimum(mean + nearest, level + gap[hopeful]) + bent)
        return inside, between


@dataclass(frozen=True, eq=False)
class _Nearness:
    """How near the middle of each cube lies to the surface.

    apart, shares  (p,) m and (2, p), of each pair of cube and triangle
    exact          (p,) True: `apart` is the distance; False: no more than the distance, of a
                   triangle that is further away than the nearest one by more than the reach
    nearest        (n,) m
    """

    apart: Floats
    shares: Floats
    exact: NDArray[np.bool_]
    nearest: Floats

    @classmethod
    def of(cls, cubes: _Cubes, triangles: _Triangles) -> "_Nearness":
        starts = np.flatnonzero(np.diff(cubes.cube, prepend=-1))
        away = triangles.middles_away(cubes.middles[cubes.cube], cubes.face)
        apart = away - triangles.around[cubes.face]
        exact = apart <= (np.minimum.reduceat(away, starts) + cubes.reach)[cubes.cube]
        shares = np.zeros((2, len(apart)))
        points, faces = cubes.middles[cubes.cube[exact]], cubes.face[exact]
        shares[:, exact], apart[exact] = triangles.nearest_to(points, faces)
        nearest = np.minimum.reduceat(np.where(exact, apart, np.inf), starts)
        return cls(apart, shares, exact, nearest)
