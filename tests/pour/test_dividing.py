"""Layers that are too heavy for one lift through a hole."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pour_boats import FOAM, MACHINE, SHOP, TOP, boat, box, by_hand, cavity, hole, side

from flotation import plan_pours
from flotation.foamsystem import Foam, Shop
from flotation.pour.limits import LiftCapacity, lift_capacity, shot_limit
from flotation.pour.outlook import LiftBound

ALONE = replace(SHOP, crew=1)


def capacity(foam: Foam = FOAM, shop: Shop = ALONE) -> LiftCapacity:
    return lift_capacity(foam, shop, shot_limit(foam, shop.mixing))


def test_one_person_has_one_bucket_in_a_hole_before_it_creams() -> None:
    """15 + 10 + 4 s for 2 kg: a second bucket would be out after 58 s, the foam creams at 45."""
    found = capacity()
    assert (found.mass, found.decides) == (2.0, LiftBound.BATCH)


def test_more_people_pour_until_the_first_bucket_creams() -> None:
    """45 s less 25 s of mixing and carrying, at 0.5 kg/s."""
    assert capacity(shop=replace(SHOP, crew=3)).mass == pytest.approx(6.0)
    found = capacity(shop=replace(SHOP, crew=8))
    assert (found.mass, found.decides) == (pytest.approx(10.0), LiftBound.CREAM)


def test_a_slow_foam_lets_the_same_hands_pour_twice() -> None:
    """Two rounds of 29 s and one turnaround of 30 s are out after 88 s."""
    slow = replace(FOAM, cream_time=100.0)
    assert capacity(slow, replace(ALONE, turnaround=30.0)).mass == pytest.approx(4.0)
    assert capacity(slow, replace(ALONE, turnaround=60.0)).mass == pytest.approx(2.0)


def test_a_machine_pours_until_the_first_of_it_creams() -> None:
    found = capacity(shop=replace(SHOP, mixing=replace(MACHINE, shot_limit=2.0)))
    assert (found.mass, found.decides) == (pytest.approx(9.0), LiftBound.MACHINE)


def test_the_sheets_own_limit_counts_where_it_is_less_and_is_named() -> None:
    found = capacity(replace(FOAM, lift_mass_limit=1.5))
    assert (found.mass, found.decides) == (1.5, LiftBound.MASS)
    assert "lift_mass_limit" in str(found.term.source)
    assert capacity(replace(FOAM, lift_mass_limit=3.0)).decides is LiftBound.BATCH


@settings(max_examples=25)
@given(
    cream=st.floats(30.0, 200.0),
    turnaround=st.floats(0.0, 60.0),
    crew=st.integers(1, 5),
    batch=st.floats(0.5, 6.0),
)
def test_a_lift_of_the_capacity_is_out_before_it_creams(
    cream: float, turnaround: float, crew: int, batch: float
) -> None:
    """What the limit promises holds on the clock of the plan; a fine scale adds no bucket."""
    foam = replace(FOAM, cream_time=cream)
    shop = replace(by_hand(batch_limit=batch, scale_step=0.0001), crew=crew, turnaround=turnaround)
    plan = plan_pours(boat(side(depth=0.25), foam=foam, shop=shop))
    most = capacity(foam, shop).mass
    for lift in plan.lifts:
        assert lift.mixed_mass <= most * (1.0 + 1e-6)
        if len(lift.shots) <= math.ceil(lift.mixed_mass / shot_limit(foam, shop.mixing).mass):
            assert lift.end - lift.start <= cream + 0.01


def test_a_layer_is_divided_into_equal_volumes_and_only_the_last_lift_closes() -> None:
    plan = plan_pours(boat(side(depth=0.3), shop=ALONE))
    (pour,) = plan.pours
    assert pour.decides is LiftBound.BATCH
    assert [lift.of for lift in pour.lifts] == [4, 4, 4, 4]
    assert [lift.volume for lift in pour.lifts] == pytest.approx([0.045] * 4)
    assert [lift.thickness for lift in pour.lifts] == pytest.approx([0.075] * 4)
    assert [lift.closing for lift in pour.lifts] == [False, False, False, True]
    assert pour.lifts[-1].mass == pytest.approx(pour.lifts[0].mass * FOAM.overpack)
    (line,) = [line for line in pour.lines if "by the sheet's thickness" in line.label]
    assert line.value == 4.0


def test_what_decides_is_named_for_each_cavity() -> None:
    def decides(depth: float, shop: Shop = SHOP, foam: Foam = FOAM) -> LiftBound:
        return plan_pours(boat(side(depth=depth), shop=shop, foam=foam)).pours[0].decides

    assert decides(0.3) is LiftBound.DEPTH
    assert decides(0.5) is LiftBound.THICKNESS
    assert decides(0.3, ALONE) is LiftBound.BATCH
    assert decides(0.3, foam=replace(FOAM, cream_time=30.0)) is LiftBound.CREAM
    assert decides(0.3, foam=replace(FOAM, lift_mass_limit=1.0)) is LiftBound.MASS


def test_where_upper_parts_lose_a_hole_the_rest_still_keeps_the_limit() -> None:
    """One of two holes is drowned half way up, so the other would take the whole of a part."""
    holes = (hole("low", (0.5, 0.0, 0.25)), hole("high", (1.5, 0.0, TOP)))
    tall = cavity("tall", box((0.0, -0.1, 0.0), (2.0, 0.1, TOP)), *holes)
    shop = replace(ALONE, mixing=replace(ALONE.mixing, batch_limit=2.0))
    plan = plan_pours(boat(tall, shop=shop, foam=replace(FOAM, lift_limit=None)))
    assert max(lift.mixed_mass for lift in plan.lifts) <= 2.0 * (1.0 + 1e-9)
    assert {lift.hole for lift in plan.lifts} == {"low", "high"}


@settings(max_examples=15)
@given(
    depth=st.floats(0.05, 0.6),
    batch=st.floats(0.8, 5.0),
    crew=st.integers(1, 3),
    limit=st.one_of(st.none(), st.floats(0.1, 0.5)),
)
def test_divided_or_not_the_lifts_are_the_cavity_to_the_gram(
    depth: float, batch: float, crew: int, limit: float | None
) -> None:
    shop = replace(by_hand(batch_limit=batch), crew=crew)
    plan = plan_pours(boat(side(depth=depth), shop=shop, foam=replace(FOAM, lift_limit=limit)))
    (pour,) = plan.pours
    assert math.fsum(lift.volume for lift in pour.lifts) == pytest.approx(pour.volume, rel=1e-9)
    surplus = 35.2 * 0.05 * math.fsum(lift.volume for lift in pour.lifts if lift.closing)
    assert pour.mass == pytest.approx(35.2 * pour.volume + surplus, abs=1e-6)
    assert plan.foam[0].mass == pytest.approx(math.fsum(one.mass for one in pour.lifts), abs=1e-6)
    assert plan.foam[0].density == pytest.approx(pour.mass / pour.volume)
    heights = [lift.foam_height for lift in pour.lifts]
    assert heights == sorted(heights)
    assert heights[-1] == pytest.approx(TOP)
