"""Openings wider than the gap that was sealed: what they would close, and where they lead.

The width that is sealed is raised in steps. A region that closes only then would be a cavity, and
the putty in its mouths that is wider than the gap marks its leaks; a void that falls into two has
a passage between two chambers.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.chambers import Chamber, large_chambers
from flotation.geometry.voids.finding import OUTSIDE, Leak
from flotation.geometry.voids.openings import figures, measure
from flotation.geometry.voids.putty import TOUCH, Closure, Opening, Opposites, Puttied, more_putty

Floats = NDArray[np.float64]

_STEP = 3.0
_SMALLEST_STEP = 0.002
# What would be closed by more putty than wall is no cavity with a leak in it.
_MOSTLY_OPEN = 0.5


def widths(gap: float, looked_to: float) -> list[float]:
    """The widths that are sealed in turn above `gap`, each three times the one before, m."""
    found: list[float] = []
    width = max(gap * _STEP, _SMALLEST_STEP)
    while width < looked_to / np.sqrt(_STEP):
        found.append(width)
        width *= _STEP
    return [*found, looked_to] if looked_to > gap else []


@dataclass(frozen=True)
class Looking:
    """What is looked for: openings wider than `gap`, up to `look_to`, m, unless closed by name."""

    gap: float
    look_to: float
    names: Sequence[str]
    closures: Sequence[Closure]


def find_leaks(
    found: Opposites, state: Puttied, voids: Sequence[Chamber], looking: Looking
) -> list[Leak]:
    """All leaks and passages, widest first; `voids` in the order that their numbers follow."""
    leaks: list[Leak] = []
    known: list[Chamber] = []
    for width in widths(looking.gap, looking.look_to):
        state = more_putty(found, state, width, looking.closures)
        if not state.openings:
            continue
        now = large_chambers(state.sealed.regions, width, looking.gap)
        seen = _Step(found, state, now, [_home(chamber, voids) for chamber in now], looking)
        for chamber, home in zip(now, seen.home, strict=True):
            fresh = home == OUTSIDE and not any(chamber.is_with(old) for old in known)
            if fresh and _closed_enough(chamber):
                known.append(chamber)
                leaks.extend(seen.out_of(chamber, leaks))
        leaks.extend(seen.passages(leaks))
    return sorted(leaks, key=lambda leak: -leak.widest)


class _Step:
    """One width: what is closed off now, and which void each chamber lies in."""

    def __init__(
        self,
        found: Opposites,
        state: Puttied,
        now: Sequence[Chamber],
        home: Sequence[int],
        looking: Looking,
    ) -> None:
        self.found, self.state, self.home = found, state, home
        self.gap, self.names = looking.gap, looking.names
        self.figures = figures(state, found.triangles.normals)
        self.chamber = {chamber.number: chamber for chamber in now}
        self.void = {chamber.number: void for chamber, void in zip(now, home, strict=True)}

    def out_of(self, chamber: Chamber, before: Sequence[Leak]) -> list[Leak]:
        """Leaks of a chamber that no void holds."""
        found = [
            self._leak(opening, chamber, side)
            for opening in self._wide()
            if chamber.number in opening.sides
            for side in self._beyond(opening, chamber.number)
        ]
        return [leak for leak in found if not _told(leak, before)]

    def passages(self, before: Sequence[Leak]) -> list[Leak]:
        """Openings between two chambers of one void."""
        found: list[Leak] = []
        for opening in self._wide():
            here = [side for side in opening.sides if self.void.get(side, OUTSIDE) != OUTSIDE]
            for one, other in pairwise(here):
                if self.void[one] == self.void[other]:
                    small, large = sorted((one, other), key=self._size)
                    leak = self._leak(opening, self.chamber[small], large)
                    if not _told(leak, [*before, *found]):
                        found.append(leak)
        return found

    def _size(self, number: int) -> float:
        return self.chamber[number].region.volume

    def _wide(self) -> list[Opening]:
        widest = self.state.widest
        limit = self.gap + TOUCH
        return [
            opening
            for opening in self.state.openings
            if len(opening.sides) > 1 and float(widest[opening.pieces].max()) > limit
        ]

    def _beyond(self, opening: Opening, number: int) -> list[int]:
        """The sides of an opening other than region `number`, slots left out."""
        return [
            side
            for side in opening.sides
            if side != number and (side == OUTSIDE or side in self.chamber)
        ]

    def _leak(self, opening: Opening, chamber: Chamber, side: int) -> Leak:
        triangles = self.found.triangles
        size = measure(self.state, self.figures, opening, self.gap + TOUCH)
        piece = opening.pieces[np.argmax(self.state.widest[opening.pieces])]
        one, other = self.state.sides(int(piece))
        return Leak(
            place=size.place,
            narrowest=size.narrowest,
            widest=size.widest,
            parts=(self.names[triangles.part[one]], self.names[triangles.part[other]]),
            cavity_volume=chamber.region.volume,
            cavity_place=chamber.inside,
            cavity=self.void[chamber.number],
            to=self.void.get(side, OUTSIDE),
            to_place=self.chamber[side].inside if side in self.chamber else np.full(3, np.nan),
        )


def _home(chamber: Chamber, voids: Sequence[Chamber]) -> int:
    """The void that a chamber is, or is part of."""
    for number, void in enumerate(voids):
        if chamber.is_with(void):
            return number
    return OUTSIDE


def _closed_enough(chamber: Chamber) -> bool:
    areas = chamber.region.areas
    open_area = float(areas[chamber.region.part < 0].sum())
    return open_area < _MOSTLY_OPEN * float(areas.sum())


def _told(leak: Leak, before: Sequence[Leak]) -> bool:
    """Whether the same opening was found at a smaller width already."""
    return any(
        leak.to == old.to
        and set(leak.parts) == set(old.parts)
        and float(np.linalg.norm(leak.place - old.place)) < max(leak.widest, old.widest)
        for old in before
    )
