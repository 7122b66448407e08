"""The fewest sets that cover everything: which holes together reach every cell."""

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.solid import Floats

Bools = NDArray[np.bool_]

_STEPS = 20_000
"""Choices that one search may try before it gives up; then the number is not proved."""


def fewest(
    covers: Bools, volume: Floats, crumbs: float, away: Floats | None = None
) -> tuple[list[int], int]:
    """Which rows cover all columns that any row covers, as few as can be found, and a bound.

    covers  (rows, columns), volume (columns,) m3
    crumbs  m3 that may stay uncovered: of the columns that the fewest rows cover
    away    (rows, columns) m; of rows that gain alike, the one whose ways are shorter comes first
    Returns the rows in the order of their gain, and the number below which none would do.

    First the row that gains most, again and again. Then smaller numbers, from the bound on: a
    column that few rows cover must be covered by one of them, so each of these is tried in turn.
    The bound is the number of columns of which no row covers two, and rises with every number for
    which a search has tried everything.
    """
    needed = _needed(covers, volume, crumbs)
    some, weight = covers[:, needed], volume[needed]
    chosen = _greedy(some, weight, None if away is None else away[:, needed])
    columns = _hardest(some)
    least = _apart(columns)
    for count in range(least, len(chosen)):
        found, complete = _search(columns, count)
        if found is not None:
            return _by_gain(found, some, weight), least
        if complete and least == count:
            least = count + 1
    return chosen, least


def _needed(covers: Bools, volume: Floats, crumbs: float) -> NDArray[np.intp]:
    """Columns that have to be covered: any row does, and they are not among the crumbs."""
    times = covers.sum(axis=0)
    order = np.flatnonzero(times > 0)
    order = order[np.lexsort((volume[order], times[order]))]
    spared = int(np.searchsorted(np.cumsum(volume[order]), crumbs, side="right"))
    return np.sort(order[spared:])


def _greedy(covers: Bools, volume: Floats, away: Floats | None) -> list[int]:
    left, open_ = volume.copy(), np.ones(len(volume), dtype=bool)
    chosen: list[int] = []
    while open_.any():
        gain = covers @ np.where(open_, left, 0.0)
        best = np.flatnonzero(gain >= 0.99 * gain.max())
        if away is not None and best.size > 1:
            ways = np.where(covers[best] & open_, away[best], 0.0) @ left / gain[best]
            best = best[[int(ways.round(4).argmin())]]
        chosen.append(int(best[0]))
        open_ &= ~covers[best[0]]
    return chosen


def _hardest(covers: Bools) -> Bools:
    """Columns without those that are covered whenever another one is, fewest rows first."""
    if not covers.size:
        return covers
    columns = np.unique(covers, axis=1)
    shared = columns.T.astype(np.int32) @ columns.astype(np.int32)
    size = np.diag(shared)
    within = (shared == size[:, None]) & ~np.eye(len(size), dtype=bool)  # rows of i all cover j
    kept = np.flatnonzero(~within.any(axis=0))
    hardest: Bools = columns[:, kept[np.argsort(size[kept], kind="stable")]]
    return hardest


def _apart(columns: Bools) -> int:
    """Columns of which no row covers two, taken as they come: each needs a row of its own."""
    used = np.zeros(len(columns), dtype=bool)
    count = 0
    for column in columns.T:
        if not (column & used).any():
            used |= column
            count += 1
    return count


def _search(columns: Bools, count: int) -> tuple[list[int] | None, bool]:
    """So many rows that cover all, or None; and whether everything was tried."""
    covered = [sum(1 << int(one) for one in np.flatnonzero(row)) for row in columns]
    rows = [np.flatnonzero(column).tolist() for column in columns.T]
    whole, left = (1 << columns.shape[1]) - 1, _STEPS
    largest = max((one.bit_count() for one in covered), default=0)
    pending: list[tuple[int, list[int]]] = [(0, [])]
    while pending and left:
        done, chosen = pending.pop()
        left -= 1
        missing = whole & ~done
        if not missing:
            return chosen, True
        if len(chosen) + -(-missing.bit_count() // max(largest, 1)) > count:
            continue
        first = (missing & -missing).bit_length() - 1
        ways = sorted(rows[first], key=lambda row: (covered[row] & missing).bit_count())
        pending += [(done | covered[row], [*chosen, row]) for row in ways]
    return None, not pending


def _by_gain(rows: list[int], covers: Bools, volume: Floats) -> list[int]:
    """The same rows, the one that gains most after those before it first."""
    left, ordered = volume.copy(), list[int]()
    rest = sorted(rows)
    while rest:
        best = max(rest, key=lambda row: float(covers[row] @ left))
        ordered.append(best)
        rest.remove(best)
        left = np.where(covers[best], 0.0, left)
    return ordered
