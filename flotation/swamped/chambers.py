"""Sealed air chambers: what counts of them, and what the rule asks for because of them."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, Chamber
from flotation.rulebook import RuleBook
from flotation.swamped.assessment import Finding, Section
from flotation.swamped.burdens import Burden, total_of
from flotation.swamped.scope import BASIC, LEVEL, MODIFIED
from flotation.workings import Line, Mark, Source, Term, work_out

_CLAUSES = {
    BASIC: "basic_chambers",
    LEVEL: "level_chambers",
    MODIFIED: "modified_chambers",
}


@dataclass(frozen=True)
class ChamberLift:
    """Lift of sealed air chambers, and what the rule asks for because of them.

    total     kg of lift that counts
    asked     kg that basic flotation asks for where chambers are counted, else 0
    pieces    the chambers that count, at their places
    """

    total: Line
    asked: Line
    pieces: tuple[Burden, ...]
    section: Section
    findings: tuple[Finding, ...]
    assumptions: tuple[str, ...]


def chamber_lift(boat: Boat, flotation: str, water: Term, law: RuleBook) -> ChamberLift:
    """What sealed chambers lift, by the kind of flotation.

    Level: the two largest and every chamber integral with the hull are flooded; the two largest
    are taken from the chambers that would otherwise count, which is the safe reading. Modified
    level: integral chambers may count; the two largest are taken to be flooded likewise. Basic:
    integral chambers do not count, and the two largest that do are added to what is asked.
    A chamber that the builder does not count lifts nothing.
    """
    may_count = [
        chamber
        for chamber in boat.chambers
        if chamber.counted and (not chamber.integral or flotation not in (BASIC, LEVEL))
    ]
    by_size = sorted(may_count, key=lambda chamber: chamber.volume, reverse=True)
    flooded = int(law.number("flooded_chambers").value)
    largest = by_size[:flooded]
    lifting = by_size if flotation == BASIC else by_size[flooded:]
    source = law.clause(_CLAUSES[flotation]).source
    pieces = tuple(
        _sealed(f"a{i}", chamber, water, source) for i, chamber in enumerate(lifting, start=1)
    )
    whole = total_of("Lift of the air chambers", pieces, source)
    asked = _asked(largest if flotation == BASIC else [], law)
    lines = (*(piece.line for piece in pieces), whole, *((asked,) if flotation == BASIC else ()))
    return ChamberLift(
        whole,
        asked,
        pieces,
        Section("Air chambers", lines if boat.chambers else ()),
        _integral(boat.chambers, flotation, law),
        _flooded_note(largest, flotation),
    )


def _sealed(symbol: str, chamber: Chamber, water: Term, source: Source) -> Burden:
    """A chamber that counts, lifting what it displaces."""
    stated = _stated(chamber)
    line = work_out(
        f"{symbol} {chamber.name}, lift",
        "volume * water",
        [Term("volume", chamber.volume, "m3", stated), water],
        unit="kg",
        source=source,
    )
    return Burden(symbol, line, chamber.at, stated, None)


def _stated(chamber: Chamber) -> Source:
    return Source(f"chamber {chamber.name}", mark=Mark.STATED)


def _asked(largest: Sequence[Chamber], law: RuleBook) -> Line:
    density = law.number("basic_chamber_density")
    terms = [
        Term(f"v{i}", chamber.volume, "m3", _stated(chamber))
        for i, chamber in enumerate(largest, start=1)
    ]
    formula = " + ".join(term.symbol for term in terms)
    return work_out(
        "Asked for the two largest air chambers",
        f"density * ({formula})" if terms else "0",
        [density.term("density"), *terms] if terms else [],
        unit="kg",
        source=density.source,
    )


def _integral(chambers: Sequence[Chamber], flotation: str, law: RuleBook) -> tuple[Finding, ...]:
    """Chambers that the builder counts on and the rule does not."""
    if flotation not in (BASIC, LEVEL):
        return ()
    clause = law.clause(_CLAUSES[flotation])
    found = "integral with the hull and counted on; it is given no lift here"
    return tuple(
        Finding(chamber.name, clause.quote, found, False, clause)
        for chamber in chambers
        if chamber.integral and chamber.counted
    )


def _flooded_note(largest: Sequence[Chamber], flotation: str) -> tuple[str, ...]:
    if not largest or flotation == BASIC:
        return ()
    names = ", ".join(chamber.name for chamber in largest)
    found = f"The two largest air chambers that would count are flooded: {names}."
    if flotation == MODIFIED:
        found += " That is the safe side: what Subpart H says of them was not read."
    return (found,)
