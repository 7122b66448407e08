"""Verdicts: inclusive limits, rounding, margins and what they say."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flotation.rulebook import Criterion
from flotation.swamped.assessment import Verdict
from flotation.swamped.limits import ROUNDING, Limit, at_least, at_most
from flotation.swamped.trials.reference import Area, Areas, area_verdicts
from flotation.workings import COMPUTED

SIZES = st.floats(1e-6, 1e6)


def limit(value: float, unit: str = "kg") -> Limit:
    return Limit("limit", Criterion("limit", value, unit, "", COMPUTED), True)


def reference_areas(asked: Limit, forward: float, aft: float) -> tuple[Verdict, Verdict]:
    """The verdicts on two areas whose highest points lie as deep as their middles, m."""
    areas = Areas(Area(forward, forward), Area(aft, aft))
    return area_verdicts(asked, areas, None)


@given(SIZES)
def test_what_is_asked_for_exactly_meets_both_ways(value: float) -> None:
    assert at_least(limit(value), value).meets
    assert at_most(limit(value), value).meets


@given(SIZES)
def test_the_last_digits_of_a_float_do_not_turn_a_verdict(value: float) -> None:
    for noisy in (math.nextafter(value, 0.0), value * (1.0 - 1e-13), value * (1.0 + 1e-13)):
        low, high = at_least(limit(value), noisy), at_most(limit(value), noisy)
        assert low.meets
        assert high.meets
        assert low.margin == high.margin == 0.0


@given(SIZES, st.floats(1e-6, 10.0))
def test_more_than_rounding_decides(value: float, over: float) -> None:
    assert over > 10.0 * ROUNDING
    assert at_least(limit(value), value * (1.0 + over)).meets
    assert not at_most(limit(value), value * (1.0 + over)).meets
    assert not at_least(limit(value), value / (1.0 + over)).meets
    assert at_most(limit(value), value / (1.0 + over)).meets


@given(SIZES, SIZES)
def test_a_verdict_meets_exactly_when_its_margin_is_not_negative(asked: float, got: float) -> None:
    for verdict in (at_least(limit(asked), got), at_most(limit(asked), got)):
        assert verdict.meets is (verdict.margin >= 0.0)
        assert verdict.required == asked
        assert verdict.obtained == got


def test_a_sentence_says_by_how_much_in_both_systems() -> None:
    assert at_least(limit(100.0), 110.0).sentence == "meets the calculated limit by 10 kg (22.0 lb)"
    assert at_least(limit(100.0), 90.0).sentence == "falls short by 10 kg (22.0 lb)"
    heel = at_most(limit(math.radians(10.0), "rad"), math.radians(12.5))
    assert heel.sentence == "falls short by 2.5°"


def test_a_margin_within_the_stated_tolerances_is_not_decided() -> None:
    near = at_least(limit(100.0), 104.0, spread=5.0)
    assert near.meets
    assert not near.decided
    assert "not decided" in near.sentence
    clear = at_least(limit(100.0), 106.0, spread=5.0)
    assert clear.decided
    assert "not decided" not in clear.sentence


def test_without_stated_tolerances_a_margin_carries_no_spread() -> None:
    assert at_least(limit(100.0), 100.1).spread is None
    assert at_least(limit(100.0), 100.1).decided


@given(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))
def test_the_ends_of_a_boat_may_be_exchanged(forward: float, aft: float) -> None:
    asked = limit(0.1524, "m")
    assert reference_areas(asked, forward, aft) == reference_areas(asked, aft, forward)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_both_ends_under_water_never_meet(forward: float, aft: float) -> None:
    verdicts = reference_areas(limit(0.1524, "m"), forward, aft)
    assert not all(verdict.meets for verdict in verdicts)
    assert "both ends are under water" in verdicts[0].sentence


def test_a_boat_with_both_ends_above_water_meets_the_depth() -> None:
    assert all(v.meets for v in reference_areas(limit(0.1524, "m"), -0.2, -0.1))


@pytest.mark.parametrize("value", [0.0, -3.0])
def test_a_limit_may_be_zero_or_below(value: float) -> None:
    assert at_least(limit(value), value).meets
    assert not at_least(limit(value), value - 1e-6).meets


def test_a_verdict_says_which_way_its_limit_goes() -> None:
    assert at_most(limit(5.0), 4.0).at_most
    assert not at_least(limit(5.0), 4.0).at_most
    assert all(verdict.at_most for verdict in reference_areas(limit(0.15, "m"), 0.1, -0.2))
