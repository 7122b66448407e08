"""The drum rule of floating docks, as a spray foam trade magazine prints it.

55 gal x 8.3 lb/gal = 457 lb, less 25 lb of drum = 432 lb. Filling it with foam of 2 lb/ft3
(7.35 ft3, 14.7 lb) leaves 417 lb, computed. Tolerance: half a pound, the last printed digit.
"""

import pytest
from small_boats import FT, LB, PCF, box, poured, skiff

from flotation.rulebook import load_rulebook
from flotation.swamped.lift import foam_lift
from flotation.workings import COMPUTED, Term

GALLON = 231.0 * 0.0254**3
GUIDE = load_rulebook("us_boatbuilders_handbook")
WATER = Term("water", 8.3 * LB / GALLON, "kg/m3", COMPUTED)
DRUM = 25.0 * LB


@pytest.mark.parametrize(("density", "left"), [(0.0, 432.0), (2.0 * PCF, 417.0)])
def test_a_drum_of_55_gallons(density: float, left: float) -> None:
    solid = box((0.0, 0.0, 0.0), (1.0, 1.0, 55.0 * GALLON))
    assert solid.volume / FT**3 == pytest.approx(7.35, abs=0.005)
    foam = poured("grid", solid, density, 0.0)
    lift = foam_lift(skiff(), (foam,), WATER, GUIDE, None)
    assert (lift.total.value - DRUM) / LB == pytest.approx(left, abs=0.5)
