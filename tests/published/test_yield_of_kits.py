"""Boat builders' web page on foam kits (anecdotal, read), and a rule of thumb of a contractor.

One US gallon mixed "should make 5 cubic feet" of 2 lb foam and gave an estimated 3.75, a loss of
25 %; both liquids weigh about 10 lb a gallon (foam contractor's page, read). By the same rule
9 x 6 x 1 ft at 2 lb/ft3 are 54 ft3, 108 lb and 10.8 US gallons without losses (computed).
"""

from dataclasses import replace

import pytest
from pour_boats import FOAM, MACHINE, SHOP, boat, box, cavity
from small_boats import FT, LB, PCF

from flotation import plan_pours
from flotation.foamsystem import Basis, CupTest, Foam, MixRatio
from flotation.geometry.solid import Solid
from flotation.pour.pourplan import CavityPour

GALLON = 231.0 * 0.0254**3
TEN_POUNDS_A_GALLON = 10.0 * LB / GALLON
KIT = replace(
    FOAM,
    free_rise_density=2.0 * PCF,
    free_rise_low=1.9 * PCF,
    free_rise_high=2.1 * PCF,
    minimum_fill_density=2.0 * PCF,
    overpack=1.0,
    mix=MixRatio(1.0, 1.0, Basis.VOLUME),
    density_a=TEN_POUNDS_A_GALLON,
    density_b=TEN_POUNDS_A_GALLON,
    lift_limit=None,
)


def poured(solid: Solid, waste: float = 0.0, foam: Foam = KIT) -> CavityPour:
    cups = (CupTest(foam.name, foam.free_rise_density, "2026-04-14"),)
    shop = replace(SHOP, mixing=MACHINE, waste=waste, cup_tests=cups)
    (pour,) = plan_pours(boat(cavity("kit", solid), foam=foam, shop=shop)).pours
    return pour


def gallons(pour: CavityPour) -> float:
    return (pour.volume_a + pour.volume_b) / GALLON


def test_one_gallon_makes_five_cubic_feet() -> None:
    """Printed "5 cubic feet"; exact by the rule of thumb."""
    assert gallons(poured(box((0, 0, 0), (5.0 * FT, FT, FT)))) == pytest.approx(1.0, rel=1e-9)


def test_one_gallon_with_a_quarter_lost_makes_three_and_three_quarters() -> None:
    pour = poured(box((0, 0, 0), (3.75 * FT, FT, FT)), waste=0.25)
    assert gallons(pour) == pytest.approx(1.0, rel=1e-9)


def test_a_deck_of_nine_by_six_feet() -> None:
    pour = poured(box((0, 0, 0), (9.0 * FT, 6.0 * FT, FT)))
    assert pour.volume / FT**3 == pytest.approx(54.0, rel=1e-9)
    assert pour.mass / LB == pytest.approx(108.0, rel=1e-9)
    assert gallons(pour) == pytest.approx(10.8, abs=0.05)
