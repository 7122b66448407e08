"""Cells of a regular grid that a surface passes through. Works on arrays.

Every line between the centres of two neighbouring cells that a triangle crosses marks both of
them. So no path from cell to cell gets past a surface, however thin it is; an opening in it is
seen where it is more than about two cells wide.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]

_AT_ONCE = 2_000_000


@dataclass(frozen=True, eq=False)
class Grid:
    """Cells of side `cell`, m; the centre of cell 0, 0, 0 stands at `first`, (3,) m."""

    first: Floats
    cell: float
    shape: tuple[int, int, int]

    def centres(self, flat: Integers) -> Floats:
        """Centres, (n, 3) m, of cells by their flat numbers."""
        return self.first + self.cell * np.stack(np.unravel_index(flat, self.shape), axis=1)


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


def surface_cells(grid: Grid, corners: Floats) -> Mask:
    """Which cells, shaped as the grid, have a surface between their centre and a neighbour's."""
    wall = np.zeros(grid.shape, dtype=bool)
    points = (corners - grid.first) / grid.cell
    for axis in range(3):
        u, v = (axis + 1) % 3, (axis + 2) % 3
        # Rows of lines are followed along the direction in which a triangle is longer.
        long_u = np.ptp(points[:, :, u], axis=1) > np.ptp(points[:, :, v], axis=1)
        for rows, across, lot in ((v, u, long_u), (u, v, ~long_u)):
            order = [axis, rows, across]
            _mark(np.moveaxis(wall, order, (0, 1, 2)), points[lot][:, :, order])
    return wall


def _mark(wall: Mask, points: Floats) -> None:
    """Mark along the first axis; `wall` and the last axis of `points` in the same order."""
    low = np.ceil(points[:, :, 1].min(axis=1)).astype(np.intp)
    count = np.floor(points[:, :, 1].max(axis=1)).astype(np.intp) - low + 1
    ends = np.cumsum(np.maximum(count, 0))
    for start in range(0, int(ends[-1]) if len(ends) else 0, _AT_ONCE):
        row = np.arange(start, min(start + _AT_ONCE, int(ends[-1])))
        triangle = np.searchsorted(ends, row, side="right")
        step = row - (ends[triangle] - np.maximum(count[triangle], 0))
        _mark_rows(wall, points[triangle], low[triangle] + step)


def _mark_rows(wall: Mask, points: Floats, row: Integers) -> None:
    """Each triangle along one row of lines."""
    left, right = np.full(len(row), np.inf), np.full(len(row), -np.inf)
    for k in range(3):
        one, two = points[:, k], points[:, (k + 1) % 3]
        rise = two[:, 1] - one[:, 1]
        share = (row - one[:, 1]) / np.where(rise == 0.0, 1.0, rise)
        hit = (share >= 0.0) & (share <= 1.0) & (rise != 0.0)
        at = one[:, 2] + share * (two[:, 2] - one[:, 2])
        left = np.where(hit, np.minimum(left, at), left)
        right = np.where(hit, np.maximum(right, at), right)
    normal = np.cross(points[:, 1] - points[:, 0], points[:, 2] - points[:, 0])
    crossed = (left <= right) & (np.abs(normal[:, 0]) > 1e-12)
    points, row, normal = points[crossed], row[crossed], normal[crossed]
    left, right = left[crossed], right[crossed]
    first = np.ceil(left).astype(np.intp)
    count = np.maximum(np.floor(right).astype(np.intp) - first + 1, 0)
    which = np.repeat(np.arange(len(row)), count)
    column = first[which] + np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    off = normal[which, 1] * (row[which] - points[which, 0, 1])
    off += normal[which, 2] * (column - points[which, 0, 2])
    height = points[which, 0, 0] - off / normal[which, 0]
    below = np.floor(height).astype(np.intp)
    for side in (below, below + 1):
        inside = (side >= 0) & (side < wall.shape[0])
        wall[side[inside], row[which[inside]], column[inside]] = True


def grown(cells: Mask) -> Mask:
    """Those cells and all cells beside them, across edges and corners too."""
    result = cells.copy()
    for axis in range(3):
        one = np.moveaxis(result, axis, 0)
        before = one.copy()
        one[1:] |= before[:-1]
        one[:-1] |= before[1:]
    return result
