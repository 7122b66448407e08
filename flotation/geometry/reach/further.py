"""The fewest further holes from which foam gets to everything that may be got to."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, islice
from math import ceil, comb

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.reach.cells import Cells
from flotation.geometry.reach.distances import LEAST, Flow, Reach, reach_from, with_holes
from flotation.geometry.solid import Floats, Integers

Bools = NDArray[np.bool_]

_COMBINATIONS = 20_000
_AT_ONCE = 2_000


@dataclass(frozen=True)
class FurtherHole:
    """A hole that is proposed: where, m, and the m3 that it is the first to reach."""

    at: tuple[float, float, float]
    gains: float


@dataclass(frozen=True)
class Proposal:
    """Further holes, the one that gains most first.

    least      no fewer of the places that were tried would do; with as many holes as that, the
               number is proved to be the fewest
    tried      how many places were tried
    unreached  m3 that foam still does not get to, with all of them
    """

    holes: tuple[FurtherHole, ...]
    least: int
    tried: int
    unreached: float

    @property
    def proved(self) -> bool:
        """True if no fewer of the places would do."""
        return self.least == len(self.holes)


def further_holes(reach: Reach, holes: Floats, places: Floats, coarse: Cells) -> Proposal:
    """The fewest of the places from which foam gets to what it does not get to yet.

    reach   with the holes that there are, at (holes, 3) m
    places  (k, 3) m where a hole may be drilled
    coarse  cells of the same solid, larger ones, on which the places are compared

    The place that gains most, again and again; then every smaller number of places is tried, as
    far as that takes no more than 20 000 combinations. A thousandth of the volume may stay
    unreached. The result is measured again on the cells of `reach`.
    """
    now = _on_larger_cells(reach, holes, coarse)
    missing = np.flatnonzero(now.reached < 0.5)
    if not len(places) or not missing.size or reach.unreached <= LEAST * reach.solid.volume:
        return Proposal((), 0, len(places), reach.unreached)
    within = now.flow.length
    away = with_holes(now, places, within).away[len(holes) :, missing]
    crumbs = LEAST * reach.solid.volume
    chosen, least = fewest(away <= within, coarse.volume[missing], crumbs, away)
    found = []
    for one in chosen:
        more = with_holes(reach, places[one])
        x, y, z = (float(value) for value in places[one])
        found.append(FurtherHole((x, y, z), reach.unreached - more.unreached))
        reach = more
    return Proposal(tuple(found), least, len(places), reach.unreached)


def _on_larger_cells(reach: Reach, holes: Floats, coarse: Cells) -> Reach:
    """The reach on larger cells, shorter by half of their step so that it holds on others."""
    length = max(reach.flow.length - 0.5 * coarse.step, 0.5 * reach.flow.length)
    return reach_from(reach.solid, holes, Flow(length, reach.flow.free_width), coarse)


def fewest(
    covers: Bools, volume: Floats, crumbs: float, away: Floats | None = None
) -> tuple[list[int], int]:
    """Which rows cover all columns that any row covers, as few as can be found, and the bound.

    covers  (rows, columns), volume (columns,) m3
    crumbs  m3 that may stay uncovered
    away    (rows, columns) m; of rows that gain alike, the one whose ways are shorter comes first
    Returns the rows in the order of their gain, and the number below which none would do.
    """
    coverable = covers.any(axis=0)
    columns, weight = _alike(covers[:, coverable], volume[coverable])
    chosen = _greedy(covers, volume * coverable, crumbs, away)
    most = float((columns @ weight).max(initial=0.0))
    count = ceil((weight.sum() - crumbs) / most - 1e-9) if most > 0.0 else 0
    least = max(count, 0)
    while least < len(chosen) and comb(len(covers), least) <= _COMBINATIONS:
        fewer = _search(columns, weight, crumbs, least)
        if fewer is not None:
            gain = sorted(fewer, key=lambda row: -float(covers[row] @ volume))
            return gain, least
        least += 1
    return chosen, least


def _alike(covers: Bools, volume: Floats) -> tuple[Bools, Floats]:
    """Columns that the same rows cover, as one."""
    if not covers.size:
        return covers, volume
    columns, which = np.unique(covers, axis=1, return_inverse=True)
    return columns, np.bincount(which.ravel(), volume).astype(np.float64)


def _greedy(covers: Bools, volume: Floats, crumbs: float, away: Floats | None) -> list[int]:
    left, chosen = volume.copy(), list[int]()
    while left.sum() > crumbs and left.any():
        gain = covers @ left
        best = np.flatnonzero(gain >= 0.99 * gain.max())
        if away is not None and best.size > 1:
            ways = np.where(covers[best], away[best], 0.0) @ left / gain[best]
            best = best[[int(ways.round(4).argmin())]]
        row = int(best[0])
        chosen.append(row)
        left = np.where(covers[row], 0.0, left)
    return chosen


def _search(columns: Bools, weight: Floats, crumbs: float, count: int) -> Sequence[int] | None:
    """So many rows that leave no more than crumbs, or None."""
    if count == 0:
        return () if weight.sum() <= crumbs else None
    every = combinations(range(len(columns)), count)
    while part := list(islice(every, _AT_ONCE)):
        rows: Integers = np.array(part)
        covered = columns[rows[:, 0]].copy()
        for place in range(1, count):
            covered |= columns[rows[:, place]]
        missed = weight.sum() - covered @ weight
        good = np.flatnonzero(missed <= crumbs)
        if good.size:
            return part[int(good[0])]
    return None
