"""US Coast Guard boatbuilder's handbook, flotation and safe loading parts; undated copy.

Factors K, net buoyancy of foam and the handbook's persons arithmetic. Tolerance: half the last
printed digit.
"""

import math

import pytest
from small_boats import LB, PCF, box, material, poured, shop_laminate, skiff

from flotation.rulebook import load_rulebook
from flotation.swamped.capacity import persons_number, side_load_weight
from flotation.swamped.factors import submergence_factor
from flotation.swamped.lift import foam_lift, net_buoyancy
from flotation.workings import COMPUTED, Term

LAW = load_rulebook("us_33cfr183")
GUIDE = load_rulebook("us_boatbuilders_handbook")
WATER = GUIDE.number("water").term("water")


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("fibreglass laminate", 0.33),
        ("aluminium", 0.63),
        ("ABS", 0.11),
        ("fir plywood", -0.81),
        ("lead", 0.91),
        ("white oak", -0.18),
        ("cedar", -1.95),
        ("balsa", -5.24),
    ],
)
def test_table_of_k(name: str, printed: float) -> None:
    """The physical sign of wood, and the handbook's own where another source prints another."""
    method = skiff().method
    chosen = type(method)(True, False, "persons", "handbook")
    assert submergence_factor(material(name), WATER, chosen, GUIDE).value == printed


@pytest.mark.parametrize(
    ("density", "printed"), [(2700.0, 0.63), (11340.0, 0.91), (1500.0, 0.33), (7850.0, 0.87)]
)
def test_factor_formula_gives_the_table_from_densities(density: float, printed: float) -> None:
    """Densities of aluminium, lead, laminate and steel from common tables, not the handbook's."""
    line = submergence_factor(shop_laminate(density), WATER, skiff().method, GUIDE)
    assert line.value == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(
    ("grade", "net"),
    [(2.0, 60.4), (3.0, 59.4), (4.0, 58.4), (6.0, 56.4), (8.0, 54.4), (16.0, 46.4)],
)
def test_net_buoyancy_of_dry_foam(grade: float, net: float) -> None:
    """62.4 lb/ft3 less the foam's own density."""
    foam = poured("grid", box((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)), grade * PCF, 0.0)
    lift = foam_lift(skiff(), (foam,), WATER, GUIDE, None)
    assert net_buoyancy(lift.total, lift.volume).value / PCF == pytest.approx(net, abs=1e-9)


@pytest.mark.parametrize("pounds", [550.0, 547.0])
def test_persons_weight_to_number_of_persons(pounds: float) -> None:
    assert persons_number(Term("P", pounds * LB, "kg", COMPUTED), LAW).value == 4.0


@pytest.mark.parametrize(("side_load", "printed"), [(545.0, 908.0), (328.0, 546.0)])
def test_side_load_to_persons_weight(side_load: float, printed: float) -> None:
    """The handbook cuts the fraction: 328 lb over 0.6 is 546.67 lb."""
    line = side_load_weight(Term("A", side_load * LB, "kg", COMPUTED), LAW)
    assert math.floor(line.value / LB) == printed
    assert line.value / LB == pytest.approx(side_load / 0.6)
