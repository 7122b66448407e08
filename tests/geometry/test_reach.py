"""How far foam gets along a cavity: bodies whose answer is known, error, convergence, laws."""

import math
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flotation.errors import MeshError
from flotation.geometry.cavities import take_out
from flotation.geometry.reach.cells import cell_size, cells_of
from flotation.geometry.reach.distances import Flow, Reach, reach_from
from flotation.geometry.reach.region import reached_solid
from flotation.geometry.reach.ways import TOO_LONG
from flotation.geometry.shapes import box, mirrored, moved, prism, rotation_about
from flotation.geometry.solid import Solid

FREE = 0.05
LONG = box((0.0, 0.0, 0.0), (3.0, 0.1, 0.12))
"""A stringer: 3 m long, 100 mm wide, 120 mm deep."""


def flow(length: float) -> Flow:
    return Flow(length, FREE)


def at_step(solid: Solid, holes: list[tuple[float, float, float]], step: float) -> Reach:
    return reach_from(solid, holes, flow(1.0), cells_of(solid, step))


def test_foam_from_one_end_of_a_stringer_gets_a_flow_length_along_it() -> None:
    """The way to the middle of a section 1 m off is 1 m and a little down."""
    reach = reach_from(LONG, [(0.0, 0.05, 0.12)], flow(1.0))
    assert reach.unreached == pytest.approx(LONG.volume * 2.0 / 3.0, rel=0.01)
    (place,) = reach.places
    assert place.centroid == pytest.approx((2.0, 0.05, 0.06), abs=0.02)
    assert place.bounds[1] == pytest.approx((3.0, 0.1, 0.12), abs=0.5 * reach.cells.step)


def test_two_holes_divide_a_stringer_half_way() -> None:
    reach = reach_from(LONG, [(0.2, 0.05, 0.12), (1.2, 0.05, 0.12)], flow(5.0))
    assert reach.shares / LONG.volume == pytest.approx([0.7 / 3.0, 2.3 / 3.0], rel=0.01)
    assert reach.unreached == 0.0
    assert reach.furthest == pytest.approx([0.52, 1.81], abs=0.05)


def u_shape(wall: float = 0.004) -> Solid:
    """Two legs along x, 1 m long and 0.1 m wide, divided by a thin wall and joined at x = 1."""
    return take_out(box((0, 0, 0), (1.1, 0.2, 0.1)), [box((-1, 0.1, -1), (2.0, wall, 3.0))])


def test_the_nearest_hole_as_the_crow_flies_is_wrong_in_a_u() -> None:
    """At the closed end of the second leg, hole A is 0.1 m off behind the wall, B is 0.9 m off."""
    body = u_shape()
    holes = [(0.05, 0.05, 0.1), (0.95, 0.15, 0.1)]
    reach = reach_from(body, holes, flow(3.0))
    cells = reach.cells
    end = (cells.points[:, 0] < 0.2) & (cells.points[:, 1] > 0.11)
    straight = np.linalg.norm(cells.points[end, None] - np.array(holes), axis=2)
    assert (straight[:, 0] < straight[:, 1]).all()
    assert (reach.away[1, end] < reach.away[0, end]).all()
    assert reach.away[0, end].min() > 1.5
    """B fills its whole leg, the turn, and the first leg as far as half-way to A."""
    half_way = 0.05 + 0.5 * (1.0 - 0.05 + 0.1 + 1.0 - 0.95)
    assert reach.shares[0] == pytest.approx(half_way * 0.1 * 0.1, rel=0.1)
    assert reach.shares.sum() == pytest.approx(body.volume)


def test_no_way_leads_through_a_wall_thinner_than_a_cell() -> None:
    body = take_out(box((0, 0, 0), (1, 0.2, 0.1)), [box((-1, 0.1, -1), (3.0, 0.001, 3.0))])
    reach = reach_from(body, [(0.5, 0.05, 0.1)], flow(9.0))
    assert reach.unreached == pytest.approx(0.5 * body.volume, rel=0.02)
    assert not np.isfinite(reach.away[0, reach.cells.points[:, 1] > 0.101]).any()


@pytest.mark.parametrize("angle", [0.0, 0.4, math.pi / 4])
def test_a_gap_of_half_the_free_width_halves_the_flow_length(angle: float) -> None:
    """2 m long and deep in z, 25 mm wide, and turned about z so that the lattice lies across it."""
    slot = moved(box((0, 0, 0), (2.0, 0.025, 0.2)), (0, 0, 0), rotation_about((0, 0, 1), angle))
    hole = rotation_about((0, 0, 1), angle) @ (0.0, 0.0125, 0.2)
    reach = reach_from(slot, hole[None], flow(1.0))
    assert np.median(reach.cells.width) == pytest.approx(0.025, rel=1e-6)
    assert reach.unreached == pytest.approx(0.75 * slot.volume, rel=0.05)


def test_the_width_between_parallel_walls_is_exact_at_any_slant() -> None:
    turn = rotation_about((0.3, 0.5, 0.8), 0.9)
    slab = moved(box((0, 0, 0), (1.0, 1.0, 0.1)), (0, 0, 0), turn)
    cells = cells_of(slab, 0.03)
    inner = np.abs(cells.points @ turn - (0.5, 0.5, 0.05)).max(axis=1) < 0.3
    assert cells.width[inner] == pytest.approx(0.1, rel=1e-9)


def test_steps_make_a_straight_way_at_most_as_much_too_long_as_is_said() -> None:
    from scipy.spatial import ConvexHull

    kinds = [(1, 0, 0), (1, 1, 0), (1, 1, 1), (2, 1, 0), (2, 1, 1), (2, 2, 1)]
    steps = {
        tuple(a * b for a, b in zip(order, sign, strict=True))
        for kind in kinds
        for order in permutations(kind)
        for sign in product((1, -1), repeat=3)
    }
    unit = np.array(sorted(steps)) / np.linalg.norm(sorted(steps), axis=1)[:, None]
    nearest = -ConvexHull(unit).equations[:, 3]
    assert len(steps) == 98
    assert 1.0 / nearest.min() - 1.0 == pytest.approx(TOO_LONG, abs=1e-4)


def test_straight_ways_are_as_long_as_they_are_to_the_stated_share() -> None:
    room = box((0, 0, 0), (1.0, 0.9, 0.8))
    reach = reach_from(room, [(0.5, 0.45, 0.8)], flow(9.0))
    straight = np.linalg.norm(reach.cells.points - (0.5, 0.45, 0.8), axis=1)
    assert (reach.away[0] >= straight - 1e-9).all()
    assert (reach.away[0] <= straight * (1.0 + TOO_LONG) + 0.5 * reach.cells.step).all()
    assert (reach.away[0] / straight).mean() < 1.03


def test_two_sizes_of_cells_agree_and_smaller_cells_err_less() -> None:
    """A box room, 1.2 x 0.5 x 0.4 m, from its corner: the truth is a part of a ball of 0.4 m."""
    room = box((0, 0, 0), (1.2, 0.5, 0.4))
    truth = room.volume - math.pi / 6.0 * 0.4**3
    found = [
        reach_from(room, [(0.0, 0.0, 0.4)], flow(0.4), cells_of(room, step))
        for step in (0.08, 0.04, 0.02)
    ]
    off = [abs(reach.unreached - truth) / room.volume for reach in found]
    assert off[2] < 0.01
    assert abs(found[2].unreached - found[1].unreached) < 0.01 * room.volume
    for reach in found:
        low, high = reach.unreached_between
        assert low <= truth <= high
    widths = [high - low for low, high in (reach.unreached_between for reach in found)]
    assert widths[0] > widths[1] > widths[2]


def test_the_stated_cell_size_agrees_with_half_of_it() -> None:
    body = u_shape()
    holes = [(0.05, 0.05, 0.1), (0.95, 0.15, 0.1)]
    step = cell_size(body)
    coarse, fine = at_step(body, holes, step), at_step(body, holes, 0.6 * step)
    assert fine.shares / body.volume == pytest.approx(coarse.shares / body.volume, abs=0.01)
    assert fine.unreached / body.volume == pytest.approx(coarse.unreached / body.volume, abs=0.01)


def test_without_a_hole_nothing_is_reached() -> None:
    reach = reach_from(LONG, np.empty((0, 3)), flow(1.0))
    assert reach.unreached == pytest.approx(LONG.volume)
    assert reach.shares.size == 0
    assert [place.volume for place in reach.places] == [pytest.approx(LONG.volume)]


def test_a_body_too_thin_for_cells_is_refused() -> None:
    with pytest.raises(MeshError, match="too thin"):
        cells_of(
            moved(box((0, 0, 0), (1, 1, 1e-4)), (0, 0, 0), rotation_about((1, 2, 0), 0.7)), 0.5
        )


def test_a_mirrored_cavity_gives_the_mirrored_answer() -> None:
    body = prism([(0, 0.4, 0), (2, 0.4, 0.1), (2, 0.4, 0.5), (0, 0.4, 0.4)], (0.1, 0.3, 0.0))
    holes = np.array([(0.3, 0.5, 0.4), (1.5, 0.6, 0.47)])
    twin = mirrored(body)
    here = reach_from(body, holes, flow(0.6), cells_of(body, 0.05))
    there = reach_from(twin, holes * (1, -1, 1), flow(0.6), cells_of(twin, 0.05))
    assert there.shares == pytest.approx(here.shares, rel=1e-4)
    assert there.unreached == pytest.approx(here.unreached, rel=1e-4)


ON_TOP = st.tuples(st.floats(0.02, 2.98), st.floats(0.01, 0.09)).map(lambda at: (*at, 0.12))


@settings(max_examples=10)
@given(holes=st.lists(ON_TOP, min_size=1, max_size=4), more=ON_TOP, length=st.floats(0.2, 2.0))
def test_shares_add_up_and_another_hole_reaches_no_less(
    holes: list[tuple[float, float, float]], more: tuple[float, float, float], length: float
) -> None:
    cells = cells_of(LONG, 0.04)
    reach = reach_from(LONG, holes, flow(length), cells)
    assert reach.shares.sum() + reach.unreached == pytest.approx(LONG.volume)
    assert reach.nearest().sum(axis=0) == pytest.approx(1.0)
    assert (
        reach_from(LONG, [*holes, more], flow(length), cells).unreached <= reach.unreached + 1e-12
    )
    open_only = reach.nearest(np.array([0]))
    assert open_only[0] == pytest.approx(1.0)
    assert not open_only[1:].any()


def test_what_foam_gets_to_is_a_solid_and_the_rest_is_cut_off_square() -> None:
    reach = reach_from(LONG, [(0.0, 0.05, 0.12)], flow(1.0))
    left = reached_solid(reach)
    assert left is not None
    assert left.volume == pytest.approx(LONG.volume / 3.0, rel=0.03)
    assert left.bounds[0] == pytest.approx((0.0, 0.0, 0.0))
    assert left.bounds[1] == pytest.approx((1.0, 0.1, 0.12), abs=reach.cells.step)
    assert left.volume == pytest.approx(LONG.volume - reach.unreached, rel=0.03)


def test_where_all_is_reached_the_solid_is_the_same_and_where_nothing_is_there_is_none() -> None:
    assert reached_solid(reach_from(LONG, [(1.5, 0.05, 0.12)], flow(9.0))) is LONG
    assert reached_solid(reach_from(LONG, np.empty((0, 3)), flow(9.0))) is None


def test_the_cut_follows_a_body_whose_walls_lie_across_the_cells() -> None:
    """A stringer that runs askew and rises: what is cut off is a third, and nothing beside it."""
    turn = rotation_about((0, 0, 1), 0.5) @ rotation_about((0, 1, 0), -0.2)
    body = moved(LONG, (1, 2, 3), turn)
    reach = reach_from(body, [turn @ (2.0, 0.05, 0.12) + (1, 2, 3)], flow(1.5))
    left = reached_solid(reach)
    assert left is not None
    assert left.volume == pytest.approx(LONG.volume - reach.unreached, rel=0.03)
    along = (left.vertices[np.unique(left.faces)] - (1, 2, 3)) @ turn
    assert along[:, 0].min() == pytest.approx(0.5, abs=0.08)
    assert along[:, 0].max() == pytest.approx(3.0)
