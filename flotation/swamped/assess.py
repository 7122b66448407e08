"""From a boat and its foam to an assessment, by the general method."""

from collections.abc import Sequence

from flotation.boat import Boat, FoamInPlace, Propulsion, Role, Weight
from flotation.errors import Fault, InputError
from flotation.swamped.advice import WRONG_PLACE, Advice, Needs, placement
from flotation.swamped.assessment import Assessment, Finding, Scope, Section, Verdict
from flotation.swamped.books import load_books
from flotation.swamped.burdens import number_weights, of_roles, total
from flotation.swamped.capacity import capacities
from flotation.swamped.centres import centres
from flotation.swamped.general_method import GUIDANCE, general_method
from flotation.swamped.holding import uplift
from flotation.swamped.scope import BASIC, find_scope
from flotation.swamped.structure import ROLES as STRUCTURE_ROLES
from flotation.swamped.surroundings import surroundings
from flotation.swamped.victoria import victoria
from flotation.swamped.weighing import reconcile
from flotation.swamped.weights import mass_and_centre, take_foam_off
from flotation.workings import Mark

_TEST_DECIDES = (
    "This is a calculation. The regulation's own text and a physical test of the boat decide."
)
_LEVEL_OPEN = (
    "Enough lift does not make a boat float level: heel and depth at the ends are not decided by "
    "the quantity of foam."
)
_EDITIONS = (
    "The copies of 33 CFR Part 183 and of the handbook that were read carry no date; compare with "
    "the text in force."
)


def assess(boat: Boat, foam: Sequence[FoamInPlace]) -> Assessment:
    """Does the swamped boat meet the calculated limits?

    boat  as read from its file
    foam  what stands in its cavities: from a plan, from a record, or varied
    Returns an Assessment. Raises InputError for foam in a cavity that the boat does not have, for
    a weight list without structure or without the motor that the boat is driven by, for a
    weighing of nothing, and for a hull that is said to have foam in its weight and weighs less.

    All foam is taken to be under water. Outside the scope of the regulation the same limits are
    worked out and do not decide.
    """
    books = load_books()
    scope = find_scope(boat, books.law)
    _check_weights(boat)
    weights, before, findings, assumptions = _settled_weights(boat, foam)
    listed = number_weights(weights)
    general = general_method(boat, listed, foam, scope, books)
    water = general.sections[0].lines[0].term("water")
    advice = placement(
        boat,
        foam,
        general.foam,
        Needs(scope.flotation, general.machinery.total, general.load.total),
        books,
    )
    middle = centres(general.lifting, general.burdens)
    held, holding = uplift(boat, foam, water, books.own)
    dry, dry_centre = mass_and_centre("Boat without foam, dry", of_roles(listed, STRUCTURE_ROLES))
    whole = total("Boat with foam, dry", [dry.term("boat"), general.foam.mass.term("foam")])
    plate = capacities(boat, whole, general.load.equipment, books.law, scope.inside)
    second = victoria(listed, general.foam, water, (books.victoria, books.guide))
    sections = (
        *before,
        *general.sections,
        advice.section,
        middle.section,
        held,
        Section("The boat, dry", (dry, *dry_centre, whole)),
        plate.section,
        second,
    )
    verdicts = (*general.verdicts, *plate.verdicts)
    shown = tuple(section for section in sections if section.lines)
    return Assessment(
        boat=boat.name,
        scope=scope,
        sections=shown,
        verdicts=verdicts,
        cavities=general.foam.cavities,
        balance=middle.balance,
        findings=(
            *advice.findings,
            *middle.findings,
            *general.chambers.findings,
            *holding,
            *surroundings(boat, foam, books.law),
            *findings,
        ),
        assumptions=(*assumptions, *general.assumptions, *_assumptions(boat, weights, foam)),
        open_points=(
            *_wrong_place(advice, verdicts),
            *_open_points(scope),
            *plate.open_points,
            *_recalled(shown, verdicts),
        ),
    )


def _check_weights(boat: Boat) -> None:
    place = f"{boat.name} [weights]"
    roles = {weight.role for weight in boat.weights}
    faults = []
    if Role.STRUCTURE not in roles:
        problem = "the weight list has no structure"
        faults.append(Fault(place, problem, 'Add the hull, with role = "structure".'))
    if boat.propulsion is not Propulsion.MANUAL and Role.MOTOR not in roles:
        problem = f"the boat is driven by a motor ({boat.propulsion}) that the weight list lacks"
        remedy = 'Add the heaviest motor that it is rated for, with role = "motor".'
        faults.append(Fault(place, problem, remedy))
    if boat.weighing is not None and not roles & boat.weighing.roles:
        problem = "nothing of the weight list was aboard when the boat was weighed"
        faults.append(Fault(f"{boat.name} [weighing]", problem, "Name the roles that were aboard."))
    if faults:
        raise InputError(faults)


def _settled_weights(
    boat: Boat, foam: Sequence[FoamInPlace]
) -> tuple[tuple[Weight, ...], list[Section], list[Finding], list[str]]:
    """The weight list after the weighing and without the foam that counts in its lift."""
    weights = boat.weights
    sections: list[Section] = []
    findings: list[Finding] = []
    assumptions: list[str] = []
    if boat.weighing is not None:
        reconciled = reconcile(weights, boat.weighing, boat.length)
        weights = reconciled.settled.weights
        sections.append(reconciled.settled.section)
        findings.append(reconciled.finding)
        assumptions += reconciled.settled.assumptions
    settled = take_foam_off(boat, weights, foam)
    if settled is not None:
        weights = settled.weights
        sections.append(settled.section)
        assumptions += settled.assumptions
    return weights, sections, findings, assumptions


def _assumptions(boat: Boat, weights: Sequence[Weight], foam: Sequence[FoamInPlace]) -> list[str]:
    found = ["All foam is under water; foam above the swamped waterline lifts nothing and weighs."]
    filled = {entry.cavity for entry in foam}
    empty = [cavity.name for cavity in boat.cavities if cavity.name not in filled]
    if empty:
        found.append(f"Cavities without foam are flooded: {', '.join(empty)}.")
    bare = [weight.item for weight in weights if weight.tolerance is None]
    if len(bare) == len(weights):
        found.append("No tolerance is stated for any weight: the margins carry no spread.")
    elif bare:
        found.append(f"Taken as exact, for want of a stated tolerance: {', '.join(bare)}.")
    return found


def _wrong_place(advice: Advice, verdicts: Sequence[Verdict]) -> list[str]:
    met = all(verdict.meets for verdict in verdicts if verdict.name == GUIDANCE)
    return [WRONG_PLACE] if met and advice.persons_placed is False else []


def _open_points(scope: Scope) -> list[str]:
    level = [] if scope.flotation == BASIC else [_LEVEL_OPEN]
    return [_TEST_DECIDES, *level, _EDITIONS]


def _recalled(sections: Sequence[Section], verdicts: Sequence[Verdict]) -> list[str]:
    """One sentence that names every recalled source that the calculation used."""
    lines = [line for section in sections for line in section.lines]
    sources = [verdict.criterion.source for verdict in verdicts]
    for line in lines:
        sources += [line.source, *(term.source for term in line.terms if term.source)]
    names = dict.fromkeys(
        ", ".join(part for part in (source.publication, source.section) if part)
        for source in sources
        if source.mark is Mark.RECALLED
    )
    if not names:
        return []
    return [f"Recalled, and to be compared with the current text: {'; '.join(names)}."]
