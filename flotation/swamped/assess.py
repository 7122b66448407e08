"""From a boat and its foam to an assessment, by the general method."""

from collections.abc import Sequence

from flotation.boat import Boat, FoamInPlace
from flotation.swamped.advice import Needs, placement
from flotation.swamped.assessment import Assessment, Scope, Section
from flotation.swamped.books import Books, load_books
from flotation.swamped.burdens import Listed, of_roles, total
from flotation.swamped.capacity import Capacities, Mass, capacities, tolerances
from flotation.swamped.centres import centres
from flotation.swamped.general_method import General, general_method
from flotation.swamped.holding import uplift
from flotation.swamped.load import EQUIPMENT_ROLES
from flotation.swamped.open_points import open_points, recalled
from flotation.swamped.scope import find_scope
from flotation.swamped.structure import ROLES as STRUCTURE_ROLES
from flotation.swamped.surroundings import surroundings
from flotation.swamped.trials import Worked, in_the_water
from flotation.swamped.victoria import victoria
from flotation.swamped.weight_list import settle_weights
from flotation.swamped.weights import mass_and_centre


def assess(boat: Boat, foam: Sequence[FoamInPlace]) -> Assessment:
    """Does the swamped boat meet the calculated limits?

    boat  as read from its file
    foam  what stands in its cavities: from a plan, from a record, or varied
    Returns an Assessment. Raises InputError for foam in a cavity that the boat does not have, for
    a weight list without structure or without the motor that the boat is driven by, for a
    weighing of nothing, and for a hull that is said to have foam in its weight and weighs less.

    All foam is taken to be under water, the favourable side. Outside the scope of the regulation
    the same limits are worked out and do not decide.
    """
    books = load_books()
    scope = find_scope(boat, books.law)
    weights = settle_weights(boat, foam)
    general = general_method(boat, weights.listed, foam, scope, books)
    needs = Needs(scope.flotation, general.machinery.total, general.load.total)
    advice = placement(boat, foam, general.foam, needs, books)
    middle = centres(general.lifting, general.burdens)
    held = uplift(boat, foam, general.water.term("water"), books.own)
    dry, plate = _plate(boat, weights.listed, general, scope, books)
    second = victoria(weights.listed, general.foam, general.water.term("water"), books)
    afloat = in_the_water(Worked(boat, tuple(foam), weights.listed, general, scope, books))
    sections = _with_lines(
        *weights.sections,
        *general.sections,
        *(advice.section, middle.section, held.section, dry, plate.section, second),
        *afloat.sections,
    )
    verdicts = (*general.verdicts, *plate.verdicts)
    return Assessment(
        boat=boat.name,
        scope=scope,
        sections=sections,
        verdicts=verdicts,
        cavities=general.foam.cavities,
        balance=middle.balance,
        findings=(
            *(*advice.findings, *middle.findings, *general.chambers.findings, *held.findings),
            *(*surroundings(boat, foam, books.law), *weights.findings),
            *afloat.findings,
        ),
        assumptions=(
            *(*weights.assumptions, *general.assumptions, *_flooded(boat, foam)),
            *afloat.assumptions,
        ),
        open_points=(
            *open_points(scope, advice, verdicts, simulated=bool(afloat.trials)),
            *(*afloat.open_points, *plate.open_points),
            *recalled(sections, (*verdicts, *(v for one in afloat.trials for v in one.verdicts))),
        ),
        trials=afloat.trials,
        remember=afloat.remember,
        explanations=afloat.explanations,
        mending=afloat.mending,
    )


def _plate(
    boat: Boat, listed: Sequence[Listed], general: General, scope: Scope, books: Books
) -> tuple[Section, Capacities]:
    """The dry boat, which the capacity rules start from, and the plate against the rules."""
    own = of_roles(listed, STRUCTURE_ROLES)
    dry, centre = mass_and_centre("Boat without foam, dry", own)
    terms = [dry.term("boat"), general.foam.mass.term("foam")]
    whole = total("Boat with foam, dry", terms, source=books.law.clause("boat_weight").source)
    loose = tolerances("Stated tolerances, boat without foam", own)
    gear = tolerances("Stated tolerances, equipment", of_roles(listed, EQUIPMENT_ROLES))
    masses = Mass(whole, loose), Mass(general.load.equipment, gear)
    plate = capacities(boat, *masses, books.law, scope.inside)
    spreads = [line for line in (loose, gear) if line is not None]
    return Section("The boat, dry", (dry, *centre, whole, *spreads)), plate


def _with_lines(*sections: Section) -> tuple[Section, ...]:
    return tuple(section for section in sections if section.lines)


def _flooded(boat: Boat, foam: Sequence[FoamInPlace]) -> tuple[str, ...]:
    under = (
        "All foam is taken to be under water. That is the favourable side: foam above the swamped "
        "waterline lifts nothing and still weighs."
    )
    filled = {entry.cavity for entry in foam}
    empty = [cavity.name for cavity in boat.cavities if cavity.name not in filled]
    if not empty:
        return (under,)
    return (under, f"Cavities without foam are flooded: {', '.join(empty)}.")
