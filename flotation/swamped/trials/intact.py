"""The boat while no water is in it: draught, trim, freeboard, and how much it can displace."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from flotation.boat import IntactHull, Role
from flotation.boat_places import Point
from flotation.equilibrium.bodies import Body, Sinks, as_point
from flotation.equilibrium.solver import float_freely
from flotation.swamped.trials.level_tests import Basin
from flotation.swamped.trials.reference import depth_at


@dataclass(frozen=True)
class Afloat:
    """The intact boat at rest. Angles in rad, lengths in m, masses in kg; None where it sinks.

    name       what is aboard
    mass       of everything aboard, by the weight list
    displaced  water that the hull displaces; equal to the mass where it floats
    draught    depth of the hull's lowest point
    freeboard  height of the lowest opening over the water, `opening` its place
    """

    name: str
    mass: float
    displaced: float
    heel: float | None
    trim: float | None
    draught: float | None
    freeboard: float | None
    opening: Point | None
    gm_transverse: float | None


@dataclass(frozen=True)
class Intact:
    """The intact boat.

    states   light, and loaded as its plate allows
    to_opening  kg that it displaces upright on level trim when water reaches its lowest opening
    stated   maximum displacement that the boat file states; None: not stated
    """

    states: tuple[Afloat, ...]
    to_opening: float
    stated: float | None


def intact(basin: Basin, hull: IntactHull) -> Intact:
    """How the boat floats before it is swamped, in the water of the calculation.

    Everything is dry: the weight list, the foam as poured. Loaded: the persons capacity with its
    centre where the tests have it, and what the maximum weight leaves for gear, in the same place.
    """
    boat = basin.swamped.boat
    light = _dry(basin)
    weights = [entry.weight for entry in basin.swamped.listed]
    plate = (Role.MOTOR, Role.CONTROLS, Role.BATTERY, Role.PORTABLE_TANK)
    equipment = sum(weight.mass for weight in weights if weight.role in plate)
    gear = max(boat.capacity.maximum_weight - equipment - boat.capacity.persons, 0.0)
    at = basin.loads.places.at("", at_edge=False)
    loaded = [*light, Body(boat.capacity.persons, at), Body(gear, at)]
    lowest = min(z for _, _, z in hull.openings)
    below = hull.solid.below((0.0, 0.0, 1.0), lowest)
    return Intact(
        (
            _afloat("light", light, hull, basin.water),
            _afloat("loaded to the plate", loaded, hull, basin.water),
        ),
        basin.water * below.volume,
        boat.capacity.maximum_displacement,
    )


def _dry(basin: Basin) -> list[Body]:
    swamped = basin.swamped
    listed = [Body(entry.weight.mass, entry.weight.at) for entry in swamped.listed]
    foam = [Body(entry.mass, as_point(entry.solid.centroid)) for entry in swamped.foam]
    return [*listed, *foam]


def _afloat(name: str, weights: Sequence[Body], hull: IntactHull, water: float) -> Afloat:
    mass = sum(body.mass for body in weights)
    shell = Body(0.0, as_point(hull.solid.centroid), hull.solid, "hull")
    rest = float_freely([*weights, shell], water)
    if isinstance(rest, Sinks):
        return Afloat(name, mass, rest.lift, None, None, None, None, None, None)
    lowest = float((hull.solid.vertices @ np.array(rest.normal)).min())
    wet = [(depth_at(point, rest.normal, rest.offset), point) for point in hull.openings]
    nearest, opening = max(wet)
    return Afloat(
        name,
        mass,
        water * rest.displaced_volume,
        rest.heel,
        rest.trim,
        rest.offset - lowest,
        -nearest,
        opening,
        rest.gm_transverse,
    )
