"""The largest ball in a solid: bodies of which it is known, and bounds that hold."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flotation.geometry import shapes, shapes_round
from flotation.geometry.cavities import take_out
from flotation.geometry.inscribed import largest_ball
from flotation.geometry.nearness import contains, distance_to_surface
from flotation.geometry.shapes_hats import HatStation, hat_stringer
from flotation.geometry.solid import Solid

# An L seen from above, its arms 0.3 m wide, 0.4 m tall.
CORNER = shapes.prism(
    [(0, 0, 0), (2, 0, 0), (2, 0.3, 0), (0.3, 0.3, 0), (0.3, 1.5, 0), (0, 1.5, 0)], (0, 0, 0.4)
)


def holds(solid: Solid, largest: float, share: float = 0.05) -> None:
    """The bounds enclose it and are as narrow as asked for."""
    ball = largest_ball(solid, share=share)
    assert ball.radius <= largest * (1.0 + 1e-9)
    assert ball.radius + ball.error >= largest * (1.0 - 1e-9)
    assert ball.error <= share * ball.radius


@pytest.mark.parametrize("size", [(1.0, 2.0, 3.0), (3.0, 0.2, 0.4), (0.5, 0.5, 0.5)])
def test_a_box_holds_a_ball_of_half_its_least_side(size: tuple[float, float, float]) -> None:
    ball = largest_ball(shapes.box((5.0, -3.0, 1.0), size))
    assert ball.radius == pytest.approx(min(size) / 2.0, abs=1e-9)
    assert ball.error == pytest.approx(0.0, abs=1e-9)


def test_a_ball_holds_itself() -> None:
    """Its facets lie inside the sphere, by less than 1 %."""
    ball = shapes_round.sphere((0.0, 0.0, 0.0), 0.4)
    from_middle = float(distance_to_surface(ball, np.zeros((1, 3)))[0])
    assert from_middle == pytest.approx(0.2, rel=0.01)
    holds(ball, from_middle)


def test_a_wedge_holds_the_circle_inscribed_in_its_section() -> None:
    """A right triangle of 3, 4 and 5: radius 1; it is 6 long."""
    wedge = shapes.prism([(0, 0, 0), (0, 4, 0), (0, 0, 3)], (6.0, 0.0, 0.0))
    holds(wedge, 1.0, share=0.02)


def test_where_two_arms_meet_the_ball_is_larger_than_in_either() -> None:
    """It touches the two outer walls and the inner edge: r = (0.3 - r) sqrt 2, 0.176 m.

    An arm alone holds 0.15 m, and the height of 0.4 m bounds neither.
    """
    radius = 0.3 * math.sqrt(2.0) / (1.0 + math.sqrt(2.0))
    holds(CORNER, radius, share=0.02)


def test_a_tube_through_the_middle_leaves_a_smaller_ball() -> None:
    whole = shapes.box((0.0, 0.0, 0.0), (1.0, 0.4, 0.4))
    tube = shapes_round.tube([(-0.1, 0.2, 0.2), (1.1, 0.2, 0.2)], 0.1)
    left = take_out(whole, [tube])
    # Between tube and corner, touching both walls: r sqrt 2 + r + 0.05 = 0.2 sqrt 2.
    holds(left, (0.2 * math.sqrt(2.0) - 0.05) / (1.0 + math.sqrt(2.0)), share=0.05)


def test_the_level_of_the_foam_bounds_it() -> None:
    whole = shapes.box((0.0, 0.0, 1.0), (3.0, 0.3, 0.4))
    assert largest_ball(whole, level=1.1).radius == pytest.approx(0.05, abs=1e-9)
    assert largest_ball(whole, level=9.0).radius == pytest.approx(0.15, abs=1e-9)
    assert largest_ball(whole, level=0.9).radius == 0.0
    sideways = largest_ball(whole, up=(0.0, 1.0, 0.0), level=0.2, share=0.01)
    assert sideways.radius <= 0.1 + 1e-9
    assert sideways.radius + sideways.error >= 0.1 - 1e-9
    assert sideways.radius == pytest.approx(0.1, rel=0.01)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1, math.nan])
def test_a_share_of_error_that_means_nothing_is_refused(share: float) -> None:
    with pytest.raises(ValueError, match="share of error"):
        largest_ball(shapes.box((0, 0, 0), (1, 1, 1)), share=share)


SIZES = st.floats(0.05, 2.0)


@settings(max_examples=15, deadline=None)
@given(
    st.tuples(SIZES, SIZES, SIZES, SIZES),
    st.floats(0.2, 1.0),
    st.lists(st.tuples(*[st.floats(0.0, 1.0)] * 3), min_size=20, max_size=20),
)
def test_the_ball_fits_and_no_place_has_room_for_one_beyond_the_bound(
    sizes: tuple[float, float, float, float], filled: float, shares: list[tuple[float, ...]]
) -> None:
    length, base, top, height = sizes
    narrow = min(base, top)
    hat = hat_stringer(
        [
            HatStation((0.0, 0.1, 0.2), base, narrow, height),
            HatStation((length, 0.1, 0.25), base, narrow, 0.8 * height),
        ]
    )
    low, high = hat.bounds
    level = float(low[2] + filled * (high[2] - low[2]))
    ball = largest_ball(hat, level=level, share=0.1)
    assert contains(hat, [ball.centre])[0]
    assert distance_to_surface(hat, [ball.centre])[0] >= ball.radius - 1e-7
    assert ball.centre[2] + ball.radius <= level + 1e-7
    points = low + np.array(shares) * (high - low)
    room = np.minimum(distance_to_surface(hat, points), level - points[:, 2])
    assert (room[contains(hat, points)] <= ball.radius + ball.error + 1e-9).all()
