"""The test of basic flotation in the water, by calculation: some part of the boat stays above."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.equilibrium.bodies import Rest
from flotation.rulebook import Criterion
from flotation.swamped.assessment import Aboard, Outcome, Trial, Tried, Verdict
from flotation.swamped.limits import Limit, at_least
from flotation.swamped.trials.choices import Alternative, alternatives, combined
from flotation.swamped.trials.condition import Choice, Kind
from flotation.swamped.trials.immersed import immersed, share_of
from flotation.swamped.trials.level_tests import AS_STATED, Basin
from flotation.swamped.trials.runs import Ready, Run, from_keel_down, inclination
from flotation.swamped.wording import both

SECTION = "183.105"


@dataclass(frozen=True, eq=False)
class _Way:
    """The boat with its load under one choice, in words.

    left  kg that everything under water lifts more than everything weighs
    """

    words: str
    ready: Ready
    loads: tuple[Aboard, ...]
    mass: float
    lift: float

    @property
    def left(self) -> float:
        return self.lift - self.mass


def simulate_basic(basin: Basin) -> Trial:
    """The test of 33 CFR 183.105: does the loaded, swamped boat float, any way up?

    Returns the Trial at the worse end of every assumption: the one that leaves less lift. Its one
    verdict compares the lift of everything under water with what everything weighs; heel, trim
    and the depths of the ends are told for information. No chamber is flooded here besides those
    that the section floods: the load already holds a weight for the two largest.
    """
    stated = _way(basin, AS_STATED, basin.swamped.stated)
    singles = [
        (one, _way(basin, one.words, one.choice))
        for one in alternatives(basin.swamped, basin.loads, one_side=False)
        if one.field != "airtight"
    ]
    ways = [stated, *(way for _, way in singles)]
    worst = _worst(basin, stated, singles)
    if worst.words not in [way.words for way in ways]:
        ways.append(worst)
    verdict = _verdict(basin, worst)
    tried = tuple(map(_tried, ways))
    run = from_keel_down(worst.ready)
    if isinstance(run, Run) and run.rest is not None:
        return _afloat(run, run.rest, worst, verdict, tried)
    short = max(-verdict.margin, 0.0)
    return Trial(
        *(SECTION, "", None, None, None, None, False),
        outcome=Outcome.SINKS,
        verdicts=(verdict,),
        assumed=worst.words,
        tried=tried,
        mass=worst.mass,
        lacking=short,
        loads=worst.loads,
        notes=(f"sinks: {both(short, 'kg')} of lift are missing",),
    )


def _way(basin: Basin, words: str, choice: Choice) -> _Way:
    swamped = basin.swamped
    loads = basin.loads.aboard(1.0, "", choice)
    pieces = (*swamped.pieces(choice), *loads)
    joined = swamped.joined(pieces)
    return _Way(
        words,
        Ready(pieces, basin.water, joined, basin.top),
        tuple(Aboard(one.item, one.body.mass, one.body.at) for one in loads),
        sum(piece.body.mass for piece in pieces),
        0.0 if joined is None else basin.water * joined.volume,
    )


def _worst(basin: Basin, stated: _Way, singles: Sequence[tuple[Alternative, _Way]]) -> _Way:
    """As stated, or with every end that leaves less lift: they do not depend on one another."""
    worse: dict[str, tuple[float, Alternative]] = {}
    for one, way in singles:
        if way.left < (worse[one.field][0] if one.field in worse else stated.left):
            worse[one.field] = (way.left, one)
    if not worse:
        return stated
    together = tuple(one for _, one in worse.values())
    words = "; ".join(one.words for one in together)
    way = _way(basin, words, combined(basin.swamped.stated, together))
    return min((stated, way, *(way for _, way in singles)), key=lambda one: one.left)


def _tried(way: _Way) -> Tried:
    run = from_keel_down(way.ready)
    if not isinstance(run, Run):
        return Tried(way.words, Outcome.SINKS, None, None, None, None, False)
    outcome = Outcome.TURTLE if run.upside_down else Outcome.FLOATS
    ends = (run.areas.forward.depth, run.areas.aft.depth)
    return Tried(way.words, outcome, run.heel, run.trim, *ends, True)


def _verdict(basin: Basin, way: _Way) -> Verdict:
    rule = basin.law.number("basic_time")
    asked = Criterion(rule.name, way.mass, "kg", rule.quote, rule.source)
    return at_least(Limit(f"{SECTION}: floats", asked, basin.decides), way.lift)


def _afloat(run: Run, rest: Rest, way: _Way, verdict: Verdict, tried: tuple[Tried, ...]) -> Trial:
    parts = immersed(way.ready.pieces, run.normal, run.offset)
    return Trial(
        SECTION,
        "",
        run.heel,
        run.trim,
        run.areas.forward.depth,
        run.areas.aft.depth,
        verdict.meets,
        outcome=Outcome.TURTLE if run.upside_down else Outcome.FLOATS,
        inclination=inclination(run.normal),
        verdicts=(verdict,),
        assumed=way.words,
        tried=tried,
        normal=run.normal,
        offset=run.offset,
        mass=rest.mass,
        gm_transverse=rest.gm_transverse,
        gm_longitudinal=rest.gm_longitudinal,
        heel_stiffness=rest.heel_stiffness,
        trim_stiffness=rest.trim_stiffness,
        foam_under_water=share_of(parts, Kind.FOAM),
        loads=way.loads,
        notes=("any way up counts; heel and depths are told for information",),
    )
