"""Densities of the day, A and B, expansion, pressure and heat of one foam system."""

from dataclasses import replace

import pytest
from pour_boats import FOAM, SHOP

from flotation.foamsystem import Basis, CupTest, MixRatio, WaterUptake
from flotation.pour.foam import (
    closing_pressure,
    expansion,
    foam_today,
    half_heat_time,
    packing_pressure,
    ratio_in_other_basis,
    share_of_a,
    water_taken_up,
)
from flotation.workings import Mark, Term


def test_the_cup_test_carries_the_sheets_packing_over_to_the_day() -> None:
    shop = replace(SHOP, cup_tests=(CupTest(FOAM.name, 31.0, "2026-04-14"),))
    today = foam_today(FOAM, shop)
    assert today.minimum_fill.value == pytest.approx(31.0 * 1.1)
    assert today.minimum_fill.term("x").source is not None
    assert today.cup.date == "2026-04-14"
    assert {term.symbol: term.source.mark for term in today.minimum_fill.terms if term.source} == {
        "cup": Mark.MEASURED,
        "minimum_fill": Mark.STATED,
        "free_rise": Mark.STATED,
    }


def test_the_last_cup_test_of_this_foam_counts() -> None:
    cups = (
        CupTest(FOAM.name, 31.0, "2026-04-14"),
        CupTest(FOAM.name, 32.5, "2026-04-15"),
        CupTest("another foam", 48.0, "2026-04-16"),
    )
    assert foam_today(FOAM, replace(SHOP, cup_tests=cups)).cup.density == 32.5


def test_without_a_cup_test_the_sheet_stands_in_and_the_line_says_so() -> None:
    today = foam_today(FOAM, replace(SHOP, cup_tests=()))
    assert today.cup.date is None
    assert today.minimum_fill.value == pytest.approx(35.2)
    assert today.minimum_fill.note == "No cup test: the sheet's density stands in."


def test_a_ratio_by_volume_gives_the_heavier_liquid_the_larger_share() -> None:
    by_volume = replace(FOAM, mix=MixRatio(1.0, 1.0, Basis.VOLUME))
    assert share_of_a(by_volume).value == pytest.approx(1230.0 / (1230.0 + 1090.0))
    assert share_of_a(replace(FOAM, mix=MixRatio(1.0, 1.0, Basis.MASS))).value == 0.5


def test_the_other_basis_of_the_ratio_is_shown() -> None:
    by_mass = ratio_in_other_basis(FOAM)
    assert by_mass.label == "pour foam: A to B by volume"
    assert by_mass.value == pytest.approx(1.13 / (1230.0 / 1090.0))
    by_volume = ratio_in_other_basis(replace(FOAM, mix=MixRatio(1.0, 1.0, Basis.VOLUME)))
    assert by_volume.label == "pour foam: A to B by mass"
    assert by_volume.value == pytest.approx(1230.0 / 1090.0)


def test_uptake_by_volume_goes_by_the_water_and_by_mass_by_the_foam() -> None:
    density = Term("density", 36.0, "kg/m3")
    by_volume = water_taken_up("uptake", FOAM, density, 1025.0)
    assert by_volume.value == pytest.approx(20.5)
    assert all(term.source for term in by_volume.terms)
    by_mass = replace(FOAM, uptake=WaterUptake(0.02, Basis.MASS))
    assert water_taken_up("uptake", by_mass, density, 1025.0).value == pytest.approx(0.72)


def test_expansion_spans_the_sheets_own_densities() -> None:
    today = foam_today(FOAM, SHOP)
    liquid, most, least = expansion(today)
    assert 1090.0 < liquid.value < 1230.0
    assert most.value == pytest.approx(liquid.value / 30.5)
    assert least.value == pytest.approx(liquid.value / (35.2 * 1.05))


def test_pressure_follows_mass_over_minimum_fill_and_not_over_free_rise() -> None:
    """Free rise 32, minimum fill 35.2, moulded 36.96 kg/m3: about 5 kPa, not 16."""
    today = foam_today(FOAM, SHOP)
    assert closing_pressure(today).value == pytest.approx(5200.0, abs=100.0)
    over_free_rise = packing_pressure("", Term("d", 32.0, "kg/m3"), Term("p", 36.96 / 32.0, "1"))
    assert over_free_rise.value == pytest.approx(16000.0, abs=500.0)


def test_foam_that_is_not_overpacked_does_not_press() -> None:
    today = foam_today(replace(FOAM, overpack=1.0), SHOP)
    assert closing_pressure(today).value == pytest.approx(0.0, abs=1e-6)


def test_twice_the_thickness_stays_hot_four_times_as_long() -> None:
    density = Term("density", 36.0, "kg/m3")
    thin = half_heat_time("thin", Term("width", 0.1, "m"), density)
    thick = half_heat_time("thick", Term("width", 0.2, "m"), density)
    assert thick.value == pytest.approx(4.0 * thin.value)
