"""Clamped rectangular plates under an even load: handbook coefficients (recalled) against theory.

The coefficients stand in handbooks of formulas for stress and strain (flat rectangular plate, all
edges fixed, uniform load, Poisson's ratio 0.3) and were recalled, not read. Two checks from
elsewhere: figures computed by hand from the standard formula for one bay (1.8 mm, 13.7 MPa; long
panels 2.1 times the deflection and 1.6 times the stress), and the plate equation itself, solved
here by Galerkin's method with clamped polynomials.
"""

from functools import cache

import numpy as np
import pytest
from numpy.polynomial import Polynomial

from flotation.boat_panels import Panel
from flotation.pour.panels import coefficients, load_on
from flotation.workings import Term

NU = 0.3


def loaded(long_span: float, pressure: float = 10_000.0) -> tuple[float, float]:
    """mm and MPa of a 400 mm bay of 6 mm laminate of 9 GPa."""
    panel = Panel("bay", 0.4, long_span, 0.006, 9e9, None, None, None, None, "")
    terms = Term("pressure", pressure, "Pa"), Term("heating", 0.0, "Pa")
    load = load_on(panel, "", *terms, Term("minimum_fill", 32.0, "kg/m3")).load
    return load.deflection * 1000.0, load.stress / 1e6


def test_a_bay_of_400_mm_under_10_kpa() -> None:
    deflection, stress = loaded(0.4)
    assert deflection == pytest.approx(1.8, abs=0.05)
    assert stress == pytest.approx(13.7, abs=0.05)


def test_a_long_panel_bends_2_1_times_and_is_stressed_1_6_times_as_much() -> None:
    square, long = loaded(0.4), loaded(400.0)
    assert long[0] / square[0] == pytest.approx(2.1, abs=0.05)
    assert long[1] / square[1] == pytest.approx(1.6, abs=0.05)


@cache
def shapes(count: int) -> tuple[Polynomial, ...]:
    """(1 - x^2)^2 x^(2 i): clamped at -1 and 1, even."""
    clamped = Polynomial([1.0, 0.0, -1.0]) ** 2
    return tuple(clamped * Polynomial([0.0, 1.0]) ** (2 * i) for i in range(count))


def between(one: Polynomial, other: Polynomial) -> float:
    whole = (one * other).integ()
    return float(whole(1.0) - whole(-1.0))


def plate(short_over_long: float, count: int = 6) -> tuple[float, float]:
    """Coefficients of deflection and of stress, b the short span.

    D biharmonic w = q on the rectangle |x| < a/2, |y| < b/2; lengths in a/2 and b/2.
    """
    basis = shapes(count)
    s = short_over_long
    moments = [[between(f.deriv(i), g.deriv(i)) for f in basis for g in basis] for i in range(3)]
    mass, slope, bend = (np.array(m).reshape(count, count) for m in moments)
    stiffness = (
        np.kron(s**4 * bend, mass) + np.kron(2.0 * s**2 * slope, slope) + np.kron(mass, bend)
    )
    one = np.array([between(f, Polynomial([1.0])) for f in basis])
    weights = np.linalg.solve(stiffness, np.kron(one, one)).reshape(count, count)
    at_middle = np.array([f(0.0) for f in basis])
    at_edge = np.array([f.deriv(2)(1.0) for f in basis])
    deflection = float(at_middle @ weights @ at_middle) / 16.0  # q b^4 / D
    moment = float(at_middle @ weights @ at_edge) / 4.0  # q b^2
    return deflection * 12.0 * (1.0 - NU**2), 6.0 * abs(moment)


@pytest.mark.parametrize("long_over_short", [1.0, 1.2, 1.4, 1.6, 1.8, 2.0])
def test_the_rows_of_the_table_solve_the_plate_equation(long_over_short: float) -> None:
    """Printed to three and four digits; 0.5 % for the series of shapes."""
    deflection, stress = plate(1.0 / long_over_short)
    found = coefficients(1.0, long_over_short)
    assert found.deflection.value == pytest.approx(deflection, rel=0.005)
    assert found.stress.value == pytest.approx(stress, rel=0.005)


@pytest.mark.parametrize("long_over_short", [1.1, 1.3, 1.5, 1.7, 1.9, 2.3, 3.0, 5.0])
def test_between_the_rows_a_straight_line_is_within_three_per_cent(long_over_short: float) -> None:
    deflection, stress = plate(1.0 / long_over_short, count=8)
    found = coefficients(1.0, long_over_short)
    assert found.deflection.value == pytest.approx(deflection, rel=0.03)
    assert found.stress.value == pytest.approx(stress, rel=0.03)
