"""[boat], [capacity], [passenger_area], [method] and [[chamber]]."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import prod

from flotation.boat import Capacity, Chamber, Kind, Method, PassengerArea, Propulsion
from flotation.boat_places import Point
from flotation.boatfile.findings import nearest
from flotation.boatfile.place import Place, once_each, position
from flotation.boatfile.schema import (
    BoatTable,
    CapacityTable,
    ChamberTable,
    MethodTable,
    PassengerAreaTable,
)
from flotation.errors import UnitError
from flotation.rulebook import waters
from flotation.units import density, si

_WATER = (900.0, 1300.0)


@dataclass(frozen=True)
class Hull:
    """The boat itself, without what is in it; the fields are those of Boat."""

    name: str
    kind: Kind
    length: float
    beam: float
    propulsion: Propulsion
    rated_power: float
    water: float
    water_name: str


def read_hull(place: Place, raw: object) -> Hull | None:
    """[boat]."""
    read = place.check(BoatTable, raw)
    if read is None:
        return None
    if (read.propulsion is Propulsion.MANUAL) != (read.rated_power == 0.0):
        power = "zero" if read.rated_power == 0.0 else "not zero"
        problem = f"the propulsion is {read.propulsion}, and the power is {power}"
        remedy = 'Write "0 hp" for a boat that is rowed or paddled, and only for that.'
        place.fault("rated_power", problem, remedy)
    if read.beam > read.length:
        problem = "the beam is larger than the length"
        place.fault("beam", problem, "Look at both numbers and their units.")
    return Hull(
        name=read.name,
        kind=read.kind,
        length=read.length,
        beam=read.beam,
        propulsion=read.propulsion,
        rated_power=read.rated_power,
        water=_water(place, read.water),
        water_name=read.water,
    )


def _water(place: Place, text: str) -> float:
    """Density of a named water, or as stated; not a number after a fault."""
    known = waters()
    if text in known:
        return known[text].value
    if not text[0].isdigit():
        remedy = f'{nearest(text, list(known))} Or write a density, "1012 kg/m^3".'
        place.fault("water", f'"{text}" is no water known here', remedy)
        return float("nan")
    try:
        stated = density(text)
    except UnitError as error:
        place.refuse("water", error)
        return float("nan")
    if not _WATER[0] <= stated <= _WATER[1]:
        place.fault("water", f'"{text}" is no density of water', "Look at number and unit.")
    return stated


def read_capacity(place: Place, raw: object) -> Capacity | None:
    """[capacity]."""
    read = place.check(CapacityTable, raw)
    if read is None:
        return None
    if read.persons > read.maximum_weight:
        problem = "the persons weigh more than the maximum weight, of which they are a part"
        place.fault("persons", problem, "Look at the capacity plate again.")
    if read.maximum_displacement is not None and read.maximum_displacement <= read.maximum_weight:
        problem = "it is not above the maximum weight, which it includes"
        remedy = "Write the displacement of boat and load together."
        place.fault("maximum_displacement", problem, remedy)
    return Capacity(read.persons, read.maximum_weight, read.maximum_displacement, read.side_load)


def read_passenger_area(place: Place, raw: object, hull: Hull | None) -> PassengerArea | None:
    """[passenger_area]; it is compared with the hull where that could be read."""
    read = place.check(PassengerAreaTable, raw)
    if read is None:
        return None
    remedy = "Correct the numbers; x counts from the transom, breadths from the centreline."
    if read.forward <= read.aft:
        place.fault("forward", "it does not lie forward of the aft end", remedy)
    if read.side < read.half_breadth:
        problem = "it is nearer the centreline than the edge of the passenger area"
        place.fault("side", problem, remedy)
    if hull is not None and read.forward > hull.length:
        place.fault("forward", "it lies forward of the boat", remedy)
    if hull is not None and read.side > hull.beam / 2.0:
        place.fault("side", "it is further out than half the beam", remedy)
    return PassengerArea(read.aft, read.forward, read.half_breadth, read.sole, read.side)


def read_method(place: Place, raw: object) -> Method | None:
    """[method]; what it leaves out is on the safe side."""
    read = place.check(MethodTable, raw)
    if read is None:
        return None
    return Method(
        wood_lifts=read.wood == "physical",
        credit_cap=read.credit_cap,
        basic_persons=read.basic_persons,
        material_factor=read.material_factor,
    )


def read_chambers(file: Place, raw: object, hull: Hull | None) -> tuple[Chamber, ...]:
    """Every [[chamber]] that can be used."""
    tables = file.tables("chamber", raw)
    once_each((place, table.get("name")) for place, table in tables)
    found = [_chamber(place, table, hull) for place, table in tables]
    return tuple(chamber for chamber in found if chamber is not None)


def _chamber(place: Place, table: Mapping[str, object], hull: Hull | None) -> Chamber | None:
    read = place.check(ChamberTable, table)
    if read is None:
        return None
    check_near_boat(place, read.at, hull)
    if read.size is not None and read.volume > prod(read.size):
        problem = f"the box holds {si(prod(read.size), 'm3')}, less than the chamber"
        place.fault("size", problem, "Look at both; the chamber fits into its box.")
    return Chamber(read.name, read.volume, read.at, read.integral, read.counted, read.size)


def check_near_boat(place: Place, at: Point, hull: Hull | None) -> None:
    """What belongs to a boat lies within one length and two beams of it, or its unit is wrong."""
    if hull is None:
        return
    x, y, z = at
    far = not -hull.length <= x <= 2.0 * hull.length or max(abs(y), abs(z)) > 2.0 * hull.beam
    if far:
        problem = f"{position(at)} lies far away from the boat"
        place.fault("at", problem, "Look at the numbers and their units.")
