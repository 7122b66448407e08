"""What lifts: foam in its cavities and sealed air chambers."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, Chamber, FoamInPlace
from flotation.errors import Fault, InputError
from flotation.rulebook import Criterion, RuleBook
from flotation.swamped.assessment import CavityLift, Finding, Section
from flotation.swamped.burdens import Burden, total, total_of
from flotation.swamped.scope import BASIC, LEVEL
from flotation.swamped.weights import foam_masses
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out


@dataclass(frozen=True)
class FoamLift:
    """Lift of all foam, wholly under water.

    total     kg
    volume    m3 of all foam; mass: kg of all foam
    pieces    one a cavity, acting at the centroid of what it fills
    cavities  the same with volume and mass, for the hand-outs
    """

    total: Line
    volume: Line
    mass: Line
    pieces: tuple[Burden, ...]
    cavities: tuple[CavityLift, ...]
    section: Section


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


def foam_lift(
    boat: Boat, foam: Sequence[FoamInPlace], water: Term, guide: RuleBook, cap: Criterion | None
) -> FoamLift:
    """What each foam cavity lifts, in kg: water displaced less foam and water taken up.

    foam   what stands in the cavities; each must name a cavity of the boat
    water  density, kg/m3, symbol "water"
    cap    the most lift per volume that is credited; None: no cap
    Raises InputError for foam in a cavity that the boat does not have.

    volume (water - uptake) - mass; with the foam's density this is volume x B. Foam above the
    swamped waterline would lift nothing and still weigh: here all of it is under water.
    """
    _check_cavities(boat, foam)
    lines = tuple(_lift_line(f"c{i}", f, water, guide, cap) for i, f in enumerate(foam, start=1))
    pieces = tuple(
        Burden(f"c{i}", line, _point(entry), None)
        for i, (entry, line) in enumerate(zip(foam, lines, strict=True), start=1)
    )
    whole = total_of("Lift of the foam", pieces, guide.clause("net_buoyancy").source)
    cavities = tuple(
        CavityLift(
            cavity=entry.cavity,
            foam=entry.foam,
            volume=entry.solid.volume,
            foam_mass=entry.mass,
            net_lift=line.value,
            centre=_point(entry),
            hold_down=boat.cavity(entry.cavity).hold_down,
        )
        for entry, line in zip(foam, lines, strict=True)
    )
    volume = total("Volume of the foam", _volumes(foam), unit="m3")
    mass = total("Mass of the foam", foam_masses(foam))
    section = Section("What the foam lifts", (volume, mass, *lines, whole))
    return FoamLift(whole, volume, mass, pieces, cavities, section)


def _check_cavities(boat: Boat, foam: Sequence[FoamInPlace]) -> None:
    known = {cavity.name for cavity in boat.cavities}
    names = [entry.cavity for entry in foam]
    faults = [
        Fault(
            boat.name,
            f'foam stands in "{name}", a cavity that the boat does not have',
            "Name a cavity of the boat file.",
        )
        for name in names
        if name not in known
    ]
    faults += [
        Fault(boat.name, f'the foam of "{name}" is given twice', "Give it once, with all its mass.")
        for name in sorted(set(names))
        if names.count(name) > 1
    ]
    if faults:
        raise InputError(faults)


def _point(entry: FoamInPlace) -> tuple[float, float, float]:
    x, y, z = (float(part) for part in entry.solid.centroid)
    return x, y, z


def _lift_line(
    symbol: str, entry: FoamInPlace, water: Term, guide: RuleBook, cap: Criterion | None
) -> Line:
    """Net lift of the foam in one cavity, capped where a cap is chosen."""
    formula = "volume * (water - uptake) - mass"
    terms = [
        Term(
            "volume", entry.solid.volume, "m3", Source(f"cavity {entry.cavity}", mark=Mark.COMPUTED)
        ),
        water,
        Term("uptake", entry.uptake, "kg/m3", Source(f"foam {entry.foam}", mark=Mark.STATED)),
        Term("mass", entry.mass, "kg", Source(f"foam in {entry.cavity}", mark=Mark.COMPUTED)),
    ]
    if cap is not None:
        formula, terms = f"min({formula}, volume * cap)", [*terms, cap.term("cap")]
    return work_out(
        f"{symbol} {entry.cavity}, lift",
        formula,
        terms,
        unit="kg",
        source=guide.clause("net_buoyancy").source if cap is None else cap.source,
        note="" if cap is None else "credit capped, an option for passenger vessels",
    )


def net_buoyancy(lift: Line, volume: Line) -> Line:
    """B, the mean lift per volume of the foam, kg/m3; the volume must be above zero."""
    return work_out(
        "B, lift per volume of the foam",
        "lift / volume",
        [lift.term("lift"), volume.term("volume")],
        unit="kg/m3",
        source=COMPUTED,
    )


def _volumes(foam: Sequence[FoamInPlace]) -> list[Term]:
    return [
        Term(
            f"v{i}", entry.solid.volume, "m3", Source(f"cavity {entry.cavity}", mark=Mark.COMPUTED)
        )
        for i, entry in enumerate(foam, start=1)
    ]


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
        Burden(f"a{i}", _chamber_line(f"a{i}", chamber, water, source), chamber.at, None)
        for i, chamber in enumerate(lifting, start=1)
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


_CLAUSES = {
    BASIC: "basic_chambers",
    LEVEL: "level_chambers",
    "modified level": "modified_chambers",
}


def _chamber_line(symbol: str, chamber: Chamber, water: Term, source: Source) -> Line:
    stated = Source(f"chamber {chamber.name}", mark=Mark.STATED)
    return work_out(
        f"{symbol} {chamber.name}, lift",
        "volume * water",
        [Term("volume", chamber.volume, "m3", stated), water],
        unit="kg",
        source=source,
    )


def _asked(largest: Sequence[Chamber], law: RuleBook) -> Line:
    density = law.number("basic_chamber_density")
    terms = [
        Term(f"v{i}", chamber.volume, "m3", Source(f"chamber {chamber.name}", mark=Mark.STATED))
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
    return (f"The two largest air chambers that would count are flooded: {names}.",)
