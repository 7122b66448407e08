"""The capacity plate against the capacity rules, and the number of persons."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from flotation.boat import Boat, Propulsion
from flotation.errors import RuleNotRead
from flotation.rulebook import Clause, Criterion, RuleBook
from flotation.swamped.assessment import Section, Verdict
from flotation.swamped.burdens import Listed, total
from flotation.swamped.limits import ROUNDING, Limit, at_most, same
from flotation.swamped.wording import both
from flotation.workings import COMMON_PRACTICE, Line, Mark, Source, Term, work_out

_PLATE = Source("capacity plate, as the boat file states it", mark=Mark.STATED)
_NO_SIDE_LOAD = (
    "The persons weight of the plate was not checked: 33 CFR 183.41 compares it with the weight on "
    "one side at which water is about to come aboard, and that is not stated."
)
_NEAR_SIDE_LOAD = (
    "With the stated tolerances against the boat 33 CFR 183.41 compares the persons weight of the "
    "plate with the weight on one side at which water is about to come aboard, and that is not "
    "stated."
)
_WITHOUT_SIDE = "W - E"
_STATED = Source("boat file, capacity", mark=Mark.STATED)


_TOO_MUCH = "; the plate states more than the rule gives"


@dataclass(frozen=True)
class Mass:
    """A mass that the rules start from, kg, and what the stated tolerances do to it.

    spread  kg either way; None where no tolerance is stated
    """

    line: Line
    spread: Line | None


@dataclass(frozen=True)
class Capacities:
    """What the plate says against what the rules give."""

    section: Section
    verdicts: tuple[Verdict, ...]
    open_points: tuple[str, ...]


def capacities(
    boat: Boat, boat_weight: Mass, equipment: Mass, law: RuleBook, decides: bool
) -> Capacities:
    """Number of persons of the plate; and, where the boat file gives what the rules start from,
    the most that the plate may say.

    boat_weight  kg: structure, fittings and permanent tanks, dry
    equipment    kg: motor, controls, battery and full portable tank, dry
    decides      whether the boat is inside the scope

    A rule that was not read becomes an open point: the plate's figure stands unchecked.
    """
    number = persons_number(Term("P", boat.capacity.persons, "kg", _PLATE), law)
    if boat.capacity.maximum_displacement is None and not _is_inboard(boat):
        note = "The capacity plate was not checked: no maximum displacement is stated."
        return Capacities(Section("Capacity", (number,)), (), (note,))
    try:
        maximum = maximum_weight(boat, boat_weight.line, law)
    except RuleNotRead as error:
        return Capacities(Section("Capacity", (number,)), (), (str(error),))
    rule = law.number(_weight_rule(boat, law))
    limit = _limit("Plate: maximum weight", maximum, rule, decides)
    spread = _maximum_spread(boat_weight, rule)
    verdicts = [_plate_verdict(limit, boat.capacity.maximum_weight, spread)]
    persons = _persons(boat, maximum, equipment.line, law)
    spreads = [] if spread is None else [spread]
    if not persons:
        section = Section("Capacity", (number, maximum, *spreads))
        return Capacities(section, tuple(verdicts), (_NO_SIDE_LOAD,))
    limit = _limit("Plate: persons weight", persons[-1], _persons_rule(boat, law), decides)
    near = _side_load_is_near(persons[-1], (spread, equipment.spread), law)
    side = _side_load(boat, law) if near else None
    spread = _persons_spread(persons[-1], spread, equipment.spread, side)
    spreads += [line for line in (side, spread) if line is not None]
    verdicts.append(_plate_verdict(limit, boat.capacity.persons, spread))
    section = Section("Capacity", (number, maximum, *persons, *spreads))
    return Capacities(section, tuple(verdicts), (_NEAR_SIDE_LOAD,) if near and not side else ())


def tolerances(label: str, listed: Sequence[Listed]) -> Line | None:
    """What the stated tolerances of some dry masses add up to, kg; None where none is stated."""
    stated = [
        Term(f"t_{entry.symbol}", entry.weight.tolerance, "kg", entry.source)
        for entry in listed
        if entry.weight.tolerance is not None
    ]
    return total(label, stated) if stated else None


def _plate_verdict(limit: Limit, stated: float, spread: Line | None) -> Verdict:
    verdict = at_most(limit, stated, spread=None if spread is None else spread.value)
    return verdict if verdict.meets else replace(verdict, sentence=verdict.sentence + _TOO_MUCH)


def _maximum_spread(boat_weight: Mass, rule: Criterion) -> Line | None:
    """What the tolerances of the boat's weight do to the maximum weight by the rule, kg."""
    if boat_weight.spread is None:
        return None
    divides = rule.name == "outboard_weight_divisor"
    symbol = "divisor" if divides else "share"
    return work_out(
        "Maximum weight by the rule, spread",
        "tolerances / divisor" if divides else "share * tolerances",
        [boat_weight.spread.term("tolerances"), rule.term(symbol)],
        unit="kg",
        source=rule.source,
    )


def _side_load_is_near(
    persons: Line, spreads: tuple[Line | None, Line | None], law: RuleBook
) -> bool:
    """True if the side load does not count, and would with tolerances against the boat."""
    if persons.formula != _WITHOUT_SIDE:
        return False
    least = persons.value - sum(spread.value for spread in spreads if spread is not None)
    return _side_load_counts(least, law)


def _persons_spread(
    persons: Line, maximum: Line | None, gear: Line | None, side: Line | None
) -> Line | None:
    """What tolerances, all against the boat, do to the persons weight by the rule, kg.

    The rule's own formula with W less its spread and E with its own: where the side load decides
    alone, nothing moves. None where no tolerance is stated.

    side  A / 0.6, kg, where it counts only once the tolerances are taken off
    """
    symbols = {term.symbol for term in persons.terms}
    terms, formula = list(persons.terms), persons.formula
    for symbol, sign, spread in (("W", "-", maximum), ("E", "+", gear)):
        if spread is not None and symbol in symbols:
            terms.append(spread.term(f"t_{symbol}"))
            formula = formula.replace(symbol, f"({symbol} {sign} t_{symbol})")
    if formula == persons.formula:
        return None
    if side is not None:
        formula = f"min({formula}, side)"
        terms.append(side.term("side"))
    return work_out(
        "Persons weight by the rule, spread",
        f"{persons.formula} - ({formula})",
        terms,
        unit="kg",
        source=persons.source,
    )


def persons_number(persons: Term, law: RuleBook) -> Line:
    """How many persons a persons weight stands for: (P + 32 lb) / 141 lb, half rounds up.

    persons  kg, symbol "P"
    """
    addition = law.number("persons_number_addition")
    return work_out(
        "Number of persons",
        "floor((P + addition) / each + half + rounding)",
        [
            persons,
            addition.term("addition"),
            law.number("persons_number_each").term("each"),
            Term("half", 0.5, "1", addition.source),
            Term("rounding", ROUNDING, "1", COMMON_PRACTICE),
        ],
        unit="1",
        source=addition.source,
        note="half rounds up; `rounding` keeps an exact half from being lost in the last digit",
    )


def maximum_weight(boat: Boat, boat_weight: Line, law: RuleBook) -> Line:
    """The most that the plate may give as maximum weight capacity, kg.

    Raises RuleNotRead for inboards, inboard/outdrives and airboats: the text of 183.33 was not
    read and is recalled in different ways. Raises ValueError without a maximum displacement.
    """
    if _is_inboard(boat):
        clause = law.clause("inboard_weight")
        raise RuleNotRead(
            f"{clause.source}: {clause.quote}. The plate's maximum weight is used as it stands; "
            "compare it with the text."
        )
    if boat.capacity.maximum_displacement is None:
        raise ValueError("no maximum displacement is stated")
    displacement = Term("displacement", boat.capacity.maximum_displacement, "kg", _STATED)
    terms = [displacement, boat_weight.term("boat")]
    rule = law.number(_weight_rule(boat, law))
    if rule.name == "outboard_weight_divisor":
        formula = "(displacement - boat) / divisor"
        terms.append(rule.term("divisor"))
    else:
        formula = "share * (displacement - boat)"
        terms.append(rule.term("share"))
    return work_out("Maximum weight by the rule", formula, terms, unit="kg", source=rule.source)


def side_load_weight(side_load: Term, law: RuleBook) -> Line:
    """The weight on one side at which water is about to come aboard, over 0.6, kg.

    side_load  kg, symbol "A"
    """
    divisor = law.number("side_load_divisor")
    return work_out(
        "Side load over its divisor",
        "A / divisor",
        [side_load, divisor.term("divisor")],
        unit="kg",
        source=divisor.source,
    )


def outboard_persons(maximum: Term, equipment: Term, side: Line | None, law: RuleBook) -> Line:
    """Persons weight of an outboard, kg: lesser of W - E and, where that is under 550 lb, A / 0.6.

    maximum, equipment  symbols "W" and "E"
    side                A / 0.6, kg; None where W - E is not under 550 lb
    Raises ValueError if the side load is needed and missing.
    """
    label, source = "Persons weight by the rule", law.clause("outboard_persons").source
    if not _side_load_counts(maximum.value - equipment.value, law):
        below = both(law.number("side_load_below").value, "kg")
        note = f"the side load counts only where this is under {below}"
        terms = [maximum, equipment]
        return work_out(label, _WITHOUT_SIDE, terms, unit="kg", source=source, note=note)
    if side is None:
        raise ValueError("the side load is needed where W - E is under 550 lb")
    terms = [maximum, equipment, side.term("side")]
    return work_out(label, f"min({_WITHOUT_SIDE}, side)", terms, unit="kg", source=source)


def _side_load_counts(left: float, law: RuleBook) -> bool:
    below = law.number("side_load_below").value
    return left < below and not same(left, below)


def manual_persons(maximum: Term, small_motor: bool, law: RuleBook) -> Line:
    """Persons weight of a manual boat, 0.90 W, or of one of 2 hp and less, 0.90 W - 25 lb, kg."""
    share = law.number("manual_persons_share")
    terms, formula = [share.term("share"), maximum], "share * W"
    if small_motor:
        allowance = law.number("small_motor_allowance")
        terms, formula = [*terms, allowance.term("allowance")], "share * W - allowance"
    return work_out("Persons weight by the rule", formula, terms, unit="kg", source=share.source)


def _persons(boat: Boat, maximum: Line, equipment: Line, law: RuleBook) -> tuple[Line, ...]:
    """Persons weight by the rule, last; nothing where the side load it needs is not stated."""
    if boat.propulsion is Propulsion.MANUAL or _is_small(boat, law):
        small_motor = boat.propulsion is not Propulsion.MANUAL
        return (manual_persons(maximum.term("W"), small_motor, law),)
    whole, gear = maximum.term("W"), equipment.term("E")
    if not _side_load_counts(maximum.value - equipment.value, law):
        return (outboard_persons(whole, gear, None, law),)
    side = _side_load(boat, law)
    return () if side is None else (side, outboard_persons(whole, gear, side, law))


def _side_load(boat: Boat, law: RuleBook) -> Line | None:
    """A / 0.6, kg; None where the side load is not stated."""
    load = boat.capacity.side_load
    return None if load is None else side_load_weight(Term("A", load, "kg", _STATED), law)


def _is_small(boat: Boat, law: RuleBook) -> bool:
    limit = law.number("scope_power").value
    return boat.rated_power < limit or same(boat.rated_power, limit)


def _is_inboard(boat: Boat) -> bool:
    return boat.propulsion in (Propulsion.INBOARD, Propulsion.STERNDRIVE, Propulsion.AIRBOAT)


def _weight_rule(boat: Boat, law: RuleBook) -> str:
    manual = boat.propulsion is Propulsion.MANUAL or _is_small(boat, law)
    return "manual_weight_share" if manual else "outboard_weight_divisor"


def _persons_rule(boat: Boat, law: RuleBook) -> Criterion | Clause:
    if _weight_rule(boat, law) == "manual_weight_share":
        return law.number("manual_persons_share")
    return law.clause("outboard_persons")


def _limit(name: str, line: Line, entry: Criterion | Clause, decides: bool) -> Limit:
    criterion = Criterion(entry.name, line.value, line.unit, entry.quote, line.source)
    return Limit(name, criterion, decides, line.label)
