"""The spaces between walls, from the roomiest places down, and the mouths where they meet.

Works on a grid. Level k is what lies more than k cells from every wall. A space is what hangs
together at the highest level at which it shows; at each lower level the spaces grow by what is
free there, and where two of them meet there is a mouth, about 2 k cells wide. Nothing is assumed
about what the walls look like.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.bodies import label_bodies
from flotation.geometry.voids.cells import Grid, grown

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]

# Fewer cells than this are no space but what rounding to cells leaves.
_FEW = 8


@dataclass(frozen=True, eq=False)
class Basins:
    """Spaces, numbered from 1; 1 is the outside.

    label  (cells,) the space of each cell of the grid, 0 in walls and crumbs
    born   (spaces + 1,) highest level of each; the first of all three is of no space
    seed   (spaces + 1,) a cell of each at that level
    cells  (spaces + 1,) how many of each
    """

    grid: Grid
    label: Labels
    born: Integers
    seed: Integers
    cells: Integers


@dataclass(frozen=True, eq=False)
class Mouth:
    """Where two spaces meet: their numbers, the level at which they do, and cells there."""

    one: int
    other: int
    level: int
    cells: Integers


def basins(grid: Grid, wall: Mask, levels: int) -> tuple[Basins, list[Mouth]]:
    """All spaces and all mouths between them; the grid's rim must be free at every level."""
    walls = [wall]
    for _ in range(levels):
        walls.append(grown(walls[-1]))
    flow = _Flow(grid)
    for level in range(levels, -1, -1):
        flow.fill(~walls[level].ravel(), level)
    count = len(flow.born)
    cells = np.bincount(flow.label, minlength=count)
    found = Basins(grid, flow.label, np.array(flow.born), np.array(flow.seed), cells)
    return found, flow.mouths()


class _Flow:
    """Labels as they spread from level to level."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        _, ny, nz = grid.shape
        self.steps = (1, nz, ny * nz)
        self.label = np.zeros(int(np.prod(grid.shape)), dtype=np.int32)
        self.born, self.seed = [0], [0]
        self.met: list[tuple[Integers, Integers, int]] = []

    def fill(self, free: Mask, level: int) -> None:
        """Spread over what is free at this level, then start new spaces in what is left."""
        if len(self.born) == 1:
            self._start(free, level)
            return
        todo = free & (self.label == 0)
        fresh = np.flatnonzero(todo)
        front = self._first(fresh)
        while front.size:
            todo[front] = False
            front = self._next(front, todo)
        self._start(todo, level)
        self._meet(fresh, level)

    def _first(self, fresh: Integers) -> Integers:
        """Cells beside one that has a label get it; which ones do."""
        found = np.zeros(len(fresh), dtype=np.int32)
        for beside, inside in self._beside(fresh):
            label = np.where(inside, self.label[np.where(inside, beside, 0)], 0)
            found = np.where(found == 0, label, found)
        self.label[fresh] = found
        return fresh[found > 0]

    def _beside(self, cells: Integers) -> Iterator[tuple[Integers, Mask]]:
        for step in self.steps:
            for shift in (step, -step):
                there = cells + shift
                yield there, (there >= 0) & (there < len(self.label))

    def _next(self, front: Integers, todo: Mask) -> Integers:
        new = []
        for beside, inside in self._beside(front):
            here, there = front[inside], beside[inside]
            open_yet = todo[there]
            here, there = here[open_yet], there[open_yet]
            self.label[there] = self.label[here]
            todo[there] = False
            new.append(there)
        return np.concatenate(new)

    def _start(self, free: Mask, level: int) -> None:
        """New spaces in cells that no space reaches; the outside is the one at the rim."""
        starts, ends = _runs(free)
        if not starts.size:
            return
        body = label_bodies(self._adjoining(starts, ends))[: len(starts)]
        length = ends - starts
        size = np.bincount(body, length)
        number = np.zeros(len(size), dtype=np.int32)
        for one in np.flatnonzero(size >= _FEW):
            number[one] = len(self.born)
            run = np.flatnonzero(body == one)
            run = run[np.argmax(length[run])]
            self.born.append(level)
            self.seed.append(int(starts[run] + ends[run]) // 2)
        self.label[free] = np.repeat(number[body], length)

    def _adjoining(self, starts: Integers, ends: Integers) -> Integers:
        """Pairs of runs of cells that lie side by side, and each run with itself."""
        itself = np.arange(len(starts))
        pairs = [np.stack([itself, itself], axis=1)]
        for step in self.steps[1:]:
            first = np.searchsorted(ends, starts + step, side="right")
            count = np.maximum(np.searchsorted(starts, ends + step, side="left") - first, 0)
            run = np.repeat(itself, count)
            other = first[run] + np.arange(len(run)) - np.repeat(np.cumsum(count) - count, count)
            pairs.append(np.stack([run, other], axis=1))
        return np.concatenate(pairs)

    def _meet(self, fresh: Integers, level: int) -> None:
        """Pairs of neighbouring cells of two spaces of which one got its label at this level."""
        for beside, inside in self._beside(fresh):
            here, there = fresh[inside], beside[inside]
            differ = (self.label[here] != self.label[there]) & (self.label[there] > 0)
            differ &= self.label[here] > 0
            if differ.any():
                self.met.append((here[differ], there[differ], level))

    def mouths(self) -> list[Mouth]:
        """Meeting cells gathered where they hang together."""
        if not self.met:
            return []
        here = np.concatenate([a for a, _, _ in self.met])
        level = np.concatenate([np.full(len(a), k) for a, _, k in self.met])
        pair = np.sort(
            np.stack([self.label[here], self.label[np.concatenate([b for _, b, _ in self.met])]]),
            axis=0,
        )
        found = []
        key = pair[0].astype(np.int64) * len(self.born) + pair[1]
        for one in np.unique(key):
            at = np.flatnonzero(key == one)
            cells, first = np.unique(here[at], return_index=True)
            for lot in self._hanging(cells):
                top = int(level[at][first[lot]].max())
                numbers = int(one // len(self.born)), int(one % len(self.born))
                found.append(Mouth(*numbers, top, cells[lot]))
        return found

    def _hanging(self, cells: Integers) -> list[Integers]:
        """Cells, by their places in `cells`, in lots that lie within two cells of each other."""
        place = np.stack(np.unravel_index(cells, self.grid.shape), axis=1) // 2
        block, which = np.unique(place, axis=0, return_inverse=True)
        which = which.ravel()
        code = {tuple(b): n for n, b in enumerate(block.tolist())}
        pairs = [(n, n) for n in range(len(block))]
        around = [(i, j, k) for i in (-1, 0, 1) for j in (-1, 0, 1) for k in (-1, 0, 1)]
        for n, (x, y, z) in enumerate(block.tolist()):
            pairs += [
                (n, code[x + i, y + j, z + k])
                for i, j, k in around
                if (x + i, y + j, z + k) in code
            ]
        body = label_bodies(np.array(pairs))
        first = np.zeros(len(block), dtype=np.intp)
        first[np.array(pairs)[:, 0]] = body
        label = first[which]
        return [np.flatnonzero(label == one) for one in np.unique(label)]


def _runs(cells: Mask) -> tuple[Integers, Integers]:
    """Where unbroken rows of true cells start and end, along the flat numbers.

    A row that runs on into the next one does so at the rim of the grid, which is all one space.
    """
    change = np.flatnonzero(cells[1:] != cells[:-1]) + 1
    ends = [len(cells)] if cells[-1] else []
    bounds = np.concatenate([[0] if cells[0] else [], change, ends]).astype(np.intp)
    return bounds[::2], bounds[1::2]
