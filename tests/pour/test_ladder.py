"""Tables for the floor: other cup tests, and the dip that was measured."""

from dataclasses import replace

import pytest
from pour_boats import FOAM, SHOP, TOP, boat, hole, side

from flotation import plan_pours
from flotation.foamsystem import CupTest


def test_the_ladder_goes_from_the_sheets_low_to_its_high_limit() -> None:
    (pour,) = plan_pours(boat(side(depth=0.6))).pours
    assert [rung.density for rung in pour.ladder] == pytest.approx(
        [30.5, 31.0, 31.5, 32.0, 32.5, 33.0, 33.5]
    )
    assert all(len(rung.shots) == len(pour.lifts) for rung in pour.ladder)


def test_a_rung_is_what_the_plan_for_that_cup_would_be() -> None:
    (pour,) = plan_pours(boat(side(depth=0.6))).pours
    for rung in pour.ladder:
        shop = replace(SHOP, cup_tests=(CupTest(FOAM.name, rung.density, "2026-04-14"),))
        (planned,) = plan_pours(boat(side(depth=0.6), shop=shop)).pours
        assert rung.mass == pytest.approx(planned.mass)
        for (count, a, b), lift in zip(rung.shots, planned.lifts, strict=True):
            assert count == len(lift.shots)
            assert count * (a + b) == pytest.approx(lift.mixed_mass, abs=count * 0.005)
            assert a == pytest.approx(lift.shots[0].weigh_a, abs=0.005001)


def test_a_sheet_with_one_density_has_one_rung() -> None:
    foam = replace(FOAM, free_rise_low=32.0, free_rise_high=32.0)
    (pour,) = plan_pours(boat(side(), foam=foam)).pours
    assert [rung.density for rung in pour.ladder] == [32.0]


def test_amounts_by_dip_fill_exactly_what_is_left_over() -> None:
    """The side is 3 x 0.2 m: a dip of 0.28 m leaves 0.168 m3 for the closing lift."""
    lower, closing = plan_pours(boat(side(depth=0.6))).lifts
    assert lower.by_dip == ()
    assert closing.by_dip
    for rung in closing.by_dip:
        assert rung.mass == pytest.approx(3.0 * 0.2 * rung.dip * 35.2 * 1.05)
        count, a, b = rung.shots
        assert count * (a + b) == pytest.approx(rung.mass / 0.95, abs=count * 0.005)


def test_dips_run_from_free_rise_to_the_plan_when_the_lift_limit_allows_no_more() -> None:
    """Lower lift planned to a dip of 0.30 m, 0.27 m if it rises freely."""
    _, closing = plan_pours(boat(side(depth=0.6))).lifts
    dips = [rung.dip for rung in closing.by_dip]
    assert dips == pytest.approx([0.27, 0.275, 0.28, 0.285, 0.29, 0.295, 0.3])


def test_dips_run_beyond_the_plan_within_the_lift_limit() -> None:
    """0.5 m deep: planned 0.25 m, free rise 0.225 m, as far again 0.275 m, limit 0.3 m."""
    _, closing = plan_pours(boat(side(depth=0.5))).lifts
    dips = [rung.dip for rung in closing.by_dip]
    assert dips == pytest.approx([0.22, 0.23, 0.24, 0.25, 0.26, 0.27])


def test_no_row_where_foam_already_fills_the_cavity() -> None:
    """Ten lifts, 1.15 times their volume if they rise freely: nothing is left at the top."""
    foam = replace(FOAM, minimum_fill_density=32.0 * 1.15, lift_limit=0.05)
    plan = plan_pours(boat(side(depth=0.5), foam=foam))
    closing = plan.lifts[-1]
    assert closing.of == 10
    assert closing.by_dip[0].dip == pytest.approx(0.01)
    assert all(rung.mass > 0.0 for rung in closing.by_dip)
    assert any("no room is left for the closing lift: side port" in text for text in plan.cautions)
    assert plan.lifts[-2].dip_least == pytest.approx(TOP - TOP)


def test_each_of_two_holes_gets_its_share_of_what_a_dip_leaves_over() -> None:
    """Holes at 1.5 and 2.5 m of 3 m: the border is at 2 m."""
    port = side(depth=0.6)
    two = replace(port, holes=(*port.holes, hole("F2", (2.5, 0.7, TOP))))
    closing = [lift for lift in plan_pours(boat(two)).lifts if lift.closing]
    assert len(closing) == 2
    for lift in closing:
        for rung in lift.by_dip:
            share = 2.0 / 3.0 if lift.hole == "F" else 1.0 / 3.0
            whole = 3.0 * 0.2 * rung.dip * 35.2 * 1.05
            assert rung.mass == pytest.approx(share * whole, rel=0.03)
