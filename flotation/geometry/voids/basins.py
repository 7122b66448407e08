"""The spaces between walls, from the roomiest places down, and the mouths where they meet.

Works on cells. The clearance of a cell is how many cells away the nearest wall is; level k is
what lies more than k cells from every wall. A space is what hangs together at the highest level
at which it shows; at each lower level the spaces grow by what is free there, and where two of
them meet there is a mouth, about 2 k cells wide. Nothing is assumed about what the walls look
like.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.bodies import label_bodies
from flotation.geometry.voids.blocks import Blocks, codes
from flotation.geometry.voids.cells import Grid

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]
Clearance = NDArray[np.uint8]

# Fewer cells than this are no space but what rounding to cells leaves.
_FEW = 8


@dataclass(frozen=True, eq=False)
class Basins:
    """Spaces, numbered from 1; 1 is the outside.

    label  shaped as the cells are, the space of each, 0 in walls and crumbs
    born   (spaces + 1,) highest level of each; the first of all three is of no space
    seed   (spaces + 1, 3) m, a cell of each at that level; nan for one that was known before
    size   (spaces + 1,) how many cells each has
    """

    cells: Grid | Blocks
    label: Labels
    born: Integers
    seed: Floats
    size: Integers


@dataclass(frozen=True, eq=False)
class Mouth:
    """Where two spaces meet: their numbers, the level at which they do, and cells there."""

    one: int
    other: int
    level: int
    cells: Integers


def clearance(cells: Grid | Blocks, wall: Mask, most: int) -> Clearance:
    """How many cells away from each cell the nearest wall is, 0 in a wall, at most `most`."""
    result = np.zeros(wall.shape, dtype=np.uint8)
    for step in range(most):
        result += ~wall
        if step + 1 < most:
            wall = cells.grown(wall, across_edges=step % 2 == 0)
    return result


def swollen(cells: Grid | Blocks, some: Mask, steps: int) -> Mask:
    """All cells within so many steps of some.

    Every other step goes across edges and corners, so that what grows from one cell stays within
    a sixth of round; `clearance` counts the same steps.
    """
    for step in range(steps):
        some = cells.grown(some, across_edges=step % 2 == 0)
    return some


def basins(
    cells: Grid | Blocks,
    clear: Clearance,
    levels: int,
    known: tuple[Labels, int, int] | None = None,
) -> tuple[Basins, list[Mouth]]:
    """All spaces and all mouths between them.

    clear   clearance, shaped as the cells are
    levels  the highest level that is told from the next
    known   spaces that some of the cells belong to, 0 for not known, the outside one of them; how
            many there are before, so that new ones get the numbers that follow; their level
    Where nothing is known the rim of the grid must be free at every level: it is the outside.
    """
    flow = _Flow(cells, known)
    count = known[1] if known else 0
    flat = clear.ravel()
    for level in range(levels, -1, -1):
        flow.fill(flat > level, level)
    label = flow.label.reshape(clear.shape)
    born = np.array(flow.born)
    size = np.bincount(flow.label, minlength=len(born))
    first = cells.centres(np.array(flow.seed, dtype=np.intp))
    seed = np.concatenate([np.full((1 + count, 3), np.nan), first])
    return Basins(cells, label, born, seed, size), flow.mouths(clear)


class _Flow:
    """Labels as they spread from level to level."""

    def __init__(self, cells: Grid | Blocks, known: tuple[Labels, int, int] | None) -> None:
        self.cells = cells
        self.label = np.zeros(int(np.prod(cells.shape)), dtype=np.int32)
        self.born = [0]
        if known is not None:
            self.label = known[0].ravel().copy()
            self.born += [known[2]] * known[1]
        self.seed: list[int] = []

    def fill(self, free: Mask, level: int) -> None:
        """Spread over what is free at this level, then start new spaces in what is left."""
        todo = free & (self.label == 0)
        fresh = np.flatnonzero(todo)
        front = self._first(fresh) if len(self.born) > 1 else fresh[:0]
        while front.size:
            todo[front] = False
            front = self._next(front, todo)
        self._start(todo, level)

    def _first(self, fresh: Integers) -> Integers:
        """Cells beside one that has a label get it; which ones do."""
        found = np.zeros(len(fresh), dtype=np.int32)
        for beside, inside in self.cells.beside(fresh):
            label = np.where(inside, self.label[np.where(inside, beside, 0)], 0)
            found = np.where(found == 0, label, found)
        self.label[fresh] = found
        return fresh[found > 0]

    def _next(self, front: Integers, todo: Mask) -> Integers:
        new = []
        for beside, inside in self.cells.beside(front):
            here, there = front[inside], beside[inside]
            open_yet = todo[there]
            here, there = here[open_yet], there[open_yet]
            self.label[there] = self.label[here]
            todo[there] = False
            new.append(there)
        return np.concatenate(new)

    def _start(self, free: Mask, level: int) -> None:
        """New spaces in cells that no space reaches; the first is the one at the rim."""
        body, at, size = self.cells.hanging(free)
        number = np.zeros(len(size), dtype=np.int32)
        for one in np.flatnonzero(size >= _FEW):
            number[one] = len(self.born)
            self.born.append(level)
            self.seed.append(int(at[one]))
        self.label[free] = number[body]

    def mouths(self, clear: Clearance) -> list[Mouth]:
        """Cells of two spaces that lie side by side, gathered where they hang together.

        Both got their labels once the flow was down to the lower of their levels: they meet there.
        """
        here, there = self.cells.meeting(self.label.reshape(clear.shape))
        if not len(here):
            return []
        level = np.minimum(clear.ravel()[here], clear.ravel()[there]).astype(np.intp) - 1
        pair = np.sort(np.stack([self.label[here], self.label[there]]), axis=0)
        key = pair[0].astype(np.int64) * len(self.born) + pair[1]
        order = np.argsort(key, kind="stable")
        bounds = np.flatnonzero(np.diff(key[order], prepend=-1))
        found = []
        for lot_of_pair in np.split(order, bounds[1:]):
            # The highest first: of a cell that meets several the first is kept.
            at = lot_of_pair[np.argsort(-level[lot_of_pair], kind="stable")]
            cells, first = np.unique(here[at], return_index=True)
            numbers = int(pair[0, at[0]]), int(pair[1, at[0]])
            for lot in self._lots(cells):
                top = int(level[at][first[lot]].max())
                found.append(Mouth(*numbers, top, cells[lot]))
        return found

    def _lots(self, cells: Integers) -> list[Integers]:
        """Cells, by their places in `cells`, in lots that lie within two cells of each other."""
        place = self.cells.places(cells) // 2
        code = codes(place)
        block, first, which = np.unique(code, return_index=True, return_inverse=True)
        place = place[first]
        number = np.arange(len(block))
        pairs = [np.stack([number, number], axis=1)]
        for step in np.ndindex(3, 3, 3):
            beside = codes(place + np.array(step) - 1)
            at = np.minimum(np.searchsorted(block, beside), len(block) - 1)
            there = np.flatnonzero(block[at] == beside)
            pairs.append(np.stack([there, at[there]], axis=1))
        label = label_bodies(np.concatenate(pairs))[: len(block)][which.ravel()]
        order = np.argsort(label, kind="stable")
        return np.split(order, np.flatnonzero(np.diff(label[order])) + 1)
