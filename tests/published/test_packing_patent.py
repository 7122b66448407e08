"""Polyurethane moulding patent, definitions (web reprint, read).

Minimum fill density = minimum fill weight / cavity volume; moulded density = injected mass /
cavity volume; overpack % = injected mass x 100 / minimum fill weight; packing factor = moulded
density / free-rise density. The example's figures are computed from these definitions:
0.150 m3, free rise 32 kg/m3, minimum fill weight 5.28 kg, injected 5.544 kg: minimum fill
35.2 kg/m3, overpack 105, moulded 36.96 kg/m3, packing factor 1.155. Tolerance: half the last
digit.
"""

import pytest
from pour_boats import FOAM, SHOP, boat, box, cavity

from flotation import plan_pours
from flotation.pour.foam import foam_today


def test_minimum_fill_of_a_cavity_of_150_litres() -> None:
    assert foam_today(FOAM, SHOP).minimum_fill.value * 0.150 == pytest.approx(5.28, abs=0.005)


def test_injected_mass_moulded_density_and_packing_factor() -> None:
    one = cavity("example", box((0.0, 0.0, 0.0), (1.0, 0.6, 0.25)))
    plan = plan_pours(boat(one))
    (pour,) = plan.pours
    minimum_fill = plan.lines[0].value
    assert pour.volume == pytest.approx(0.150)
    assert pour.mass == pytest.approx(5.544, abs=0.0005)
    assert pour.mass / (minimum_fill * pour.volume) * 100.0 == pytest.approx(105.0, abs=0.5)
    assert pour.density == pytest.approx(36.96, abs=0.005)
    assert pour.density / plan.cups[0].density == pytest.approx(1.155, abs=0.0005)
