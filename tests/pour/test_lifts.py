"""Layers in the jig's attitude, and the holes that they are poured through."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pour_boats import FOAM, box, hole

from flotation.boat import HoleKind, Jig
from flotation.geometry.solid import Solid
from flotation.pour.lifts import (
    Layer,
    height_of,
    holes_for,
    layers,
    level_if_free,
    number_of_lifts,
    up_in_jig,
)

LONG = box((0.0, -0.1, 0.1), (3.0, 0.1, 0.7))
STRAIGHT = (0.0, 0.0, 1.0)


def wedge() -> Solid:
    """A triangular prism 2 m long, its edge down at z = 0, 0.4 m wide at z = 0.6 m."""
    ends = [(x, y, z) for x in (0.0, 2.0) for y, z in ((0.0, 0.0), (0.2, 0.6), (-0.2, 0.6))]
    faces = [(0, 2, 1), (3, 4, 5), (0, 1, 4), (0, 4, 3), (1, 2, 5), (1, 5, 4), (2, 0, 3), (2, 3, 5)]
    return Solid(np.array(ends), np.array(faces))


def test_a_level_jig_has_up_along_z() -> None:
    assert up_in_jig(Jig(0.0, 0.0)) == (0.0, 0.0, 1.0)


def test_bow_up_puts_the_stern_lowest_and_heel_to_starboard_the_starboard_side() -> None:
    bow_up = up_in_jig(Jig(0.0, math.radians(5.0)))
    assert height_of((4.0, 0.0, 0.0), bow_up) > height_of((0.0, 0.0, 0.0), bow_up)
    heeled = up_in_jig(Jig(math.radians(5.0), 0.0))
    assert height_of((0.0, -0.8, 0.0), heeled) < height_of((0.0, 0.8, 0.0), heeled)


@given(heel=st.floats(-1.0, 1.0), trim=st.floats(-1.0, 1.0))
def test_up_has_length_one(heel: float, trim: float) -> None:
    assert math.hypot(*up_in_jig(Jig(heel, trim))) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("depth", "expected"), [(0.29, 1), (0.3, 1), (0.301, 2), (0.9, 3), (0.1 + 0.2 + 0.3, 2)]
)
def test_as_many_lifts_as_the_limit_asks_for(depth: float, expected: int) -> None:
    curve = box((0.0, 0.0, 0.0), (1.0, 1.0, depth)).fill_curve()
    line = number_of_lifts("cavity", curve, FOAM)
    assert line is not None
    assert line.value == expected


def test_a_sheet_without_a_lift_limit_gives_no_number() -> None:
    assert number_of_lifts("cavity", LONG.fill_curve(), replace(FOAM, lift_limit=None)) is None


def test_thickness_is_measured_straight_up_in_the_jig() -> None:
    """3 m long and bow up by 10 degrees, a cavity 0.6 m deep stands 1.112 m high."""
    curve = LONG.fill_curve(up_in_jig(Jig(0.0, math.radians(10.0))))
    line = number_of_lifts("cavity", curve, FOAM)
    assert line is not None
    depth = 3.0 * math.sin(math.radians(10.0)) + 0.6 * math.cos(math.radians(10.0))
    assert line.value == math.ceil(depth / 0.3)


@given(count=st.integers(1, 7), heel=st.floats(-0.3, 0.3), trim=st.floats(-0.3, 0.3))
def test_layers_are_equally_thick_and_add_up_to_the_volume(
    count: int, heel: float, trim: float
) -> None:
    curve = wedge().fill_curve(up_in_jig(Jig(heel, trim)))
    made = layers(curve, count)
    assert len(made) == count
    assert math.fsum(layer.volume for layer in made) == pytest.approx(wedge().volume)
    for layer in made:
        assert layer.high - layer.low == pytest.approx((curve.top - curve.bottom) / count)
        expected = curve.volume_at(layer.high) - curve.volume_at(layer.low)
        assert layer.volume == pytest.approx(expected, abs=1e-12)
    assert [layer.closing for layer in made] == [False] * (count - 1) + [True]


def test_layers_of_a_wedge_hold_one_quarter_and_three_quarters() -> None:
    lower, upper = layers(wedge().fill_curve(), 2)
    assert lower.volume == pytest.approx(wedge().volume / 4.0)
    assert upper.volume == pytest.approx(wedge().volume * 3.0 / 4.0)


def test_a_level_gap_between_two_bodies_is_no_layer() -> None:
    low, high = box((0, 0, 0), (1, 1, 0.1)), box((0, 0, 0.5), (1, 1, 0.6))
    both = Solid(
        np.concatenate([low.vertices, high.vertices]),
        np.concatenate([low.faces, high.faces + len(low.vertices)]),
    )
    made = layers(both.fill_curve(), 3)
    assert [(layer.number, layer.of, layer.volume) for layer in made] == [
        (1, 2, pytest.approx(0.1)),
        (2, 2, pytest.approx(0.1)),
    ]


HOLES = (
    hole("high", (2.0, 0.0, 0.6)),
    hole("low", (0.5, 0.0, 0.25)),
    hole("vent", (3.0, 0.0, 0.6), HoleKind.VENT),
)


def names(layer: Layer) -> list[str]:
    return [one.name for one in holes_for(layer, HOLES, STRAIGHT)]


def test_a_lower_layer_goes_through_the_fill_holes_that_its_foam_leaves_open() -> None:
    assert names(Layer(1, 3, 0.0, 0.2, 0.1)) == ["low", "high"]
    assert names(Layer(2, 3, 0.2, 0.4, 0.1)) == ["high"]


def test_the_closing_layer_goes_through_every_fill_hole_that_is_still_open() -> None:
    assert names(Layer(2, 2, 0.2, 0.6, 0.1)) == ["low", "high"]
    assert names(Layer(3, 3, 0.4, 0.6, 0.1)) == ["high"]


def test_a_layer_that_covers_every_hole_goes_through_those_that_were_open() -> None:
    low_only = HOLES[1:]
    made = holes_for(Layer(1, 2, 0.0, 0.3, 0.1), low_only, STRAIGHT)
    assert [one.name for one in made] == ["low"]


def test_no_hole_is_left_for_a_layer_above_all_of_them() -> None:
    assert holes_for(Layer(2, 2, 0.3, 0.6, 0.1), HOLES[1:], STRAIGHT) == ()


def test_foam_that_rises_freely_stands_higher_by_the_packing() -> None:
    curve = LONG.fill_curve()
    assert level_if_free(0.3, curve, 1.1) == pytest.approx(0.1 + 0.2 * 1.1)


def test_foam_that_rises_freely_stands_no_higher_than_the_top() -> None:
    assert level_if_free(0.69, LONG.fill_curve(), 1.1) == pytest.approx(0.7)
