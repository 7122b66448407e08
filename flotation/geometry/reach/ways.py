"""Ways along the inside of a solid, from cell to cell, longer where it is narrow."""

from dataclasses import dataclass

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


@dataclass(frozen=True, eq=False)
class Web:
    """Cells, and how long each step from one to another counts.

    cost            (n,) by which a metre at each cell is multiplied
    starts          (n + 1,) where the steps from each cell begin in the next two
    ends, lengths   (k,) the cell that a step leads to, and what it counts, m
    """

    cells: Cells
    cost: Floats
    starts: Integers
    ends: Integers
    lengths: Floats


def web_of(cells: Cells, free_width: float) -> Web:
    """The web of ways, with what a metre counts where the solid is narrower than `free_width`."""
    cost = cost_per_metre(cells.width, free_width)
    steps = cells.many_steps
    metres = cells.step * np.linalg.norm(list(steps), axis=1)
    # From each cell in turn, whatever its steps lead to: rows of a sparse array as they stand.
    led = np.stack(list(steps.values()), axis=1)
    start, step = np.nonzero(led >= 0)
    end = led[start, step]
    lengths: Floats = metres[step] * (0.5 * (cost[start] + cost[end]))
    starts = np.concatenate([[0], np.cumsum(np.bincount(start, minlength=len(cost)))])
    return Web(cells, cost, starts, end, lengths)


def ways_from(web: Web, holes: Floats, inward: Floats, longest: float = np.inf) -> Floats:
    """(holes, n) m, the shortest way from each hole to each cell; infinite where there is none.

    holes   (holes, 3) m, on the surface
    inward  (holes, 3) unit, into the solid
    longest m, beyond which ways are not sought and count as none

    Dijkstra's shortest paths over the 98 steps of up to two cells along each axis (1 0 0 to
    2 2 1). A step is there only if single steps lead round to the same cell, so no way passes a
    wall. A straight way is up to 4.95 % too long; at a bend it may cut the corner by part of a
    cell.
    """
    from scipy.sparse import csr_array  # noqa: PLC0415 - loaded only where ways are sought
    from scipy.sparse.csgraph import dijkstra  # noqa: PLC0415 - likewise

    cells, count = web.cells, len(web.cost)
    if not len(holes):
        return np.empty((0, count))
    doors = [_door(cells, hole, way) for hole, way in zip(holes, inward, strict=True)]
    into = [
        np.linalg.norm(cells.points[door] - hole, axis=1) * web.cost[door]
        for door, hole in zip(doors, holes, strict=True)
    ]
    starts = web.starts[-1] + np.cumsum([door.size for door in doors])
    size = count + len(holes)
    graph = csr_array(
        (
            np.concatenate([web.lengths, *into]),
            np.concatenate([web.ends, *doors]),
            np.concatenate([web.starts, starts]),
        ),
        shape=(size, size),
    )
    found: Floats = dijkstra(graph, indices=np.arange(count, size), limit=longest)[:, :count]
    return found


def _door(cells: Cells, hole: Floats, inward: Floats) -> Integers:
    """The cells that a hole leads to straight: the one under it, and those beside that one."""
    under = hole + 0.5 * cells.step * inward
    first = int(np.linalg.norm(cells.points - under, axis=1).argmin())
    beside = np.array([led[first] for led in cells.many_steps.values()], dtype=np.intp)
    beside = np.unique(beside[beside >= 0])
    near = np.linalg.norm(cells.points[beside] - hole, axis=1) <= _NEAR * cells.step
    return np.unique(np.r_[first, beside[near]])
