"""Beyond the regulation: one thing changed at a time, thresholds, the intact boat, arms."""

import math
from dataclasses import replace

import pytest
from afloat_boats import LENGTH, SLAB, afloat_skiff, everything_afloat, raft
from pytest import approx
from small_boats import FRESH, skiff, skiff_foam

from flotation.boat import IntactHull, Propulsion
from flotation.geometry.shapes import box
from flotation.rulebook import water_density
from flotation.swamped.afloat import beyond_the_regulation, righting_curves
from flotation.swamped.assessment import Outcome
from flotation.swamped.trials.varied import last_that_holds

HULL = IntactHull(box((0.0, -0.9, 0.0), (LENGTH, 1.8, 0.7)), ((0.0, 0.0, 0.55), (2.0, 0.9, 0.7)))
FOAM = skiff_foam()


@pytest.fixture(scope="module")
def found():
    return beyond_the_regulation(replace(everything_afloat(), intact_hull=HULL), FOAM)


def row(found, group: str, change: str):
    (one,) = [row for row in found.rows if row.group == group and row.change == change]
    return one


def test_each_cavity_is_lost_in_turn(found) -> None:
    lost = [one for one in found.rows if one.group == "foam lost"]
    assert [one.change for one in lost] == ["side port", "side starboard", "grid"]
    port, starboard, grid = lost
    assert port.left == approx(starboard.left, abs=1e-6)
    assert port.left < found.as_stated.left
    assert grid.left != found.as_stated.left


def test_the_tank_is_emptied_filled_and_lost(found) -> None:
    empty, water, gone = (
        row(found, "tank", change)
        for change in ("empty, closed and in place", "full of water", "torn loose")
    )
    assert len({round(one.left, 6) for one in (empty, water, gone, found.as_stated)}) >= 3
    assert all(one.meets for one in (empty, water, gone))


def test_the_load_and_the_motor_and_the_water_are_varied(found) -> None:
    for end in ("aft", "forward"):
        row(found, "the load", f"at the {end} end of the passenger area")
    motors = [one for one in found.rows if one.group == "the motor"]
    assert motors[0].change == "none"
    assert motors[-1].left == approx(found.as_stated.left)
    assert len(motors) == 5
    assert row(found, "water", "sea water").depth < found.as_stated.depth


def test_a_slab_in_sea_water_floats_higher_in_proportion() -> None:
    boat, foam = raft(1500.0, 0.2)
    found = beyond_the_regulation(boat, foam)
    salt = row(found, "water", "sea water")
    fresh = found.as_stated
    assert salt.worst == fresh.worst
    draughts = [0.5 + one.depth for one in (fresh, salt)]  # the points lie 0.5 m over its bottom
    assert draughts[0] / draughts[1] == approx(water_density("salt") / FRESH, rel=2e-3)


def test_thresholds_lie_between_met_and_not_met(found) -> None:
    soaked, middle, side = found.thresholds
    assert 0.0 < soaked.value < 1.0
    assert soaked.first.startswith("183.")
    assert not soaked.all_the_way
    assert middle.value == math.floor(middle.value)
    assert middle.value >= 4.0
    assert side.unit == "persons"


def test_a_boat_that_does_not_meet_the_tests_is_not_varied() -> None:
    found = beyond_the_regulation(*raft(1200.0, 1.6))
    assert not found.as_stated.meets
    assert found.as_stated.outcome is Outcome.TURTLE
    assert (found.rows, found.thresholds, found.intact) == ((), (), None)


def test_nothing_is_run_without_what_the_tests_need_or_without_limits() -> None:
    assert beyond_the_regulation(skiff(), FOAM) is None
    inboard = replace(afloat_skiff(), propulsion=Propulsion.INBOARD)
    assert beyond_the_regulation(inboard, FOAM) is None


def test_the_intact_boat_floats_at_its_weight(found) -> None:
    light, loaded = found.intact.states
    assert light.displaced == approx(light.mass)
    assert loaded.displaced == approx(loaded.mass)
    listed = sum(w.mass for w in everything_afloat().weights) + sum(one.mass for one in FOAM)
    assert light.mass == approx(listed)
    assert loaded.mass > light.mass + 532 * 0.45359237 - 1e-9
    # a box: mean draught from its waterplane
    middle = light.draught - abs(math.sin(light.trim)) * LENGTH / 2.0
    assert middle == approx(light.mass / FRESH / (LENGTH * 1.8), rel=0.03)
    assert light.opening == (0.0, 0.0, 0.55)
    assert light.freeboard > loaded.freeboard > 0.0
    assert found.intact.to_opening == approx(FRESH * LENGTH * 1.8 * 0.55)


def test_righting_arms_cross_at_the_rest_and_mirror_on_a_symmetrical_boat() -> None:
    boat, foam = raft(700.0, 0.30)
    full, empty = righting_curves(boat, foam)
    assert (full.name, empty.name) == ("183.225", "183.235")
    assert empty.arms == approx([-arm for arm in reversed(empty.arms)], abs=1e-8)
    middle = len(empty.arms) // 2
    assert empty.heels[middle] == approx(0.0, abs=1e-12)
    assert empty.arms[middle] == approx(0.0, abs=1e-9)
    assert empty.arms[middle + 1] > 0.0
    assert math.degrees(empty.limit) == approx(10.0)
    mass = 700.0 + foam[0].mass + 20.0 * SLAB.volume
    assert empty.moments[middle + 1] == approx(9.80665 * mass * empty.arms[middle + 1], rel=1e-6)


def test_no_arms_of_a_boat_that_sinks_or_lacks_something() -> None:
    assert righting_curves(*raft(4000.0, 0.3)) == ()
    assert righting_curves(skiff(), FOAM) == ()


def test_the_last_value_that_holds() -> None:
    assert last_that_holds(lambda x: x <= 0.4, 1.0, 0.01) == approx(0.4, abs=0.01)
    assert last_that_holds(lambda x: x <= 0.4, 1.0, 0.01) <= 0.4
    assert last_that_holds(lambda _: True, 1.0, 0.01) == 1.0
    assert last_that_holds(lambda _: False, 1.0, 0.01) is None
