"""Consumption sheet of a Brazilian composites co-operative for a two-part pour foam.

Web page, read; its masses and litres were recomputed from its own ratio and specific gravities.
A slab of 12 x 2.5 x 0.10 m at 30 kg/m3: 3 m3 and 90 kg; polyol to isocyanate 100 : 113 by
weight, specific gravities 1.09 and 1.23; 42.25 kg of polyol and 47.75 kg of isocyanate, which
are 38.8 L each (the sheet rounds to 39 L each).
"""

from dataclasses import replace

import pytest
from pour_boats import FOAM, MACHINE, SHOP, boat, box, cavity

from flotation import plan_pours
from flotation.foamsystem import CupTest
from flotation.pour.pourplan import CavityPour

SHEET = replace(
    FOAM,
    free_rise_density=30.0,
    free_rise_low=29.0,
    free_rise_high=31.0,
    minimum_fill_density=30.0,
    overpack=1.0,
)


@pytest.fixture(scope="module")
def slab() -> CavityPour:
    """The sheet knows neither packing nor waste."""
    shop = replace(
        SHOP, mixing=MACHINE, waste=0.0, cup_tests=(CupTest(SHEET.name, 30.0, "2026-04-14"),)
    )
    whole = cavity("slab", box((0.0, -1.25, 0.0), (12.0, 1.25, 0.10)))
    (pour,) = plan_pours(boat(whole, foam=SHEET, shop=shop)).pours
    return pour


def test_volume_and_mass(slab: CavityPour) -> None:
    """Printed 3 m3 and 90 kg, both exact."""
    assert slab.volume == pytest.approx(3.0, rel=1e-12)
    assert slab.mass == pytest.approx(90.0, rel=1e-12)


def test_kilograms_of_each_side(slab: CavityPour) -> None:
    assert slab.mass_b == pytest.approx(42.25, abs=0.005)
    assert slab.mass_a == pytest.approx(47.75, abs=0.005)


def test_litres_of_each_side(slab: CavityPour) -> None:
    """Recomputed 38.8 L each; the sheet prints 39 L."""
    for litres in (slab.volume_a * 1000.0, slab.volume_b * 1000.0):
        assert litres == pytest.approx(38.8, abs=0.05)
        assert round(litres) == 39
