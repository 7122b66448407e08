"""Each cavity has its own largest ball; a mirrored twin has its like's."""

import math

import pytest
from pour_boats import box

from flotation.geometry.shapes import mirrored
from flotation.pour.widest import Widest, largest

PORT = box((0.0, 0.5, 0.0), (2.0, 0.7, 0.3))


def radius(widest: Widest, low: float, high: float) -> float:
    solid = box((0.0, low, 0.0), (2.0, high, 0.3))
    return widest.of(solid, math.inf).radius


def test_a_mirrored_twin_has_the_same_without_another_search() -> None:
    widest = Widest((0.0, 0.0, 1.0))
    assert widest.of(PORT, math.inf) is widest.of(mirrored(PORT), math.inf)


def test_a_heeled_hull_has_no_twins() -> None:
    widest = Widest((0.0, 0.1, math.sqrt(0.99)))
    assert widest.of(PORT, 0.3) is not widest.of(mirrored(PORT), 0.3)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_cavities_that_differ_across_only_have_their_own(sign: float) -> None:
    widest = Widest((0.0, 0.0, 1.0))
    assert radius(widest, 0.5, 0.7) == pytest.approx(0.1)
    inner, outer = sorted((sign * 0.5, sign * 0.6))
    assert radius(widest, inner, outer) == pytest.approx(0.05)


def test_a_level_of_its_own_has_a_ball_of_its_own() -> None:
    widest = Widest((0.0, 0.0, 1.0))
    assert widest.of(PORT, math.inf).radius == pytest.approx(0.1)
    assert widest.of(PORT, 0.1).radius == pytest.approx(0.05)
    assert "it may be smaller by 0 mm" in str(largest(widest.of(PORT, 0.1)))
