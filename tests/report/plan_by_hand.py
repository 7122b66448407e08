"""A pour plan for the boat by hand: amounts that no calculation gave."""

from dataclasses import dataclass, replace

from boat_by_hand import FOAM, boat_by_hand

from flotation.boat import FoamInPlace
from flotation.pour.pourplan import (
    Caution,
    CavityPour,
    Check,
    CheckKind,
    CupUsed,
    DipRung,
    Lift,
    OrderTotal,
    PourPlan,
    Response,
    Rung,
    Shot,
    Step,
)
from flotation.pour.reached import CavityAir, CavityReach, ProposedHole, ProposedVent
from flotation.workings import COMPUTED, Mark, Source, Term, work_out

FILE = Source("boat.toml", "[[foam]] 1", mark=Mark.STATED)
SHOP = Source("shop practice", mark=Mark.COMMON)


def shot(number: int, a: float, b: float) -> Shot:
    return Shot(number, a, b, a / 1230.0, b / 1090.0, a + b, None)


@dataclass(frozen=True)
class Place:
    """Cavity, hole and place in the order of a lift."""

    cavity: str
    hole: str
    order: int
    number: int
    of: int


def lift(place: Place, buckets: int, a: float) -> Lift:
    b = round(a / 1.13, 3)
    total_a, total_b = buckets * a, buckets * b
    closing = place.number == place.of
    line = work_out(
        f"{place.cavity}, lift {place.number} of {place.of}, hole {place.hole}: mass",
        "volume * density",
        [Term("volume", 0.123, "m3", COMPUTED), Term("density", 34.76, "kg/m3", SHOP)],
        unit="kg",
        source=SHOP,
    )
    rungs = (
        DipRung(0.10, 1.9, (1, 1.060, 0.940), None),
        DipRung(0.12, 2.3, (2, 0.640, 0.565), None),
    )
    return Lift(
        cavity=place.cavity,
        hole=place.hole,
        order=place.order,
        number=place.number,
        of=place.of,
        volume=0.123,
        mass=0.95 * (total_a + total_b),
        mixed_mass=total_a + total_b,
        mass_a=total_a,
        mass_b=total_b,
        volume_a=total_a / 1230.0,
        volume_b=total_b / 1090.0,
        thickness=0.19,
        foam_height=0.49 if not closing else 0.68,
        dip=0.19 if not closing else 0.0,
        dip_least=0.17 if not closing else -0.01,
        closing=closing,
        wait=240.0,
        shots=tuple(shot(i + 1, a, b) for i in range(buckets)),
        by_dip=rungs if closing and place.of > 1 else (),
        lines=(line,),
    )


def pour(name: str, group: str, lifts: tuple[Lift, ...]) -> CavityPour:
    ladder = tuple(
        Rung(
            density,
            density * 0.27,
            tuple((len(lift.shots), round(0.9 + density / 100, 3), 0.8) for lift in lifts),
            tuple(None for _ in lifts),
        )
        for density in (30.5, 31.1, 31.6, 32.3, 32.9, 33.5)
    )
    mass = sum(lift.mass for lift in lifts)
    return CavityPour(
        cavity=name,
        group=group,
        foam=FOAM.name,
        volume=0.246,
        mass=mass,
        mixed_mass=mass / 0.95,
        mass_a=sum(lift.mass_a for lift in lifts),
        mass_b=sum(lift.mass_b for lift in lifts),
        volume_a=sum(lift.volume_a for lift in lifts),
        volume_b=sum(lift.volume_b for lift in lifts),
        density=mass / 0.246,
        lifts=lifts,
        ladder=ladder,
        lines=tuple(line for lift in lifts for line in lift.lines),
    )


BEFORE = (
    Check(CheckKind.PEOPLE, "Two people at least; one stays at the extraction.", SHOP),
    Check(CheckKind.PLUG, "Plug the drains of side port with putty.", SHOP, "side port"),
    Check(CheckKind.PLUG, "Plug drains of the stringer grid.", SHOP, "stringer grid"),
    Check(CheckKind.OPEN, "Keep vents P3, P4, S3 and G3 open; push a rod through each.", SHOP),
    Check(CheckKind.BRACE, "Brace the sole: foam may press 5.0 kPa on it.", SHOP),
    Check(
        CheckKind.MEASURE, "Measure the temperature of both liquids.", SHOP,
        foam=FOAM.name, quantity="liquids", low=294.15, high=300.15, unit="K",
    ),
    Check(
        CheckKind.MEASURE, "Measure the hull inside each cavity.", SHOP,
        foam=FOAM.name, quantity="hull", low=289.15, high=311.15, unit="K",
    ),
    Check(
        CheckKind.MEASURE, "Pour a cup and weigh it.", SHOP,
        foam=FOAM.name, quantity="cup test", low=30.5, high=33.5, unit="kg/m3",
    ),
)  # fmt: skip

IF_THEN = (
    Response("A vent stays empty", ("Stop.", "Open the next vent.", "Ask for help."), SHOP),
    Response("The dip is low", ("Wait for the gel.", "Read the row of the measured dip."), SHOP),
    Response("The sole lifts", ("Stop pouring.", "Open every vent.", "Weigh the sole down."), SHOP),
    Response("Foam smokes", ("Everybody out.", "Do not cut it open.", "Call for help."), SHOP),
)  # fmt: skip

AFTER = (
    Step("Trim the foam at the holes and seal each with laminate once the core is cold.", SHOP),
    Step("Reopen the drains and limber holes that were plugged.", SHOP),
    Step("Keep watch for heat for 4 h: hand on the laminate each half hour.", SHOP),
)

SAFETY = (
    Caution("A is an isocyanate: gloves, goggles, supplied air inside a hull.", SHOP),
    Caution("Foam grows hot inside for hours: never exceed the lift, never cut a hot core.", SHOP),
    Caution("A closed hull is a confined space: extraction and a second person outside.", SHOP),
)


def plan_by_hand() -> PourPlan:
    boat = boat_by_hand()
    pours = (
        pour("stringer grid", "grid", (
            lift(Place("stringer grid", "G1", 1, 1, 1), 2, 0.985),
            lift(Place("stringer grid", "G2", 2, 1, 1), 2, 0.985),
        )),
        pour("side port", "port side", (
            lift(Place("side port", "P1", 3, 1, 2), 1, 1.045),
            lift(Place("side port", "P2", 4, 1, 2), 1, 1.050),
            lift(Place("side port", "P1", 7, 2, 2), 1, 1.055),
            lift(Place("side port", "P2", 8, 2, 2), 3, 0.715),
        )),
        pour("side starboard", "starboard side", (
            lift(Place("side starboard", "S1", 5, 1, 2), 1, 1.045),
            lift(Place("side starboard", "S2", 6, 1, 2), 1, 1.050),
            lift(Place("side starboard", "S1", 9, 2, 2), 1, 1.055),
            lift(Place("side starboard", "S2", 10, 2, 2), 1, 1.060),
        )),
    )  # fmt: skip
    return PourPlan(
        boat=boat.name,
        pours=pours,
        totals=(
            OrderTotal(
                FOAM.name,
                sum(pour.mass_a for pour in pours),
                sum(pour.mass_b for pour in pours),
                sum(pour.volume_a for pour in pours),
                sum(pour.volume_b for pour in pours),
            ),
        ),
        cups=(CupUsed(FOAM.name, 31.6, "2026-04-14", 30.5, 33.5),),
        stops=(),
        cautions=("side port is 1.3 m from P1 to its end: look in at P4.",),
        safety=SAFETY,
        before=BEFORE,
        if_then=IF_THEN,
        after=AFTER,
        lines=(
            work_out(
                "Density of the closing lift",
                "cup * minimum_fill / free_rise * overpack",
                [
                    Term(
                        "cup", 31.6, "kg/m3", Source("cup test of 2026-04-14", mark=Mark.MEASURED)
                    ),
                    Term("minimum_fill", 35.2, "kg/m3", FILE),
                    Term("free_rise", 32.0, "kg/m3", FILE),
                    Term("overpack", 1.05, "", FILE),
                ],
                unit="kg/m3",
                source=SHOP,
            ),
        ),
        foam=tuple(
            FoamInPlace(
                pour.cavity, pour.foam, pour.mass, boat.cavity(pour.cavity).solid, 35.0, 20.0
            )
            for pour in pours
        ),
    )


def proposing(plan: PourPlan) -> PourPlan:
    """The same plan with three further holes: two to fill the sides, and a vent of the grid."""
    fills = tuple(
        CavityReach(
            cavity=name, flow_length=1.0, stated=name != "side port", holes=(), unreached=0.0065,
            unreached_least=0.006, unreached_most=0.007, counted=False, places=(), lost_lift=6.3,
            foam_short=0.2, proposed=(ProposedHole((3.25, y, 0.68), 0.00642),), least_possible=1,
            still_unreached=0.0, lines=(),
        )
        for name, y in (("side port", 0.58), ("side starboard", -0.58))
    )  # fmt: skip
    vent = ProposedVent((1.5, 0.1, 0.12), 0.0031, False)
    air = CavityAir("stringer grid", 0.0031, True, (), (), (vent,), 0.0, ())
    return replace(plan, reach=fills, air=(air,))


def timed_by_hand() -> PourPlan:
    """The same plan on the clock: a batch each 100 s, a step ends 20 s before the next begins."""
    plan = plan_by_hand()
    clock, batch, timed = 0.0, 0, {}
    for one in plan.lifts:
        shots = []
        for made in one.shots:
            batch += 1
            shots.append(replace(made, batch=batch, start=clock, end=clock + 80.0))
            clock += 100.0
        end = shots[-1].end
        timed[one.order] = replace(
            one, shots=tuple(shots), start=shots[0].start, end=end, next_after=end + 240.0
        )
    pours = tuple(
        replace(pour, lifts=tuple(timed[one.order] for one in pour.lifts)) for pour in plan.pours
    )
    return replace(plan, pours=pours)
