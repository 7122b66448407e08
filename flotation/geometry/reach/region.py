"""The part of a solid that foam gets to, as a solid: the rest is cut away in blocks of cells."""

from itertools import product

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.cavities import pieces
from flotation.geometry.cavities_cut import without_boxes
from flotation.geometry.reach.distances import LEAST, Reach
from flotation.geometry.solid import Floats, Integers, Solid

_PAD = 2
_ALONG_WALLS = 2


def reached_solid(reach: Reach) -> Solid | None:
    """What foam gets to, as a solid; None where that is nothing.

    The places of `reach.places` are cut away, cell by cell, out to the walls and a cell beyond
    them; so the border stands in steps of one cell, and the volume is off by a part of a cell
    there. Pieces of less than a thousandth of the volume that the cut leaves are taken off too.
    """
    gone = _out_to_the_walls(reach)
    if not (gone > 0).any():
        return reach.solid
    left = without_boxes(reach.solid, _blocks(reach, gone > 0))
    if left is None:
        return None
    large = [piece for piece in pieces(left) if piece.volume > LEAST * reach.solid.volume]
    return _together(large, reach.solid.name) if large else None


def _out_to_the_walls(reach: Reach) -> Integers:
    """The lattice with two rows around it: 1 for a cell that is cut away, -1 for one that stays.

    A point outside goes with the cells beside it: with those across a face if there are any, else
    across an edge, else at a corner; it is cut away only if all of these are.
    """
    cells = reach.cells
    state = np.zeros(cells.lattice.count + 2 * _PAD, dtype=np.int8)
    missing = np.zeros(len(cells.volume), dtype=bool)
    for place in reach.places:
        missing[list(place.cells)] = True
    state[tuple((cells.places + _PAD).T)] = np.where(missing, 1, -1)
    for _ in range(_ALONG_WALLS):
        before = state.copy()
        for kind in (1, 2, 3):
            some, stays = np.zeros(state.shape, dtype=bool), np.zeros(state.shape, dtype=bool)
            for step in product((-1, 0, 1), repeat=3):
                if sum(map(abs, step)) == kind:
                    beside = np.roll(before, step, axis=(0, 1, 2))
                    some |= beside != 0
                    stays |= beside < 0
            fresh = (state == 0) & some
            state[fresh] = np.where(stays[fresh], -1, 1)
    return state.astype(np.intp)


def _blocks(reach: Reach, gone: NDArray[np.bool_]) -> list[tuple[Floats, Floats]]:
    """The cells to cut away as few boxes: runs along x, joined along y, then along z."""
    runs: dict[tuple[int, int, int], list[tuple[int, int]]] = {}
    for j, k in np.argwhere(gone.any(axis=0)).tolist():
        edge = np.diff(np.concatenate([[0], gone[:, j, k].astype(np.int8), [0]]))
        ends = zip(
            np.flatnonzero(edge > 0).tolist(), np.flatnonzero(edge < 0).tolist(), strict=True
        )
        for start, end in ends:
            runs.setdefault((start, end, k), []).append((j, j + 1))
    sheets: dict[tuple[int, int, int, int], list[tuple[int, int]]] = {}
    for (start, end, k), spans in runs.items():
        for low, high in _joined(spans):
            sheets.setdefault((start, end, low, high), []).append((k, k + 1))
    origin = reach.cells.lattice.origin - (_PAD + 0.5) * reach.cells.step
    return [
        (
            origin + reach.cells.step * np.array([start, low, bottom]),
            origin + reach.cells.step * np.array([end, high, top]),
        )
        for (start, end, low, high), spans in sheets.items()
        for bottom, top in _joined(spans)
    ]


def _joined(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    joined: list[tuple[int, int]] = []
    for low, high in sorted(spans):
        if joined and joined[-1][1] == low:
            joined[-1] = (joined[-1][0], high)
        else:
            joined.append((low, high))
    return joined


def _together(solids: list[Solid], name: str) -> Solid:
    if len(solids) == 1:
        return solids[0]
    before = np.cumsum([0, *(len(one.vertices) for one in solids[:-1])])
    return Solid(
        np.concatenate([one.vertices for one in solids]),
        np.concatenate([one.faces + n for one, n in zip(solids, before, strict=True)]),
        name,
    )
