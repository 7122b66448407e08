"""The tests run with one thing changed, and how the worst of them comes out."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from flotation.equilibrium.bodies import Sinks
from flotation.swamped.assessment import Outcome
from flotation.swamped.trials.cases import Case
from flotation.swamped.trials.condition import Piece
from flotation.swamped.trials.level_tests import Basin
from flotation.swamped.trials.runs import (
    Ready,
    Run,
    from_keel_down,
    from_nearby,
    inclination,
    slack,
)

Change = Callable[[Sequence[Piece]], tuple[Piece, ...]]


@dataclass(frozen=True)
class Varied:
    """All tests with one thing changed. Angles in rad, depths in m.

    group    what kind of change: "a cavity without its foam"
    change   which one: "side port"
    worst    name of the test with the least margin in proportion to its limit
    outcome  of that test
    heel     inclination in it, without sign; None where it sinks
    depth    of its deeper reference area, positive under water; None where it sinks
    left     its least margin as a share of the limit, at most 1; -1 where it sinks
    """

    group: str
    change: str
    worst: str
    outcome: Outcome
    heel: float | None
    depth: float | None
    left: float
    meets: bool


@dataclass(frozen=True, eq=False)
class Series:
    """The tests that are run for every change."""

    basin: Basin
    tests: tuple[Case, ...]

    def run(self, case: Case, change: Change, water: float | None = None) -> Run | Sinks:
        """One test with its pieces changed; `water` in kg/m3, None: that of the calculation.

        Followed from the rest as stated, which is quick; a boat that is then outside the limits
        is let go keel down, like one that is lost as stated.
        """
        swamped = self.basin.swamped
        pieces = change(self.basin.ready(case, swamped.stated).pieces)
        density = self.basin.water if water is None else water
        ready = Ready(pieces, density, swamped.joined(pieces), self.basin.top)
        stated = self._stated[case]
        if isinstance(stated, Sinks) or stated.upside_down:
            return from_keel_down(ready)
        near = from_nearby(ready, stated)
        return near if slack(case, near) >= 0.0 else from_keel_down(ready)

    @cached_property
    def _stated(self) -> Mapping[Case, Run | Sinks]:
        choice = self.basin.swamped.stated
        return {case: from_keel_down(self.basin.ready(case, choice)) for case in self.tests}

    def left(self, change: Change) -> float:
        """The least margin of all tests, as a share of its limit."""
        return min(slack(case, self.run(case, change)) for case in self.tests)

    def varied(
        self, group: str, name: str, change: Change, *, water: float | None = None
    ) -> Varied:
        """Every test with this change; the worst of them."""
        runs = [(case, self.run(case, change, water)) for case in self.tests]
        case, run = min(runs, key=lambda pair: slack(*pair))
        left = slack(case, run)
        if isinstance(run, Sinks):
            return Varied(group, name, case.name, Outcome.SINKS, None, None, -1.0, False)
        outcome = Outcome.TURTLE if run.upside_down else Outcome.FLOATS
        depth = max(run.areas.forward.depth, run.areas.aft.depth)
        heel = inclination(run.normal)
        return Varied(group, name, case.name, outcome, heel, depth, max(left, -1.0), left >= 0.0)


def unchanged(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """Nothing changed."""
    return tuple(pieces)


def last_that_holds(holds: Callable[[float], bool], high: float, step: float) -> float | None:
    """The largest value from 0 to `high` for which something holds, within `step`.

    It is taken to hold up to one point and not beyond it. None where it does not even hold at 0,
    `high` where it holds all the way.
    """
    if not holds(0.0):
        return None
    if holds(high):
        return high
    low = 0.0
    while high - low > step:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
