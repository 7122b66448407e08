"""Turning the hull in its jig: proposed where it helps, and never taken by itself."""

import math
from dataclasses import replace

import pytest
from pour_boats import TOP, boat, box, cavity, hole, side

from flotation import plan_pours
from flotation.boat import Cavity, Jig
from flotation.pour.outlook import AttitudeProposal

TILT = math.radians(4.0)


def proposal(jig: Jig, *cavities: Cavity) -> AttitudeProposal:
    found = plan_pours(boat(*cavities, jig=jig)).attitudes
    assert found is not None
    return found


def ends() -> Cavity:
    """Three metres long, with a hole at the aft end of its top and one lower in its end."""
    holes = (hole("F", (0.0, 0.0, TOP)), hole("low", (0.0, 0.0, TOP - 0.1)))
    return cavity("long", box((0.0, -0.1, TOP - 0.2), (3.0, 0.1, TOP)), *holes)


def test_a_jig_without_a_range_proposes_nothing() -> None:
    assert plan_pours(boat(side())).attitudes is None


def test_with_its_holes_aft_a_hull_is_better_level_than_bow_up() -> None:
    """Bow up, the wedge before the hole lies above it: 3 m * 3 m * tan(4 deg) / 2 * 0.2 m."""
    jig = Jig(0.0, TILT, trim_range=(-TILT, TILT))
    found = proposal(jig, ends())
    assert found.stated.trim == TILT
    assert found.stated.caught == pytest.approx(
        0.5 * 3.0 * 3.0 * math.tan(TILT) * 0.2 - 0.2 * _corner(), rel=1e-6
    )
    assert found.least_caught.caught == pytest.approx(0.0, abs=1e-9)
    assert found.least_caught.trim <= 0.0


def _corner() -> float:
    """Area of the wedge that lies beyond the lower face of the cavity, m2."""
    run = max(0.0, 3.0 - 0.2 / math.tan(TILT))
    return 0.5 * run * run * math.tan(TILT)


def test_level_needs_fewer_lifts_than_tilted() -> None:
    """0.3 m deep and level it is one lift; trimmed by 4 degrees 3 m stand 0.5 m high."""
    jig = Jig(0.0, TILT, trim_range=(-TILT, TILT))
    found = proposal(jig, side(depth=0.3))
    assert (found.fewest_lifts.trim, found.fewest_lifts.lifts) == (0.0, 1)
    assert found.stated.lifts > 1


def test_the_stated_attitude_stays_where_none_is_better_and_counts_like_the_plan() -> None:
    jig = Jig(0.0, 0.0, heel_range=(-0.05, 0.05), trim_range=(-TILT, TILT))
    one = boat(side(depth=0.3), jig=jig)
    plan = plan_pours(one)
    found = plan.attitudes
    assert found is not None
    assert found.stated == found.fewest_lifts == found.least_caught
    assert found.stated.lifts == len(plan.lifts)
    assert len(found.tried) == 15


def test_the_plan_itself_is_reckoned_in_the_stated_attitude() -> None:
    jig = Jig(0.0, TILT)
    free = replace(jig, trim_range=(-TILT, TILT))
    fixed, movable = (plan_pours(boat(side(depth=0.3), jig=one)) for one in (jig, free))
    assert movable.lifts == fixed.lifts


def test_every_attitude_tried_is_within_the_range() -> None:
    found = proposal(Jig(0.01, 0.0, heel_range=(-0.02, 0.03)), side(depth=0.3))
    assert {one.trim for one in found.tried} == {0.0}
    assert [one.heel for one in found.tried] == pytest.approx([0.01, -0.02, 0.005, 0.03])
