"""E. N. Gilbert, "How Things Float", American Mathematical Monthly 98 (1991), 201-216.

The attitudes of a long homogeneous bar of square section, its density a share s of the water's.
The limits of s and the first tilt are recalled from the paper; the values of both tilts are
computed from the formulas beside them, so they are exact and the tolerance is the search's.
"""

import math
from itertools import pairwise

import pytest

from flotation.equilibrium.bodies import Body, Box, Rest, up
from flotation.equilibrium.rests import all_rests
from flotation.equilibrium.solver import float_freely

FLAT_LIMIT = (3.0 - math.sqrt(3.0)) / 6.0  # 0.2113
WATER = 1000.0


def bar(share: float) -> list[Body]:
    box = Box((10.0, 1.0, 1.0))
    return [Body(share * WATER * 10.0, (0.0, 0.0, 0.0), box)]


def rest_from(heel: float, share: float) -> Rest:
    rest = float_freely(bar(share), WATER, start=up(math.radians(heel), 0.0))
    assert isinstance(rest, Rest)
    assert rest.stable
    assert rest.trim == pytest.approx(0.0, abs=1e-9)
    return rest


def tilt(share: float) -> float:
    """Heel from flat of the tilted rest, degrees; s above one half floats as 1 - s hangs."""
    s = min(share, 1.0 - share)
    if s <= 0.25:
        return math.degrees(math.atan(math.sqrt(12.0 * s * (1.0 - s) - 2.0)))
    root = math.sqrt(9.0 / 16.0 - 2.0 * s)
    return math.degrees(math.atan((0.75 - root) / (0.75 + root)))


@pytest.mark.parametrize("share", [0.05, 0.15, 0.211, 0.789, 0.85, 0.95])
@pytest.mark.parametrize("start", [0.0, 20.0, -30.0])
def test_a_light_or_a_heavy_bar_floats_flat(share: float, start: float) -> None:
    assert math.degrees(rest_from(start, share).heel) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("share", [9 / 32 + 0.0005, 0.3, 0.4, 0.5, 0.6, 0.7, 23 / 32 - 0.0005])
@pytest.mark.parametrize("start", [0.0, 20.0, 60.0])
def test_a_bar_of_middling_density_floats_corner_up(share: float, start: float) -> None:
    assert math.degrees(rest_from(start, share).heel) == pytest.approx(45.0, abs=1e-6)


@pytest.mark.parametrize("share", [0.2115, 0.22, 0.23, 0.24, 0.25, 0.75, 0.77, 0.785])
def test_between_flat_and_a_quarter_it_tilts_on_two_wet_corners(share: float) -> None:
    rest = rest_from(0.0, share)
    assert math.degrees(rest.heel) == pytest.approx(tilt(share), abs=1e-6)
    assert rest.other is not None
    assert math.degrees(rest.other.heel) == pytest.approx(-tilt(share), abs=1e-6)


@pytest.mark.parametrize("share", [0.25, 0.26, 0.27, 0.28, 0.72, 0.73, 0.74])
def test_between_a_quarter_and_nine_thirty_seconds_it_tilts_on_one_wet_corner(
    share: float,
) -> None:
    assert math.degrees(rest_from(0.0, share).heel) == pytest.approx(tilt(share), abs=1e-6)


def test_the_tilt_at_027() -> None:  # printed 33.69 degrees
    assert math.degrees(rest_from(0.0, 0.27).heel) == pytest.approx(33.69, abs=0.005)


def test_flat_has_no_stiffness_left_at_its_limit() -> None:
    rest = float_freely(bar(FLAT_LIMIT), WATER)
    assert isinstance(rest, Rest)
    assert not rest.stable
    assert rest.gm == pytest.approx(0.0, abs=1e-5)


@pytest.mark.parametrize(("share", "count"), [(0.15, 4), (0.23, 8), (0.27, 8), (0.4, 4)])
def test_every_rest_of_the_bar(share: float, count: int) -> None:
    """Four flat, four corner up, or eight tilted: the square's symmetries, none missed."""
    rests = all_rests(bar(share), WATER)
    assert isinstance(rests, tuple)
    assert len(rests) == count
    heels = sorted(math.degrees(rest.heel) for rest in rests)
    gaps = sorted(after - before for before, after in pairwise([*heels, heels[0] + 360.0]))
    shortest = min(2.0 * tilt(share), 90.0 - 2.0 * tilt(share)) if count == 8 else 90.0
    assert gaps[0] == pytest.approx(shortest, abs=1e-6)
    assert gaps[-1] == pytest.approx(90.0 - shortest if count == 8 else 90.0, abs=1e-6)
