"""What holds the foam down once it lifts."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat, FoamInPlace
from flotation.rulebook import RuleBook
from flotation.swamped.assessment import Finding, Section
from flotation.swamped.lift import solid_source
from flotation.swamped.limits import same
from flotation.swamped.wording import both
from flotation.workings import COMMON_PRACTICE, Line, Mark, Source, Term, work_out

_ADVICE = "what holds the cavity down carries the uplift of its foam"


@dataclass(frozen=True)
class Held:
    """Uplift of each cavity, and how it compares with what holds it down."""

    section: Section
    findings: tuple[Finding, ...]


def uplift(boat: Boat, foam: Sequence[FoamInPlace], water: Term, own: RuleBook) -> Held:
    """Uplift of the foam in each cavity against the hold-down that the boat file states.

    water  density that the calculation takes, kg/m3, symbol "water"
    own    for the acceleration of gravity

    (volume x water - mass) x g, N, for dry foam: foam that has taken up water lifts less. The
    denser of the calculation's water and the water that the boat file names counts: sea water
    lifts more. How the force spreads over flange and fasteners, and their peel, is not checked.
    """
    stated = Source(f"boat file, water: {boat.water_name}", mark=Mark.STATED)
    waters = water, Term("stated", boat.water, "kg/m3", stated)
    lines = [_uplift(f"u{i}", entry, waters, own) for i, entry in enumerate(foam, start=1)]
    findings = tuple(_finding(boat, entry, line) for entry, line in zip(foam, lines, strict=True))
    return Held(Section("Uplift on what holds the foam down", tuple(lines)), findings)


def _uplift(symbol: str, entry: FoamInPlace, waters: tuple[Term, Term], own: RuleBook) -> Line:
    return work_out(
        f"{symbol} {entry.cavity}, uplift",
        "(volume * max(water, stated) - mass) * g",
        [
            Term("volume", entry.solid.volume, "m3", solid_source(entry)),
            *waters,
            Term("mass", entry.mass, "kg", Source(f"foam in {entry.cavity}", mark=Mark.COMPUTED)),
            own.number("gravity").term("g"),
        ],
        unit="N",
        source=COMMON_PRACTICE,
    )


def _finding(boat: Boat, entry: FoamInPlace, line: Line) -> Finding:
    cavity = boat.cavity(entry.cavity)
    force = f"uplift {both(line.value, 'N')}"
    if cavity.hold_down is None:
        return Finding(entry.cavity, _ADVICE, f"{force}; no hold-down is stated", None, None)
    by = f" by {cavity.hold_down_by}" if cavity.hold_down_by else ""
    holds = cavity.hold_down > line.value or same(cavity.hold_down, line.value)
    found = f"{force}; held down with {both(cavity.hold_down, 'N')}{by}"
    return Finding(entry.cavity, _ADVICE, found, holds, None)
