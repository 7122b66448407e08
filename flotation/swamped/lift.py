"""What lifts: the foam in its cavities."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, FoamInPlace
from flotation.errors import Fault, InputError
from flotation.rulebook import Criterion, RuleBook
from flotation.swamped.assessment import CavityLift, Section
from flotation.swamped.burdens import Burden, total, total_of
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
        Burden(f"c{i}", line, _point(entry), solid_source(entry), None)
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
    capped = () if cap is None else (f"The credit for foam is capped, an option: {cap.quote}.",)
    return FoamLift(whole, volume, mass, pieces, cavities, section, capped)


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
        Term("volume", entry.solid.volume, "m3", solid_source(entry)),
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
        source=_lift_rule(entry, guide) if cap is None else cap.source,
        note="" if cap is None else "credit capped, an option for passenger vessels",
    )


def _lift_rule(entry: FoamInPlace, guide: RuleBook) -> Source:
    """Where B stands: taking off what the foam takes up is recalled, the rest was read."""
    return guide.clause("uptake" if entry.uptake > 0.0 else "net_buoyancy").source


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
        Term(f"v{i}", entry.solid.volume, "m3", solid_source(entry))
        for i, entry in enumerate(foam, start=1)
    ]


def solid_source(entry: FoamInPlace) -> Source:
    """Where the volume and the centre of what foam fills are from."""
    return Source(f"cavity {entry.cavity}", mark=Mark.COMPUTED)
