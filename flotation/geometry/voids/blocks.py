"""Cells where they are wanted only: small cubes of them, each with the numbers of its neighbours.

A cell's number is its block's times the cells in one, and its place there. Works on arrays.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.bodies import label_bodies

Floats = NDArray[np.float64]
Integers = NDArray[np.intp]
Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]

# Cells along each side of a block, and in it.
SIDE = 8
CELLS = SIDE**3
_STRIDES = (SIDE * SIDE, SIDE, 1)


@dataclass(frozen=True, eq=False)
class Blocks:
    """Blocks of cells of side `cell`, m; the centre of cell 0, 0, 0 stands at `first`, (3,) m.

    at  (blocks, 3) which blocks, along each axis, in the order of their codes
    """

    first: Floats
    cell: float
    at: Integers

    @property
    def shape(self) -> tuple[int, int, int, int]:
        """Of arrays with an entry for each cell."""
        return (len(self.at), SIDE, SIDE, SIDE)

    def find(self, at: Integers) -> Integers:
        """Numbers of blocks by their places, (n, 3); the number of blocks for what is none."""
        if not len(self.at):
            return np.zeros(len(at), dtype=np.intp)
        wanted, known = codes(at), self._codes
        found = np.minimum(np.searchsorted(known, wanted), len(known) - 1)
        return np.where(known[found] == wanted, found, len(known))

    @cached_property
    def _codes(self) -> Integers:
        return codes(self.at)

    @cached_property
    def _beyond(self) -> Integers:
        """The block beyond each side, (blocks, 3, 2): down and up each axis."""
        steps = np.stack([-np.eye(3, dtype=np.intp), np.eye(3, dtype=np.intp)], axis=1)
        beyond = [self.find(self.at + step) for step in steps.reshape(6, 3)]
        return np.stack(beyond, axis=1).reshape(-1, 3, 2)

    def places(self, flat: Integers) -> Integers:
        """Which cell along each axis, (n, 3), by their numbers."""
        inside = np.unravel_index(flat % CELLS, (SIDE, SIDE, SIDE))
        return np.asarray(self.at[flat // CELLS] * SIDE + np.stack(inside, axis=1))

    def numbers(self, places: Integers) -> Integers:
        """Numbers of those of the places, (n, 3), that lie in a block."""
        places = places[(places >= 0).all(axis=1)]
        block = self.find(places // SIDE)
        inside = np.ravel_multi_index(tuple((places % SIDE).T), (SIDE, SIDE, SIDE))
        return np.asarray((block * CELLS + inside)[block < len(self.at)])

    def centres(self, flat: Integers) -> Floats:
        """Centres, (n, 3) m, of cells by their numbers."""
        return np.asarray(self.first + self.cell * self.places(flat))

    def beside(self, cells: Integers) -> Iterator[tuple[Integers, Mask]]:
        """For each of six directions the cells there, and which of them lie in a block."""
        block = cells // CELLS
        for axis, stride in enumerate(_STRIDES):
            place = cells // stride % SIDE
            for up in (1, 0):
                last = place == (SIDE - 1 if up else 0)
                there = cells + (stride if up else -stride)
                beyond = self._beyond[block[last], axis, up]
                far = (SIDE - 1) * stride
                there[last] = beyond * CELLS + cells[last] % CELLS - (far if up else -far)
                inside = np.ones(len(cells), dtype=bool)
                inside[last] = beyond < len(self.at)
                yield there, inside

    def grown(self, cells: Mask, *, across_edges: bool = True) -> Mask:
        """Those cells and all cells beside them, across edges and corners too or not."""
        result = cells.copy()
        for axis in range(3):
            before = result.copy() if across_edges else cells
            ahead = (slice(None),) * (axis + 1) + (slice(1, None),)
            back = (slice(None),) * (axis + 1) + (slice(None, -1),)
            result[ahead] |= before[back]
            result[back] |= before[ahead]
            grown, still = np.moveaxis(result, axis + 1, 1), np.moveaxis(before, axis + 1, 1)
            for up, (here, there) in enumerate(((0, -1), (-1, 0))):
                beyond = self._beyond[:, axis, up]
                of = np.flatnonzero(beyond < len(self.at))
                grown[of, here] |= still[beyond[of], there]
        return result

    def meeting(self, label: Labels) -> tuple[Integers, Integers]:
        """Pairs of cells side by side that have different labels above 0."""
        here, there = [], []
        for axis, stride in enumerate(_STRIDES):
            ahead = (slice(None),) * (axis + 1) + (slice(1, None),)
            back = (slice(None),) * (axis + 1) + (slice(None, -1),)
            differ = np.zeros(label.shape, dtype=bool)
            differ[back] = (label[ahead] != label[back]) & (label[ahead] > 0) & (label[back] > 0)
            one = np.flatnonzero(differ)
            here.append(one)
            there.append(one + stride)
            beyond = self._beyond[:, axis, 1]
            of = np.flatnonzero(beyond < len(self.at))
            rim = np.flatnonzero(np.arange(CELLS) // stride % SIDE == SIDE - 1)
            one = (of[:, None] * CELLS + rim).ravel()
            other = (beyond[of][:, None] * CELLS + rim - (SIDE - 1) * stride).ravel()
            mine, theirs = label.ravel()[one], label.ravel()[other]
            differ = (mine != theirs) & (mine > 0) & (theirs > 0)
            here.append(one[differ])
            there.append(other[differ])
        return np.concatenate(here), np.concatenate(there)

    def hanging(self, free: Mask) -> tuple[Integers, Integers, Integers]:
        """Which body each free cell belongs to, in their order; of each body a cell, its size."""
        cells = np.flatnonzero(free)
        if not cells.size:
            return cells, cells, cells
        rank = np.zeros(len(free), dtype=np.int32)
        rank[cells] = np.arange(len(cells))
        pairs = [np.stack([np.arange(len(cells))] * 2, axis=1)]
        for direction, (there, inside) in enumerate(self.beside(cells)):
            if direction % 2 == 0:
                both = np.flatnonzero(inside)
                both = both[free[there[both]]]
                pairs.append(np.stack([both, rank[there[both]]], axis=1))
        body = label_bodies(np.concatenate(pairs))[: len(cells)]
        order = np.argsort(body, kind="stable")
        size = np.bincount(body)
        middle = order[np.cumsum(size) - size + size // 2]
        return body, cells[middle], size


def codes(at: Integers) -> Integers:
    """One number for each place, (n, 3), from -1 up to two million along each axis."""
    x, y, z = (np.asarray(at[:, k], dtype=np.int64) + 1 for k in range(3))
    return np.asarray((x << 42) | (y << 21) | z)


def blocks_at(first: Floats, cell: float, at: Integers) -> Blocks:
    """Blocks at places, (n, 3), each once."""
    order = np.unique(codes(at), return_index=True)[1]
    return Blocks(first, cell, at[order])
