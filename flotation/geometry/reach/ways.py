"""Ways along the inside of a solid, from cell to cell, longer where it is narrow."""

import numpy as np

from flotation.geometry.reach.cells import Cells
from flotation.geometry.solid import Floats, Integers

TOO_LONG = 0.0495
"""By at most this share is a straight way too long when it is made of the 98 steps below; by
ConvexHull of the unit steps, which a test repeats. Mean 2 %."""

_NEAR = 1.75
"""Steps from a hole within which it leads straight to cells."""


def cost_per_metre(width: Floats, free_width: float) -> Floats:
    """How much longer a metre counts where a solid is so wide, 1 or more.

    max(1, free_width / width): half the width, half the flow length; common practice, no source.
    """
    cost: Floats = np.maximum(1.0, free_width / width)
    return cost


def ways_from(
    cells: Cells, holes: Floats, inward: Floats, cost: Floats, longest: float = np.inf
) -> Floats:
    """(holes, n) m, the shortest way from each hole to each cell; infinite where there is none.

    holes   (holes, 3) m, on the surface
    inward  (holes, 3) unit, into the solid
    cost    (n,) by which a metre at each cell is multiplied
    longest m, beyond which ways are not sought and count as none

    Dijkstra's shortest paths over the 98 steps of up to two cells along each axis (1 0 0 to
    2 2 1). A step is there only if single steps lead round to the same cell, so no way passes a
    wall. A straight way is up to 4.95 % too long; at a bend it may cut the corner by part of a
    cell.
    """
    from scipy.sparse import csr_array  # noqa: PLC0415 - loaded only where ways are sought
    from scipy.sparse.csgraph import dijkstra  # noqa: PLC0415

    count, sources = len(cells.volume), len(holes)
    if not sources:
        return np.empty((0, count))
    start, end, length = cells.links
    length = length * 0.5 * (cost[start] + cost[end])
    doors = [_door(cells, hole, way) for hole, way in zip(holes, inward, strict=True)]
    for number, reached in enumerate(doors):
        away = np.linalg.norm(cells.points[reached] - holes[number], axis=1)
        start = np.r_[start, np.full(reached.size, count + number)]
        end, length = np.r_[end, reached], np.r_[length, away * cost[reached]]
    graph = csr_array((length, (start, end)), shape=(count + sources, count + sources))
    places = count + np.arange(sources)
    away = dijkstra(graph, directed=False, indices=places, limit=longest)
    found: Floats = away[:, :count]
    return found


def _door(cells: Cells, hole: Floats, inward: Floats) -> Integers:
    """The cells that a hole leads to straight: the one under it, and those beside that one."""
    under = hole + 0.5 * cells.step * inward
    first = int(np.linalg.norm(cells.points - under, axis=1).argmin())
    beside = np.array([led[first] for led in cells.many_steps.values()], dtype=np.intp)
    beside = np.unique(beside[beside >= 0])
    near = np.linalg.norm(cells.points[beside] - hole, axis=1) <= _NEAR * cells.step
    return np.unique(np.r_[first, beside[near]])
