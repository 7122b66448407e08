"""46 CFR 170.245: foam installed as flotation material is credited with at most 55 lb/ft3."""

from dataclasses import replace

import pytest
from small_boats import FT, LB, PCF, box, poured, skiff

from flotation.swamped.assess import assess

FOAM = (poured("grid", box((1.0, -0.5 * FT, 0.0), (FT, FT, FT)), 2.0 * PCF, 0.0),)


@pytest.mark.parametrize(("capped", "pounds"), [(True, 55.0), (False, 60.4)])
def test_a_cubic_foot_of_two_pound_foam(capped: bool, pounds: float) -> None:
    boat = replace(skiff(), method=replace(skiff().method, credit_cap=capped))
    (cavity,) = assess(boat, FOAM).cavities
    assert cavity.net_lift / LB == pytest.approx(pounds)


def test_the_cap_never_raises_the_lift_of_heavy_foam() -> None:
    boat = replace(skiff(), method=replace(skiff().method, credit_cap=True))
    heavy = replace(FOAM[0], density=16.0 * PCF, mass=16.0 * LB)
    (cavity,) = assess(boat, (heavy,)).cavities
    assert cavity.net_lift / LB == pytest.approx(46.4)
