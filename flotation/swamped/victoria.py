"""Victoria's formula: how much foam a second published method asks for."""

from collections.abc import Sequence

from flotation.boat import Method, Role
from flotation.rulebook import Material, RuleBook
from flotation.swamped.assessment import Section
from flotation.swamped.books import Books
from flotation.swamped.burdens import Listed, of_roles, total
from flotation.swamped.factors import submergence_factor
from flotation.swamped.lift import FoamLift
from flotation.workings import COMPUTED, Line, Term, work_out

_FITTINGS = frozenset(
    {Role.MOTOR, Role.CONTROLS, Role.BATTERY, Role.EQUIPMENT, Role.PERMANENT_TANK}
)
_NOTE = (
    "for information: guidance of the State of Victoria, Australia; its formula has no term for "
    "persons and none for where the foam lies"
)


def foam_volume(hull: Term, fittings: Term, foam_density: Term, book: RuleBook) -> Line:
    """Volume of foam by Victoria's fact sheet, m3: V = 1.2 (M K + F) / (1000 - D).

    hull          "MK": hull and deck, each mass times its K, kg; 0 for a timber hull
    fittings      "F": machinery and fittings, dry, kg
    foam_density  "D": kg/m3
    """
    return work_out(
        "Foam that Victoria's formula asks for",
        "surplus * (MK + F) / (water - D)",
        [
            book.number("surplus").term("surplus"),
            hull,
            fittings,
            book.number("water").term("water"),
            foam_density,
        ],
        unit="m3",
        source=book.clause("volume").source,
    )


def victoria(listed: Sequence[Listed], lift: FoamLift, water: Term, books: Books) -> Section:
    """The second method beside the first; empty without foam, whose density it needs.

    listed  the weight list
    lift    what stands in the cavities
    water   density, symbol "water", for a material whose K Victoria does not print
    books   for Victoria's fact sheet and the handbook

    A material counts with Victoria's K, else with the K of its density; wood with none, as in
    Victoria's formula for a timber hull. Structure without a material counts as fittings.
    """
    if not lift.cavities:
        return Section("Victoria's formula", ())
    book, guide = books.victoria, books.guide
    hull = [e for e in of_roles(listed, frozenset({Role.STRUCTURE})) if e.weight.material]
    rest = [e for e in of_roles(listed, _FITTINGS | {Role.STRUCTURE}) if e not in hull]
    hull_line = _hull(hull, water, guide, book)
    fittings = total(
        "Machinery and fittings, F", [Term(e.symbol, e.weight.mass, "kg", e.source) for e in rest]
    )
    density = work_out(
        "Foam density, D",
        "mass / volume",
        [lift.mass.term("mass"), lift.volume.term("volume")],
        unit="kg/m3",
        source=COMPUTED,
    )
    asked = foam_volume(hull_line.term("MK"), fittings.term("F"), density.term("D"), book)
    left = work_out(
        "Foam volume less Victoria's",
        "volume - asked",
        [lift.volume.term("volume"), asked.term("asked")],
        unit="m3",
        source=COMPUTED,
    )
    lines = (hull_line, fittings, density, asked, left)
    return Section("Victoria's formula", lines, _NOTE)


def _hull(hull: Sequence[Listed], water: Term, guide: RuleBook, book: RuleBook) -> Line:
    terms: list[Term] = []
    for entry in hull:
        material = entry.weight.material
        if material is not None:
            terms += [
                Term(entry.symbol, entry.weight.mass, "kg", entry.source),
                _factor(f"K_{entry.symbol}", material, water, guide),
            ]
    pairs = zip(terms[::2], terms[1::2], strict=True)
    formula = " + ".join(f"{mass.symbol} * {factor.symbol}" for mass, factor in pairs) or "0"
    return work_out(
        "Hull and deck, M K", formula, terms, unit="kg", source=book.clause("volume").source
    )


def _factor(symbol: str, material: Material, water: Term, guide: RuleBook) -> Term:
    for published in material.published:
        if published.name == "victoria":
            return published.term(symbol)
    method = Method(wood_lifts=False, credit_cap=False, basic_persons="maximum weight")
    line = submergence_factor(material, water, method, guide)
    return Term(symbol, line.value, line.unit, line.source)
