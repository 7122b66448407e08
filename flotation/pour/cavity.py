"""Filling one cavity: its lifts, what they add up to, and the foam that then stands in it."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Cavity, FoamInPlace, Jig
from flotation.pour.amounts import Amount, mixed_amount
from flotation.pour.foam import PACKING, half_heat_time, packing_pressure, stated, water_taken_up
from flotation.pour.ladder import Part, ladder
from flotation.pour.layering import Place, Poured, lifts_of, place_in_jig
from flotation.pour.lifts import EXACT_VOLUME, height_of, number_of_lifts
from flotation.pour.limits import Setting
from flotation.pour.pourplan import CavityPour
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out


@dataclass(frozen=True)
class FreeRise:
    """What the closing lift meets if the lower ones rise freely to the cup-test density.

    room      m3 that is left for it
    pressure  Pa, gauge; None if there is no room at all
    lines     how they were calculated
    """

    room: Line
    pressure: Line | None
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Filled:
    """A cavity's pour, the foam that then stands in it, and what was found on the way.

    height     m, of the cavity's centroid straight up in the jig, to the micrometre so that
               rounding does not order two mirrored cavities
    half_heat  s, until the core has lost half of its heat, if its narrowest side counts
    caught     m3, of the cavity above its highest hole, where air cannot leave; None without holes
    free_rise  None for a single layer
    stops      reasons why this cavity cannot be poured
    """

    pour: CavityPour
    foam: FoamInPlace
    height: float
    half_heat: Line
    caught: Line | None
    free_rise: FreeRise | None
    stops: tuple[str, ...]


def fill_cavity(cavity: Cavity, setting: Setting, jig: Jig, water: float) -> Filled:
    """The pour of one cavity with one foam system.

    setting  the foam system today, the shop and the largest shot
    jig      how the hull stands
    water    kg/m3 of the water that the boat floats in, for the foam's uptake
    As many layers of equal thickness as the sheet's lift limit asks for, measured straight up in
    the jig; one where the sheet has no limit.
    """
    place = place_in_jig(cavity, jig)
    foam = setting.today.foam
    count = number_of_lifts(cavity.name, place.curve, foam)
    poured = lifts_of(place, 1 if count is None else round(count.value), setting)
    total = _total(cavity.name, poured, setting)
    density = work_out(
        f"{cavity.name}: density in place",
        "mass / volume",
        [total.mass.term("mass"), Term("volume", cavity.solid.volume, "m3", EXACT_VOLUME)],
        unit="kg/m3",
        source=PACKING,
    )
    taken_up = water_taken_up(
        f"{cavity.name}: water taken up", foam, density.term("density"), water
    )
    half_heat = _half_heat(cavity, density)
    caught = _caught(place)
    free_rise = _free_rise(cavity, poured, setting)
    found = (count, *total.lines, density, taken_up, half_heat, caught)
    lines = [line for line in found if line is not None]
    lines += [] if free_rise is None else free_rise.lines
    in_place = FoamInPlace(
        cavity.name, foam.name, total.mass.value, cavity.solid, density.value, taken_up.value
    )
    return Filled(
        pour=_pour(cavity, total, poured, setting, lines),
        foam=in_place,
        height=round(float(cavity.solid.centroid @ place.curve.up), 6),
        half_heat=half_heat,
        caught=caught,
        free_rise=free_rise,
        stops=tuple(dict.fromkeys(one.stop for one in poured if one.stop)),
    )


def _pour(
    cavity: Cavity, total: Amount, poured: Sequence[Poured], setting: Setting, lines: Sequence[Line]
) -> CavityPour:
    lifts = tuple(one.lift for one in poured)
    return CavityPour(
        cavity=cavity.name,
        group=cavity.group,
        foam=setting.today.foam.name,
        volume=cavity.solid.volume,
        mass=total.mass.value,
        mixed_mass=total.mixed.value,
        mass_a=total.mass_a.value,
        mass_b=total.mass_b.value,
        volume_a=total.volume_a.value,
        volume_b=total.volume_b.value,
        density=total.mass.value / cavity.solid.volume,
        lifts=lifts,
        ladder=ladder([Part(lift.volume, lift.closing) for lift in lifts], setting),
        lines=tuple(lines),
        volume_error=None if cavity.found is None else cavity.found.volume_error,
    )


def _total(cavity: str, poured: Sequence[Poured], setting: Setting) -> Amount:
    """The lifts added up, and what is mixed for them."""
    symbols = [f"lift_{i}" for i in range(1, len(poured) + 1)]
    mass = work_out(
        f"{cavity}: mass into the cavity",
        " + ".join(symbols),
        [one.amount.mass.term(symbol) for one, symbol in zip(poured, symbols, strict=True)],
        unit="kg",
        source=COMPUTED,
    )
    return mixed_amount(cavity, mass, setting)


def _half_heat(cavity: Cavity, density: Line) -> Line:
    """How long the core stays hot, with the narrowest side of the cavity's box as thickness."""
    low, high = cavity.solid.bounds
    narrowest = Term(
        "width",
        float((high - low).min()),
        "m",
        Source("narrowest side of the box around the cavity", mark=Mark.COMPUTED),
    )
    label = f"{cavity.name}: time until the core has lost half of its heat"
    return half_heat_time(label, narrowest, density.term("density"))


def _caught(place: Place) -> Line | None:
    """What lies higher than every hole: straight up, so it is a least estimate of caught air."""
    cavity = place.cavity
    if not cavity.holes:
        return None
    highest = max(height_of(hole.at, place.up) for hole in cavity.holes)
    return work_out(
        f"{cavity.name}: volume above its highest hole",
        "volume - below",
        [
            Term("volume", place.curve.volume, "m3", EXACT_VOLUME),
            Term("below", place.curve.volume_at(highest), "m3", EXACT_VOLUME),
        ],
        unit="m3",
        source=COMPUTED,
        note="Air that more holes would let out; air caught under other peaks is not in it.",
    )


def _free_rise(cavity: Cavity, poured: Sequence[Poured], setting: Setting) -> FreeRise | None:
    lower = [one for one in poured if not one.lift.closing]
    if not lower:
        return None
    foam = setting.today.foam
    lower_volume = sum(one.lift.volume for one in lower)
    closing_mass = sum(one.lift.mass for one in poured if one.lift.closing)
    room = work_out(
        f"{cavity.name}: room for the closing lift if the lower ones rise freely",
        "volume - lower * minimum_fill / free_rise",
        [
            Term("volume", cavity.solid.volume, "m3", EXACT_VOLUME),
            Term("lower", lower_volume, "m3", EXACT_VOLUME),
            Term(
                "minimum_fill",
                foam.minimum_fill_density,
                "kg/m3",
                stated(foam, "minimum_fill_density"),
            ),
            Term("free_rise", foam.free_rise_density, "kg/m3", stated(foam, "free_rise_density")),
        ],
        unit="m3",
        source=PACKING,
    )
    if room.value <= 0.0:
        return FreeRise(room, None, (room,))
    today = setting.today.minimum_fill.term("minimum_fill")
    packing = work_out(
        f"{cavity.name}: closing lift over its minimum fill, lower lifts risen freely",
        "closing / (room * minimum_fill)",
        [Term("closing", closing_mass, "kg", COMPUTED), room.term("room"), today],
        unit="1",
        source=PACKING,
    )
    pressure = packing_pressure(
        f"{cavity.name}: pressure of the closing lift, lower lifts risen freely",
        today,
        packing.term("packing"),
    )
    return FreeRise(room, pressure, (room, packing, pressure))
