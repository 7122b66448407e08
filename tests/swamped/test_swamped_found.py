"""What the bounds of found volumes do to the foam, its lift and the margin."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from many_assessments import found_between_parts, level
from small_boats import FRESH, HULL, found_skiff, skiff, skiff_foam

from flotation.swamped.assess import assess
from flotation.swamped.found_volumes import found_volumes
from flotation.workings import COMPUTED, Term

WATER = Term("water", FRESH, "kg/m3", COMPUTED)


def test_drawn_cavities_have_no_bound_and_change_nothing() -> None:
    none = found_volumes(skiff(), skiff_foam(), WATER)
    assert none.lift is None
    assert none.section.lines == ()
    assert not any("found between" in text for text in level().assumptions)


@given(st.floats(1e-6, 0.01))
def test_lift_at_stake_is_the_change_of_lift_when_each_cavity_is_smaller_by_its_bound(
    error: float,
) -> None:
    foam = skiff_foam()
    found = found_volumes(found_skiff(error), foam, WATER)
    sides = [entry for entry in foam if entry.cavity != "grid"]
    lost = sum(error * (FRESH - entry.uptake - entry.density) for entry in sides)
    assert found.lift is not None
    assert found.lift.value == pytest.approx(lost, rel=1e-12)
    volume, mass, _ = found.section.lines
    assert volume.value == pytest.approx(2.0 * error, rel=1e-12)
    assert mass.value == pytest.approx(sum(error * entry.density for entry in sides), rel=1e-12)


def test_the_bound_is_stated_once_and_is_part_of_the_spread_of_the_margin() -> None:
    found, drawn = found_between_parts(), level()
    (told,) = [text for text in found.assumptions if "found between the parts" in text]
    assert "2 L" in told
    lines = {line.label: line for line in found.lines}
    at_stake = lines["Lift, all bounds against the boat"].value
    assert found.verdicts[0].margin == drawn.verdicts[0].margin
    assert drawn.verdicts[0].spread is None
    assert found.verdicts[0].spread == pytest.approx(at_stake)


def test_stated_tolerances_and_bounds_add_up() -> None:
    weights = tuple(
        replace(one, tolerance=10.0) if one.item == HULL.item else one for one in skiff().weights
    )
    spreads = [
        assess(replace(boat, weights=weights), skiff_foam()).verdicts[0].spread
        for boat in (skiff(), found_skiff())
    ]
    at_stake = found_volumes(found_skiff(), skiff_foam(), WATER).lift
    assert at_stake is not None
    assert spreads[1] == pytest.approx(spreads[0] + at_stake.value)


def test_a_margin_within_the_bounds_is_not_decided() -> None:
    margin = level().verdicts[0].margin
    (verdict, *_) = assess(found_skiff(1.1 * abs(margin) / (2.0 * 900.0)), skiff_foam()).verdicts
    assert not verdict.decided
