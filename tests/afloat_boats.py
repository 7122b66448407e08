"""Boats in memory that have all that the simulated tests in the water need."""

from dataclasses import replace

import numpy as np
from small_boats import (
    BATTERY,
    HULL,
    MOTOR,
    RAIL,
    SOLE,
    cavity,
    poured,
    shop_laminate,
    skiff,
    weight,
)

from flotation.boat import Boat, Chamber, FoamInPlace, Part, Role, Tank, Top, Weight
from flotation.boat_places import Point
from flotation.geometry.shapes import box
from flotation.geometry.solid import Skin
from flotation.swamped.books import load_books
from flotation.swamped.general_method import general_method
from flotation.swamped.scope import find_scope
from flotation.swamped.trials.in_the_water import Worked, basin_of
from flotation.swamped.trials.level_tests import Basin
from flotation.swamped.weight_list import settle_weights

LENGTH, HALF, HEIGHT = 4.60, 0.92, 0.72
TOP = Top(
    forward=((4.2, 0.9, HEIGHT), (4.2, -0.9, HEIGHT), (4.6, 0.9, HEIGHT), (4.6, -0.9, HEIGHT)),
    aft=((0.0, 0.9, HEIGHT), (0.0, -0.9, HEIGHT), (0.5, 0.9, HEIGHT), (0.5, -0.9, HEIGHT)),
)


def panel(corner: Point, along: Point, across: Point) -> np.ndarray:
    """(2, 3, 3) two triangles of a flat four-cornered sheet."""
    a = np.array(corner)
    b, d = a + np.array(along), a + np.array(across)
    c = b + np.array(across)
    return np.array([[a, b, c], [a, c, d]])


def skin(panels: list[np.ndarray], thickness: float, name: str) -> Skin:
    corners = np.concatenate(panels).reshape(-1, 3)
    return Skin(corners, np.arange(len(corners)).reshape(-1, 3), thickness, name)


def shell() -> Skin:
    """The hull of a box-shaped skiff, open above: bottom, sides, transom and bow."""
    low = (0.0, -HALF, 0.0)
    beam, up, length = (0.0, 2 * HALF, 0.0), (0.0, 0.0, HEIGHT), (LENGTH, 0.0, 0.0)
    return skin(
        [
            panel(low, length, beam),
            panel(low, length, up),
            panel((0.0, HALF, 0.0), length, up),
            panel(low, beam, up),
            panel((LENGTH, -HALF, 0.0), beam, up),
        ],
        0.0055,
        "shell",
    )


def sole_sheet() -> Skin:
    return skin([panel((0.2, -0.6, 0.30), (3.6, 0.0, 0.0), (0.0, 1.2, 0.0))], 0.010, "sole")


PARTS = (
    Part("shell", shell(), "hull laminate", "[[part]]"),
    Part("sole", sole_sheet(), "sole", ""),
)
BOXED = (
    replace(RAIL, size=(3.6, 1.8, 0.04), at=(2.1, 0.0, 0.74)),
    replace(MOTOR, size=(0.35, 0.30, 0.60)),
    replace(BATTERY, size=(0.26, 0.17, 0.21)),
)


def afloat_skiff(*more: Weight) -> Boat:
    """The skiff of boxes with its hull and sole as sheets, and sizes for the rest."""
    weights = (replace(HULL, material=shop_laminate(1600.0)), SOLE, *BOXED, *more)
    return replace(skiff(), weights=weights, parts=PARTS, top=TOP)


def low_skiff() -> tuple[Boat, tuple[FoamInPlace, ...]]:
    """The same skiff with all its foam in a narrow box on the bottom; its sides are left empty."""
    grid = box((0.2, -0.35, 0.02), (3.9, 0.70, 0.22), name="grid")
    sides = [one for one in skiff().cavities if one.name != "grid"]
    boat = replace(afloat_skiff(), cavities=(cavity("grid", grid), *sides))
    return boat, (poured("grid", grid),)


SHELL = weight("empty tank", 5.0, shop_laminate(1000.0, "shop plastic"), at=(2.0, 0.0, 0.43))
FUEL = weight("fuel", 30.0, at=(2.0, 0.0, 0.43), role=Role.PERMANENT_TANK)
OUTSIDE = box((1.8, -0.2, 0.31), (0.4, 0.4, 0.25), name="tank")
HELD_TANK = Tank("tank", OUTSIDE, "empty tank", "fuel", True, "two straps", "")
CHAMBERS = tuple(
    Chamber(name, volume, (2.0, 0.0, 0.4), False, True, (1.0, 0.5, 0.4))
    for name, volume in (("bow", 0.06), ("seat", 0.05), ("thwart", 0.02))
)


def everything_afloat() -> Boat:
    """The skiff with a tank that is held down and with three air chambers."""
    return replace(afloat_skiff(SHELL, FUEL), tanks=(HELD_TANK,), chambers=CHAMBERS)


SLAB = box((0.0, -0.8, 0.0), (4.0, 1.6, 0.5), name="slab")
SLAB_TOP = Top(forward=((4.0, 0.8, 0.5), (4.0, -0.8, 0.5)), aft=((0.0, 0.8, 0.5), (0.0, -0.8, 0.5)))


def raft(mass: float, height: float) -> tuple[Boat, tuple[FoamInPlace, ...]]:
    """A slab of foam, 4 x 1.6 x 0.5 m, with one weight in its middle that displaces nothing."""
    load = weight("load", mass, at=(2.0, 0.0, height))
    motor = replace(weight("motor", 1e-9, at=(2.0, 0.0, height)), role=MOTOR.role, swamped_mass=0.0)
    boat = replace(
        skiff(),
        length=4.0,
        beam=1.6,
        weights=(load, motor),
        cavities=(cavity("slab", SLAB),),
        passenger_area=replace(skiff().passenger_area, aft=1.0, forward=3.0, half_breadth=0.6),
        top=SLAB_TOP,
    )
    return boat, (poured("slab", SLAB),)


def worked(boat: Boat, foam: tuple[FoamInPlace, ...]) -> Worked:
    books = load_books()
    scope = find_scope(boat, books.law)
    listed = settle_weights(boat, foam).listed
    return Worked(
        boat, foam, listed, general_method(boat, listed, foam, scope, books), scope, books
    )


def basin(boat: Boat, foam: tuple[FoamInPlace, ...]) -> Basin:
    found = basin_of(worked(boat, foam))
    assert found is not None
    return found
