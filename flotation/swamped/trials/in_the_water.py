"""Everything that the simulated tests add to an assessment."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, FoamInPlace
from flotation.errors import NotSettled
from flotation.swamped.assessment import Explanation, Finding, Outcome, Scope, Section, Trial
from flotation.swamped.books import Books
from flotation.swamped.burdens import Listed
from flotation.swamped.general_method import General
from flotation.swamped.scope import BASIC
from flotation.swamped.trials.basic_test import simulate_basic
from flotation.swamped.trials.cases import cases
from flotation.swamped.trials.choices import stated_choice
from flotation.swamped.trials.condition import Piece, SwampedBoat, lacking
from flotation.swamped.trials.explain import explain
from flotation.swamped.trials.immersed import immersed
from flotation.swamped.trials.level_tests import Basin, simulate
from flotation.swamped.trials.loads import loads
from flotation.swamped.trials.mend import mend
from flotation.swamped.trials.sheets import sheet_findings
from flotation.swamped.trials.two_methods import compare
from flotation.swamped.wording import both
from flotation.units import percent

_NOT_RUN = "The tests in the water are not simulated: the boat file does not state"
_ASSUMED = (
    "In the water: it stands inside as high as outside, no air is caught, nothing above it lifts.",
    "What an item displaces follows from its mass and material and is spread over the height of "
    "its box; an item without a material only weighs.",
    "The load of a test lies in the middle of the passenger area, with its centre 4 in above the "
    "sole.",
)
_ONE_SIDE = (
    "Where on one side the load lies was not read: it is tried in the middle of that side and at "
    "the edge of the passenger area. Whether the dead weight stays aboard then was not read "
    "either; it is tried with and without."
)
_BOTH_ENDS = (
    "Each test is run with every assumption at either end; of all of them the one with the least "
    "margin in proportion to its limit is shown."
)


@dataclass(frozen=True)
class InTheWater:
    """The simulated tests and what they explain; without them, why they were not run.

    remember  the one sentence that a reader of a failing boat should take home; "" for none
    """

    remember: str = ""
    trials: tuple[Trial, ...] = ()
    explanations: tuple[Explanation, ...] = ()
    mending: tuple[str, ...] = ()
    sections: tuple[Section, ...] = ()
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[str, ...] = ()
    open_points: tuple[str, ...] = ()


@dataclass(frozen=True)
class Worked:
    """What the general method went by, and what it found.

    listed  the weight list as the calculation takes it
    """

    boat: Boat
    foam: tuple[FoamInPlace, ...]
    listed: tuple[Listed, ...]
    general: General
    scope: Scope
    books: Books


def basin_of(worked: Worked) -> Basin | None:
    """The boat ready for its tests; None where the boat file lacks what they need."""
    boat, general, books = worked.boat, worked.general, worked.books
    flotation = worked.scope.flotation
    if boat.top is None or lacking(boat):
        return None
    swamped = SwampedBoat(
        boat,
        worked.listed,
        worked.foam,
        general.machinery.burdens,
        general.water.term("water"),
        books,
        stated_choice(boat, flotation, books.law),
    )
    aboard = loads(boat, worked.listed, flotation, general.chambers.asked, books)
    return Basin(swamped, aboard, boat.top, books.law, worked.scope.inside)


def in_the_water(worked: Worked) -> InTheWater:
    """Simulate every test that the kind of flotation has, and explain those that are not met.

    A boat file that lacks something gets no simulation, and an open point that says what; so does
    a boat whose rest is not found within its tolerance.
    """
    basin = basin_of(worked)
    if basin is None:
        return InTheWater(open_points=(f"{_NOT_RUN} {'; '.join(lacking(worked.boat))}.",))
    try:
        return _run(worked, basin)
    except NotSettled as error:
        return InTheWater(open_points=(f"The tests in the water did not settle: {error}.",))


def _run(worked: Worked, basin: Basin) -> InTheWater:
    swamped, flotation = basin.swamped, worked.scope.flotation
    trials: tuple[Trial, ...] = ()
    explanations: tuple[Explanation, ...] = ()
    mending: tuple[str, ...] = ()
    if flotation == BASIC:
        trials = (simulate_basic(basin),)
    else:
        done = [simulate(basin, case) for case in cases(flotation, basin.law)]
        failing = [one for one in done if not one.trial.meets]
        trials = tuple(one.trial for one in done)
        explanations = tuple(explain(basin, one) for one in failing)
        mending = mend(basin, failing, flotation)
    pieces = swamped.pieces(swamped.stated)
    laden = (*pieces, *basin.loads.aboard(1.0, "", swamped.stated))
    return InTheWater(
        _sentence(worked, trials),
        trials,
        explanations,
        mending,
        (basin.loads.section, compare(swamped, worked.general, laden)),
        (*sheet_findings(swamped), *_waterline(basin, trials[0], pieces)),
        (*_ASSUMED, *([] if flotation == BASIC else [_ONE_SIDE, _BOTH_ENDS]), *_tanks(worked.boat)),
    )


def _tanks(boat: Boat) -> list[str]:
    return [
        f"{tank.name}: sealed, and no restraint is stated; its lift is not counted."
        for tank in boat.tanks
        if tank.sealed and not tank.restraint
    ]


def _waterline(basin: Basin, trial: Trial, pieces: Sequence[Piece]) -> list[Finding]:
    """Entries of the weight list that lie on the other side of the water than the list says."""
    if trial.normal is None or trial.offset is None:
        return []
    rule = basin.swamped.books.own.number("waterline_share")
    parts = immersed(pieces, trial.normal, trial.offset)
    found = []
    for entry in basin.swamped.listed:
        own = [part for part in parts if part.piece.item == entry.weight.item]
        whole = sum(part.whole for part in own)
        if whole <= 0.0:
            continue
        share = sum(part.volume for part in own) / whole
        if (share >= rule.value) is not entry.weight.below_water:
            listed = "below" if entry.weight.below_water else "above"
            text = (
                f"{percent(share)} of what it displaces is under water in {trial.name}; the weight "
                f"list has it {listed} the waterline"
            )
            found.append(Finding(entry.weight.item, rule.quote, text, None, rule))
    return found


def _sentence(worked: Worked, trials: Sequence[Trial]) -> str:
    """What to remember of a boat that has foam enough and does not float as it must."""
    left = worked.general.verdicts[0].margin
    over = [one.name for one in trials if one.outcome is Outcome.TURTLE]
    lost = over or [one.name for one in trials if not one.meets]
    if left < 0.0 or not lost or any(one.outcome is Outcome.SINKS for one in trials):
        return ""
    what = "turns over" if over else "does not stay within the limits"
    volume = sum(entry.solid.volume for entry in worked.foam)
    sole = worked.boat.passenger_area.sole
    low = sum(entry.solid.below((0.0, 0.0, 1.0), sole).volume for entry in worked.foam) / volume
    sentence = (
        f"Enough foam in the wrong place: {both(left, 'kg')} more lift than the general method "
        f"asks for, and the boat still {what} in {'; '.join(lost)}"
    )
    if low > 0.5:
        where = f"{percent(low)} of its foam lies under the sole"
        sentence += f". {where}: it lifts from below what it has to hold upright"
    return f"{sentence}."
