"""What 1 % of density and 1 degree do, against plans that are made with the change."""

from dataclasses import replace

import pytest
from pour_boats import FOAM, SHOP, boat, side

from flotation import plan_pours
from flotation.foamsystem import CupTest
from flotation.pour.outlook import Sensitivity
from flotation.pour.pourplan import PourPlan


def plan(cup: float = 32.0) -> PourPlan:
    shop = replace(SHOP, cup_tests=(CupTest(FOAM.name, cup, "2026-04-14"),))
    return plan_pours(boat(side(depth=0.3), shop=shop))


def of(cause: str) -> Sensitivity:
    (found,) = [one for one in plan().sensitivity if one.cause == cause]
    return found


def test_one_percent_of_density_is_what_a_plan_with_that_cup_takes_more() -> None:
    more = plan(32.32).foam[0].mass - plan().foam[0].mass
    assert of("density").more_mass == pytest.approx(more)
    assert of("density").lift_if_followed == pytest.approx(more)


def test_one_degree_is_the_gas_law_and_said_to_be_the_least() -> None:
    """1 K of 295.15 K: 0.34 %, as foam gets denser by the volume that its gas loses."""
    found = of("temperature")
    assert found.share == pytest.approx(1.0 / 294.15)
    assert round(100.0 * found.share, 2) == 0.34
    assert found.more_mass == pytest.approx(plan().foam[0].mass * found.share)
    assert "real loss is larger" in found.lines[0].note


def test_quantities_that_stay_leave_the_share_empty_and_lose_its_lift() -> None:
    """Of 0.18 m3 a share of 1/101 stays empty, in water of 1000 kg/m3."""
    assert of("density").lift_if_not == pytest.approx(0.18 * 1000.0 / 101.0)


def test_a_boat_of_two_foams_has_both_causes_for_each() -> None:
    dense = replace(FOAM, name="dense")
    two = replace(boat(side(), replace(side("bow"), foam="dense")), foams=(FOAM, dense))
    assert [(one.foam, one.cause) for one in plan_pours(two).sensitivity] == [
        ("pour foam", "density"),
        ("pour foam", "temperature"),
        ("dense", "density"),
        ("dense", "temperature"),
    ]
