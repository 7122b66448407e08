"""The tests of the regulation in the water, by calculation.

Each test is run as the boat file and the regulation state it, then with every assumption at its
other end, then with all those together that made it worse; the worst of these is the result.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from flotation.boat import Top
from flotation.boat_places import Point
from flotation.equilibrium.bodies import Rest, Sinks
from flotation.rulebook import Criterion, RuleBook
from flotation.swamped.assessment import Aboard, Outcome, Trial, Tried, Verdict
from flotation.swamped.limits import Limit, at_least, at_most
from flotation.swamped.trials.cases import Case
from flotation.swamped.trials.choices import Alternative, alternatives, combined
from flotation.swamped.trials.condition import Choice, Kind, SwampedBoat
from flotation.swamped.trials.immersed import Immersed, immersed, share_of
from flotation.swamped.trials.loads import Loads
from flotation.swamped.trials.reference import (
    Area,
    Areas,
    area_verdicts,
    depth_at,
    reference_areas_at,
)
from flotation.swamped.trials.runs import (
    Ready,
    Run,
    from_keel_down,
    from_nearby,
    inclination,
    slack,
)
from flotation.swamped.trials.sensitivity import moved_by_tolerances, spread_over
from flotation.swamped.wording import both

AS_STATED = "as stated"


@dataclass(frozen=True, eq=False)
class Basin:
    """A boat and what its tests put aboard.

    top      the points that its reference areas are measured at
    decides  False where the boat is outside the scope of the rule
    """

    swamped: SwampedBoat
    loads: Loads
    top: Top
    law: RuleBook
    decides: bool

    @property
    def water(self) -> float:
        """Density, kg/m3."""
        return self.swamped.water.value

    def ready(self, case: Case, choice: Choice) -> Ready:
        """The boat with the load of a test, under a choice."""
        pieces = (
            *self.swamped.pieces(choice),
            *self.loads.aboard(case.share, case.side, choice),
        )
        return Ready(pieces, self.water, self.swamped.joined(pieces), self.top)


@dataclass(frozen=True, eq=False)
class Simulated:
    """A test, its case, and the choice under which it came out worst."""

    case: Case
    choice: Choice
    trial: Trial


@dataclass(frozen=True, eq=False)
class _Way:
    """A test under one choice, in words, and where it ended."""

    words: str
    choice: Choice
    run: Run | Sinks


def simulate(basin: Basin, case: Case) -> Simulated:
    """One test of level or modified level flotation.

    Returns the test at the worse end of every assumption. Where the boat sinks or turns over as
    stated, no other end is tried: none can be worse for it. Raises NotSettled where no rest is
    found within its tolerance.
    """
    stated = _Way(AS_STATED, basin.swamped.stated, _run(basin, case, basin.swamped.stated))
    if isinstance(stated.run, Sinks) or stated.run.upside_down:
        return Simulated(case, stated.choice, _trial(basin, case, stated, ()))
    singles = [
        (one, _Way(one.words, one.choice, _followed(basin, case, one.choice, stated.run)))
        for one in alternatives(basin.swamped, basin.loads, one_side=bool(case.side))
    ]
    ways = [stated, *(way for _, way in singles)]
    worst = _worst(basin, case, stated, singles)
    if worst.words not in [way.words for way in ways]:
        ways.append(worst)
    return Simulated(case, worst.choice, _trial(basin, case, worst, ways))


def _run(basin: Basin, case: Case, choice: Choice) -> Run | Sinks:
    return from_keel_down(basin.ready(case, choice))


def _followed(basin: Basin, case: Case, choice: Choice, stated: Run) -> Run | Sinks:
    return from_nearby(basin.ready(case, choice), stated)


def _worst(
    basin: Basin, case: Case, stated: _Way, singles: Sequence[tuple[Alternative, _Way]]
) -> _Way:
    """The worst way, let go keel down: as stated, every worse end together, or one of them."""
    level = slack(case, stated.run)
    worse: dict[str, tuple[float, Alternative]] = {}
    for one, way in singles:
        left = slack(case, way.run)
        if left < (worse[one.field][0] if one.field in worse else level):
            worse[one.field] = (left, one)
    if not worse:
        return stated
    together = tuple(one for _, one in worse.values())
    choice = combined(basin.swamped.stated, together)
    words = "; ".join(one.words for one in together)
    found = [stated, _Way(words, choice, _run(basin, case, choice))]
    lowest, single = min(worse.values(), key=lambda pair: pair[0])
    if len(together) > 1 and lowest < slack(case, found[1].run):
        found.append(_Way(single.words, single.choice, _run(basin, case, single.choice)))
    return min(found, key=lambda way: slack(case, way.run))


def _trial(basin: Basin, case: Case, worst: _Way, ways: Sequence[_Way]) -> Trial:
    loads = basin.loads.aboard(case.share, case.side, worst.choice)
    aboard = tuple(Aboard(one.item, one.body.mass, one.body.at) for one in loads)
    tried = tuple(_tried(case, way) for way in ways)
    if isinstance(worst.run, Sinks):
        verdict = _floats(basin, case, worst.run)
        return Trial(
            *(case.section, case.side, None, None, None, None, False),
            outcome=Outcome.SINKS,
            verdicts=(verdict,),
            assumed=worst.words,
            tried=tried,
            mass=worst.run.mass,
            lacking=worst.run.lacking,
            loads=aboard,
            notes=(f"sinks: {both(worst.run.lacking, 'kg')} of lift are missing",),
        )
    run, rest = worst.run, worst.run.rest
    assert rest is not None  # `_worst` lets go of keel down
    parts = immersed(basin.ready(case, worst.choice).pieces, run.normal, run.offset)
    verdicts = _verdicts(basin, case, run, spread_at(basin, rest, parts))
    return Trial(
        case.section,
        case.side,
        run.heel,
        run.trim,
        run.areas.forward.depth,
        run.areas.aft.depth,
        all(verdict.meets for verdict in verdicts),
        outcome=Outcome.TURTLE if run.upside_down else Outcome.FLOATS,
        inclination=inclination(run.normal),
        verdicts=verdicts,
        assumed=worst.words,
        tried=tried,
        normal=run.normal,
        offset=run.offset,
        mass=rest.mass,
        gm_transverse=rest.gm_transverse,
        gm_longitudinal=rest.gm_longitudinal,
        heel_stiffness=rest.heel_stiffness,
        trim_stiffness=rest.trim_stiffness,
        foam_under_water=share_of(parts, Kind.FOAM),
        loads=aboard,
        notes=_notes(run, rest, aboard),
        centre_of_gravity=rest.centre_of_gravity,
        centre_of_buoyancy=rest.centre_of_buoyancy,
    )


def _tried(case: Case, way: _Way) -> Tried:
    run = way.run
    if isinstance(run, Sinks):
        return Tried(way.words, Outcome.SINKS, None, None, None, None, False)
    return Tried(
        way.words,
        Outcome.TURTLE if run.upside_down else Outcome.FLOATS,
        run.heel,
        run.trim,
        run.areas.forward.depth,
        run.areas.aft.depth,
        slack(case, run) >= 0.0,
    )


def _floats(basin: Basin, case: Case, sinks: Sinks) -> Verdict:
    rule = basin.law.number("level_time")
    asked = Criterion(rule.name, sinks.mass, "kg", rule.quote, rule.source)
    return at_least(Limit(f"{case.name}: floats", asked, basin.decides), sinks.lift)


@dataclass(frozen=True)
class Spread:
    """What the stated tolerances add up to in heel, rad, and at the reference areas, m."""

    heel: float
    areas: Areas


def _verdicts(basin: Basin, case: Case, run: Run, spread: Spread | None) -> tuple[Verdict, ...]:
    heel = at_most(
        Limit(f"{case.name}: heel", case.heel, basin.decides),
        inclination(run.normal),
        spread=None if spread is None else spread.heel,
    )
    limit = Limit(case.name, case.depth, basin.decides)
    return (heel, *area_verdicts(limit, run.areas, None if spread is None else spread.areas))


def spread_at(basin: Basin, rest: Rest, parts: Sequence[Immersed]) -> Spread | None:
    """To first order; None where no tolerance is stated.

    A rest without stiffness may go anywhere: half a turn, its own length.
    """
    shares = _shares(basin.swamped)
    if not shares:
        return None
    if not rest.stable:
        anywhere = Area(rest.length, rest.length)
        return Spread(math.pi, Areas(anywhere, anywhere))
    moved = moved_by_tolerances(rest, parts, shares, basin.water)

    def measure(normal: Point, offset: float) -> tuple[float, ...]:
        at = reference_areas_at(basin.top, normal, offset)
        ends = (at.forward.depth, at.forward.highest, at.aft.depth, at.aft.highest)
        return inclination(normal), *ends

    heel, *ends = spread_over(moved, rest, measure)
    return Spread(heel, Areas(Area(*ends[:2]), Area(*ends[2:])))


def _shares(swamped: SwampedBoat) -> Mapping[str, float]:
    """Tolerance over mass of each entry that states one."""
    weights = [entry.weight for entry in swamped.listed]
    return {
        weight.item: weight.tolerance / weight.mass
        for weight in weights
        if weight.tolerance is not None and weight.mass > 0.0
    }


def _notes(run: Run, rest: Rest, aboard: Sequence[Aboard]) -> tuple[str, ...]:
    found = []
    if run.upside_down:
        found.append("turns over and floats bottom up")
    if not rest.stable:
        found.append("at rest without stiffness: a small push moves it far, nothing is decided")
    if rest.other is not None:
        other = math.degrees(rest.other.heel)
        found.append(f"pushed to the other side it comes to rest at a heel of {other:.1f} degrees")
    dry = [one.name for one in aboard if depth_at(one.at, run.normal, run.offset) < 0.0]
    if dry:
        found.append(
            f"above the water here, where real weights weigh more than meant: {', '.join(dry)}"
        )
    return tuple(found)
