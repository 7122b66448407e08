"""Filling one cavity: its lifts, what they add up to, and the foam that then stands in it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from flotation.boat import Boat, Cavity, FoamInPlace
from flotation.pour.amounts import Amount, mixed_amount
from flotation.pour.foam import PACKING, half_heat_time, packing_pressure, stated, water_taken_up
from flotation.pour.gaps import FoamSpace, foam_space, gaps_in
from flotation.pour.ladder import Part, ladder
from flotation.pour.layering import Place, Poured, cut_of, lifts_of, place_in_jig
from flotation.pour.lifts import EXACT_VOLUME, Layer, number_of_lifts, up_in_jig
from flotation.pour.limits import Setting
from flotation.pour.outlook import LiftBound
from flotation.pour.pourplan import CavityPour, Lift
from flotation.pour.reached import CavityAir, CavityReach
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

_LOGGED = Source("what was poured, as logged", mark=Mark.MEASURED)


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
    reach      where foam gets to; None without a fill hole
    air        where air stays; None where none is caught
    free_rise  None for a single layer
    stops      reasons why this cavity cannot be poured
    """

    pour: CavityPour
    foam: FoamInPlace
    height: float
    half_heat: Line
    reach: CavityReach | None
    air: CavityAir | None
    free_rise: FreeRise | None
    stops: tuple[str, ...]


@dataclass(frozen=True)
class Filling:
    """How a cavity is filled.

    poured   its lifts, in the order of pouring
    decides  what bounds their thickness
    lines    how many there are and why
    layers   that the lifts belong to
    done     lifts that stand in it already, with what really went in
    """

    place: Place
    poured: tuple[Poured, ...]
    decides: LiftBound
    lines: tuple[Line, ...]
    layers: tuple[Layer, ...]
    done: tuple[Lift, ...] = ()


def fill_cavity(cavity: Cavity, setting: Setting, boat: Boat) -> Filled:
    """The pour of one cavity with one foam system.

    setting  the foam system today, the shop and the largest shot
    boat     how it stands in its jig, the water it floats in, where no hole may be drilled
    As many layers of equal thickness as the sheet's lift limit asks for, measured straight up in
    the jig; one where the sheet has no limit. No foam is planned where air is caught, and where a
    stated flow length does not get to.
    """
    foam = setting.today.foam
    space = foam_space(cavity, foam, up_in_jig(boat.jig))
    place = place_in_jig(replace(cavity, solid=space.solid), boat.jig, space.traced)
    count = number_of_lifts(cavity.name, place.curve, foam)
    cut = cut_of(place, 1 if count is None else round(count.value), setting)
    poured = lifts_of(place, cut.layers, setting)
    before = (*(() if count is None else (count,)), *space.lines, *cut.lines)
    filling = Filling(place, poured, cut.decides, before, cut.layers)
    return filled_with(filling, cavity, space, setting, boat)


def filled_with(
    filling: Filling, cavity: Cavity, space: FoamSpace, setting: Setting, boat: Boat
) -> Filled:
    """What the lifts of a cavity come to, with what stands in it already.

    cavity  as the boat has it; space  what foam fills of it
    """
    foam = setting.today.foam
    total = _total(cavity.name, filling.poured, setting)
    in_place = _in_place(filling, total.mass)
    volume = space.solid.volume
    density = work_out(
        f"{cavity.name}: density in place",
        "mass / volume",
        [in_place.term("mass"), Term("volume", volume, "m3", EXACT_VOLUME)],
        unit="kg/m3",
        source=PACKING,
    )
    taken_up = water_taken_up(
        f"{cavity.name}: water taken up", foam, density.term("density"), boat.water
    )
    half_heat = _half_heat(cavity, density)
    free_rise = _free_rise(filling, setting)
    gaps = gaps_in(cavity, space, filling.layers, (density, taken_up), boat)
    found = (*total.lines, in_place, density, taken_up, half_heat, *gaps.lines)
    lines = [*filling.lines, *dict.fromkeys(found)]
    lines += [] if free_rise is None else free_rise.lines
    pour = _pour(filling.place.cavity, total, filling.poured, setting, lines)
    return Filled(
        pour=replace(pour, decides=filling.decides, density=density.value),
        foam=FoamInPlace(
            cavity.name, foam.name, in_place.value, space.solid, density.value, taken_up.value
        ),
        height=round(float(cavity.solid.centroid @ filling.place.curve.up), 6),
        half_heat=half_heat,
        reach=gaps.reach,
        air=gaps.air,
        free_rise=free_rise,
        stops=(
            *space.stops,
            *dict.fromkeys(one.stop for one in filling.poured if one.stop),
        ),
    )


def _in_place(filling: Filling, poured: Line) -> Line:
    """What stands in the cavity after the last lift, kg."""
    if not filling.done:
        return poured
    return work_out(
        f"{filling.place.cavity.name}: mass in the cavity after the last lift",
        "done + remaining",
        [
            Term("done", math.fsum(lift.mass for lift in filling.done), "kg", _LOGGED),
            poured.term("remaining"),
        ],
        unit="kg",
        source=COMPUTED,
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


def _free_rise(filling: Filling, setting: Setting) -> FreeRise | None:
    cavity, poured = filling.place.cavity.name, filling.poured
    volume = filling.place.cavity.solid.volume
    lower = [one.lift for one in poured if not one.lift.closing]
    lower += [lift for lift in filling.done if not lift.closing]
    if not lower:
        return None
    foam = setting.today.foam
    lower_volume = sum(lift.volume for lift in lower)
    closing_mass = sum(
        lift.mass for lift in (*filling.done, *(one.lift for one in poured)) if lift.closing
    )
    room = work_out(
        f"{cavity}: room for the closing lift if the lower ones rise freely",
        "volume - lower * minimum_fill / free_rise",
        [
            Term("volume", volume, "m3", EXACT_VOLUME),
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
        f"{cavity}: closing lift over its minimum fill, lower lifts risen freely",
        "closing / (room * minimum_fill)",
        [Term("closing", closing_mass, "kg", COMPUTED), room.term("room"), today],
        unit="1",
        source=PACKING,
    )
    pressure = packing_pressure(
        f"{cavity}: pressure of the closing lift, lower lifts risen freely",
        today,
        packing.term("packing"),
    )
    return FreeRise(room, pressure, (room, packing, pressure))
