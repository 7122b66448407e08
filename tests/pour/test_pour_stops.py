"""What stops a pour; a stopped plan still carries its numbers."""

from dataclasses import replace

import pytest
from pour_boats import FOAM, SHOP, TOP, boat, box, by_hand, cavity, hole, side

from flotation import plan_pours
from flotation.boat import HoleKind
from flotation.foamsystem import CupTest, Foam, Shop
from flotation.pour.pourplan import PourPlan


def plan(shop: Shop = SHOP, foam: Foam = FOAM) -> PourPlan:
    return plan_pours(boat(side(), shop=shop, foam=foam))


def cup(density: float) -> Shop:
    return replace(SHOP, cup_tests=(CupTest(FOAM.name, density, "2026-04-14"),))


def test_a_good_day_is_a_go() -> None:
    assert plan().stops == ()
    assert plan().go


@pytest.mark.parametrize(("density", "word"), [(30.4, "lighter"), (33.6, "heavier")])
def test_a_cup_outside_the_sheets_limits_stops_and_never_just_moves_the_mass(
    density: float, word: str
) -> None:
    stopped = plan(cup(density))
    (stop,) = stopped.stops
    assert word in stop
    assert "2026-04-14" in stop
    assert not stopped.go
    assert stopped.pours[0].mass > 0.0
    assert stopped.pours[0].lifts[0].shots


@pytest.mark.parametrize("density", [30.5, 33.5])
def test_a_cup_on_the_limit_is_a_go(density: float) -> None:
    assert plan(cup(density)).go


@pytest.mark.parametrize(
    ("celsius", "what", "advice"),
    [(20.9, "liquids", "Warm"), (27.1, "liquids", "Cool")],
)
def test_a_shop_outside_the_limits_of_the_liquids_stops(
    celsius: float, what: str, advice: str
) -> None:
    (stop,) = plan(replace(SHOP, temperature=celsius + 273.15)).stops
    assert f"limits of the {what} are 21 °C" in stop
    assert f"{advice} the shop" in stop


def test_a_shop_outside_the_limits_of_the_hull_stops() -> None:
    foam = replace(FOAM, liquid_low=None, liquid_high=None, hull_low=None)
    (stop,) = plan(replace(SHOP, temperature=312.15), foam).stops
    assert "limits of the hull are at most 38 °C" in stop


def test_a_sheet_without_temperature_limits_does_not_stop_a_cold_shop() -> None:
    foam = replace(FOAM, liquid_low=None, liquid_high=None, hull_low=None, hull_high=None)
    cold = plan(replace(SHOP, temperature=278.15), foam)
    assert cold.go
    limits = {check.quantity: check for check in cold.before if check.quantity}
    assert limits["liquids"].low == pytest.approx(294.15)
    assert "recalled" in str(limits["liquids"].source)


def test_a_batch_that_creams_in_the_bucket_stops() -> None:
    stopped = plan(by_hand(mixing_time=35.0))
    assert any("no batch can be poured in time" in stop for stop in stopped.stops)
    assert stopped.lifts[0].shots


def test_a_scale_too_coarse_for_the_ratio_stops() -> None:
    (stop, *_) = plan(by_hand(scale_step=0.2, batch_limit=1.0)).stops
    assert "side port, lift 1 of 2" in stop
    assert "weigh on a scale" in stop


def test_a_lift_that_has_lost_its_last_hole_stops() -> None:
    low, vent = hole("F", (1.5, 0.6, 0.3)), hole("V", (1.5, 0.7, TOP), HoleKind.VENT)
    drowned = cavity("side port", box((0.0, 0.6, 0.0), (3.0, 0.8, TOP)), low, vent)
    (stop,) = plan_pours(boat(drowned)).stops
    assert "side port, lift 2 of 2: every fill hole lies below the foam" in stop


def test_a_cavity_whose_only_hole_is_at_its_bottom_stops() -> None:
    drain = hole("F", (1.5, 0.7, 0.0))
    stop, *_ = plan_pours(boat(cavity("side port", box((0, 0.6, 0), (3, 0.8, TOP)), drain))).stops
    assert "side port: as the hull stands in its jig every hole lies at the very bottom" in stop


def test_a_flow_length_of_nothing_stops() -> None:
    stopped = plan(foam=replace(FOAM, flow_length=1e-4))
    assert "side port: its foam gets to no part of it" in stopped.stops[0]


def test_every_reason_is_given_at_once() -> None:
    stopped = plan(replace(cup(29.0), temperature=283.15))
    assert len(stopped.stops) == 3
