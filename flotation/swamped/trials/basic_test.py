"""The test of basic flotation in the water, by calculation: some part of the boat stays above."""

from flotation.equilibrium.bodies import Rest
from flotation.rulebook import Criterion
from flotation.swamped.assessment import Aboard, Outcome, Trial, Verdict
from flotation.swamped.limits import Limit, at_least
from flotation.swamped.trials.condition import Kind, Piece
from flotation.swamped.trials.immersed import immersed, share_of
from flotation.swamped.trials.level_tests import Basin
from flotation.swamped.trials.runs import Ready, Run, from_keel_down, inclination
from flotation.swamped.wording import both

SECTION = "183.105"


def simulate_basic(basin: Basin) -> Trial:
    """The test of 33 CFR 183.105: does the loaded, swamped boat float, any way up?

    Returns the Trial, as stated. Its one verdict compares the lift of everything under water with
    what everything weighs; heel, trim and the depths of the ends are told for information.
    """
    swamped = basin.swamped
    loads = basin.loads.aboard(1.0, "", swamped.stated)
    pieces = (*swamped.pieces(swamped.stated), *loads)
    ready = Ready(pieces, basin.water, swamped.joined(pieces), basin.top)
    verdict = _verdict(basin, ready)
    aboard = tuple(Aboard(one.item, one.body.mass, one.body.at) for one in loads)
    run = from_keel_down(ready)
    if isinstance(run, Run) and run.rest is not None:
        return _afloat(run, run.rest, pieces, verdict, aboard)
    short = max(-verdict.margin, 0.0)
    return Trial(
        *(SECTION, "", None, None, None, None, False),
        outcome=Outcome.SINKS,
        verdicts=(verdict,),
        mass=verdict.required,
        lacking=short,
        loads=aboard,
        notes=(f"sinks: {both(short, 'kg')} of lift are missing",),
    )


def _verdict(basin: Basin, ready: Ready) -> Verdict:
    rule = basin.law.number("basic_time")
    mass = sum(piece.body.mass for piece in ready.pieces)
    asked = Criterion(rule.name, mass, "kg", rule.quote, rule.source)
    lift = basin.water * ready.joined.volume if ready.joined is not None else 0.0
    return at_least(Limit(f"{SECTION}: floats", asked, basin.decides), lift)


def _afloat(
    run: Run,
    rest: Rest,
    pieces: tuple[Piece, ...],
    verdict: Verdict,
    aboard: tuple[Aboard, ...],
) -> Trial:
    parts = immersed(pieces, run.normal, run.offset)
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
        normal=run.normal,
        offset=run.offset,
        mass=rest.mass,
        gm_transverse=rest.gm_transverse,
        gm_longitudinal=rest.gm_longitudinal,
        heel_stiffness=rest.heel_stiffness,
        trim_stiffness=rest.trim_stiffness,
        foam_under_water=share_of(parts, Kind.FOAM),
        loads=aboard,
        notes=("any way up counts; heel and depths are told for information",),
    )
