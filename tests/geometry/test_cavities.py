"""Things taken out of cavities, overlaps, what pokes out, and points beside a surface."""

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from flotation.errors import MeshError
from flotation.geometry.cavities import (
    overlap_volume,
    part_outside,
    pieces,
    take_out,
    to_manifold,
    to_solid,
    volume_inside,
)
from flotation.geometry.nearness import contains, distance_to_surface, nearest_on_surface
from flotation.geometry.shapes import box, mirrored, moved, rotation_about
from flotation.geometry.shapes_round import SIDES, sphere, tube
from flotation.geometry.shapes_stations import OffsetStation, from_offsets
from flotation.geometry.solid import Solid

SIDE_BOX = box((0.0, 0.5, 0.2), (2.0, 0.3, 0.4), name="side box")
inches = st.integers(0, 40).map(lambda n: n / 20)


def test_a_hollow_box_comes_back_with_its_hollow():
    """Pins how the library gives an enclosed void: as a shell of its own, wound inward."""
    whole, inner = box((0, 0, 0), (3, 3, 3)), box((1, 1, 1), (1, 1, 1))
    left = take_out(whole, [inner])
    assert left.volume == approx(26.0, rel=1e-14)
    assert len(left.faces) == 24
    parts = to_manifold(left).decompose()
    assert sorted(part.volume() for part in parts) == approx([-1.0, 27.0])
    assert len(pieces(left)) == 1


def test_a_tube_right_through_takes_out_what_lies_inside():
    hose = tube([(-0.5, 0.65, 0.4), (2.5, 0.65, 0.4)], 0.06, name="rigging tube")
    left = take_out(SIDE_BOX, [hose])
    taken = np.pi / 4 * 0.06**2 * 2.0
    assert volume_inside(hose, SIDE_BOX) == approx(taken, rel=1e-12)
    assert left.volume == approx(SIDE_BOX.volume - taken, rel=1e-12)
    assert left.name == "side box"


def test_things_that_overlap_one_another_are_taken_out_once():
    one = box((0.5, 0.5, 0.2), (0.4, 0.3, 0.4))
    other = box((0.7, 0.5, 0.2), (0.4, 0.3, 0.4))
    assert take_out(SIDE_BOX, [one, other]).volume == approx(0.24 - 0.6 * 0.3 * 0.4)


def test_flush_faces_leave_no_skin_behind():
    """A block that shares three faces with its cavity, as blocks do."""
    block = box((0.0, 0.5, 0.2), (0.5, 0.3, 0.1))
    left = take_out(SIDE_BOX, [block])
    assert left.volume == approx(0.24 - 0.015, rel=1e-14)
    assert len(pieces(left)) == 1
    assert part_outside(block, SIDE_BOX) is None


def test_a_thing_wholly_outside_is_refused_and_all_of_them_at_once():
    outside = [box((5, 0, 0), (1, 1, 1), name="tank"), box((0, 0.8, 0.2), (1, 1, 1), name="pump")]
    with pytest.raises(MeshError, match="tank lies wholly outside") as caught:
        take_out(SIDE_BOX, outside)
    assert [fault.place for fault in caught.value.faults] == ["side box", "side box"]


def test_taking_out_everything_is_refused():
    with pytest.raises(MeshError, match="leaves nothing"):
        take_out(SIDE_BOX, [box((-1, 0, 0), (4, 2, 2))])


def test_taking_out_nothing_is_the_same_solid():
    assert take_out(SIDE_BOX, []) is SIDE_BOX


def test_a_tube_longer_than_its_cavity_is_told_with_place_and_reach():
    hose = tube([(0.5, 0.65, 0.4), (2.2, 0.65, 0.4)], 0.06)
    outside = part_outside(hose, SIDE_BOX)
    assert outside.volume == approx(np.pi / 4 * 0.06**2 * 0.2)
    assert outside.reach == approx(0.2)
    assert outside.furthest[0] == approx(2.2)


def test_a_tube_that_ends_at_the_wall_does_not_poke_out():
    assert part_outside(tube([(0.0, 0.65, 0.4), (2.0, 0.65, 0.4)], 0.06), SIDE_BOX) is None


def test_a_bulkhead_parts_a_cavity_into_pieces_the_largest_first():
    left = take_out(SIDE_BOX, [box((0.5, 0.4, 0.1), (0.1, 0.5, 0.6))])
    parts = pieces(left)
    assert [part.volume for part in parts] == approx([1.4 * 0.12, 0.5 * 0.12])


def test_each_piece_keeps_its_own_hollow():
    left = take_out(SIDE_BOX, [box((0.5, 0.4, 0.1), (0.1, 0.5, 0.6)), sphere((1, 0.65, 0.4), 0.1)])
    parts = pieces(left)
    assert [part.volume for part in parts] == approx([0.168 - np.pi / 6e3, 0.06])


@settings(max_examples=60, deadline=None)
@given(corner=st.tuples(inches, inches, inches), size=st.integers(1, 30))
def test_what_is_inside_and_what_is_left_make_up_the_whole(corner, size):
    """Boxes on one grid of 50 mm, so that faces, edges and corners often coincide."""
    whole = box((0.5, 0.5, 0.5), (1.0, 1.0, 1.0))
    thing = box(corner, (size / 20,) * 3)
    low = np.maximum(corner, 0.5)
    high = np.minimum(np.add(corner, size / 20), 1.5)
    shared = float(np.prod(np.maximum(high - low, 0.0)))
    assert volume_inside(thing, whole) == approx(shared, abs=1e-12)
    if 1e-9 < shared < 1.0 - 1e-9:
        assert take_out(whole, [thing]).volume == approx(1.0 - shared, rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(
    axis=st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda a: np.linalg.norm(a) > 0.1),
    angle=st.floats(-3, 3),
    shift=st.tuples(*[st.floats(-0.6, 0.6)] * 3),
)
def test_overlap_is_even_handed_and_does_not_depend_on_where_the_boat_stands(axis, angle, shift):
    one = box((-0.5, -0.5, -0.5), (1, 1, 1))
    other = moved(one, shift, rotation_about(axis, angle))
    shared = overlap_volume(one, other)
    assert overlap_volume(other, one) == approx(shared, abs=1e-12)
    assert overlap_volume(mirrored(one), mirrored(other)) == approx(shared, abs=1e-9)
    turn = rotation_about((0.3, 1.0, 0.2), 0.7)
    far = (30.0, -20.0, 10.0)
    elsewhere = overlap_volume(moved(one, far, turn), moved(other, far, turn))
    assert elsewhere == approx(shared, abs=1e-9)
    if 1.0 - 1e-6 > shared > 1e-6:
        assert take_out(one, [other]).volume + shared == approx(1.0, rel=1e-9)


def test_cavities_side_by_side_do_not_overlap():
    beside = box((2.0, 0.5, 0.2), (1.0, 0.3, 0.4))
    assert overlap_volume(SIDE_BOX, beside) == 0.0
    assert overlap_volume(SIDE_BOX, moved(beside, (-0.01, 0, 0))) == approx(0.01 * 0.12)


def test_a_solid_goes_to_the_library_and_back_unchanged():
    ball = sphere((0.3, 0.2, 0.1), 0.5)
    back = to_solid(to_manifold(ball), ball.name)
    assert back.volume == approx(ball.volume, rel=1e-14)
    assert len(back.faces) == len(ball.faces)


def test_a_surface_that_the_library_cannot_take_is_refused():
    """A flag that is asked: an open mesh would otherwise be an empty solid of volume 0."""
    open_box = object.__new__(Solid)
    for field, value in (
        ("vertices", SIDE_BOX.vertices),
        ("faces", SIDE_BOX.faces[1:]),
        ("name", "lidless"),
    ):
        object.__setattr__(open_box, field, value)
    with pytest.raises(MeshError, match="cannot be subtracted"):
        to_manifold(open_box)


def test_crumbs_that_rounding_leaves_are_left_off_and_nothing_larger():
    from manifold3d import Manifold

    whole = Manifold.cube((1, 1, 1))
    crumb = Manifold.cube((1e-4, 1e-4, 1e-4)).translate((2, 0, 0))
    both = Manifold.compose([whole, crumb])
    assert len(to_solid(both, "").faces) == 24
    assert len(to_solid(both, "", crumb=0.9e-12).faces) == 24
    assert len(to_solid(both, "", crumb=1.1e-12).faces) == 12


# points beside a surface


def test_a_hole_lies_on_its_cavity_or_is_told_how_far_off():
    points = [(1.0, 0.65, 0.6), (1.0, 0.65, 0.65), (1.0, 0.65, 0.5), (2.1, 0.9, 0.6)]
    assert distance_to_surface(SIDE_BOX, points) == approx([0.0, 0.05, 0.1, 0.1 * 2**0.5])
    assert nearest_on_surface(SIDE_BOX, points[1:2])[0] == approx([1.0, 0.65, 0.6])
    assert contains(SIDE_BOX, points[1:]).tolist() == [False, True, False]


@settings(max_examples=30, deadline=None)
@given(points=st.lists(st.tuples(*[st.floats(-1, 1)] * 3), min_size=1, max_size=8))
def test_points_round_a_ball_agree_with_its_radius(points):
    """A polyhedron between its own inner and outer radius, so to its error."""
    ball = sphere((0, 0, 0), 1.0)
    radius = np.linalg.norm(points, axis=1)
    spread = np.linalg.norm(ball.vertices, axis=1).max() * (1 - np.cos(2 * np.pi / SIDES))
    assert distance_to_surface(ball, points) == approx(abs(radius - 0.5), abs=spread)
    clear = abs(radius - 0.5) > spread
    assert (contains(ball, points) == (radius < 0.5))[clear].all()


def test_nearest_points_agree_with_a_second_library():
    """Against every triangle by trimesh, which sorts points into regions instead."""
    solid = from_offsets(
        [
            OffsetStation(0.0, ((0.0, 0.0), (1.0, 0.1), (0.9, 1.0), (0.1, 0.8))),
            OffsetStation(1.0, ((0.0, 0.2), (1.2, 0.0), (0.8, 1.1), (0.0, 0.8))),
        ]
    )
    points = np.random.default_rng(7).uniform(-1.0, 2.0, (50, 3))
    corners = solid.vertices[solid.faces]
    for point, found in zip(points, nearest_on_surface(solid, points), strict=True):
        each = trimesh.triangles.closest_point(corners, np.tile(point, (len(corners), 1)))
        least = np.linalg.norm(each - point, axis=1).min()
        assert np.linalg.norm(found - point) == approx(least, abs=1e-12)


def test_points_of_the_wrong_shape_raise():
    with pytest.raises(ValueError, match="three columns"):
        contains(SIDE_BOX, [(1.0, 2.0)])
