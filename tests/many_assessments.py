"""Assessments that between them take every branch of the general method."""

from collections.abc import Callable
from dataclasses import replace

from afloat_boats import everything_afloat, low_skiff
from small_boats import (
    HP,
    HULL,
    LB,
    MOTOR,
    cavity,
    found_skiff,
    poured,
    shop_laminate,
    skiff,
    skiff_foam,
    weight,
)

from flotation.boat import Capacity, Chamber, Propulsion, Role, Scale, Weighing
from flotation.geometry.shapes import box
from flotation.swamped.assess import assess
from flotation.swamped.assessment import Assessment

CHAMBERS = (
    Chamber("bow locker", 0.060, (4.0, 0.0, 0.4), False, True),
    Chamber("seat port", 0.030, (2.0, 0.6, 0.4), False, True),
    Chamber("seat starboard", 0.030, (2.0, -0.6, 0.4), False, True),
    Chamber("side deck", 0.050, (2.0, 0.8, 0.6), True, True),
    Chamber("thwart", 0.020, (1.0, 0.0, 0.4), False, False),
)
DRY = frozenset({Role.STRUCTURE, Role.EQUIPMENT})


def level() -> Assessment:
    return assess(skiff(), skiff_foam())


def level_with_everything() -> Assessment:
    boat = skiff()
    more = (
        weight("console", 30.0, shop_laminate(1620.0), at=(2.4, 0.1, 0.6), role=Role.EQUIPMENT),
        weight(
            "fuel tank",
            60.0,
            shop_laminate(800.0, "petrol"),
            at=(1.0, 0, 0.1),
            role=Role.PERMANENT_TANK,
        ),
        weight("anchor", 9.0, at=(4.1, 0.0, 0.4), role=Role.EQUIPMENT),
        weight("cables", 6.0, at=(0.8, 0.3, 0.3), role=Role.CONTROLS),
    )
    toleranced = tuple(replace(w, tolerance=0.04 * w.mass) for w in (*boat.weights, *more))
    return assess(
        replace(
            boat,
            weights=toleranced,
            chambers=CHAMBERS,
            capacity=Capacity(532 * LB, 900 * LB, 2600.0, 150.0),
            weighing=Weighing(Scale(0.2, 190.0), Scale(3.6, 110.0), DRY, True),
        ),
        skiff_foam(),
    )


def foam_in_the_hull() -> Assessment:
    return assess(replace(skiff(), hull_has_foam=True), skiff_foam())


def wood_lifts_and_credit_is_capped() -> Assessment:
    method = replace(skiff().method, wood_lifts=True, credit_cap=True, material_factor="handbook")
    return assess(replace(skiff(), method=method), skiff_foam())


def basic_with_chambers() -> Assessment:
    boat = replace(skiff(), propulsion=Propulsion.INBOARD, chambers=CHAMBERS)
    return assess(boat, skiff_foam())


def basic_by_persons() -> Assessment:
    boat = replace(skiff(), propulsion=Propulsion.STERNDRIVE)
    return assess(replace(boat, method=replace(boat.method, basic_persons="persons")), skiff_foam())


def two_horsepower() -> Assessment:
    plate = Capacity(335 * LB, 400 * LB, 800.0, None)
    boat = replace(skiff(), rated_power=2.0 * HP, chambers=CHAMBERS, capacity=plate)
    return assess(boat, skiff_foam())


def manual() -> Assessment:
    plate = Capacity(360 * LB, 400 * LB, 800.0, None)
    boat = replace(skiff(), propulsion=Propulsion.MANUAL, rated_power=0.0, weights=(HULL,))
    return assess(replace(boat, capacity=plate), skiff_foam())


def outside_the_scope() -> Assessment:
    return assess(replace(skiff(), length=6.8, propulsion=Propulsion.INBOARD), skiff_foam())


def without_foam() -> Assessment:
    return assess(replace(skiff(), weights=(HULL, MOTOR)), ())


def low_in_the_grid() -> Assessment:
    """More foam than is asked for, all of it low on the centreline."""
    grid = box((0.3, -0.5, 0.02), (3.4, 1.0, 0.14), name="grid")
    return assess(replace(skiff(), cavities=(cavity("grid", grid),)), (poured("grid", grid),))


def afloat_with_everything() -> Assessment:
    """Sheets, a restrained tank, air chambers: every line of the simulated tests."""
    return assess(everything_afloat(), skiff_foam())


def afloat_basic() -> Assessment:
    return assess(replace(everything_afloat(), propulsion=Propulsion.INBOARD), skiff_foam())


def afloat_modified() -> Assessment:
    return assess(replace(everything_afloat(), rated_power=2.0 * HP), skiff_foam())


def afloat_low() -> Assessment:
    return assess(*low_skiff())


def found_between_parts() -> Assessment:
    return assess(found_skiff(), skiff_foam())


EVERY: tuple[Callable[[], Assessment], ...] = (
    level,
    level_with_everything,
    found_between_parts,
    foam_in_the_hull,
    wood_lifts_and_credit_is_capped,
    basic_with_chambers,
    basic_by_persons,
    two_horsepower,
    manual,
    outside_the_scope,
    without_foam,
    low_in_the_grid,
    afloat_with_everything,
    afloat_basic,
    afloat_modified,
    afloat_low,
)
