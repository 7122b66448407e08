"""What motor, controls and battery weigh under water."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from flotation.boat import Role
from flotation.rulebook import RuleBook
from flotation.swamped.assessment import Section
from flotation.swamped.burdens import Burden, Listed, of_roles, spread_of, total_of
from flotation.swamped.scope import BASIC, MODIFIED
from flotation.workings import Line, Term, work_out

ROLES = frozenset({Role.MOTOR, Role.CONTROLS, Role.BATTERY})

_ESTIMATE = "an estimate from the dry weight; the maker's swamped weight decides"


@dataclass(frozen=True)
class Machinery:
    """Weight of the machinery under water.

    total    kg
    burdens  its pieces
    section  how they were calculated
    """

    total: Line
    burdens: tuple[Burden, ...]
    section: Section
    assumptions: tuple[str, ...]


def machinery(
    listed: Sequence[Listed], flotation: str, law: RuleBook, guide: RuleBook
) -> Machinery:
    """Flotation that the machinery asks for, in kg of lift.

    listed     the weight list
    flotation  "basic", "level" or "modified level"
    law        33 CFR Part 183; guide: the handbook

    Level: swamped motor and battery as stated, or estimated from the dry weight; controls in
    full. Modified level: a motor counts with the rule's 25 lb or its own swamped weight,
    whichever is more. Basic: a share of the dry weight.
    """
    own = of_roles(listed, ROLES)
    weigh = _by_share(guide) if flotation == BASIC else _swamped(law, flotation)
    burdens = tuple(
        Burden(entry.symbol, line, entry.weight.at, entry.source, spread_of(entry, line))
        for entry in own
        for line in (weigh(entry),)
    )
    source = (
        guide.number("basic_machinery_share").source
        if flotation == BASIC
        else guide.clause("machinery").source
    )
    whole = total_of("Machinery, weight under water", burdens, source)
    section = Section("Machinery", (*(burden.line for burden in burdens), whole))
    return Machinery(whole, burdens, section, _assumptions(own, flotation))


def _by_share(guide: RuleBook) -> Callable[[Listed], Line]:
    share = guide.number("basic_machinery_share")

    def weigh(entry: Listed) -> Line:
        return work_out(
            f"{entry.symbol} {entry.weight.item}, share of the dry weight",
            "share * mass",
            [share.term("share"), entry.mass],
            unit="kg",
            source=share.source,
        )

    return weigh


def _swamped(law: RuleBook, flotation: str) -> Callable[[Listed], Line]:
    rule = law.number("modified_motor") if flotation == MODIFIED else None

    def weigh(entry: Listed) -> Line:
        formula, terms, note = _swamped_formula(entry, law)
        source = law.clause("level_motor").source
        if entry.weight.role is Role.BATTERY:
            source = law.clause("level_battery").source
        if rule is not None and entry.weight.role is Role.MOTOR:
            formula, terms, source = (
                f"max(rule, {formula})",
                [rule.term("rule"), *terms],
                rule.source,
            )
        return work_out(
            f"{entry.symbol} {entry.weight.item}, swamped",
            formula,
            terms,
            unit="kg",
            source=source,
            note=note,
        )

    return weigh


def _swamped_formula(entry: Listed, law: RuleBook) -> tuple[str, list[Term], str]:
    """Formula, terms and note: as stated, or else the estimate for its role."""
    weight = entry.weight
    if weight.swamped_mass is not None:
        return "swamped", [Term("swamped", weight.swamped_mass, "kg", entry.source)], ""
    if weight.role is Role.MOTOR:
        names = ("running_over_dry", "swamped_over_running")
        shares = [law.number(name).term() for name in names]
        return f"mass * {names[0]} * {names[1]}", [entry.mass, *shares], _ESTIMATE
    if weight.role is Role.BATTERY:
        names = ("battery_submerged", "battery_dry")
        table = [law.number(name).term() for name in names]
        return f"mass * {names[0]} / {names[1]}", [entry.mass, *table], _ESTIMATE
    return "mass", [entry.mass], "counted in full"


def _assumptions(own: Sequence[Listed], flotation: str) -> tuple[str, ...]:
    if not own:
        return ("The weight list has no machinery; none is counted.",)
    found = []
    if any(entry.weight.role is Role.MOTOR for entry in own):
        found.append("The motor of the weight list is the heaviest that the boat is rated for.")
    if flotation == BASIC:
        return tuple(found)
    guessed = [
        entry.weight.item
        for entry in own
        if entry.weight.swamped_mass is None and entry.weight.role is not Role.CONTROLS
    ]
    if guessed:
        found.append(
            f"The weight under water is estimated from the dry weight: {', '.join(guessed)}. "
            "The regulation refers to a table that is a private standard; state the maker's "
            "figure."
        )
    return tuple(found)
