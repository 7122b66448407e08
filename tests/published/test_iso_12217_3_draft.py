"""ISO 12217-3, boats under 6 m, draft text: factor from submerged to dry mass of test weights.

1 / (1 - water / material): lead 1.099, cast iron 1.163, aluminium 1.612 in sea water. In fresh
water 1.097, 1.159 and 1.588, computed. The densities of the metals are from common tables.
"""

import pytest
from small_boats import shop_laminate, skiff

from flotation.rulebook import load_rulebook
from flotation.swamped.factors import submergence_factor
from flotation.workings import COMPUTED, Term

GUIDE = load_rulebook("us_boatbuilders_handbook")
METALS = {"lead": 11340.0, "cast iron": 7300.0, "aluminium": 2700.0}
SEA = {"lead": 1.099, "cast iron": 1.163, "aluminium": 1.612}
FRESH = {"lead": 1.097, "cast iron": 1.159, "aluminium": 1.588}


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize(("density", "factors"), [(1025.0, SEA), (1000.0, FRESH)])
def test_dry_over_submerged(metal: str, density: float, factors: dict[str, float]) -> None:
    water = Term("water", density, "kg/m3", COMPUTED)
    line = submergence_factor(shop_laminate(METALS[metal]), water, skiff().method, GUIDE)
    assert 1.0 / line.value == pytest.approx(factors[metal], abs=0.0005)
