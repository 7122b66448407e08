"""The fewest further holes from which foam gets to everything that may be got to."""

from dataclasses import dataclass

import numpy as np

from flotation.geometry.reach.cells import Cells
from flotation.geometry.reach.cover import fewest
from flotation.geometry.reach.distances import LEAST, Flow, Reach, reach_from, with_holes
from flotation.geometry.solid import Floats


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

    The fewest by `fewest`; a thousandth of the volume may stay unreached. The result is measured
    again on the cells of `reach`.
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
