"""Filling one cavity: its lifts, what they add up to, and the foam that then stands in it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from flotation.boat import Boat, Cavity, FoamInPlace
from flotation.geometry.inscribed import Ball
from flotation.pour.amounts import Amount, mixed_amount
from flotation.pour.effects import FreeLowerLifts, Pressing
from flotation.pour.filling import Filling
from flotation.pour.foam import PACKING, half_heat_time, packing_pressure, stated, water_taken_up
from flotation.pour.gaps import FoamSpace, foam_space, gaps_in
from flotation.pour.heating import with_heat
from flotation.pour.ladder import Part, ladder
from flotation.pour.layering import Poured, cut_of, lifts_of, place_in_jig
from flotation.pour.lifts import EXACT_VOLUME, number_of_lifts, up_in_jig
from flotation.pour.limits import Setting
from flotation.pour.outlook import LiftBound
from flotation.pour.pourplan import CavityPour, Lift
from flotation.pour.pressing import Pressed, pressing_of
from flotation.pour.reached import CavityAir, CavityReach
from flotation.pour.widest import Widest, largest, width_of
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out

_LOGGED = Source("what was poured, as logged", mark=Mark.MEASURED)


@dataclass(frozen=True)
class FreeRise:
    """What the closing lift meets if the lower ones rise freely to the cup-test density.

    room      m3 that is left for it
    pressure  Pa, gauge; None if there is no room at all
    closing   kg of the closing layer as planned, through all its holes
    reduced   kg that press no harder there than planned; None if there is no room
    lines     how they were calculated
    """

    room: Line
    pressure: Line | None
    closing: float
    reduced: Line | None
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Filled:
    """A cavity's pour, the foam that then stands in it, and what was found on the way.

    height     m, of the cavity's centroid straight up in the jig, to the micrometre so that
               rounding does not order two mirrored cavities
    space      what foam fills of it, and how far it gets from the holes
    half_heat  s, until the core has lost half of its heat, where the foam is thickest
    reach      where foam gets to; None without a fill hole
    air        where air stays; None where none is caught
    widest     the largest ball in the cavity, m, with what stays empty of it: the hot side
    free_rise  None for a single layer
    stops      reasons why this cavity cannot be poured
    done       lifts that stood in it before
    """

    pour: CavityPour
    foam: FoamInPlace
    height: float
    space: FoamSpace
    half_heat: Line
    reach: CavityReach | None
    air: CavityAir | None
    widest: Ball
    free_rise: FreeRise | None
    stops: tuple[str, ...]
    done: tuple[Lift, ...] = ()


def fill_cavity(
    cavity: Cavity, setting: Setting, boat: Boat, widest: Widest | None = None
) -> Filled:
    """The pour of one cavity with one foam system.

    setting  the foam system today, the shop and the largest shot
    boat     how it stands in its jig, the water it floats in, where no hole may be drilled
    widest   the largest balls found so far; None: begin anew
    As many layers of equal thickness as the sheet's lift limit asks for, or the lower limit by
    heat, measured straight up in the jig; one where the sheet has no limit. No foam is planned
    where air is caught, and where a stated flow length does not get to.
    """
    foam, up = setting.today.foam, up_in_jig(boat.jig)
    widest = widest or Widest(up)
    setting = setting.for_width(widest.width(cavity.solid))
    space = foam_space(cavity, foam, up)
    place = place_in_jig(replace(cavity, solid=space.solid), boat.jig, space.traced)
    count = number_of_lifts(cavity.name, place.curve, foam, setting.lowered)
    cut = cut_of(place, 1 if count is None else round(count.value), setting)
    by_sheet = number_of_lifts(cavity.name, place.curve, foam)
    hot = count is not None and by_sheet is not None and count.value > by_sheet.value
    filling = Filling(
        cavity=cavity,
        space=space,
        place=place,
        poured=lifts_of(place, cut.layers, setting),
        decides=LiftBound.HEAT if hot and cut.decides is LiftBound.THICKNESS else cut.decides,
        lines=(*(() if count is None else (count,)), *space.lines, *cut.lines),
        layers=cut.layers,
    )
    return filled_with(filling, setting, boat, widest)


def filled_with(filling: Filling, setting: Setting, boat: Boat, widest: Widest) -> Filled:
    """What the lifts of a cavity come to, with what stands in it already."""
    foam, cavity, space = setting.today.foam, filling.cavity, filling.space
    total = _total(cavity.name, filling.poured, setting)
    in_place = _in_place(filling, total.mass)
    density = work_out(
        f"{cavity.name}: density in place",
        "mass / volume",
        [in_place.term("mass"), Term("volume", space.solid.volume, "m3", EXACT_VOLUME)],
        unit="kg/m3",
        source=PACKING,
    )
    taken_up = water_taken_up(
        f"{cavity.name}: water taken up", foam, density.term("density"), boat.water
    )
    ball = widest.of(cavity.solid, math.inf)
    half_heat = _half_heat(cavity, ball, density)
    filling = with_heat(filling, widest, density.term("density"), setting)
    free_rise = _free_rise(filling, setting)
    gaps = gaps_in(cavity, space, filling.layers, (density, taken_up), boat)
    found = (*total.lines, in_place, density, taken_up, half_heat, *gaps.lines)
    lines = [*filling.lines, *dict.fromkeys(found)]
    lines += [] if free_rise is None else free_rise.lines
    pour = _pour(filling.place.cavity, total, filling.poured, setting, lines)
    return Filled(
        pour=replace(
            pour,
            decides=filling.decides,
            density=density.value,
            pressing=_pressing(filling, free_rise, setting),
        ),
        foam=FoamInPlace(
            cavity.name, foam.name, in_place.value, space.solid, density.value, taken_up.value
        ),
        height=round(float(cavity.solid.centroid @ filling.place.curve.up), 6),
        space=space,
        half_heat=half_heat,
        reach=gaps.reach,
        air=gaps.air,
        widest=ball,
        free_rise=free_rise,
        stops=(
            *space.stops,
            *dict.fromkeys(one.stop for one in filling.poured if one.stop),
        ),
        done=filling.done,
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


def _half_heat(cavity: Cavity, ball: Ball, density: Line) -> Line:
    """How long the core stays hot where the foam is thickest."""
    width = Term("width", width_of(ball), "m", largest(ball))
    label = f"{cavity.name}: time until the core has lost half of its heat"
    return half_heat_time(label, width, density.term("density"))


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
        return FreeRise(room, None, closing_mass, None, (room,))
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
    reduced = _reduced(cavity, room, setting)
    lines = (room, packing, pressure, reduced)
    return FreeRise(room, pressure, closing_mass, reduced, lines)


def _reduced(cavity: str, room: Line, setting: Setting) -> Line:
    foam = setting.today.foam
    return work_out(
        f"{cavity}: closing lift that presses as planned, lower lifts risen freely",
        "room * minimum_fill * overpack",
        [
            room.term("room"),
            setting.today.minimum_fill.term("minimum_fill"),
            Term("overpack", foam.overpack, "1", stated(foam, "overpack")),
        ],
        unit="kg",
        source=PACKING,
    )


def _pressing(filling: Filling, free: FreeRise | None, setting: Setting) -> Pressing:
    """On the whole cavity: air that is caught in it is squeezed, and presses on the lid as well."""
    lower = None
    if free is not None:
        lower = FreeLowerLifts(
            room=free.room.value,
            pressure=None if free.pressure is None else free.pressure.value,
            reduced_mass=0.0 if free.reduced is None else free.reduced.value,
            planned_mass=free.closing,
        )
    fullest = max(one.lift.volume for one in filling.poured)
    return pressing_of(Pressed(filling.cavity, filling.place.up, fullest, lower), setting)
