"""What stays empty in a cavity: shares of the holes, foam out of reach, caught air."""

import math
from dataclasses import replace

import numpy as np
import pytest
from pour_boats import FOAM, LEVEL, TOP, boat, box, cavity, hole, side

from flotation import assess, plan_pours
from flotation.boat import Cavity, HoleKind, Jig
from flotation.boat_places import KeepOut
from flotation.geometry.cavities import take_out
from flotation.geometry.shapes import prism

VENT = HoleKind.VENT


def stated(length: float) -> object:
    return replace(FOAM, flow_length=length)


def u_shape(*holes: object) -> Cavity:
    """Two legs along x, 1 m long and 0.1 m wide, divided by a thin wall and joined forward."""
    solid = take_out(box((0, 0, 0), (1.1, 0.2, 0.1)), [box((-1, 0.1, -1), (1.0, 0.104, 2.0))])
    return cavity("u", solid, *holes)


def test_the_holes_of_a_u_share_it_along_its_legs() -> None:
    """Round the end of the wall it is 0.951 m to A and 0.112 m to B: the border is 0.53 m from A,
    at x = 0.58 in A's leg."""
    one = u_shape(hole("A", (0.05, 0.05, 0.1)), hole("B", (0.9, 0.15, 0.1)))
    plan = plan_pours(boat(one, foam=stated(3.0)))
    (reach,) = plan.reach
    volume = {part.hole: part.volume for part in reach.holes}
    assert volume["A"] == pytest.approx(0.1 * 0.1 * 0.58, rel=0.05)
    assert math.fsum(volume.values()) == pytest.approx(one.solid.volume)
    (pour,) = plan.pours
    poured = {lift.hole: lift.volume for lift in pour.lifts}
    assert poured == pytest.approx(volume, rel=1e-6)


def test_shares_of_a_layer_add_up_and_follow_the_holes_that_are_open() -> None:
    """The low hole is under foam before the upper layer: the high one fills all of that."""
    low, high = hole("low", (0.2, 0.6, 0.35)), hole("high", (1.0, 0.7, TOP))
    tall = cavity("tall", box((0, 0.6, 0), (1.2, 0.8, TOP)), low, high)
    lifts = plan_pours(boat(tall)).lifts
    turns = [(lift.number, lift.hole) for lift in lifts]
    assert turns == [(1, "low"), (1, "high"), (2, "low"), (2, "high")]
    foam = replace(FOAM, lift_limit=0.2)
    assert {lift.hole for lift in plan_pours(boat(tall, foam=foam)).lifts if lift.number == 3} == {
        "high"
    }
    for number in (1, 2):
        part = math.fsum(lift.volume for lift in lifts if lift.number == number)
        assert part == pytest.approx(0.5 * tall.solid.volume)


def test_a_stated_flow_length_takes_mass_and_solid_off_and_one_unstated_does_not() -> None:
    """3 m long, 0.5 m deep, a hole in the middle, 1.2 m of flow: what a circle does not cover."""
    whole = plan_pours(boat(side()))
    assert whole.foam[0].solid.volume == pytest.approx(0.3)
    assert not whole.reach[0].stated
    assert not whole.reach[0].counted
    short = plan_pours(boat(side(), foam=stated(1.2)))
    (reach,), (pour,), (foam,) = short.reach, short.pours, short.foam
    assert reach.counted
    assert foam.solid.volume == pytest.approx(0.3 - reach.unreached)
    covered = 0.5 * math.sqrt(1.2**2 - 0.5**2) + 1.2**2 * math.asin(0.5 / 1.2)
    assert reach.unreached_least < 0.3 - 0.2 * covered < reach.unreached_most
    assert reach.unreached == pytest.approx(0.3 - 0.2 * covered, rel=0.15)
    assert reach.unreached_least <= reach.unreached <= reach.unreached_most
    assert pour.volume == pytest.approx(foam.solid.volume)
    assert foam.mass == pytest.approx(foam.density * foam.solid.volume)
    assert math.fsum(lift.volume for lift in pour.lifts) == pytest.approx(pour.volume)
    assert reach.holes_volume == pytest.approx(pour.volume)
    assert reach.lost_lift == pytest.approx(reach.unreached * (1000.0 - pour.density - 20.0))
    assert reach.foam_short == pytest.approx(reach.unreached * pour.density)
    values = {line.label: line.value for line in pour.lines}
    assert values["side port: volume that foam fills"] == pytest.approx(pour.volume)
    assert short.go


def test_the_proposed_holes_reach_it_when_they_are_drilled() -> None:
    port = side()
    (reach,) = plan_pours(boat(port, foam=stated(1.2))).reach
    assert len(reach.proposed) == reach.least_possible == 2
    more = [hole(f"N{i}", one.at) for i, one in enumerate(reach.proposed)]
    drilled = replace(port, holes=(*port.holes, *more))
    mended = plan_pours(boat(drilled, foam=stated(1.2)))
    assert not mended.reach[0].counted
    assert mended.foam[0].solid is port.solid
    assert reach.still_unreached <= 1e-3 * port.solid.volume


def test_no_hole_is_proposed_where_a_box_keeps_it_out() -> None:
    one = boat(side(), foam=stated(1.2))
    free = [part.at[0] for part in plan_pours(one).reach[0].proposed]
    assert min(free) < 1.0
    kept = replace(one, keep_out=(KeepOut("cleat", ((-1.0, 0.0, 0.0), (1.4, 1.0, 1.0))),))
    barred = plan_pours(kept).reach[0]
    assert all(part.at[0] > 1.42 for part in barred.proposed)
    assert barred.still_unreached > 0.01


def peaks() -> Cavity:
    """A long top of two peaks, with a fill hole in one of them."""
    outline = [(0, 0), (2, 0), (2, 0.2), (1.5, 0.6), (1, 0.3), (0.5, 0.5), (0, 0.2)]
    solid = prism([(x, 0.6, z) for x, z in outline], (0.0, 0.3, 0.0))
    return cavity("peaks", solid, hole("F", (0.5, 0.75, 0.5)))


CAUGHT = 0.5 * 0.3 * (0.5 + 0.375) * 0.3


def test_caught_air_is_no_foam_and_floods() -> None:
    one = peaks()
    plan = plan_pours(boat(one, foam=stated(3.0)))
    (air,), (pour,), (foam,) = plan.air, plan.pours, plan.foam
    assert air.counted
    assert air.caught == pytest.approx(CAUGHT)
    assert foam.solid.volume == pytest.approx(one.solid.volume - CAUGHT, rel=1e-6)
    assert foam.mass == pytest.approx(foam.density * foam.solid.volume)
    assert pour.volume == pytest.approx(foam.solid.volume)
    assert air.traps[0].foam_height == pytest.approx(0.3)
    assert air.traps[0].at == pytest.approx((1.5, 0.75, 0.6))
    assert math.fsum(part.volume for part in air.by_lift) == pytest.approx(CAUGHT)
    assert [part.number for part in air.by_lift] == [2]
    values = {line.label: line.value for line in pour.lines}
    assert values["peaks: air caught above the last open hole"] == pytest.approx(CAUGHT)


def test_the_proposed_vent_lets_it_out() -> None:
    one = peaks()
    plan = plan_pours(boat(one, foam=stated(3.0)))
    (vent,) = plan.air[0].proposed
    assert vent.drillable
    assert vent.frees == pytest.approx(CAUGHT - plan.air[0].still_caught)
    vented = replace(one, holes=(*one.holes, hole("V", vent.at, VENT)))
    after = plan_pours(boat(vented, foam=stated(3.0)))
    left = after.air[0].caught if after.air else 0.0
    assert left == pytest.approx(plan.air[0].still_caught)
    assert left < 0.05 * CAUGHT


def test_air_of_each_lift_is_told_and_adds_up() -> None:
    """The upper 0.5 m of a room without a vent, over a fill hole low in its side."""
    room = cavity("room", box((0, 0.6, 0), (0.8, 0.8, 0.9)), hole("F", (0.4, 0.6, 0.4)))
    (air,) = plan_pours(boat(room)).air
    assert air.caught == pytest.approx(0.5 * 0.2 * 0.8)
    assert [part.number for part in air.by_lift] == [2]
    tilted = plan_pours(boat(room, jig=Jig(0.0, 0.3))).air[0]
    assert math.fsum(part.volume for part in tilted.by_lift) == pytest.approx(tilted.caught)


def test_a_hole_a_hair_below_the_top_is_no_caught_air() -> None:
    port = side()
    near = replace(port, holes=(hole("F", (1.5, 0.6, TOP - 4e-4)),))
    plan = plan_pours(boat(near))
    assert plan.air[0].caught == pytest.approx(3.0 * 0.2 * 4e-4, rel=1e-4)
    assert not plan.air[0].counted
    assert plan.foam[0].solid is port.solid


def test_the_flotation_check_counts_both_as_flooded() -> None:
    """The same boat with the volume out of reach: what lifts is less by that volume."""
    here = boat(side("side port"), side("side starboard", -1.0))
    short = replace(here, foams=(stated(1.2),))
    whole, less = (assess(one, plan_pours(one).foam) for one in (here, short))
    lost = sum(part.lost_lift for part in plan_pours(short).reach)
    first = {limit.name: limit.obtained for limit in whole.verdicts}
    second = {limit.name: limit.obtained for limit in less.verdicts}
    name = "Flotation by the general method"
    assert first[name] - second[name] == pytest.approx(lost, rel=0.02)


def test_port_and_starboard_get_the_same_to_the_gram() -> None:
    both = boat(side(), side("side starboard", -1.0), foam=stated(1.2), jig=LEVEL)
    one, other = plan_pours(both).pours
    assert one.mass == pytest.approx(other.mass, abs=1e-3)
    reach = plan_pours(both).reach
    ends = [np.array([part.at for part in side_.proposed]) for side_ in reach]
    assert ends[0] * (1, -1, 1) == pytest.approx(ends[1], abs=1e-3)


def test_a_hole_is_not_poured_for_what_its_foam_does_not_get_to() -> None:
    """Holes at 0.5 and 1 m of 3 m, 0.8 m of flow: what lies beyond 1.8 m is nobody's."""
    holes = (hole("A", (0.5, 0.7, 0.2)), hole("B", (1.0, 0.7, 0.2)))
    low = cavity("low", box((0.0, 0.6, 0.0), (3.0, 0.8, 0.2)), *holes)
    plan = plan_pours(boat(low, foam=stated(0.8)))
    poured = {lift.hole: lift.volume for lift in plan.lifts}
    assert poured == pytest.approx({"A": 0.75 * 0.04, "B": 1.05 * 0.04}, rel=0.05)
    filled = {part.hole: part.volume for part in plan.reach[0].holes}
    assert poured == pytest.approx(filled, rel=1e-3)
