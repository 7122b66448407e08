"""Which hole foam comes from, at each place of a cavity, and which places it does not get to."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from flotation.geometry.bodies import label_bodies
from flotation.geometry.nearness import nearest_on_surface, nearest_triangle
from flotation.geometry.reach.cells import Cells, cell_size, cells_of
from flotation.geometry.reach.ways import TOO_LONG, Web, ways_from, web_of
from flotation.geometry.solid import Floats, Integers, Solid

LEAST = 1e-3
"""Share of a cavity's volume below which what is not reached is no place of its own: foam at the
edge of cells."""


@dataclass(frozen=True)
class Flow:
    """How far foam flows from its hole, and the width of a gap from which that holds; m."""

    length: float
    free_width: float


@dataclass(frozen=True)
class Unreached:
    """A place that foam does not get to: m3, its centroid m, and the box around it (2, 3) m.

    cells  which of the reach's cells it is made of
    """

    volume: float
    centroid: tuple[float, float, float]
    bounds: tuple[tuple[float, float, float], tuple[float, float, float]]
    cells: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Reach:
    """How far foam gets from each hole, along the cavity.

    web   of the cells: what each step between them counts
    away  (holes, n) m, the way from each hole to each cell, lengthened where it is narrow
    """

    solid: Solid
    web: Web
    flow: Flow
    away: Floats

    @property
    def cells(self) -> Cells:
        """The cells of the solid."""
        return self.web.cells

    def nearest(self, holes: Integers | None = None) -> Floats:
        """(holes, n) share of each cell that each hole fills first, over the holes that are asked.

        holes  which of them are open; None: all. Rows of the others are zero
        The border between two holes runs through cells, which are divided by how much nearer one
        is; a cell that no hole leads to is shared evenly, because it has to be poured for.
        """
        asked = np.arange(len(self.away)) if holes is None else holes
        share = np.zeros_like(self.away)
        if not asked.size:
            return share
        away = self.away[asked]
        least = away.min(axis=0)
        lost = ~np.isfinite(least)
        behind = np.where(lost, 0.0, away) - np.where(lost, 0.0, least)
        part = np.maximum(1.0 - behind / (self.cells.step * self.web.cost), 0.0)
        share[asked] = part / part.sum(axis=0)
        return share

    @cached_property
    def reached(self) -> Floats:
        """(n,) share of each cell that foam gets to from some hole within the flow length."""
        return self._within(self.flow.length)

    def _within(self, length: float) -> Floats:
        if not len(self.away):
            return np.zeros(len(self.cells.volume))
        over = (length - self.away.min(axis=0)) / (self.cells.step * self.web.cost)
        reached: Floats = np.clip(0.5 + over, 0.0, 1.0)
        return reached

    @property
    def shares(self) -> Floats:
        """(holes,) m3 that foam gets to from each hole first; with `unreached` the volume."""
        return self.nearest() @ (self.cells.volume * self.reached)

    @cached_property
    def unreached(self) -> float:
        """m3 that foam gets to from no hole."""
        return max(0.0, float(self.cells.volume @ (1.0 - self.reached)))

    @cached_property
    def unreached_between(self) -> tuple[float, float]:
        """m3, least and most, if the ways are as far off as cells of this size can make them.

        Ways are up to 4.95 % too long, and half a step too short or too long where they bend.
        """
        half = 0.5 * self.cells.step
        longest = self.flow.length * (1.0 + TOO_LONG) + half
        ends = (self._within(longest), self._within(self.flow.length - half))
        least, most = (float(self.cells.volume @ (1.0 - part)) for part in ends)
        return max(0.0, least), most

    @cached_property
    def furthest(self) -> Floats:
        """(holes,) m, the longest way that foam takes from each hole to a cell it fills first."""
        mine = (self.nearest() >= 0.5) & (self.reached >= 0.5)
        furthest: Floats = np.where(mine, self.away, 0.0).max(axis=1, initial=0.0)
        return furthest

    @cached_property
    def places(self) -> tuple[Unreached, ...]:
        """Where foam does not get to, the largest first; crumbs of a thousandth are left off."""
        missing = np.flatnonzero(self.reached < 0.5)
        if not missing.size:
            return ()
        number = np.full(len(self.reached), -1, dtype=np.intp)
        number[missing] = np.arange(missing.size)
        ahead = self.cells.ahead[:, missing]
        beside = [
            np.stack([number[missing[there >= 0]], number[there[there >= 0]]], axis=1)
            for there in ahead
        ]
        alone = np.stack([np.arange(missing.size)] * 2, axis=1)
        edges = np.concatenate([alone, *(pair[pair[:, 1] >= 0] for pair in beside)])
        label = label_bodies(edges)[: missing.size]
        found = [self._place(missing[label == one]) for one in range(int(label.max()) + 1)]
        worth = [one for one in found if one.volume > LEAST * self.solid.volume]
        return tuple(sorted(worth, key=lambda one: -one.volume))

    def _place(self, cells: Integers) -> Unreached:
        volume, points = self.cells.volume[cells], self.cells.points[cells]
        x, y, z = (float(value) for value in volume @ points / volume.sum())
        half = 0.5 * self.cells.step
        low = np.maximum(points.min(axis=0) - half, self.solid.bounds[0])
        high = np.minimum(points.max(axis=0) + half, self.solid.bounds[1])
        corners = tuple((float(a), float(b), float(c)) for a, b, c in (low, high))
        bounds = (corners[0], corners[1])
        return Unreached(float(volume.sum()), (x, y, z), bounds, tuple(cells.tolist()))


def reach_from(solid: Solid, holes: ArrayLike, flow: Flow, cells: Cells | None = None) -> Reach:
    """How far does foam get from each hole, along the inside of a cavity?

    holes  (n, 3) m; each counts at the point of the surface nearest to it
    flow   flow length and the width from which it holds
    cells  of the solid; None: at the step of `cell_size`

    A metre of way counts 1 where the cavity is at least `free_width` wide and free_width / width
    where it is narrower. Ways do not pass walls, however thin. They are up to 4.95 % too long (by
    the directions of their steps), so the volume not reached is rather too large, and off by
    about a cell where they begin and bend: `unreached_between` gives both ends. Gravity, the order
    of the lifts and foam that meets foam are not in this.
    """
    if not flow.length > 0.0 or not flow.free_width > 0.0:
        raise ValueError(f"flow length and free width must be above zero, got {flow!r}")
    cells = cells_of(solid, cell_size(solid)) if cells is None else cells
    none = np.empty((0, len(cells.volume)))
    return with_holes(Reach(solid, web_of(cells, flow.free_width), flow, none), holes)


def with_holes(reach: Reach, holes: ArrayLike, longest: float = np.inf) -> Reach:
    """The same with further holes (n, 3) m after those that it has.

    longest  m, beyond which ways from them are not sought and count as none
    """
    points, inward = _on_surface(reach.solid, np.asarray(holes, dtype=np.float64).reshape(-1, 3))
    more = ways_from(reach.web, points, inward, longest)
    return replace(reach, away=np.concatenate([reach.away, more]))


def _on_surface(solid: Solid, points: Floats) -> tuple[Floats, Floats]:
    """The points of the surface nearest to these, and the unit directions into the solid there."""
    if not len(points):
        return points, points
    triangle = nearest_triangle(solid, points)
    a, b, c = (solid.vertices[solid.faces[triangle, i]] for i in range(3))
    outward = np.cross(b - a, c - a)
    length = np.maximum(np.linalg.norm(outward, axis=1, keepdims=True), np.finfo(float).tiny)
    return nearest_on_surface(solid, points), -outward / length
