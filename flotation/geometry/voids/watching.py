"""Spaces that walls all but close off, seen without regard to how gaps are sealed.

A grid of cells shows every space with room in it and every mouth between two of them. Each is
then looked up among the regions that walls and putty do close off: a space that lies in none of
them is open, two spaces in one of them are joined. Nothing that seals badly can hide from this.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.basins import Basins, Mouth, basins
from flotation.geometry.voids.cells import grid_round, surface_cells
from flotation.geometry.voids.sealing import Region, Sealed
from flotation.geometry.voids.sheets import joined
from flotation.geometry.voids.winding import contains

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]

OUTSIDE, SOLID = -1, -2
# Openings up to so many cells wide are looked for.
_CELLS = 8
_MOST = 24e6
_LEVELS = 4
# A space is roomier than its mouth by this many levels, or it is one with the space beyond.
_ROOMIER = 2
# An opening that the grid does not show is narrower than so many cells.
_NARROW = 5.0
# Cells of a mouth are gathered in blocks of so many.
_BLOCK = 4


@dataclass(frozen=True, eq=False)
class Boxes:
    """Boxes, low and high corners (n, 3) m."""

    low: Floats
    high: Floats


@dataclass(frozen=True, eq=False)
class Place:
    """Where two spaces may be joined.

    one, other  numbers of the spaces, the smaller one first
    width       m, the opening is about so wide
    mouth       boxes round it; None where it is too narrow for the grid
    space       boxes round the whole of the smaller space
    """

    one: int
    other: int
    width: float
    mouth: Boxes | None
    space: Boxes


@dataclass(frozen=True, eq=False)
class Watch:
    """What the grid shows.

    cell    m, the side of its cells
    seed    (spaces, 3) m, a roomy place in each
    volume  (spaces,) m3, to the cell
    region  (spaces,) the region that closes each off, OUTSIDE for none
    places  between spaces of one region, or of none
    """

    cell: float
    seed: Floats
    volume: Floats
    region: Integers
    places: tuple[Place, ...]


def watch(corners: Floats, sealed: Sealed, looked_to: float) -> Watch:
    """Look at the triangles of all parts, (n, 3, 3) m, for openings up to about `looked_to`, m."""
    grid = grid_round(corners, looked_to / _CELLS, _MOST, _LEVELS + 2)
    found, mouths = basins(grid, surface_cells(grid, corners), _LEVELS)
    seed = grid.centres(found.seed)
    region = np.array([region_of(point, sealed) for point in seed])
    region[:2] = SOLID, OUTSIDE
    region[found.born < 1] = SOLID
    region[1] = OUTSIDE
    group = _groups(found, mouths, region)
    cells = np.bincount(group, found.cells, minlength=len(group))
    volume: Floats = cells.astype(np.float64) * grid.cell**3
    pairs = _Places(found, region, group)
    places = pairs.seen(mouths) + pairs.unseen(mouths)
    return Watch(grid.cell, seed, volume, region, tuple(places))


def region_of(point: Floats, sealed: Sealed) -> int:
    """The region that holds a point, OUTSIDE for none, SOLID within walls or putty."""
    for number, region in enumerate(sealed.regions):
        if _in(region, point):
            return number
    return SOLID if any(_in(shell, point) for shell in sealed.outer) else OUTSIDE


def _in(region: Region, point: Floats) -> bool:
    return contains(region.vertices, region.faces, point)


def _groups(found: Basins, mouths: Sequence[Mouth], region: Integers) -> Integers:
    """For each space the lowest number of those that it is one with."""
    wide = [
        (mouth.one, mouth.other)
        for mouth in mouths
        if region[mouth.one] == region[mouth.other]
        and min(found.born[mouth.one], found.born[mouth.other]) < mouth.level + _ROOMIER
    ]
    one, other = np.array(wide, dtype=np.intp).reshape(-1, 2).T
    return joined(one, other, len(found.born))


class _Places:
    """Pairs of spaces that share a region, or are both open."""

    def __init__(self, found: Basins, region: Integers, group: Integers) -> None:
        self.found, self.region, self.group = found, region, group
        self.cell = found.grid.cell
        self.round: dict[int, Boxes] = {}

    def seen(self, mouths: Sequence[Mouth]) -> list[Place]:
        """Those between which the grid shows a mouth."""
        places = []
        for mouth in mouths:
            one, other = int(self.group[mouth.one]), int(self.group[mouth.other])
            alike = self.region[one] == self.region[other] != SOLID
            if one != other and alike:
                small, large = self._by_size(one, other)
                width = (2 * mouth.level + 4) * self.cell
                boxes = _blocks(self.found, mouth.cells)
                places.append(Place(small, large, width, boxes, self._round(small)))
        return places

    def unseen(self, mouths: Sequence[Mouth]) -> list[Place]:
        """Those that the grid shows no way between."""
        alike = [m for m in mouths if self.region[m.one] == self.region[m.other]]
        met = np.array([(m.one, m.other) for m in alike], dtype=np.intp).reshape(-1, 2)
        one, other = self.group[met].T
        way = joined(one, other, len(self.group))[self.group]
        places = []
        for number in np.unique(self.region[self.region != SOLID]):
            here = [n for n in np.unique(self.group) if self.region[n] == number]
            largest = max(here, key=self._size)
            lone = {int(way[n]): n for n in sorted(here, key=self._size)}
            for small in (n for w, n in lone.items() if w != way[largest]):
                boxes = self._round(small)
                places.append(Place(small, largest, _NARROW * self.cell, None, boxes))
        return places

    def _size(self, number: int) -> float:
        """Cells of a space and those that it is one with; the outside has more than any."""
        inside = float(self.found.cells[self.group == number].sum())
        return inside if number != 1 else np.inf

    def _by_size(self, one: int, other: int) -> tuple[int, int]:
        return (one, other) if self._size(one) <= self._size(other) else (other, one)

    def _round(self, number: int) -> Boxes:
        if number not in self.round:
            inside = np.zeros(len(self.group), dtype=bool)
            inside[self.group == number] = True
            cells = np.flatnonzero(inside[self.found.label])
            self.round[number] = _blocks(self.found, cells)
        return self.round[number]


def _blocks(found: Basins, cells: Integers) -> Boxes:
    """Boxes of the blocks in which cells lie."""
    place = np.stack(np.unravel_index(cells, found.grid.shape), axis=1) // _BLOCK
    size = np.array(found.grid.shape) // _BLOCK + 1
    code = np.unique((place[:, 0] * size[1] + place[:, 1]) * size[2] + place[:, 2])
    block = np.stack([code // (size[1] * size[2]), code // size[2] % size[1], code % size[2]], 1)
    low = found.grid.first + found.grid.cell * (block * _BLOCK - 0.5)
    return Boxes(low, low + found.grid.cell * _BLOCK)
