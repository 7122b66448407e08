"""Heat through a slab of foam between two sheets of laminate, with air outside: in one direction.

Temperatures here are excesses over the surroundings, as shares of the adiabatic rise: the problem
is linear, so one calculation serves every rise. Finite volumes in space; in time the equations are
solved exactly, mode by mode, which no step can make unstable or inexact.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

FOAM_CELLS = 48
"""Of even thickness through the foam; see tests/studies/study_heat_cells.py."""
_SHEET_CELLS = 2
_STEPS = 32
_ROUNDS = 3
_NOTHING = 300.0


@dataclass(frozen=True)
class Matter:
    """What conducts: conductivity in W/(m K), heat capacity in J/(m3 K)."""

    conductivity: float
    capacity: float


@dataclass(frozen=True)
class Slab:
    """Foam of a thickness, m, between two sheets of laminate, with a film of air on each outside.

    film  W/(m2 K), heat that a square metre of the outside gives off for each kelvin
    """

    thickness: float
    foam: Matter
    laminate: Matter
    laminate_thickness: float
    film: float

    @property
    def cells(self) -> tuple[Floats, tuple[Matter, ...]]:
        """Widths of the cells, m, and what is in each, from one outside to the other."""
        sheet = [self.laminate_thickness / _SHEET_CELLS] * _SHEET_CELLS
        foam = [self.thickness / FOAM_CELLS] * FOAM_CELLS
        matter = [self.laminate] * _SHEET_CELLS
        return np.array([*sheet, *foam, *sheet]), (*matter, *[self.foam] * FOAM_CELLS, *matter)


@dataclass(frozen=True)
class Release:
    """When the foam gives off its heat, evenly, s from the pour: cream to tack-free."""

    start: float
    end: float


@dataclass(frozen=True, eq=False)
class Course:
    """How a slab's temperature goes on from one pour to the next.

    slab     the slab as it is now
    initial  (n,) excess at the pour, a share of the adiabatic rise, laminate cells at both ends
    fresh    (n,) share of each cell that was poured now and will give off heat
    release  when it does
    """

    slab: Slab
    initial: Floats
    fresh: Floats
    release: Release

    def at(self, times: ArrayLike) -> Floats:
        """(n, t) excess of every cell at times (t,), s from the pour."""
        rates, modes, root = self._modes
        start, end = self.release.start, self.release.end
        since = np.asarray(times, dtype=float)
        decayed = _decay(rates, since)
        amplitude = (modes.T @ (root * self.initial))[:, None] * decayed
        power = modes.T @ (root * self.fresh) / (end - start) / rates
        begun, over = np.maximum(since - start, 0.0), np.maximum(since - end, 0.0)
        grown = _decay(rates, over) - _decay(rates, begun)
        excess: Floats = (modes @ (amplitude + power[:, None] * grown)) / root[:, None]
        return excess

    def core(self, times: ArrayLike) -> Floats:
        """(t,) the hottest cell of the foam at times (t,)."""
        hottest: Floats = self.at(times)[_SHEET_CELLS:-_SHEET_CELLS].max(axis=0)
        return hottest

    @cached_property
    def peak(self) -> float:
        """The hottest that any cell of the foam gets.

        Once no more heat is given off nothing gets hotter; so it is sought on a grid of times, of
        which the last is the end of the release.
        """
        return float(self._while_released[1].max())

    def spell(self, excess: float) -> tuple[float, float]:
        """From when to when the core is hotter than an excess, s from the pour.

        excess  a share of the adiabatic rise, above zero
        Returns the first time and the last; (0, 0) if the core never gets as hot.
        """
        times, cores = self._while_released
        hot = np.flatnonzero(cores > excess)
        if not len(hot):
            return 0.0, 0.0
        first = times[hot[0]]
        if hot[0] > 0:
            first = self._crossing(times[hot[0] - 1], first, excess)
        if hot[-1] + 1 < len(times):
            return first, self._crossing(times[hot[-1] + 1], times[hot[-1]], excess)
        slowest = float(self._modes[0][0])
        later = times[-1] + np.r_[0.0, np.geomspace(times[-1] / _STEPS, 1.0 / slowest, _STEPS)]
        while (still := self.core(later) > excess)[-1]:
            later = later[-1] + np.linspace(0.0, 1.0 / slowest, _STEPS)
        last = int(np.flatnonzero(still)[-1])
        return first, self._crossing(later[last + 1], later[last], excess)

    def _crossing(self, cool: float, hot: float, excess: float) -> float:
        """The time at which the core is as hot as that, between a cooler one and a hotter one."""
        for _ in range(_ROUNDS):
            times = np.linspace(hot, cool, _STEPS + 1)
            place = int(np.argmax(self.core(times) <= excess))
            hot, cool = float(times[max(place - 1, 0)]), float(times[place])
        return cool

    @cached_property
    def _while_released(self) -> tuple[Floats, Floats]:
        times = np.linspace(0.0, self.release.end, _STEPS + 1)
        return times, self.core(times)

    @cached_property
    def _modes(self) -> tuple[Floats, Floats, Floats]:
        """Rates, 1/s; modes, one a column; and the roots of the cells' heat capacities."""
        from scipy.linalg import eigh_tridiagonal  # noqa: PLC0415 - loaded only for a pour plan

        width, matter = self.slab.cells
        root = np.sqrt(width * np.array([one.capacity for one in matter]))
        half = 0.5 * width / np.array([one.conductivity for one in matter])
        between = 1.0 / np.r_[1.0 / self.slab.film + half[0], half[1:] + half[:-1],
                              half[-1] + 1.0 / self.slab.film]  # fmt: skip
        across = -between[1:-1] / (root[:-1] * root[1:])
        rates, modes = eigh_tridiagonal((between[:-1] + between[1:]) / root**2, across)
        return np.asarray(rates, dtype=float), np.asarray(modes, dtype=float), root


def _decay(rates: Floats, times: Floats) -> Floats:
    """exp(-rate * time), (n, t); what is nothing is kept off the numbers that are slow to add."""
    decayed: Floats = np.exp(np.maximum(-np.outer(rates, times), -_NOTHING))
    return decayed


def first_pour(slab: Slab, release: Release) -> Course:
    """Foam poured into the empty slab, everything as warm as the surroundings."""
    fresh = np.zeros(len(slab.cells[0]))
    fresh[_SHEET_CELLS:-_SHEET_CELLS] = 1.0
    return Course(slab, np.zeros_like(fresh), fresh, release)


def pour_on(below: Course, time: float, slab: Slab, fresh: float) -> Course:
    """Foam poured on foam that is still hot.

    below  the foam as it went on from the pour before; time  s from that pour
    slab   as it then is; fresh  m of it, at the top, that are poured now; at least as much as it
           has grown
    What lies under the fresh foam is the uppermost part of what was there, with its temperatures:
    the heat in it is carried over exactly, cell by cell. Returns the course from the new pour on.
    """
    old = min(slab.thickness - fresh, below.slab.thickness)
    width, _ = below.slab.cells
    was = below.at([time])[:, 0]
    foam = slice(_SHEET_CELLS, -_SHEET_CELLS)
    edges = np.r_[0.0, np.cumsum(width[foam])]
    heat = np.r_[0.0, np.cumsum(width[foam] * was[foam])]
    depth = below.slab.thickness - old
    new_width = slab.cells[0][foam]
    new_edges = np.minimum(np.r_[0.0, np.cumsum(new_width)], old)
    share = np.zeros(len(slab.cells[0]))
    share[foam] = 1.0 - np.diff(new_edges) / new_width
    initial = np.zeros_like(share)
    initial[foam] = np.diff(np.interp(depth + new_edges, edges, heat)) / new_width
    initial[:_SHEET_CELLS] = was[:_SHEET_CELLS]
    return Course(slab, initial, share, below.release)
