"""Where holes may be drilled, and the fewest of them that reach everything."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flotation.geometry.cavities import take_out
from flotation.geometry.reach.cells import cell_size, cells_of
from flotation.geometry.reach.cover import fewest
from flotation.geometry.reach.distances import Flow, reach_from
from flotation.geometry.reach.drilling import EDGE, MARGIN, Drillable, places_to_drill, top_at
from flotation.geometry.reach.further import Proposal, further_holes
from flotation.geometry.shapes import box, prism
from flotation.geometry.shapes_round import tube
from flotation.geometry.solid import Solid

FREE = 0.05
LONG = box((0.0, 0.0, 0.0), (5.0, 0.12, 0.14))


ANYWHERE = Drillable()


def places(solid: Solid, drillable: Drillable = ANYWHERE) -> np.ndarray:
    return places_to_drill(solid, cells_of(solid, cell_size(solid)), drillable)


def propose(solid: Solid, holes: list[tuple[float, float, float]], length: float) -> Proposal:
    cells = cells_of(solid, cell_size(solid))
    reach = reach_from(solid, holes, Flow(length, FREE), cells)
    coarse = cells_of(solid, cell_size(solid, 1500))
    return further_holes(reach, np.array(holes), places_to_drill(solid, cells, ANYWHERE), coarse)


def test_the_top_is_the_highest_surface_and_nothing_beside_it() -> None:
    step = prism([(0, 0, 0), (2, 0, 0), (2, 0, 1), (1, 0, 1), (1, 0, 2), (0, 0, 2)], (0, 1, 0))
    top = top_at(step, np.array([(0.5, 0.5), (1.5, 0.5), (2.5, 0.5)]))
    assert top[:2] == pytest.approx([2.0, 1.0])
    assert np.isnan(top[2])


def test_places_lie_on_the_top_clear_of_its_edge() -> None:
    found = places(LONG)
    assert 20 <= len(found) <= 80
    assert found[:, 2] == pytest.approx(0.14)
    assert (found[:, 0] >= EDGE).all()
    assert (found[:, 0] <= 5.0 - EDGE).all()
    assert np.abs(found[:, 1] - 0.06).max() <= 0.06 - EDGE
    assert found[:, 0].min() < 0.15
    assert found[:, 0].max() > 4.85


def test_a_wall_that_leans_outward_is_no_top_but_a_sloping_deck_is() -> None:
    steep = prism([(0, 0, 0), (0.4, 0, 0), (0.4, 0, 1.2)], (0, 1, 0))
    assert len(places(steep)) == 0
    slope = prism([(0, 0, 0), (1, 0, 0), (1, 0, 0.5), (0, 0, 0.2)], (0, 1, 0))
    found = places(slope)
    assert found[:, 2] == pytest.approx(0.2 + 0.3 * found[:, 0])


def test_boxes_keep_holes_in_and_out() -> None:
    only = Drillable(only=(((1.0, 0.0, 0.0), (2.0, 1.0, 1.0)),))
    assert (np.abs(places(LONG, only)[:, 0] - 1.5) <= 0.5).all()
    out = Drillable(keep_out=(((1.0, -1.0, 0.0), (4.0, 1.0, 1.0)),))
    found = places(LONG, out)
    assert len(found)
    assert ((found[:, 0] < 1.0 - EDGE) | (found[:, 0] > 4.0 + EDGE)).all()


def test_no_hole_is_drilled_into_a_tube_just_under_the_top() -> None:
    shallow = tube([(1.0, 0.06, 0.11), (3.0, 0.06, 0.11)], 0.04)
    found = places(take_out(LONG, [shallow]), Drillable(things=(shallow,)))
    assert len(found)
    assert ((found[:, 0] < 1.0 - 0.9 * MARGIN) | (found[:, 0] > 3.0 + 0.9 * MARGIN)).all()
    deep = tube([(1.0, 0.06, 0.03), (3.0, 0.06, 0.03)], 0.04)
    found = places(take_out(LONG, [deep]), Drillable(things=(deep,)))
    assert (np.abs(found[:, 0] - 2.0) < 0.9).any()


def test_a_long_stringer_with_one_hole_needs_two_more_and_they_reach_all() -> None:
    """5 m, a hole at 0.7 m, 1 m of flow: 3.3 m are left, and one hole covers 2 m at most."""
    holes = [(0.7, 0.06, 0.14)]
    before = reach_from(LONG, holes, Flow(1.0, FREE))
    assert before.unreached == pytest.approx(3.3 / 5.0 * LONG.volume, rel=0.03)
    found = propose(LONG, holes, 1.0)
    assert len(found.holes) == 2
    assert found.proved
    assert found.unreached <= 1e-3 * LONG.volume
    x = sorted(hole.at[0] for hole in found.holes)
    assert 1.7 < x[0] < 2.7
    assert x[1] > 3.0
    assert sum(hole.gains for hole in found.holes) == pytest.approx(
        before.unreached - found.unreached
    )
    after = reach_from(LONG, [*holes, *(hole.at for hole in found.holes)], Flow(1.0, FREE))
    assert after.unreached == pytest.approx(found.unreached)


def test_nothing_is_proposed_where_all_is_reached_or_nothing_may_be_drilled() -> None:
    assert propose(LONG, [(2.5, 0.06, 0.14)], 9.0).holes == ()
    cells = cells_of(LONG, cell_size(LONG))
    reach = reach_from(LONG, [(0.7, 0.06, 0.14)], Flow(0.9, FREE), cells)
    found = further_holes(reach, np.array([(0.7, 0.06, 0.14)]), np.empty((0, 3)), cells)
    assert found == Proposal((), 0, 0, reach.unreached)


def test_a_cover_that_greed_gets_wrong_is_found_with_fewer() -> None:
    """The best first row, of 6, leaves 2 + 2 for two more; the two rows of 5 cover all ten."""
    covers = np.zeros((3, 10), dtype=bool)
    covers[0, :5], covers[1, 5:], covers[2, 2:8] = True, True, True
    rows, least = fewest(covers, np.ones(10), 0.0)
    assert (sorted(rows), least) == ([0, 1], 2)


@settings(max_examples=40)
@given(
    bits=st.lists(st.lists(st.booleans(), min_size=7, max_size=7), min_size=1, max_size=7),
    volume=st.lists(st.floats(0.1, 2.0), min_size=7, max_size=7),
)
def test_the_cover_is_the_fewest_by_trying_all(bits: list[list[bool]], volume: list[float]) -> None:
    covers, weight = np.array(bits), np.array(volume)
    rows, least = fewest(covers, weight, 0.0)
    whole = covers.any(axis=0)
    assert (covers[rows].any(axis=0) == whole).all()
    best = next(
        count
        for count in range(len(bits) + 1)
        if any(
            (covers[list(some)].any(axis=0) == whole).all()
            for some in combinations(range(len(bits)), count)
        )
    )
    assert len(rows) == least == best


def test_a_long_row_is_covered_by_as_few_as_its_length_asks_for() -> None:
    """60 columns in a row; row i covers the ten columns from 2 i on: six rows do."""
    beyond = np.arange(60) - 2 * np.arange(26)[:, None]
    covers = (beyond >= 0) & (beyond < 10)
    rows, least = fewest(covers, np.ones(60), 0.0)
    assert covers[rows].any(axis=0).all()
    assert (len(rows), least) == (6, 6)


def test_crumbs_that_only_one_row_covers_may_stay() -> None:
    covers = np.array([[True, True, False], [False, False, True]])
    assert fewest(covers, np.array([1.0, 1.0, 0.01]), 0.02) == ([0], 1)
    assert fewest(covers, np.array([1.0, 1.0, 0.01]), 0.0) == ([0, 1], 2)
