"""Reference areas: depths on the centreline or between pairs, and limits that are inclusive."""

import math

from pytest import approx

from flotation.boat import Top
from flotation.equilibrium.bodies import up
from flotation.swamped.books import load_books
from flotation.swamped.limits import Limit
from flotation.swamped.trials.reference import (
    Area,
    Areas,
    area_verdicts,
    depth_at,
    reference_areas_at,
)

IN = 0.0254
LAW = load_books().law
LIMIT = Limit("test", LAW.number("level_depth"), True)
PAIRS = Top(
    forward=((4.0, 0.0, 0.8), (4.4, 0.0, 0.9), (4.0, 0.5, 0.7), (4.0, -0.5, 0.7)),
    aft=((0.0, 0.8, 0.6), (0.0, -0.8, 0.6), (0.5, 0.8, 0.5), (0.5, -0.8, 0.5)),
)


def verdicts(forward: Area, aft: Area):
    return area_verdicts(LIMIT, Areas(forward, aft), None)


def area(depth: float, highest: float | None = None) -> Area:
    return Area(depth, depth if highest is None else highest)


def test_depth_is_vertical_and_positive_under_water() -> None:
    assert depth_at((1.0, 2.0, 0.3), (0.0, 0.0, 1.0), 0.5) == approx(0.2)
    assert depth_at((0.0, 0.0, -1.0), up(0.0, math.radians(30)), 0.0) == approx(math.cos(0.5236))


def test_on_a_level_boat_the_least_depth_counts() -> None:
    found = reference_areas_at(PAIRS, (0.0, 0.0, 1.0), 0.75)
    assert found.forward.depth == approx(-0.15)  # the higher of the two points on the centreline
    assert found.forward.highest == approx(-0.15)
    assert found.aft.depth == approx(0.15)  # the higher pair


def test_points_off_the_centreline_count_for_depth_only_where_none_lies_on_it() -> None:
    heeled = up(math.radians(40.0), 0.0)
    found = reference_areas_at(PAIRS, heeled, 0.75)
    on_it = [0.75 - heeled[2] * z for z in (0.8, 0.9)]
    assert found.forward.depth == approx(min(on_it))
    port = 0.75 - heeled[1] * 0.5 - heeled[2] * 0.7
    assert found.forward.highest == approx(min(*on_it, port))
    assert found.forward.highest < found.forward.depth


def test_a_pair_counts_with_its_mean_and_shows_with_its_higher_point() -> None:
    heeled = up(math.radians(10.0), 0.0)
    found = reference_areas_at(PAIRS, heeled, 0.75)
    assert found.aft.depth == approx(0.75 - heeled[2] * 0.6)
    assert found.aft.highest == approx(0.75 - heeled[2] * 0.6 - heeled[1] * 0.8)


def test_a_depth_of_exactly_the_limit_meets_it_and_more_does_not() -> None:
    shows, deep = verdicts(area(-0.2), area(6 * IN))
    assert shows.meets
    assert deep.meets
    assert deep.margin == 0.0
    assert not verdicts(area(-0.2), area(6.01 * IN))[1].meets


def test_both_ends_under_water_fail_at_any_depth() -> None:
    shows, deep = verdicts(area(0.001), area(0.002))
    assert not shows.meets
    assert deep.meets
    assert "both ends are under water" in shows.sentence
    assert not verdicts(area(0.0), area(0.002))[0].meets  # at the surface nothing shows


def test_either_end_may_be_the_one_that_shows() -> None:
    for forward, aft in ((area(-0.1), area(0.1)), (area(0.1), area(-0.1))):
        assert all(one.meets for one in verdicts(forward, aft))


def test_the_better_way_counts_where_both_ends_show() -> None:
    """Heeled: forward a corner shows and its middle is deep; aft all of it shows."""
    assert all(one.meets for one in verdicts(area(0.30, -0.05), area(-0.2)))
    assert not all(one.meets for one in verdicts(area(0.30, 0.01), area(-0.2)))
    shows, deep = verdicts(area(0.30, -0.05), area(0.10, -0.01))
    assert shows.obtained == -0.05
    assert deep.obtained == 0.10


def test_a_margin_within_its_spread_is_not_decided() -> None:
    areas = Areas(area(-0.02), area(0.10))
    spread = Areas(Area(0.01, 0.03), Area(0.06, 0.06))
    shows, deep = area_verdicts(LIMIT, areas, spread)
    assert not shows.decided
    assert not deep.decided
    assert "not decided, the stated tolerances add up to 0.03 m" in shows.sentence
    narrow = Areas(Area(0.01, 0.01), Area(0.05, 0.05))
    assert all(one.decided for one in area_verdicts(LIMIT, areas, narrow))
