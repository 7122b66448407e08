"""A solid as cells: how much of it each holds, how wide it is there, and which lie side by side.

The cells are the points of a lattice that lie inside the solid. Along each axis the lattice's
lines are cut exactly with the mesh, so that two points are beside one another only if nothing
stands between them: a wall thinner than the step divides as well as a thick one.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from flotation.errors import Fault, MeshError
from flotation.geometry.reach.lines import Lattice, Spans, spans_along
from flotation.geometry.reach.steps import Steps, many_steps, single_steps
from flotation.geometry.solid import Floats, Integers, Solid

CELLS = 3000
"""Cells that a plain cavity is divided into; tests/studies/cells_of_a_cavity.py decided it."""
_MOST = 60_000
_ACROSS = 2.0
"""Cells across the mean thickness, at least."""
_ENOUGH = 0.05
"""Share by which cells may misjudge the volume, or the step is made smaller."""
_TRIES, _SMALLER = 10, 1.15
_OFF = np.array([0.7548776662, 0.5698402910, 0.3819660113]) * 1e-6
"""Of the step: keeps the lattice off the corners of drawn bodies without moving it to any eye."""


@dataclass(frozen=True, eq=False)
class Cells:
    """The points of a lattice inside a solid.

    lattice   the whole of it
    places    (n, 3) which of its points each cell is
    volume    (n,) m3 that belong to a cell; together the volume of the solid
    width     (n,) m, how wide the solid is there, square to its walls, where it is narrowest
    ahead     (3, n) the cell a step further along x, y, z; -1: none, or a wall lies between
    met       volume of the cells over that of the solid, before it was made whole: each cell is
              a block from half-way to its neighbours, or from the wall
    """

    lattice: Lattice
    places: Integers
    volume: Floats
    width: Floats
    ahead: Integers
    met: float

    @property
    def step(self) -> float:
        """From point to point, m."""
        return self.lattice.step

    @cached_property
    def points(self) -> Floats:
        """(n, 3) m."""
        points: Floats = self.lattice.origin + self.places * self.step
        return points

    @cached_property
    def many_steps(self) -> dict[Steps, Integers]:
        """For each of 98 steps, the cell that it leads to from each, or -1."""
        return many_steps(single_steps(self.ahead))


def cell_size(solid: Solid, cells: int = CELLS) -> float:
    """The step of a lattice for a solid, m.

    Cube root of volume / cells, but at most the mean thickness, 2 volume / area, over 2, as
    far as that makes no more than 60 000 cells. Common practice, no source.
    """
    even = float(np.cbrt(solid.volume / cells))
    thin = 2.0 * solid.volume / solid.area / _ACROSS
    least = float(np.cbrt(solid.volume / max(cells, _MOST)))
    return float(max(min(even, thin), least))


def cells_of(solid: Solid, step: float) -> Cells:
    """The cells of a solid at a step, m; smaller where cells of that size misjudge its volume.

    The lattice lies evenly about the middle of the box around the solid, so that a mirrored solid
    has mirrored cells. Raises MeshError for a solid that is too thin for any cell.
    """
    for _ in range(_TRIES):
        cells = _cells(solid, step)
        if cells is not None and abs(cells.met - 1.0) <= _ENOUGH:
            return cells
        step /= _SMALLER
    if cells is None:
        raise MeshError(
            Fault(solid.name, "it is too thin to trace foam in it", "Look at its unit.")
        )
    return cells


def _cells(solid: Solid, step: float) -> Cells | None:
    low, high = solid.bounds
    count = np.maximum(np.rint((high - low) / step).astype(np.intp), 1)
    lattice, spans = _clear_of_edges(solid, Lattice(low, step, count))
    inside = [_numbered(one, lattice, axis) for axis, one in enumerate(spans)]
    grid = (inside[0] >= 0) & (inside[1] >= 0) & (inside[2] >= 0)
    if not grid.any():
        return None
    places = np.argwhere(grid)
    number = np.full(grid.shape, -1, dtype=np.intp)
    number[grid] = np.arange(len(places))
    at = tuple(places.T)
    sides = [
        _lengths(one, inside[axis][at], lattice, places, axis) for axis, one in enumerate(spans)
    ]
    volume: Floats = sides[0] * sides[1] * sides[2]
    met = float(volume.sum()) / solid.volume
    return Cells(
        lattice=lattice,
        places=places,
        volume=volume / met,
        width=np.min([_width(one, inside[axis][at]) for axis, one in enumerate(spans)], axis=0),
        ahead=np.stack([_ahead(number, inside[axis], places, axis) for axis in range(3)]),
        met=met,
    )


def _clear_of_edges(solid: Solid, lattice: Lattice) -> tuple[Lattice, list[Spans]]:
    """The lattice about the middle of the box, a hair off it, and its lines in the solid."""
    middle = solid.bounds.mean(axis=0)
    even = middle - 0.5 * (lattice.count - 1) * lattice.step
    for hair in (1.0, 2.3, -3.1, 47.0, -610.0):
        moved = Lattice(even + hair * lattice.step * _OFF, lattice.step, lattice.count)
        try:
            return moved, [spans_along(solid, moved, axis) for axis in range(3)]
        except MeshError as error:
            last = error
    raise last


def _numbered(spans: Spans, lattice: Lattice, axis: int) -> Integers:
    """(nx, ny, nz) the number of the span that each lattice point lies in; -1 outside."""
    u, v = (axis + 1) % 3, (axis + 2) % 3
    start, step = lattice.origin[axis], lattice.step
    first = np.ceil((spans.low - start) / step).astype(np.intp).clip(0)
    last = np.floor((spans.high - start) / step).astype(np.intp).clip(None, lattice.count[axis] - 1)
    length = np.maximum(last - first + 1, 0)
    span = np.arange(len(length)).repeat(length)
    along = first[span] + np.arange(span.size) - (np.cumsum(length) - length).repeat(length)
    grid = np.full(lattice.count, -1, dtype=np.intp)
    place = np.empty((3, span.size), dtype=np.intp)
    place[axis] = along
    place[u], place[v] = np.divmod(spans.line[span], lattice.count[v])
    grid[tuple(place)] = span
    return grid


def _lengths(spans: Spans, span: Integers, lattice: Lattice, places: Integers, axis: int) -> Floats:
    """(n,) m of its span that belong to each cell: half-way to the next, or to the wall."""
    z = lattice.origin[axis] + places[:, axis] * lattice.step
    low, high, half = spans.low[span], spans.high[span], 0.5 * lattice.step
    begins = np.where(z - lattice.step < low, low, z - half)
    ends = np.where(z + lattice.step > high, high, z + half)
    length: Floats = ends - begins
    return length


def _width(spans: Spans, span: Integers) -> Floats:
    """(n,) m between the walls that an axis meets, square to the one it meets more squarely.

    Right between parallel walls at any slant; where the walls are not parallel it is too wide
    rather than too narrow.
    """
    chord = spans.high[span] - spans.low[span]
    width: Floats = chord * np.maximum(spans.slant_low[span], spans.slant_high[span])
    return width


def _ahead(number: Integers, inside: Integers, places: Integers, axis: int) -> Integers:
    step = np.zeros(3, dtype=np.intp)
    step[axis] = 1
    there = places + step
    fits = there[:, axis] < number.shape[axis]
    there[~fits] = places[~fits]
    same = inside[tuple(there.T)] == inside[tuple(places.T)]
    ahead: Integers = np.where(fits & same, number[tuple(there.T)], -1)
    return ahead
