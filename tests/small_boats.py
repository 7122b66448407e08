"""Boats in memory for tests: an invented 4.6 m outboard skiff of boxes, and ways to vary it."""

from dataclasses import replace

from flotation.boat import (
    Boat,
    Capacity,
    Cavity,
    Exposure,
    FoamInPlace,
    Jig,
    Kind,
    Method,
    PassengerArea,
    Propulsion,
    Role,
    Weight,
)
from flotation.boat_places import Point
from flotation.foamsystem import Basis, Foam, HandMixing, MixRatio, Shop, WaterUptake
from flotation.foundbetween import FoundBetween
from flotation.geometry.shapes import box
from flotation.geometry.solid import Solid
from flotation.rulebook import Material, materials, water_density
from flotation.workings import Mark

LB = 0.45359237
FT = 0.3048
IN = 0.0254
HP = 745.69987158227022
PCF = LB / FT**3
FRESH = water_density("fresh")

FOAM = Foam(
    name="pour foam",
    free_rise_density=32.0,
    free_rise_low=30.5,
    free_rise_high=33.5,
    minimum_fill_density=35.2,
    overpack=1.05,
    lift_limit=0.3,
    mix=MixRatio(113.0, 100.0, Basis.MASS),
    mix_tolerance=0.02,
    density_a=1230.0,
    density_b=1090.0,
    cream_time=45.0,
    gel_time=170.0,
    tack_free_time=240.0,
    sheet_temperature=293.15,
    liquid_low=None,
    liquid_high=None,
    hull_low=None,
    hull_high=None,
    uptake=WaterUptake(0.02, Basis.VOLUME),
    expansion_ratio=None,
    fuel_statement=None,
    fuel_statement_date=None,
    entry="boat.toml [[foam]]",
)


def material(name: str) -> Material:
    """A published material."""
    return materials()[name]


def shop_laminate(density: float, name: str = "shop laminate") -> Material:
    """A laminate of the shop's own, known by its density."""
    return Material(name, density, None, False, "boat.toml [[material]]", Mark.STATED)


def weight(
    item: str,
    mass: float,
    stuff: Material | None = None,
    *,
    at: Point = (0.0, 0.0, 0.0),
    role: Role = Role.STRUCTURE,
) -> Weight:
    """An entry of the weight list, below the swamped waterline, without a tolerance."""
    return Weight(
        item=item,
        mass=mass,
        material=stuff,
        at=at,
        below_water=True,
        role=role,
        tolerance=None,
        swamped_mass=None,
        size=None,
        entry=f"boat.toml [weights] {item}",
    )


def cavity(name: str, solid: Solid) -> Cavity:
    """A plain cavity, filled with the pour foam, held down by nothing that is stated."""
    return Cavity(
        name=name,
        group=name,
        solid=solid,
        gross_volume=solid.volume,
        moved_in=0.0,
        taken_out=(),
        foam=FOAM.name,
        holes=(),
        exposure=Exposure.NONE,
        hold_down=None,
        hold_down_by="",
        hand_check=None,
        entry=f"boat.toml [[cavity]] {name}",
    )


def poured(name: str, solid: Solid, density: float = 36.96, uptake: float = 20.0) -> FoamInPlace:
    """Foam that fills a solid."""
    return FoamInPlace(name, FOAM.name, density * solid.volume, solid, density, uptake)


def between(solid: Solid, error: float) -> FoundBetween:
    """How a cavity of that solid might have been found between parts, m3 either way."""
    return FoundBetween(
        by_place="1.90 port 0.75 up 0.50",
        volume=solid.volume,
        volume_error=error,
        sealed_to=0.003,
        surface_error=1e-4,
        walls=("hull moulding", "side moulding"),
        closed=("limber hole",),
        gaps=4,
        gap_volume=2e-4,
        adrift=(),
        leaks=(),
    )


HULL = weight("hull laminate", 180.0, material("fibreglass laminate"), at=(2.0, 0.0, 0.25))
SOLE = weight("sole", 24.0, material("fir plywood"), at=(2.2, 0.0, 0.30))
RAIL = replace(weight("rail", 12.0, material("aluminium"), at=(2.1, 0.0, 0.85)), below_water=False)
MOTOR = replace(weight("outboard", 72.0, at=(-0.15, 0.0, 0.55), role=Role.MOTOR), swamped_mass=62.0)
BATTERY = weight("battery", 20.0, at=(0.35, 0.0, 0.35), role=Role.BATTERY)
TANK = weight("portable tank", 24.0, at=(0.6, 0.0, 0.4), role=Role.PORTABLE_TANK)

SIDE = box((0.2, 0.64, 0.35), (3.4, 0.22, 0.30), name="side port")
SIDE_STARBOARD = box((0.2, -0.86, 0.35), (3.4, 0.22, 0.30), name="side starboard")
GRID = box((0.3, -0.5, 0.02), (3.2, 1.0, 0.14), name="grid")
SOLIDS = {"side port": SIDE, "side starboard": SIDE_STARBOARD, "grid": GRID}


def skiff() -> Boat:
    """A 4.6 m outboard monohull of 30 hp with two side cavities and a grid."""
    return Boat(
        name="test skiff",
        kind=Kind.MONOHULL,
        length=4.60,
        beam=1.84,
        propulsion=Propulsion.OUTBOARD,
        rated_power=30.0 * HP,
        capacity=Capacity(532.0 * LB, 900.0 * LB, None, None),
        water=FRESH,
        water_name="fresh",
        weights=(HULL, SOLE, RAIL, MOTOR, BATTERY, TANK),
        hull_has_foam=False,
        weighing=None,
        foams=(FOAM,),
        shop=Shop(295.15, (), HandMixing(2.0, 15.0, 10.0, 0.5, 0.005), 0.05),
        cavities=tuple(cavity(name, solid) for name, solid in SOLIDS.items()),
        chambers=(),
        passenger_area=PassengerArea(0.9, 2.9, 0.62, 0.30, 0.78),
        jig=Jig(0.0, 0.0),
        method=Method(wood_lifts=False, credit_cap=False, basic_persons="maximum weight"),
        files=(("boat.toml", ""),),
        notes=(),
    )


def skiff_foam() -> tuple[FoamInPlace, ...]:
    """Every cavity of the skiff filled."""
    return tuple(poured(name, solid) for name, solid in SOLIDS.items())


def mirrored(boat: Boat) -> Boat:
    """The same boat with port and starboard exchanged."""
    turned = tuple(replace(w, at=(w.at[0], -w.at[1], w.at[2])) for w in boat.weights)
    chambers = tuple(replace(c, at=(c.at[0], -c.at[1], c.at[2])) for c in boat.chambers)
    return replace(boat, weights=turned, chambers=chambers)


def found_skiff(error: float = 0.001) -> Boat:
    """The skiff with its two side cavities found between parts, each off by so many m3."""
    boat = skiff()
    made = [
        one if one.name == "grid" else replace(one, found=between(one.solid, error))
        for one in boat.cavities
    ]
    return replace(boat, cavities=tuple(made))
