"""Shapes without a drawing: laws that hold for every shape, and what is refused."""

from itertools import pairwise
from math import cos, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from flotation.errors import MeshError
from flotation.geometry.shapes import box, mirrored, moved, prism, rotation_about
from flotation.geometry.shapes_hats import HatStation, hat_stringer
from flotation.geometry.shapes_loft import loft
from flotation.geometry.shapes_round import frustum, sphere, tube
from flotation.geometry.shapes_stations import (
    AreaStation,
    OffsetStation,
    from_offsets,
    from_section_areas,
)
from flotation.geometry.solid import Solid
from flotation.geometry.stations import section_areas, simpson, trapezoidal

lengths = st.floats(0.05, 5.0)
places = st.tuples(*[st.floats(-10.0, 10.0)] * 3)


def skewed_loft() -> Solid:
    """A side box as boats have it: tapering, twisting, with skin in no plane."""
    return from_offsets(
        [
            OffsetStation(0.0, ((0.6, 0.3), (0.8, 0.35), (0.82, 0.7), (0.6, 0.7))),
            OffsetStation(1.5, ((0.6, 0.3), (0.85, 0.42), (0.9, 0.72), (0.6, 0.7))),
            OffsetStation(3.0, ((0.5, 0.3), (0.6, 0.55), (0.7, 0.78), (0.5, 0.72))),
        ]
    )


SHAPES = {
    "box": lambda: box((0.1, 0.2, 0.3), (1.0, 0.5, 0.25)),
    "prism": lambda: prism([(0, 0, 0), (2, 0, 0), (2, 0, 1), (1, 0, 0.2), (0, 0, 1)], (0, 0.4, 0)),
    "tube": lambda: tube([(0, 0, 0), (1, 0, 0), (1.5, 0.5, 0.2), (1.5, 2, 0.4)], 0.1),
    "frustum": lambda: frustum((0, 0, 0), (0.3, 0.2, 1), (0.4, 0.1)),
    "sphere": lambda: sphere((1, 1, 1), 0.3),
    "areas": lambda: from_section_areas(
        [AreaStation(0, 0, 0.3, 0.1), AreaStation(1, 0.2, 0.5, 0.0), AreaStation(3, 0.1, 0.2, 0.3)]
    ),
    "offsets": skewed_loft,
    "hat": lambda: hat_stringer(
        [
            HatStation((0, 0.3, 0.0), 0.2, 0.1, 0.1),
            HatStation((1.5, 0.3, 0.05), 0.2, 0.1, 0.12),
            HatStation((3.0, 0.1, 0.2), 0.12, 0.08, 0.06),
        ]
    ),
}


@pytest.mark.parametrize("make", SHAPES.values(), ids=SHAPES)
@settings(max_examples=15, deadline=None)
@given(axis=places, angle=st.floats(-pi, pi), shift=places)
def test_turning_and_moving_a_solid_keeps_its_volume(make, axis, angle, shift):
    solid = make()
    rotation = rotation_about(np.add(axis, (20.0, 0.0, 0.0)), angle)
    turned = moved(solid, shift, rotation)
    assert turned.volume == approx(solid.volume, rel=1e-10)
    assert turned.centroid == approx(rotation @ solid.centroid + shift, abs=1e-9)


@pytest.mark.parametrize("make", SHAPES.values(), ids=SHAPES)
def test_the_mirrored_twin_has_the_same_volume_on_the_other_side(make):
    solid = make()
    twin = mirrored(solid)
    assert twin.volume == approx(solid.volume, rel=1e-13)
    assert twin.centroid == approx(solid.centroid * (1, -1, 1), abs=1e-12)
    assert np.array_equal(mirrored(twin).vertices, solid.vertices)


@pytest.mark.parametrize("make", SHAPES.values(), ids=SHAPES)
def test_sections_of_a_solid_add_up_to_its_volume(make):
    """Between two vertices the section is a quadratic of x, which Simpson's rule sums exactly."""
    solid = make()
    breaks = np.unique(solid.vertices[:, 0])
    breaks = breaks[np.append(True, np.diff(breaks) > 1e-9)]
    total = 0.0
    for start, end in pairwise(breaks):
        a, b, c = start + (end - start) * np.array([0.1, 0.5, 0.9])
        areas = section_areas(solid, [a, b, c])
        # the quadratic through three points, over the whole interval
        fitted = np.polynomial.Polynomial.fit([a, b, c], areas, 2).integ()
        total += fitted(end) - fitted(start)
    assert total == approx(solid.volume, rel=1e-9)


def test_moved_refuses_what_is_no_rotation():
    solid = box((0, 0, 0), (1, 1, 1))
    for matrix in (np.diag([1, -1, 1]), 2 * np.eye(3), np.ones((3, 3))):
        with pytest.raises(ValueError, match="no rotation"):
            moved(solid, (0, 0, 0), matrix)


# tubes


@settings(max_examples=50, deadline=None)
@given(
    turns=st.lists(st.tuples(st.floats(-60, 60), st.floats(-40, 40)), min_size=1, max_size=5),
    diameter=st.floats(0.02, 0.2),
)
def test_a_bent_tube_has_the_volume_of_the_straight_one(turns, diameter):
    """Mitred in the bisecting plane, each bend gives on one side what it takes on the other."""
    path, heading = [np.zeros(3)], np.zeros(2)
    for index, (yaw, pitch) in enumerate(turns):
        heading = heading + np.radians((yaw, pitch)) if index else heading
        a, b = heading
        path.append(path[-1] + 1.0 * np.array([cos(a) * cos(b), sin(a) * cos(b), sin(b)]))
    bent = tube(path, diameter)
    assert bent.volume == approx(pi / 4 * diameter**2 * len(turns), rel=1e-9)


def test_a_bend_too_sharp_for_its_tube_is_refused():
    with pytest.raises(MeshError, match="bend at point 3 of the path is too sharp"):
        tube([(0, 0, 0), (1, 0, 0), (1.05, 0.0, 0.05), (1.0, 0.0, 0.1), (0, 0, 0.1)], 0.2)


@pytest.mark.parametrize(
    ("path", "diameter", "reason"),
    [
        ([(0, 0, 0)], 0.1, "fewer than two points"),
        ([(0, 0, 0), (0, 0, 0), (1, 0, 0)], 0.1, "points 1 and 2 of the path are the same"),
        ([(0, 0, 0), (1, 0, 0), (0, 0, 0)], 0.1, "too sharp"),
        ([(0, 0, 0), (1, 0, 0)], 0.0, "diameter is 0 m"),
        ([(0, 0, 0), (1, 0, 0)], -0.1, "diameter is -0.1 m"),
    ],
)
def test_tubes_that_cannot_be_are_refused(path, diameter, reason):
    with pytest.raises(MeshError, match=reason):
        tube(path, diameter, name="rigging tube")


def test_a_tube_that_runs_through_itself_is_refused_with_the_place():
    loop = [(0, 0, 0), (1, 0, 0), (1, 0.5, 0), (0.5, 0.5, 0), (0.5, -0.5, 0.01)]
    with pytest.raises(MeshError, match=r"the shape goes through itself near \(0\..*\) m"):
        tube(loop, 0.1)


# prisms


def test_an_oblique_prism_counts_only_what_stands_square_to_its_outline():
    square = [(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0)]
    assert prism(square, (0.7, 0.2, 0.5)).volume == approx(0.5)
    assert prism(square[::-1], (0.7, 0.2, 0.5)).volume == approx(0.5)
    assert prism(square, (0.7, 0.2, -0.5)).volume == approx(0.5)


@pytest.mark.parametrize(
    ("outline", "along", "reason"),
    [
        ([(0, 0, 0), (1, 0, 0)], (0, 0, 1), "fewer than three corners"),
        ([(0, 0, 0), (1, 0, 0), (1, 1, 0.01), (0, 1, 0)], (0, 0, 1), "out of its plane"),
        ([(0, 0, 0), (1, 1, 0), (1, 0, 0), (0, 1, 0)], (0, 0, 1), "meets itself"),
        ([(0, 0, 0), (1, 0, 0), (2, 0, 0)], (0, 0, 1), "no volume"),
        ([(0, 0, 0), (1, 0, 0), (1, 1, 0)], (1, 1, 0), "no volume"),
        ([(0, 0, 0), (2, 0, 0), (1, 0, 0), (1, 1, 0)], (0, 0, 1), "meets itself"),
    ],
)
def test_prisms_that_cannot_be_are_refused(outline, along, reason):
    with pytest.raises(MeshError, match=reason):
        prism(outline, along, name="tank")


# stations of areas


@settings(max_examples=100, deadline=None)
@given(
    rows=st.lists(
        st.tuples(lengths, st.floats(0.01, 2.0), st.floats(0.1, 2.0), st.floats(-1.0, 1.0)),
        min_size=2,
        max_size=7,
    ),
    pointed=st.tuples(st.booleans(), st.booleans()),
)
def test_a_solid_from_areas_has_the_trapezoidal_volume(rows, pointed):
    x = np.cumsum([row[0] for row in rows])
    areas = [row[1] for row in rows]
    for end, zero in zip((0, -1), pointed, strict=True):
        areas[end] = 0.0 if zero and any(areas[1:-1]) else areas[end]
    stations = [
        AreaStation(float(at), area, row[2], row[3])
        for at, area, row in zip(x, areas, rows, strict=True)
    ]
    solid = from_section_areas(stations)
    assert solid.volume == approx(trapezoidal(x, areas), rel=1e-9)
    assert section_areas(solid, x) == approx(np.array(areas), rel=1e-9, abs=1e-12)


def test_between_stations_of_areas_the_area_is_linear_to_a_percent():
    """Height and width both change by half; the joints inside carry the linear area."""
    solid = from_section_areas([AreaStation(0, 0.1, 0.2, 0), AreaStation(1, 0.4, 0.4, 0)])
    x = np.linspace(0, 1, 41)
    assert section_areas(solid, x) == approx(0.1 + 0.3 * x, rel=0.01)


@pytest.mark.parametrize(
    ("stations", "reason"),
    [
        ([(0, 1, 1, 0)], "fewer than two stations"),
        ([(0, 1, 1, 0), (0, 1, 1, 0)], "station 2: it stands at 0 m, not ahead of 0 m"),
        ([(0, 1, 1, 0), (1, 1, 0, 0)], "station 2: the height is 0 m"),
        ([(0, 1, 1, 0), (1, 0, 1, 0), (2, 1, 1, 0)], "station 2: the area is 0 m2"),
        ([(0, -1, 1, 0), (1, 1, 1, 0)], "station 1: the area is -1 m2"),
        ([(0, 0, 1, 0), (1, 0, 1, 0)], "no station has an area"),
    ],
)
def test_tables_of_areas_that_cannot_be_are_refused(stations, reason):
    with pytest.raises(MeshError, match=reason):
        from_section_areas([AreaStation(*row) for row in stations], name="bow box")


def test_all_faults_of_a_table_are_told_together():
    with pytest.raises(MeshError) as caught:
        from_section_areas([AreaStation(0, 1, -1, 0), AreaStation(1, -1, 1, 0)])
    assert len(caught.value.faults) == 2


# stations of offsets


def test_a_twisted_skin_has_the_volume_of_the_ruled_surface():
    """A square turned by 20 deg on its way up: the sections between are the straight means.

    Section at share t is the square of corners (1-t) p + t q, with area linear algebra gives:
    (1-t)^2 + t^2 + 2 t (1-t) cos 20 deg, so the volume is 2/3 + cos(20 deg)/3 of the prism.
    """
    turn = rotation_about((1, 0, 0), radians(20))[1:, 1:]
    square = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)])
    stations = [
        OffsetStation(0.0, tuple(map(tuple, square))),
        OffsetStation(2.0, tuple(map(tuple, square @ turn.T))),
    ]
    assert from_offsets(stations).volume == approx(2 * (2 + cos(radians(20))) / 3, rel=1e-12)


def test_offsets_may_draw_together_to_a_point_and_to_a_line():
    square = ((-0.5, 0.0), (0.5, 0.0), (0.5, 1.0), (-0.5, 1.0))
    point, line = ((0.0, 0.5),) * 4, ((0.0, 0.0), (0.0, 0.0), (0.0, 1.0), (0.0, 1.0))
    pyramid = from_offsets([OffsetStation(0.0, square), OffsetStation(3.0, point)])
    wedge = from_offsets([OffsetStation(0.0, line), OffsetStation(3.0, square)])
    assert pyramid.volume == approx(1.0)
    assert wedge.volume == approx(1.5)
    both = from_offsets(
        [OffsetStation(0.0, point), OffsetStation(3.0, square), OffsetStation(6.0, line)]
    )
    assert both.volume == approx(2.5)


def test_a_knuckle_may_begin_at_a_station():
    """Three points become four: the first station gives one of them twice."""
    stations = [
        OffsetStation(0.0, ((0, 0), (1, 0), (1, 0), (0, 1))),
        OffsetStation(1.0, ((0, 0), (1, 0), (1, 1), (0, 1))),
    ]
    # section area 1/2 + t/2: a corner at (1, t) cuts off (1 - t)/2
    assert from_offsets(stations).volume == approx(0.75)


@pytest.mark.parametrize(
    ("sections", "reason"),
    [
        (
            [((0, 0), (1, 0), (0, 1)), ((0, 0), (1, 0), (1, 1), (0, 1))],
            "station 2: it has 4 points",
        ),
        ([((0, 0), (1, 0)), ((0, 0), (1, 0))], "station 1: it has 2 points"),
        ([((0, 0), (1, 1), (1, 0), (0, 1)), ((0, 0), (1, 0), (1, 1), (0, 1))], "meets itself"),
        (
            [((0, 0), (1, 0), (0, 1)), ((0, 0), (0, 1), (1, 0))],
            "station 2: its points run the other",
        ),
        ([((0, 0), (1, 0), (0, 1)), ((0, 0),) * 3, ((0, 0), (1, 0), (0, 1))], "encloses nothing"),
    ],
)
def test_offsets_that_cannot_be_are_refused(sections, reason):
    stations = [OffsetStation(float(x), points) for x, points in enumerate(sections)]
    with pytest.raises(MeshError, match=reason):
        from_offsets(stations, name="side box")


# hats


@settings(max_examples=60, deadline=None)
@given(
    turns=st.lists(st.floats(-50, 50), min_size=1, max_size=5),
    rise=st.floats(-0.3, 0.3),
    size=st.tuples(st.floats(0.05, 0.3), st.floats(0.0, 0.3), st.floats(0.02, 0.3)),
)
def test_a_bent_and_rising_hat_has_its_area_times_its_length_seen_from_above(turns, rise, size):
    base, top, height = size
    at, heading, stations = np.zeros(3), 0.0, [HatStation((0, 0, 0), *size)]
    for index, turn in enumerate(turns):
        heading += radians(turn) if index else 0.0
        at = at + np.array([cos(heading), sin(heading), rise])
        stations.append(HatStation(tuple(at), *size))
    hat = hat_stringer(stations)
    assert hat.volume == approx((base + top) / 2 * height * len(turns), rel=1e-9)


def test_the_widths_of_a_hat_stay_square_to_it_round_a_bend():
    """Section of the second leg, cut square to the leg well away from the bend."""
    leg = rotation_about((0, 0, 1), radians(40)) @ (1, 0, 0)
    hat = hat_stringer(
        [HatStation(tuple(at), 0.2, 0.1, 0.1) for at in ((0, 0, 0), (1, 0, 0), (1, 0, 0) + 2 * leg)]
    )
    turned_back = moved(hat, (0, 0, 0), rotation_about((0, 0, 1), radians(-40)))
    start = (rotation_about((0, 0, 1), radians(-40)) @ (1, 0, 0))[0]
    assert section_areas(turned_back, [start + 1.0]) == approx([0.015], rel=1e-9)


@pytest.mark.parametrize(
    ("stations", "reason"),
    [
        ([((0, 0, 0), 0.2, 0.1, 0.1)], "fewer than two stations"),
        ([((0, 0, 0), 0.2, 0.1, 0.1), ((0, 0, 1), 0.2, 0.1, 0.1)], "one place seen from above"),
        ([((0, 0, 0), 0.0, 0.1, 0.1), ((1, 0, 0), 0.2, 0.1, -0.1)], "station 2: the height"),
        ([((0, 0, 0), 0.2, -0.1, 0.1), ((1, 0, 0), 0.2, 0.1, 0.1)], "station 1: the top width"),
        (
            [(at, 0.6, 0.1, 0.1) for at in ((0, 0, 0), (1, 0, 0), (1, 0.2, 0), (0, 0.2, 0))],
            "too sharp a bend",
        ),
        ([(at, 0.1, 0.1, 0.1) for at in ((0, 0, 0), (1, 0, 0), (0, 0, 0))], "straight back"),
    ],
)
def test_hats_that_cannot_be_are_refused(stations, reason):
    with pytest.raises(MeshError, match=reason):
        hat_stringer([HatStation(*row) for row in stations], name="grid port")


# the loft below them all


def test_a_loft_turns_outward_whichever_way_its_rings_run():
    square = np.array([(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0)], dtype=float)
    up = np.array([0.0, 0.0, 2.0])
    for rings in ([square, square + up], [square[::-1], square[::-1] + up], [square + up, square]):
        assert loft(np.stack(rings), "").volume == approx(2.0)


# sums by hand


def test_the_rules_by_hand_agree_on_a_straight_taper():
    assert trapezoidal([0, 1, 2], [1, 2, 3]) == approx(4.0)
    assert simpson([0, 1, 2], [1, 2, 3]) == approx(4.0)


@given(coefficients=st.tuples(*[st.floats(-1, 1)] * 4), halves=st.integers(1, 6))
def test_simpson_s_rule_is_exact_for_cubics(coefficients, halves):
    curve = np.polynomial.Polynomial(coefficients)
    x = np.linspace(0.0, 2.0, 2 * halves + 1)
    exact = curve.integ()(2.0) - curve.integ()(0.0)
    assert simpson(x, curve(x)) == approx(exact, abs=1e-12)


def test_the_trapezoidal_rule_errs_with_the_square_of_the_spacing():
    """Over sin x from 0 to pi: four times the stations, a sixteenth of the error."""
    errors = []
    for count in (9, 33):
        x = np.linspace(0.0, pi, count)
        errors.append(2.0 - trapezoidal(x, np.sin(x)))
    assert errors[0] / errors[1] == approx(16.0, rel=0.02)


@pytest.mark.parametrize(("x", "areas"), [([0, 1], [1, 1]), ([0, 1, 3], [1, 1, 1])])
def test_simpson_s_rule_is_left_out_where_it_does_not_apply(x, areas):
    assert simpson(x, areas) is None


@pytest.mark.parametrize(("x", "areas"), [([0], [1]), ([0, 1], [1, 1, 1]), ([1, 0], [1, 1])])
def test_stations_that_make_no_sense_raise(x, areas):
    with pytest.raises(ValueError):
        trapezoidal(x, areas)


def test_sections_at_the_ends_and_at_a_step_are_defined():
    step = from_section_areas(
        [
            AreaStation(0.0, 0.2, 0.4, 0.0),
            AreaStation(1.0, 0.2, 0.4, 0.0),
        ]
    )
    assert section_areas(step, [-1.0, 0.0, 0.5, 1.0, 2.0]) == approx([0, 0.2, 0.2, 0.2, 0])
    ell = prism([(0, 0, 0), (2, 0, 0), (2, 0, 1), (1, 0, 1), (1, 0, 2), (0, 0, 2)], (0.0, 1.0, 0.0))
    assert section_areas(ell, [1.0, 0.5, 1.5]) == approx([1.5, 2.0, 1.0])
