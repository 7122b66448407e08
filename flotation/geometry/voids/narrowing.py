"""Cells divided where it is narrow: the spaces and mouths of a coarse grid, then of finer ones.

A place is roomy where a cube of cells that fits between the walls covers it. What no such cube
covers is narrow: there, and only there, each cell is divided in two along each axis, again and
again, until the cells are fine enough or too many. What is roomy keeps the space that it belongs
to and is known at the finer step from the start.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.basins import (
    Basins,
    Clearance,
    Labels,
    Mouth,
    basins,
    clearance,
    swollen,
)
from flotation.geometry.voids.block_walls import block_walls
from flotation.geometry.voids.blocks import CELLS, SIDE, Blocks, blocks_at
from flotation.geometry.voids.cells import Crossings, Grid, grid_round, surface_cells
from flotation.geometry.voids.slits import slits

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]
Values = NDArray[Any]
Solid = Callable[["Step"], Mask]

# On the coarse grid the widest opening that is looked for is so many cells wide.
_ACROSS = 8
_MOST = 24e6
# Cells of all finer steps together.
_MOST_FINE = 4e6
# A space is roomier than its mouth by this many levels, or it is one with the space beyond.
ROOMIER = 2
# No cube of more levels is needed: its mouth is told where it is nine tenths as wide.
_LEVELS = 24
_FEWEST = 3
# Cells on each side of what is narrow that are divided too, and how many of these are not taken
# as known: there the finer walls decide.
_BESIDE = 2
_UNKNOWN = 1
# A line along an axis between two walls is longer than they stand apart by this at most.
_ASKEW = 3.0**0.5
# Cells this close to such a line may be as narrow.
_CLOSE = 2
# Cells of a finer step along one that is divided, and of a coarse one along a block.
_HALF = SIDE // 2
# The finest cells: so many along a gap.
_FINEST = 4
# A slit that shows no free cell is narrower than so many cells.
_SHUT = 4


@dataclass(frozen=True, eq=False)
class Step:
    """What cells of one size show.

    found   spaces; those from number `first` on are new here
    mouths  those that no finer step looks at again
    room    levels of the cubes that are roomy; what is narrower goes to the next step
    lasting (spaces + 1,) which are seen for good, here or at a coarser step
    """

    found: Basins
    first: int
    mouths: tuple[Mouth, ...]
    room: int
    lasting: Mask

    @property
    def cell(self) -> float:
        """Side of its cells, m."""
        return self.found.cells.cell


def steps(corners: Floats, gap: float, looked_to: float, solid: Solid) -> list[Step]:
    """The spaces between triangles, (n, 3, 3) m, from the coarse step to the finest.

    gap        m, openings up to it are of no interest
    looked_to  m, and wider ones than this neither
    solid      which new spaces of a step lie within walls
    """
    search = _Search(corners, gap, looked_to, solid)
    return list(search.all())


@dataclass(frozen=True, eq=False)
class _Seen:
    """One step before it is known what the next one looks at again.

    narrow  cells that may be divided
    short   cells close to a short line from wall to wall
    """

    found: Basins
    first: int
    mouths: list[Mouth]
    clear: Clearance
    narrow: Mask
    short: Mask
    levels: int


class _Search:
    """What all steps share."""

    def __init__(self, corners: Floats, gap: float, looked_to: float, solid: Solid) -> None:
        self.corners, self.gap, self.looked_to = corners, gap, looked_to
        normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        self.normals = normal / np.maximum(np.linalg.norm(normal, axis=1), 1e-300)[:, None]
        self.solid = solid
        self.lasting = np.zeros(1, dtype=bool)
        self.within = np.zeros(1, dtype=bool)
        self.left = _MOST_FINE
        self.met: set[tuple[int, int]] = set()

    def all(self) -> Iterator[Step]:
        """The steps, one after the other."""
        seen = self._coarse()
        while True:
            self._judge(seen)
            plan = self._plan(seen)
            if plan is None:
                kept = [m for m in seen.mouths if self.lasting[[m.one, m.other]].all()]
                yield Step(seen.found, seen.first, tuple(kept), 0, self.lasting.copy())
                return
            room, narrow, at = plan
            self.lasting[seen.first :] &= seen.found.born[seen.first :] >= room
            kept = [m for m in seen.mouths if not self._again(seen, m, room)]
            kept = [m for m in kept if self.lasting[[m.one, m.other]].all()]
            self.met.update((m.one, m.other) for m in kept)
            yield Step(seen.found, seen.first, tuple(kept), room, self.lasting.copy())
            seen = self._finer(seen, (room, narrow, at))

    def _levels(self, cell: float) -> int:
        """How many must be told apart for the widest opening that is looked for."""
        return int(np.clip(np.ceil(self.looked_to / (2.0 * cell)) + 1, _FEWEST + 1, _LEVELS))

    def _again(self, seen: _Seen, mouth: Mouth, room: int) -> bool:
        """Whether the next step is to tell two spaces from the mouth between them, and can."""
        born = min(int(seen.found.born[mouth.one]), int(seen.found.born[mouth.other]))
        if not 1 <= born < mouth.level + ROOMIER:
            return False
        following = self._following(seen.found.cells.cell, room)
        again = min(room - 1, seen.levels - ROOMIER, (following - ROOMIER - 1) // 2)
        return mouth.level <= again

    def _following(self, cell: float, room: int) -> int:
        """Levels of the step after one."""
        return min(self._levels(cell / 2.0), 2 * room + 3)

    def _coarse(self) -> _Seen:
        cell = self.looked_to / _ACROSS
        levels = self._levels(cell)
        grid = grid_round(self.corners, cell, _MOST, levels + 2)
        wall, lines = surface_cells(grid, self.corners)
        clear = clearance(grid, wall, levels + 1)
        found, mouths = basins(grid, clear, levels)
        everywhere = np.ones(grid.shape, dtype=bool)
        short = self._slits(grid, lines, levels)
        return _Seen(found, 1, mouths, clear, everywhere, short, levels)

    def _unmet(self, mouth: Mouth, levels: int) -> bool:
        return mouth.level + ROOMIER <= levels and (mouth.one, mouth.other) not in self.met

    def _slits(self, cells: Grid | Blocks, lines: list[Crossings], levels: int) -> Mask:
        """Cells on short lines between facing walls, and those close to them."""
        most = _ASKEW * (2 * levels + 4)
        at = slits(lines, self.normals, self.gap / cells.cell, most)
        result = np.zeros(cells.shape, dtype=bool)
        result.ravel()[cells.numbers(at)] = True
        return swollen(cells, result, _CLOSE)

    def _judge(self, seen: _Seen) -> None:
        """Which of the new spaces are seen at all, and which lie in walls."""
        step = Step(seen.found, seen.first, (), 0, self.lasting)
        new = seen.found.born[seen.first :] >= 1
        inside = self.solid(step)
        self.lasting = np.concatenate([self.lasting[: seen.first], new])
        self.within = np.concatenate([self.within[: seen.first], inside])

    def _plan(self, seen: _Seen) -> tuple[int, Mask, Integers] | None:
        """Levels of what is roomy, what is narrow, and the blocks of the next step."""
        cell = seen.found.cells.cell
        if cell <= max(self.gap, self.looked_to / 20.0) / _FINEST:
            return None
        room = seen.levels
        while room >= _FEWEST:
            narrow = self._narrow(seen, room)
            wide = narrow
            for _ in range(_BESIDE):
                wide = seen.found.cells.grown(wide)
            at = _halves(seen.found.cells, wide)
            if not len(at):
                return None
            if len(at) * CELLS <= self.left:
                self.left -= len(at) * CELLS
                return room, narrow, at
            room = min(room - 1, int(room * 0.7))
        return None

    def _narrow(self, seen: _Seen, room: int) -> Mask:
        """Cells that no cube covers, and those of mouths that such a cube does not pass."""
        cells, found = seen.found.cells, seen.found
        cover = cells.grown(swollen(cells, seen.clear > room, room))
        free = ~cover & seen.narrow & (seen.clear > 0)
        # Of walls those that stand close to what is free and narrow, or to each other.
        narrow = ~cover & seen.narrow & (free | swollen(cells, free, _CLOSE) | seen.short)
        flat = narrow.ravel()
        for mouth in seen.mouths:
            if self._again(seen, mouth, room):
                flat[mouth.cells] = True
        narrow &= ~self.within[found.label]
        if _SHUT * cells.cell <= self.gap:
            narrow &= cells.grown((seen.clear > 0) & ~self.within[found.label])
        return narrow

    def _finer(self, before: _Seen, plan: tuple[int, Mask, Integers]) -> _Seen:
        room, narrow, at = plan
        cells, found = before.found.cells, before.found
        first = cells.first - cells.cell / 4.0
        blocks = blocks_at(first, cells.cell / 2.0, at)
        wall, lines = block_walls(blocks, self.corners)
        levels = self._following(cells.cell, room)
        clear = clearance(blocks, wall, levels + 1)
        # Walls beside the blocks are not marked; the coarser cells know how near they are.
        most = _inherited(before, before.clear, blocks, 0).astype(np.intp)
        near = (most > 0) & (most <= int(before.clear.max(initial=0)) - 1)
        clear = np.where(near, np.minimum(clear, 2 * most + 3), clear).astype(np.uint8)
        unknown = narrow
        for _ in range(_UNKNOWN):
            unknown = cells.grown(unknown)
        label: Labels = np.where(self.lasting[found.label], found.label, 0).astype(np.int32)
        label[unknown] = 0
        known = np.where(clear > 0, _inherited(before, label, blocks, 0), 0)
        count = len(found.born) - 1
        spaces, mouths = basins(blocks, clear, levels, (known, count, min(levels, 2 * room)))
        # What was known before meets so only where a coarser step has seen it already.
        new = [m for m in mouths if m.other > count or self._unmet(m, levels)]
        inside = _inherited(before, narrow, blocks, False)
        short = self._slits(blocks, lines, levels)
        return _Seen(spaces, count + 1, new, clear, inside, short, levels)


def _halves(cells: Grid | Blocks, wanted: Mask) -> Integers:
    """Places, (n, 3), of the blocks of half as large cells that hold wanted ones."""
    if isinstance(cells, Blocks):
        part = wanted.reshape(-1, 2, _HALF, 2, _HALF, 2, _HALF).any(axis=(2, 4, 6))
        block, *half = np.nonzero(part)
        return np.asarray(2 * cells.at[block] + np.stack(half, axis=1))
    flat = np.flatnonzero(wanted)
    place = cells.places(flat) // _HALF
    size = np.array(cells.shape) // _HALF + 1
    found = np.unique((place[:, 0] * size[1] + place[:, 1]) * size[2] + place[:, 2])
    return np.stack(np.unravel_index(found, size), axis=1)


def _inherited(before: _Seen, values: Values, blocks: Blocks, outside: float) -> Values:
    """For each cell of the blocks the value of the coarser cell that it is a part of."""
    cells = before.found.cells
    step = np.arange(_HALF)
    if isinstance(cells, Blocks):
        number = cells.find(blocks.at // 2)
        low = blocks.at % 2 * _HALF
        x, y, z = ((low[:, k, None] + step) for k in range(3))
        part = values[
            number[:, None, None, None], x[:, :, None, None], y[:, None, :, None], z[:, None, None]
        ]
    else:
        x, y, z = (blocks.at[:, k, None] * _HALF + step for k in range(3))
        inside = [axis < size for axis, size in zip((x, y, z), cells.shape, strict=True)]
        x, y, z = (
            np.minimum(axis, size - 1) for axis, size in zip((x, y, z), cells.shape, strict=True)
        )
        part = values[x[:, :, None, None], y[:, None, :, None], z[:, None, None]]
        within = inside[0][:, :, None, None] & inside[1][:, None, :, None]
        part = np.where(within & inside[2][:, None, None], part, outside)
    for axis in (1, 2, 3):
        part = np.repeat(part, 2, axis=axis)
    return np.asarray(part, dtype=values.dtype)
