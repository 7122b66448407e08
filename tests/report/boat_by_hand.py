"""A small invented boat, made by hand."""

from dataclasses import replace

import numpy as np

from flotation.boat import (
    Boat,
    Capacity,
    Cavity,
    Chamber,
    Exposure,
    HandCheck,
    Hole,
    HoleKind,
    Jig,
    Kind,
    Method,
    PassengerArea,
    Propulsion,
    Role,
    Scale,
    TakenOut,
    Weighing,
    Weight,
)
from flotation.foamsystem import Basis, CupTest, Foam, HandMixing, MixRatio, Shop, WaterUptake
from flotation.geometry.solid import Solid
from flotation.rulebook import Material
from flotation.workings import Mark


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Solid:
    pair = (low, high)
    vertices = [
        [pair[i][0], pair[j][1], pair[k][2]] for i in (0, 1) for j in (0, 1) for k in (0, 1)
    ]
    faces = [[0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1]]
    faces += [[2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3]]
    return Solid(np.array(vertices, dtype=float), np.array(faces))


LAMINATE = Material("fibreglass laminate", 1600.0, 0.33, False, "handbook, Table 1", Mark.READ)
PLYWOOD = Material("fir plywood", None, -0.81, True, "handbook, Table 1", Mark.READ)

FOAM = Foam(
    name="pour foam 2 lb",
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
    liquid_low=294.15,
    liquid_high=300.15,
    hull_low=289.15,
    hull_high=311.15,
    uptake=WaterUptake(0.02, Basis.VOLUME),
    expansion_ratio=25.0,
    fuel_statement="buoyant force lost below 5 % in every medium",
    fuel_statement_date="2026-03-02",
    entry="boat.toml [[foam]] 1",
)


def cavity(name: str, group: str, solid: Solid, holes: tuple[Hole, ...]) -> Cavity:
    return Cavity(
        name=name,
        group=group,
        solid=solid,
        gross_volume=solid.volume + 0.004,
        moved_in=0.005,
        taken_out=(
            TakenOut("rigging tube", box((0.0, 0.0, 0.0), (1.0, 0.1, 0.1)), 0.004, None, False),
        ),
        foam=FOAM.name,
        holes=holes,
        exposure=Exposure.NONE,
        hold_down=4000.0,
        hold_down_by="bonded flange 0.2 m2",
        hand_check=HandCheck(solid.volume * 1.01, solid.volume * 1.001, solid.volume),
        entry=f"boat.toml [[cavity]] {name}",
    )


def fill(name: str, x: float, y: float, z: float) -> Hole:
    return Hole(name, HoleKind.FILL, (x, y, z), 0.030)


def vent(name: str, x: float, y: float, z: float) -> Hole:
    return Hole(name, HoleKind.VENT, (x, y, z), 0.012)


def weight(item: str, mass: float, role: Role, at: tuple[float, float, float]) -> Weight:
    return Weight(
        item=item,
        mass=mass,
        material=LAMINATE if role is Role.STRUCTURE else None,
        at=at,
        below_water=role is Role.STRUCTURE,
        role=role,
        tolerance=0.04 * mass,
        swamped_mass=0.9 * mass if role in (Role.MOTOR, Role.BATTERY) else None,
        size=(0.3, 0.4, 0.5) if role is Role.MOTOR else None,
        entry=f"boat.toml [[weights.item]] {item}",
    )


def boat_by_hand() -> Boat:
    return Boat(
        name="River survey skiff 46",
        kind=Kind.MONOHULL,
        length=4.6,
        beam=1.84,
        propulsion=Propulsion.OUTBOARD,
        rated_power=22371.0,
        capacity=Capacity(241.3, 408.2, None, None),
        water=999.55,
        water_name="fresh",
        weights=(
            weight("hull laminate", 182.0, Role.STRUCTURE, (1.95, 0.0, 0.22)),
            replace(weight("sole", 21.0, Role.STRUCTURE, (2.1, 0.0, 0.3)), material=PLYWOOD),
            weight("outboard motor", 71.0, Role.MOTOR, (-0.15, 0.0, 0.55)),
            weight("battery", 18.0, Role.BATTERY, (0.4, -0.2, 0.35)),
            weight("console", 14.0, Role.EQUIPMENT, (2.3, 0.0, 0.8)),
        ),
        hull_has_foam=False,
        weighing=Weighing(
            Scale(0.2, 190.0),
            Scale(3.6, 110.0),
            frozenset({Role.STRUCTURE, Role.EQUIPMENT}),
            False,
        ),
        foams=(FOAM,),
        shop=Shop(
            295.15,
            (CupTest(FOAM.name, 31.6, "2026-04-14"),),
            HandMixing(2.0, 15.0, 10.0, 0.5, 0.005),
            0.05,
        ),
        cavities=(
            cavity(
                "side port",
                "port side",
                box((0.5, 0.62, 0.3), (3.2, 0.86, 0.68)),
                (
                    fill("P1", 1.2, 0.74, 0.68),
                    fill("P2", 2.5, 0.74, 0.68),
                    vent("P3", 3.1, 0.8, 0.68),
                    vent("P4", 0.6, 0.8, 0.68),
                ),
            ),
            cavity(
                "side starboard",
                "starboard side",
                box((0.5, -0.86, 0.3), (3.2, -0.62, 0.68)),
                (
                    fill("S1", 1.2, -0.74, 0.68),
                    fill("S2", 2.5, -0.74, 0.68),
                    vent("S3", 3.1, -0.8, 0.68),
                ),
            ),
            cavity(
                "stringer grid",
                "grid",
                box((0.4, -0.5, 0.05), (3.6, 0.5, 0.12)),
                (
                    fill("G1", 0.9, 0.0, 0.12),
                    fill("G2", 2.8, 0.0, 0.12),
                    vent("G3", 3.5, 0.0, 0.12),
                ),
            ),
            replace(
                cavity("bow void", "bow", box((3.7, -0.3, 0.2), (4.2, 0.3, 0.5)), ()), foam=None
            ),
        ),
        chambers=(Chamber("bow locker", 0.04, (4.0, 0.0, 0.4), False, False),),
        passenger_area=PassengerArea(0.9, 3.4, 0.62, 0.3, 0.8),
        jig=Jig(0.0, 0.0),
        method=Method(False, False, "maximum weight"),
        files=(("boat.toml", "ab" * 32), ("side_port.stl", "cd" * 32)),
        notes=("side_port.stl is float32 and lies 12 m from its origin.",),
    )
