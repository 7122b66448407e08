"""Expansion quoted by suppliers against the mass balance of the same foam.

A kit supplier's guide quotes 25 to 30 : 1 for "2 lb" foam (read); liquids of 1.20 kg/L over
32 kg/m3 make 37.5, and 25 : 1 is 48 kg/m3 (computed). A boat builder's page calls 16 lb foam
"about four times" its liquid (read); the balance says 4.7. Grades of 2, 3, 4, 6, 8 and 16 lb/ft3
with liquids of 1.20 kg/L: 37.5, 25.0, 18.7, 12.5, 9.4 and 4.7 (computed). Tolerance: half the
last digit.
"""

from dataclasses import replace

import pytest
from pour_boats import FOAM, SHOP, boat, side
from small_boats import PCF

from flotation import plan_pours
from flotation.foamsystem import CupTest, Foam
from flotation.pour.foam import expansion, foam_today


def grade(pounds: float) -> Foam:
    density = pounds * PCF
    return replace(
        FOAM,
        free_rise_density=density,
        free_rise_low=density,
        free_rise_high=density,
        minimum_fill_density=density,
        overpack=1.0,
        density_a=1200.0,
        density_b=1200.0,
    )


@pytest.mark.parametrize(
    ("pounds", "printed"),
    [(2, 37.5), (3, 25.0), (4, 18.7), (6, 12.5), (8, 9.4), (16, 4.7)],
)
def test_expansion_by_mass_balance(pounds: float, printed: float) -> None:
    _, most, least = expansion(foam_today(grade(pounds), SHOP))
    assert most.value == pytest.approx(printed, abs=0.05)
    assert least.value == pytest.approx(most.value)


def test_a_quoted_25_to_1_means_48_kilograms_and_is_flagged() -> None:
    foam = replace(FOAM, density_a=1200.0, density_b=1200.0, expansion_ratio=25.0)
    meant = expansion(foam_today(foam, SHOP))[-1]
    assert meant.value == pytest.approx(48.0, abs=0.5)
    cautions = plan_pours(boat(side(), foam=foam)).cautions
    assert any("stated expansion of 25:1 would mean 48 kg/m³" in text for text in cautions)


def test_about_four_times_for_16_lb_foam_is_flagged_too() -> None:
    foam = replace(grade(16.0), expansion_ratio=4.0)
    shop = replace(SHOP, cup_tests=(CupTest(foam.name, foam.free_rise_density, "2026-04-14"),))
    cautions = plan_pours(boat(side(), foam=foam, shop=shop)).cautions
    assert any("stated expansion of 4:1" in text for text in cautions)
