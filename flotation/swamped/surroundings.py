"""Foam against fuel tanks, and foam in places where petrol, oil and cleaner reach it."""

from collections.abc import Sequence

from flotation.boat import Boat, Cavity, Exposure, FoamInPlace, TakenOut
from flotation.rulebook import RuleBook
from flotation.swamped.assessment import Finding


def surroundings(boat: Boat, foam: Sequence[FoamInPlace], law: RuleBook) -> tuple[Finding, ...]:
    """Tanks inside foam-filled cavities (33 CFR 183.550, 183.552) and exposed places (183.114).

    A point that the boat file cannot tell is reported as undecided.
    """
    findings: list[Finding] = []
    for entry in foam:
        cavity = boat.cavity(entry.cavity)
        for thing in cavity.taken_out:
            findings += _tank(cavity, thing, law)
        if cavity.exposure is not Exposure.NONE:
            findings.append(_exposed(boat, cavity, entry, law))
    return tuple(findings)


def _tank(cavity: Cavity, thing: TakenOut, law: RuleBook) -> list[Finding]:
    if thing.tank is None:
        return []
    subject = f"{thing.name} in {cavity.name}"
    if thing.tank != "metallic":
        clause = law.clause("plastic_tank")
        if thing.sole_support:
            found = "foam alone holds it up; the text of 183.516 was not read"
            return [Finding(subject, clause.quote, found, None, clause)]
        return [Finding(subject, clause.quote, "foam does not hold it up alone", True, clause)]
    held, around = law.clause("metallic_tank"), law.clause("foamed_tank")
    found = "foam alone holds it up" if thing.sole_support else "foam does not hold it up alone"
    return [
        Finding(subject, held.quote, found, not thing.sole_support, held),
        Finding(subject, around.quote, "to be looked at on the boat", None, around),
    ]


def _exposed(boat: Boat, cavity: Cavity, entry: FoamInPlace, law: RuleBook) -> Finding:
    criterion = law.number("exposed_loss")
    foam = boat.foam(entry.foam)
    place = f"lies in a place exposed to fuel and oil ({cavity.exposure})"
    if foam.fuel_statement is None:
        found = f"{place}; {foam.name} has no supplier's statement on it"
        return Finding(cavity.name, criterion.quote, found, False, criterion)
    date = f" of {foam.fuel_statement_date}" if foam.fuel_statement_date else ""
    found = f'{place}; supplier\'s statement{date}, not judged here: "{foam.fuel_statement}"'
    return Finding(cavity.name, criterion.quote, found, True, criterion)
