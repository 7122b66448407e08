"""Boats of boxes to try pour plans on, with a full data sheet and a cup test of the day."""

from dataclasses import replace

import small_boats
from small_boats import skiff

from flotation import plan_pours
from flotation.boat import Boat, Cavity, Hole, HoleKind, Jig
from flotation.boat_panels import Panel
from flotation.boat_places import Point
from flotation.foamsystem import (
    CupTest,
    Foam,
    FoamHeat,
    FoamPack,
    MachineMixing,
    MeasuredCore,
    Recipe,
    Shop,
)
from flotation.foamsystem_agents import agents
from flotation.geometry import shapes
from flotation.geometry.solid import Solid
from flotation.pour.pourplan import PourPlan
from flotation.pour.remaining import replan
from flotation.workings import Line

FOAM = replace(
    small_boats.FOAM,
    liquid_low=294.15,
    liquid_high=300.15,
    hull_low=289.15,
    hull_high=311.15,
)
# A crew of eight has every bucket of a lift in the hole before the first one creams.
SHOP = replace(skiff().shop, cup_tests=(CupTest(FOAM.name, 32.0, "2026-04-14"),), crew=8)
MACHINE = MachineMixing(rate=0.2, shot_limit=None, timer_step=0.1)
LEVEL = Jig(0.0, 0.0)
TOP = 0.6


def box(low: Point, high: Point) -> Solid:
    """An upright box from its lowest to its highest corner."""
    return shapes.box(low, [b - a for a, b in zip(low, high, strict=True)])


def hole(name: str, at: Point, kind: HoleKind = HoleKind.FILL) -> Hole:
    return Hole(name, kind, at, 0.03)


def cavity(name: str, solid: Solid, *holes: Hole) -> Cavity:
    return replace(small_boats.cavity(name, solid), holes=holes)


def boat(*cavities: Cavity, foam: Foam = FOAM, shop: Shop = SHOP, jig: Jig = LEVEL) -> Boat:
    return replace(skiff(), cavities=cavities, foams=(foam,), shop=shop, jig=jig, water=1000.0)


def side(name: str = "side port", sign: float = 1.0, depth: float = 0.5) -> Cavity:
    """3 m long, 0.2 m wide, on one side, its top at 0.6 m with a fill hole and a vent."""
    inner, outer = sorted((sign * 0.6, sign * 0.8))
    return cavity(
        name,
        box((0.0, inner, TOP - depth), (3.0, outer, TOP)),
        hole("F", (1.5, sign * 0.7, TOP)),
        hole("V", (2.9, sign * 0.7, TOP), HoleKind.VENT),
    )


def by_hand(
    *, batch_limit: float = 2.0, scale_step: float = 0.005, mixing_time: float = 15.0
) -> Shop:
    """The shop with other buckets, another scale or another stirrer."""
    mixing = replace(
        skiff().shop.mixing,
        batch_limit=batch_limit,
        scale_step=scale_step,
        mixing_time=mixing_time,
    )
    return replace(SHOP, mixing=mixing)


def lines_of(plan: PourPlan) -> list[Line]:
    """Every followed number of a plan."""
    lifts = [line for lift in plan.lifts for line in lift.lines]
    return [*plan.lines, *(line for pour in plan.pours for line in pour.lines), *lifts]


def interrupted(shop: Shop = SHOP) -> PourPlan:
    """What remains of a cavity whose first lift was short; with packs to buy."""
    foam = replace(FOAM, packs=(FoamPack("kit", 10.0, 9.0, 180.0, "EUR"),))
    one = boat(side(), shop=shop, foam=foam)
    first, *_ = (plan := plan_pours(one)).lifts
    return replan(plan, one, [(first.order, 0.8 * first.mixed_mass)])


PANEL = Panel("lid", 0.2, 0.9, 0.006, 9e9, 9e7, 0.004, 0.05, 4000.0, "boat.toml [[cavity.panel]]")
RECIPE = FoamHeat(
    recipe=Recipe(0.31, 1.1, 0.012, agents()["n-pentane"], 0.02), core_limit=400.0, cool_to=330.0
)
MEASURED = FoamHeat(measured_core=MeasuredCore(411.15, 295.15, 0.05, "2026-04-10"))


def effects_lines(heat: FoamHeat = RECIPE) -> list[Line]:
    """Every number of heat and pressure of a plan with a panel and this heat."""
    plan = plan_pours(
        boat(replace(side(), panels=(PANEL,)), foam=replace(FOAM, heat=heat), shop=SHOP)
    )
    heats = [lift.heat for lift in plan.lifts if lift.heat is not None]
    pressings = [pour.pressing for pour in plan.pours if pour.pressing is not None]
    assert heats
    assert pressings
    lines = [line for one in (*heats, *pressings) for line in one.lines]
    return [*lines, *plan.lines]
