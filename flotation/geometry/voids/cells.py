"""Cells of a regular grid that a surface passes through. Works on arrays.

Every line between the centres of two neighbouring cells that a triangle crosses marks both of
them. So no path from cell to cell gets past a surface, however thin it is; an opening in it is
seen where it is more than about two cells wide.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.bodies import label_bodies

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]

_AT_ONCE = 2_000_000


@dataclass(frozen=True, eq=False)
class Crossings:
    """Where lines of centres along one axis cross triangles.

    triangle  (n,) their numbers
    place     (n, 3) in cells from the first centre; a whole number but along the axis
    """

    axis: int
    triangle: Integers
    place: Floats


@dataclass(frozen=True, eq=False)
class Grid:
    """Cells of side `cell`, m; the centre of cell 0, 0, 0 stands at `first`, (3,) m."""

    first: Floats
    cell: float
    shape: tuple[int, int, int]

    def places(self, flat: Integers) -> Integers:
        """Which cell along each axis, (n, 3), by their flat numbers."""
        return np.stack(np.unravel_index(flat, self.shape), axis=1)

    def numbers(self, places: Integers) -> Integers:
        """Flat numbers of those of the places, (n, 3), that lie in the grid."""
        inside = ((places >= 0) & (places < self.shape)).all(axis=1)
        return np.asarray(np.ravel_multi_index(tuple(places[inside].T), self.shape))

    def centres(self, flat: Integers) -> Floats:
        """Centres, (n, 3) m, of cells by their flat numbers."""
        return np.asarray(self.first + self.cell * self.places(flat))

    def beside(self, cells: Integers) -> Iterator[tuple[Integers, Mask]]:
        """For each of six directions the cells there, and which of them lie in the grid.

        A row that runs on into the next one does so at the rim, which is all one space.
        """
        nx, ny, nz = self.shape
        for step in (1, nz, ny * nz):
            for shift in (step, -step):
                there = cells + shift
                yield there, (there >= 0) & (there < nx * ny * nz)

    def grown(self, cells: Mask, *, across_edges: bool = True) -> Mask:
        """Those cells and all cells beside them, across edges and corners too or not."""
        result = cells.copy()
        for axis in range(3):
            before = result.copy() if across_edges else cells
            ahead = tuple(slice(1, None) if k == axis else slice(None) for k in range(3))
            back = tuple(slice(None, -1) if k == axis else slice(None) for k in range(3))
            result[ahead] |= before[back]
            result[back] |= before[ahead]
        return result

    def meeting(self, label: Labels) -> tuple[Integers, Integers]:
        """Pairs of cells side by side that have different labels above 0."""
        here, there = [], []
        _, ny, nz = self.shape
        for axis, step in enumerate((ny * nz, nz, 1)):
            ahead = tuple(slice(1, None) if k == axis else slice(None) for k in range(3))
            back = tuple(slice(None, -1) if k == axis else slice(None) for k in range(3))
            differ = (label[ahead] != label[back]) & (label[ahead] > 0) & (label[back] > 0)
            x, y, z = np.nonzero(differ)
            here.append((x * ny + y) * nz + z)
            there.append(here[-1] + step)
        return np.concatenate(here), np.concatenate(there)

    def hanging(self, free: Mask) -> tuple[Integers, Integers, Integers]:
        """Which body each free cell belongs to, in their order; of each body a cell, its size."""
        starts, ends = _runs(free)
        if not starts.size:
            return starts, starts, starts
        body = label_bodies(self._adjoining(starts, ends))[: len(starts)]
        length = ends - starts
        size = np.bincount(body, length).astype(np.intp)
        order = np.lexsort((-length, body))
        longest = order[np.searchsorted(body[order], np.arange(len(size)))]
        return np.repeat(body, length), (starts[longest] + ends[longest]) // 2, size

    def _adjoining(self, starts: Integers, ends: Integers) -> Integers:
        """Pairs of runs of cells that lie side by side, and each run with itself."""
        _, ny, nz = self.shape
        itself = np.arange(len(starts))
        pairs = [np.stack([itself, itself], axis=1)]
        for step in (nz, ny * nz):
            first = np.searchsorted(ends, starts + step, side="right")
            count = np.maximum(np.searchsorted(starts, ends + step, side="left") - first, 0)
            run = np.repeat(itself, count)
            other = first[run] + np.arange(len(run)) - np.repeat(np.cumsum(count) - count, count)
            pairs.append(np.stack([run, other], axis=1))
        return np.concatenate(pairs)


def _runs(cells: Mask) -> tuple[Integers, Integers]:
    """Where unbroken rows of true cells start and end, along the flat numbers."""
    change = np.flatnonzero(cells[1:] != cells[:-1]) + 1
    ends = [len(cells)] if cells[-1] else []
    bounds = np.concatenate([[0] if cells[0] else [], change, ends]).astype(np.intp)
    return bounds[::2], bounds[1::2]


def grid_round(corners: Floats, cell: float, most: float, margin: int) -> Grid:
    """A grid round triangles, (n, 3, 3), with `margin` cells to spare and at most `most` cells."""
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    while True:
        shape = np.ceil((high - low) / cell).astype(int) + 2 * margin + 1
        if float(np.prod(shape.astype(float))) <= most:
            break
        cell *= 1.1
    # A little off, so that upright walls at round places do not run along lines of centres.
    first = low - (margin - 0.137) * cell
    return Grid(first, cell, (int(shape[0]), int(shape[1]), int(shape[2])))


def surface_cells(grid: Grid, corners: Floats) -> tuple[Mask, list[Crossings]]:
    """Which cells, shaped as the grid, have a surface between their centre and a neighbour's.

    And where the lines of centres cross the triangles, (n, 3, 3) m.
    """
    wall = np.zeros((1, *grid.shape), dtype=bool)
    points = (corners - grid.first) / grid.cell
    found = mark_surfaces(wall, points, np.zeros(len(corners), dtype=np.intp))
    return wall[0], found


def mark_surfaces(wall: Mask, points: Floats, block: Integers) -> list[Crossings]:
    """Mark such cells in blocks of cells, (blocks, x, y, z), and tell of all crossings.

    points  (n, 3, 3) triangles, in cells from the first centre of their `block`, (n,)
    """
    found = []
    for axis in range(3):
        u, v = (axis + 1) % 3, (axis + 2) % 3
        # Rows of lines are followed along the direction in which a triangle is longer.
        long_u = np.ptp(points[:, :, u], axis=1) > np.ptp(points[:, :, v], axis=1)
        for rows, across, lot in ((v, u, long_u), (u, v, ~long_u)):
            order = [axis, rows, across]
            turned = np.transpose(wall, (0, *(k + 1 for k in order)))
            number = np.flatnonzero(lot)
            for at, place in _mark(turned, points[number][:, :, order], block[number]):
                found.append(Crossings(axis, number[at], place[:, np.argsort(order)]))
    return found


def _mark(wall: Mask, points: Floats, block: Integers) -> Iterator[tuple[Integers, Floats]]:
    """Mark along the second axis; `wall` and the last axis of `points` in the same order."""
    low = np.maximum(np.ceil(points[:, :, 1].min(axis=1)), 0.0).astype(np.intp)
    high = np.minimum(np.floor(points[:, :, 1].max(axis=1)), wall.shape[2] - 1.0).astype(np.intp)
    count = np.maximum(high - low + 1, 0)
    ends = np.cumsum(count)
    for start in range(0, int(ends[-1]) if len(ends) else 0, _AT_ONCE):
        row = np.arange(start, min(start + _AT_ONCE, int(ends[-1])))
        triangle = np.searchsorted(ends, row, side="right")
        row = low[triangle] + row - (ends[triangle] - count[triangle])
        which, place = _cross(points[triangle], row, wall.shape[3])
        triangle = triangle[which]
        below, row, column = np.floor(place).astype(np.intp).T
        for side in (below, below + 1):
            inside = np.flatnonzero((side >= 0) & (side < wall.shape[1]))
            at = block[triangle[inside]]
            wall[at, side[inside], row[inside], column[inside]] = True
        near = np.flatnonzero((below >= -1) & (below < wall.shape[1]))
        yield triangle[near], place[near]


def _cross(points: Floats, row: Integers, columns: int) -> tuple[Integers, Floats]:
    """Where each triangle crosses the lines of one row: which do, and height, row and column."""
    left, right = _crossing(points, row)
    normal = np.cross(points[:, 1] - points[:, 0], points[:, 2] - points[:, 0])
    first = np.maximum(np.ceil(left), 0.0)
    last = np.minimum(np.floor(right), columns - 1.0)
    crossed = np.flatnonzero((first <= last) & (np.abs(normal[:, 0]) > 1e-12))
    start, row, normal = points[crossed, 0], row[crossed], normal[crossed]
    count = (last[crossed] - first[crossed]).astype(np.intp) + 1
    which = np.repeat(np.arange(len(row)), count)
    column = first[crossed][which] + np.arange(len(which))
    column -= np.repeat(np.cumsum(count) - count, count)
    # Height above the first corner falls off along rows and columns as the plane does.
    across = (normal[:, 1] * (row - start[:, 1]) - normal[:, 2] * start[:, 2]) / normal[:, 0]
    height = (start[:, 0] - across)[which] - (normal[:, 2] / normal[:, 0])[which] * column
    return crossed[which], np.stack([height, row[which].astype(np.float64), column], axis=1)


def _crossing(points: Floats, row: Integers) -> tuple[Floats, Floats]:
    """From where to where each triangle crosses its row; from inf to -inf where it does not."""
    left, right = np.full(len(row), np.inf), np.full(len(row), -np.inf)
    for k in range(3):
        one, two = points[:, k], points[:, (k + 1) % 3]
        rise = two[:, 1] - one[:, 1]
        share = (row - one[:, 1]) / np.where(rise == 0.0, 1.0, rise)
        hit = (share >= 0.0) & (share <= 1.0) & (rise != 0.0)
        at = one[:, 2] + share * (two[:, 2] - one[:, 2])
        left = np.where(hit, np.minimum(left, at), left)
        right = np.where(hit, np.maximum(right, at), right)
    return left, right
