"""Spaces that walls all but close off, seen without regard to how gaps are sealed.

A grid of cells shows every space with room in it and every mouth between two of them. Each is
then looked up among the regions that walls and putty do close off: a space that lies in none of
them is open, two spaces in one of them are joined. Nothing that seals badly can hide from this.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.basins import Mouth
from flotation.geometry.voids.blocks import codes
from flotation.geometry.voids.narrowing import ROOMIER, Step, steps
from flotation.geometry.voids.sealing import Region, Sealed
from flotation.geometry.voids.sheets import joined
from flotation.geometry.voids.winding import contains

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]

OUTSIDE, SOLID = -1, -2
# An opening that the grid does not show is narrower than so many cells.
_NARROW = 5.0
# Cells of a mouth are gathered in blocks of so many.
_BLOCK = 4
_BOXES = 400
# A space smaller than a cube so many gaps wide is none to tell of.
_LEAST = 4.0


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

    cells   m, the side of its cells, and up to which width of a space these were looked at, from
            the coarsest on, which is for any width
    least   m3, spaces of which the cells show less were left out
    seed    (spaces, 3) m, a roomy place in each
    volume  (spaces,) m3, to the cell
    region  (spaces,) the region that closes each off, OUTSIDE for none
    places  between spaces of one region, or of none
    """

    cells: tuple[tuple[float, float], ...]
    least: float
    seed: Floats
    volume: Floats
    region: Integers
    places: tuple[Place, ...]


def watch(corners: Floats, sealed: Sealed, gap: float, looked_to: float) -> Watch:
    """Look at the triangles of all parts, (n, 3, 3) m, for openings of two widths, m, between."""
    spaces = _Spaces(sealed, gap)
    seen = steps(corners, gap, looked_to, spaces.add)
    picture = _Picture(seen, spaces)
    places = picture.seen() + picture.unseen()
    room = [np.inf, *(2.0 * (step.room + 1) * step.cell for step in seen)]
    cells = tuple((step.cell, width) for step, width in zip(seen, room, strict=False))
    volume = picture.together(picture.volume)
    return Watch(cells, spaces.least, spaces.seed, volume, spaces.region, tuple(places))


class _Spaces:
    """Where the spaces of all steps lie among the regions that are closed off."""

    def __init__(self, sealed: Sealed, gap: float) -> None:
        self.sealed, self.gap = sealed, gap
        self.least = (_LEAST * gap) ** 3
        self.seed = np.full((1, 3), np.nan)
        self.region = np.array([SOLID])

    def add(self, step: Step) -> Mask:
        """Those that are new in a step; which of them lie within walls, or are too small to ask."""
        found = step.found
        large = (found.born >= 1) & (found.size * step.cell**3 >= self.least)
        # What may be no wider than the gap is a slit, which putty fills or leaves as a crumb.
        large &= (2 * found.born + 1) * step.cell > self.gap
        region = np.full(len(found.born), SOLID)
        region[: step.first] = self.region
        for number in range(step.first, len(region)):
            if large[number] or number == 1:
                region[number] = region_of(found.seed[number], self.sealed)
        if step.first == 1:
            region[1] = OUTSIDE
        self.seed = np.concatenate([self.seed, found.seed[step.first :]])
        self.region = region
        inside: Mask = large[step.first :] & (region[step.first :] == SOLID)
        return inside


def region_of(point: Floats, sealed: Sealed) -> int:
    """The region that holds a point, OUTSIDE for none, SOLID within walls or putty."""
    for number, region in enumerate(sealed.regions):
        if _in(region, point):
            return number
    return SOLID if any(_in(shell, point) for shell in sealed.outer) else OUTSIDE


def _in(region: Region, point: Floats) -> bool:
    return contains(region.vertices, region.faces, point)


class _Picture:
    """Pairs of spaces that share a region, or are both open, at whatever step they show."""

    def __init__(self, seen: Sequence[Step], spaces: _Spaces) -> None:
        self.steps, self.spaces, self.region = seen, spaces, spaces.region
        self.count = len(self.region)
        self.home = np.zeros(self.count, dtype=np.intp)
        self.volume = np.zeros(self.count)
        for number, step in enumerate(seen):
            new = slice(step.first, len(step.found.born))
            self.home[new] = number
            self.volume[new] = step.found.size[new] * step.cell**3
        self.lasting = seen[-1].lasting & (self.region != SOLID)
        pairs = [(m.one, m.other) for step in seen for m in step.mouths if self._wide(step, m)]
        one, other = np.array(pairs, dtype=np.intp).reshape(-1, 2).T
        self.group = joined(one, other, self.count)
        self.total = self.together(self.volume)
        self.round: dict[int, Boxes] = {}

    def together(self, values: Floats) -> Floats:
        """Of each space and those that it is one with."""
        total: Floats = np.bincount(self.group, values, minlength=self.count).astype(np.float64)
        return total[self.group]

    def _alike(self, mouth: Mouth) -> bool:
        """Whether one region closes both spaces off, or none."""
        one, other = mouth.one, mouth.other
        return bool(self.lasting[[one, other]].all() and self.region[one] == self.region[other])

    def _wide(self, step: Step, mouth: Mouth) -> bool:
        """Whether two spaces are one: neither is much roomier than the mouth between them."""
        born = min(int(step.found.born[mouth.one]), int(step.found.born[mouth.other]))
        return self._alike(mouth) and born < mouth.level + ROOMIER

    def seen(self) -> list[Place]:
        """Those between which a mouth shows."""
        places = []
        for step in self.steps:
            for mouth in step.mouths:
                one, other = int(self.group[mouth.one]), int(self.group[mouth.other])
                if one != other and self._alike(mouth):
                    small, large = self._by_size(one, other)
                    width = (2 * mouth.level + 4) * step.cell
                    boxes = _blocks(step, mouth.cells)
                    places.append(Place(small, large, width, boxes, self._round(small)))
        return places

    def unseen(self) -> list[Place]:
        """Those that no step shows a way between."""
        alike = [m for step in self.steps for m in step.mouths if self._alike(m)]
        met = np.array([(m.one, m.other) for m in alike], dtype=np.intp).reshape(-1, 2)
        one, other = self.group[met].T
        way = joined(one, other, self.count)[self.group]
        places = []
        for number in np.unique(self.region[self.lasting]):
            here = np.unique(self.group[self.lasting & (self.region == number)])
            ordered = sorted((int(n) for n in here), key=self._size)
            lone = {int(way[n]): n for n in ordered}
            for small in (n for w, n in lone.items() if w != way[ordered[-1]] and not self._cut(n)):
                width = _NARROW * self.steps[self.home[small]].cell
                places.append(Place(small, ordered[-1], width, None, self._round(small)))
        return places

    def _cut(self, space: int) -> bool:
        """Whether a space reaches the edge of the cells that were divided, and goes on beyond."""
        of = np.flatnonzero(self.group == space)
        for number in np.unique(self.home[of][self.home[of] > 0]):
            found = self.steps[number].found
            cells = np.flatnonzero(np.isin(found.label, of[self.home[of] == number]))
            if not all(inside.all() for _, inside in found.cells.beside(cells)):
                return True
        return False

    def _size(self, number: int) -> float:
        """Volume of a space and those that it is one with; the outside has more than any."""
        return float(self.total[number]) if number != 1 else np.inf

    def _by_size(self, one: int, other: int) -> tuple[int, int]:
        return (one, other) if self._size(one) <= self._size(other) else (other, one)

    def _round(self, number: int) -> Boxes:
        if number not in self.round:
            boxes = []
            for step in self.steps:
                inside = self.group[: len(step.found.born)] == number
                inside[: step.first] = False
                if inside.any():
                    boxes.append(_blocks(step, np.flatnonzero(inside[step.found.label])))
            low, high = ([getattr(b, end) for b in boxes] for end in ("low", "high"))
            self.round[number] = Boxes(np.concatenate(low), np.concatenate(high))
        return self.round[number]


def _blocks(step: Step, cells: Integers) -> Boxes:
    """Boxes of the blocks in which cells lie, larger ones where there would be very many."""
    grid = step.found.cells
    place, side = grid.places(cells) // _BLOCK, _BLOCK
    block = place[np.unique(codes(place), return_index=True)[1]]
    while len(block) > _BOXES:
        block, side = block // 2, 2 * side
        block = block[np.unique(codes(block), return_index=True)[1]]
    low = grid.first + grid.cell * (block * side - 0.5)
    return Boxes(low, low + grid.cell * side)
