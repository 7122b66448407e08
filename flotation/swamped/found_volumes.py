"""What the error bounds of found volumes do to the mass of the foam and to its lift."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flotation.boat import Boat, FoamInPlace
from flotation.swamped.assessment import Section
from flotation.swamped.wording import both
from flotation.units import si, us
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

BOUNDS_OF_LIFT = "Lift, all bounds against the boat"


@dataclass(frozen=True)
class FoundVolumes:
    """The effect of all bounds at once, each against the boat.

    lift  kg; None where no cavity with foam was found between parts
    """

    lift: Line | None
    section: Section
    assumptions: tuple[str, ...]


@dataclass(frozen=True)
class _Bounded:
    """A found cavity with foam: its symbol, c1 on, and its terms."""

    symbol: str
    error: Term
    density: Term
    uptake: Term


def found_volumes(boat: Boat, foam: Sequence[FoamInPlace], water: Term) -> FoundVolumes:
    """How much foam and lift hang on the bounds of the volumes found between the parts?

    foam   what stands in the cavities; each must name a cavity of the boat
    water  density, kg/m3, symbol "water"

    error x density, and error x (water - uptake - density), summed over the cavities: the foam
    keeps its density, and every cavity is off by its whole bound in the same direction. Where a
    cap on the credit is chosen, the lift is off by less.
    """
    section = "Bounds of the volumes found between parts"
    found = list(_bounded(boat, foam))
    if not found:
        return FoundVolumes(None, Section(section, ()), ())
    errors = [one.error for one in found]
    volume = _summed("Volume, all bounds one way", "m3", [e.symbol for e in errors], errors)
    mass = _summed(
        "Foam, all bounds one way",
        "kg",
        [f"error_{one.symbol} * density_{one.symbol}" for one in found],
        [*errors, *(one.density for one in found)],
    )
    lift = _summed(
        BOUNDS_OF_LIFT,
        "kg",
        [f"error_{c} * (water - uptake_{c} - density_{c})" for c in (o.symbol for o in found)],
        [water, *(term for one in found for term in (one.error, one.density, one.uptake))],
    )
    told = (
        "Volumes of cavities found between the parts are taken as found. Were all of them off by"
        f" their bounds, {si(volume.value, 'm3', 3)} ({us(volume.value, 'm3', 3)}) in all,"
        " against the boat, there would be"
        f" {both(mass.value, 'kg')} less foam and {both(lift.value, 'kg')} less lift; the spread of"
        " the general method's margin counts that."
    )
    return FoundVolumes(lift, Section(section, (volume, mass, lift)), (told,))


def _summed(label: str, unit: str, formula: Sequence[str], terms: Sequence[Term]) -> Line:
    return work_out(label, " + ".join(formula), terms, unit=unit, source=COMPUTED)


def _bounded(boat: Boat, foam: Sequence[FoamInPlace]) -> Iterator[_Bounded]:
    for number, entry in enumerate(foam, start=1):
        found = boat.cavity(entry.cavity).found
        if found is not None:
            c, place = f"c{number}", Source(f"foam in {entry.cavity}", mark=Mark.COMPUTED)
            bound = Source(f"bound on the volume of {entry.cavity}", mark=Mark.COMPUTED)
            yield _Bounded(
                c,
                Term(f"error_{c}", found.volume_error, "m3", bound),
                Term(f"density_{c}", entry.density, "kg/m3", place),
                Term(f"uptake_{c}", entry.uptake, "kg/m3", place),
            )
