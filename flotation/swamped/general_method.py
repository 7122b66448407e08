"""The general method: flotation needed for boat, machinery, persons and gear, and what is there.

F = Fb + Fp + Fc, in kg of lift: the handbook's volumes times B. Verdicts compare kg with kg, so
that foams of several densities add up.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from flotation.boat import Boat, FoamInPlace
from flotation.rulebook import Criterion
from flotation.swamped.assessment import Scope, Section, Verdict
from flotation.swamped.books import Books
from flotation.swamped.burdens import Burden, Listed, total
from flotation.swamped.chambers import ChamberLift, chamber_lift
from flotation.swamped.found_volumes import FoundVolumes, found_volumes
from flotation.swamped.lift import FoamLift, foam_lift, net_buoyancy
from flotation.swamped.limits import Limit, at_least
from flotation.swamped.load import Load, load
from flotation.swamped.machinery import Machinery, machinery
from flotation.swamped.structure import Structure, structure
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

_SPREADS = Source(
    "each tolerance of the weight list, times the weight under water over the dry mass",
    mark=Mark.COMPUTED,
)
GUIDANCE = "Flotation by the general method"
OWN_LAW = "Flotation for the regulation's own load"


@dataclass(frozen=True)
class General:
    """The terms of the method, their sections in a reader's order, and the verdicts."""

    water: Line
    structure: Structure
    machinery: Machinery
    load: Load
    foam: FoamLift
    bounds: FoundVolumes
    chambers: ChamberLift
    sections: tuple[Section, ...]
    verdicts: tuple[Verdict, ...]

    @property
    def burdens(self) -> tuple[Burden, ...]:
        """Everything that must be held up."""
        return (*self.structure.burdens, *self.machinery.burdens, self.load.burden)

    @property
    def lifting(self) -> tuple[Burden, ...]:
        """Everything that lifts."""
        return (*self.foam.pieces, *self.chambers.pieces)

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What the terms took for granted, in sentences."""
        terms = (self.structure, self.machinery, self.load, self.foam, self.bounds, self.chambers)
        return tuple(text for term in terms for text in term.assumptions)


def calculation_water(boat: Boat, books: Books) -> Line:
    """Density of the water that the calculation takes, kg/m3.

    The tests are made in fresh water: a boat file that names denser water does not get its lift.
    """
    stated = Source(f"boat file, water: {boat.water_name}", mark=Mark.STATED)
    fresh = books.guide.number("water")
    return work_out(
        "Water of the calculation",
        "min(stated, fresh)",
        [Term("stated", boat.water, "kg/m3", stated), fresh.term("fresh")],
        unit="kg/m3",
        source=fresh.source,
        note="the tests are made in fresh water; denser water is not credited",
    )


def general_method(
    boat: Boat,
    listed: Sequence[Listed],
    foam: Sequence[FoamInPlace],
    scope: Scope,
    books: Books,
) -> General:
    """Work the general method out for one boat.

    listed  the weight list as the calculation takes it
    foam    what stands in the cavities
    scope   the kind of flotation, and whether the verdicts decide
    Raises InputError for foam in a cavity that the boat does not have.
    """
    water_line = calculation_water(boat, books)
    water, law, guide = water_line.term("water"), books.law, books.guide
    kind = scope.flotation
    cap = books.passenger.number("foam_credit") if boat.method.credit_cap else None
    own = structure(listed, water, boat.method, guide)
    machines = machinery(listed, kind, law, guide)
    carried = load(boat, listed, kind, law, guide)
    foamed = foam_lift(boat, foam, water, guide, cap)
    sealed = chamber_lift(boat, kind, water, law)
    burdens = (*own.burdens, *machines.burdens)
    bounds = found_volumes(boat, foam, water)
    spread = _spread(burdens, bounds)
    terms = [
        own.total.term("boat"),
        machines.total.term("machinery"),
        sealed.asked.term("chambers"),
    ]
    required = _required(GUIDANCE, terms, carried.total, books)
    lifts = [foamed.total.term("foam"), sealed.total.term("chambers")]
    obtained = total("Lift of foam and chambers", lifts if sealed.pieces else lifts[:1])
    answer = [required, obtained, _left_over(obtained, required), *_volumes(foamed, required)]
    verdicts = [_verdict(GUIDANCE, required, obtained, spread, scope.inside)]
    if carried.own_law is not None:
        law_required = _required(OWN_LAW, terms, carried.own_law, books)
        answer.append(law_required)
        by_law = _verdict(OWN_LAW, law_required, obtained, spread, scope.inside)
        criterion = replace(by_law.criterion, source=carried.own_law.source)
        verdicts.append(replace(by_law, criterion=criterion))
    if spread is not None:
        answer.append(spread)
    sections = (
        Section("Water", (water_line,)),
        own.section,
        machines.section,
        carried.section,
        foamed.section,
        bounds.section,
        sealed.section,
        Section("Flotation required and obtained", tuple(answer)),
    )
    return General(
        water_line, own, machines, carried, foamed, bounds, sealed, sections, tuple(verdicts)
    )


def _required(name: str, terms: Sequence[Term], carried: Line, books: Books) -> Line:
    """What must be lifted; the air chambers' term only where it is above zero."""
    asked = [term for term in terms if term.symbol != "chambers" or term.value > 0.0]
    return total(
        f"{name}, required",
        [*asked, carried.term("load")],
        source=books.guide.clause("total").source,
    )


def _left_over(obtained: Line, required: Line) -> Line:
    return work_out(
        "Lift left over",
        "obtained - required",
        [obtained.term("obtained"), required.term("required")],
        unit="kg",
        source=COMPUTED,
    )


def _volumes(foamed: FoamLift, required: Line) -> list[Line]:
    """B and the volume of this foam that the requirement takes; nothing without foam."""
    if not foamed.cavities:
        return []
    net = net_buoyancy(foamed.total, foamed.volume)
    if not net.value > 0.0:
        return [net]
    volume = work_out(
        "Volume of this foam that is required",
        "required / B",
        [required.term("required"), net.term("B")],
        unit="m3",
        source=COMPUTED,
    )
    return [net, volume]


def _spread(burdens: Sequence[Burden], bounds: FoundVolumes) -> Line | None:
    """What tolerances and bounds add up to, all against the boat; None where there are none."""
    stated = [
        Term(f"t_{burden.symbol}", burden.spread, "kg", _SPREADS)
        for burden in burdens
        if burden.spread is not None
    ]
    if bounds.lift is None:
        return total("Stated tolerances, all against the boat", stated) if stated else None
    terms = [*stated, bounds.lift.term("volumes")]
    return total("Stated tolerances and bounds of volumes, all against the boat", terms)


def _verdict(
    name: str, required: Line, obtained: Line, spread: Line | None, decides: bool
) -> Verdict:
    criterion = Criterion(
        name=name,
        value=required.value,
        unit=required.unit,
        quote="the lift is at least the weight under water",
        source=required.source,
    )
    limit = Limit(name, criterion, decides, required.label)
    return at_least(
        limit, obtained.value, line=obtained.label, spread=None if spread is None else spread.value
    )
