"""Who must meet what: Subparts F, G and H of 33 CFR Part 183."""

from flotation.boat import Boat, Kind, Propulsion
from flotation.rulebook import Clause, Criterion, RuleBook
from flotation.swamped.assessment import Scope
from flotation.swamped.limits import same
from flotation.units import si, us

BASIC, LEVEL, MODIFIED = "basic", "level", "modified level"

_SUBPARTS = {BASIC: "F", LEVEL: "G", MODIFIED: "H"}
_CLAUSES = {BASIC: "basic_scope", LEVEL: "level_scope", MODIFIED: "modified_scope"}


def find_scope(boat: Boat, law: RuleBook) -> Scope:
    """Which subpart a boat comes under, and why.

    boat  of any kind
    law   33 CFR Part 183
    Returns a Scope; outside all subparts it names the kind of flotation that the propulsion
    would come under, so that the boat can still be assessed for information.

    A boat of 20 ft exactly is not under 20 ft, one of 2 hp exactly is not above 2 hp. An inboard
    of 2 hp and less comes under F and H; H asks for more and is taken.
    """
    flotation, propulsion = _flotation(boat, law.number("scope_power"))
    modified = flotation == MODIFIED
    length = law.number("scope_length_modified" if modified else "scope_length")
    excluded = law.clause("excluded_modified" if modified else "excluded")
    tests = (_length_test(boat, length), _kind_test(boat, excluded))
    inside = all(passed for passed, _ in tests)
    clause = law.clause(_CLAUSES[flotation])
    reasons = (propulsion, *(reason for _, reason in tests))
    subpart = _SUBPARTS[flotation] if inside else ""
    return Scope(inside, subpart, flotation, reasons, _sentence(inside, clause, flotation))


def _flotation(boat: Boat, limit: Criterion) -> tuple[str, str]:
    small = boat.rated_power < limit.value or same(boat.rated_power, limit.value)
    power = f"{si(boat.rated_power, 'W', 3)} ({us(boat.rated_power, 'W', 3)})"
    side = "not above" if small else "above"
    found = f"propulsion: {boat.propulsion}, rated {power}, {side} {us(limit.value, 'W')}"
    if boat.propulsion is Propulsion.MANUAL:
        return MODIFIED, "propulsion: manual; modified level flotation"
    if small:
        also = "" if boat.propulsion is Propulsion.OUTBOARD else "; Subpart F applies as well"
        return MODIFIED, f"{found}; modified level flotation{also}"
    if boat.propulsion is Propulsion.OUTBOARD:
        return LEVEL, f"{found}; level flotation"
    return BASIC, f"{found}; basic flotation"


def _length_test(boat: Boat, limit: Criterion) -> tuple[bool, str]:
    under = boat.length < limit.value and not same(boat.length, limit.value)
    found = f"{si(boat.length, 'm')} ({us(boat.length, 'm')})"
    side = "under" if under else "not under"
    return under, f"length: {found}, {side} {us(limit.value, 'm')} ({si(limit.value, 'm')})"


def _kind_test(boat: Boat, excluded: Clause) -> tuple[bool, str]:
    if boat.kind is Kind.MONOHULL:
        return True, "kind: monohull, not left out"
    if boat.kind in excluded.names:
        return False, f"kind: {boat.kind}, left out by {excluded.source}"
    return False, f"kind: {boat.kind}; the subparts cover monohulls"


def _sentence(inside: bool, clause: Clause, flotation: str) -> str:
    if inside:
        return f"{clause.source}: {clause.quote}"
    return (
        "outside the scope of Subparts F to H; shown for information, by the method for "
        f"{flotation} flotation"
    )
