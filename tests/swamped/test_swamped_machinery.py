"""Swamped motor, battery and controls."""

from dataclasses import replace

import pytest
from small_boats import LB, weight

from flotation.boat import Role, Weight
from flotation.rulebook import load_rulebook
from flotation.swamped.burdens import number_weights
from flotation.swamped.machinery import Machinery, machinery
from flotation.swamped.scope import BASIC, LEVEL, MODIFIED
from flotation.workings import Mark

LAW = load_rulebook("us_33cfr183")
GUIDE = load_rulebook("us_boatbuilders_handbook")
MOTOR = weight("motor", 72.0, role=Role.MOTOR)
BATTERY = weight("battery", 20.0, role=Role.BATTERY)
CABLES = weight("cables", 6.0, role=Role.CONTROLS)


def worked(flotation: str, *weights: Weight) -> Machinery:
    return machinery(number_weights(weights), flotation, LAW, GUIDE)


def test_stated_swamped_masses_count_as_stated_and_controls_in_full() -> None:
    motor, battery = replace(MOTOR, swamped_mass=60.0), replace(BATTERY, swamped_mass=12.0)
    found = worked(LEVEL, motor, battery, CABLES)
    assert found.total.value == 60.0 + 12.0 + 6.0
    assert not any("estimated" in text for text in found.assumptions)


def test_an_estimate_is_said_to_be_one() -> None:
    found = worked(LEVEL, MOTOR, replace(BATTERY, swamped_mass=12.0))
    assert found.total.value == pytest.approx(72.0 * 1.05 * 0.85 + 12.0)
    (told,) = (text for text in found.assumptions if "estimated" in text)
    assert "motor" in told
    assert "battery" not in told
    assert "estimate" in found.section.lines[0].note


def test_a_small_motor_counts_with_at_least_the_weight_of_the_rule() -> None:
    light, heavy = replace(MOTOR, swamped_mass=8.0), replace(MOTOR, swamped_mass=18.0)
    assert worked(MODIFIED, light).total.value == pytest.approx(25.0 * LB)
    assert worked(MODIFIED, heavy).total.value == 18.0


def test_basic_flotation_takes_three_quarters_of_the_dry_machinery() -> None:
    found = worked(BASIC, replace(MOTOR, swamped_mass=1.0), BATTERY, CABLES)
    assert found.total.value == pytest.approx(0.75 * (72.0 + 20.0 + 6.0))
    assert found.total.source.mark is Mark.RECALLED


def test_no_machinery_is_said() -> None:
    found = worked(LEVEL)
    assert found.total.value == 0.0
    assert found.assumptions == ("The weight list has no machinery; none is counted.",)


def test_a_tolerance_shrinks_with_the_weight_under_water() -> None:
    (burden,) = worked(LEVEL, replace(MOTOR, swamped_mass=36.0, tolerance=4.0)).burdens
    assert burden.spread == pytest.approx(2.0)
