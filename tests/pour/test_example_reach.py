"""The example skiff: what its foam does not get to, and what the proposal does about it."""

from dataclasses import replace
from pathlib import Path

import pytest

from flotation import plan_pours, read_boat
from flotation.boat import Boat, Hole, HoleKind
from flotation.pour.pourplan import PourPlan

SKIFF = Path(__file__).parent.parent.parent / "meshes" / "skiff" / "skiff.toml"


@pytest.fixture(scope="module")
def skiff() -> Boat:
    return read_boat(SKIFF)


@pytest.fixture(scope="module")
def plan(skiff: Boat) -> PourPlan:
    return plan_pours(skiff)


def drilled(skiff: Boat, plan: PourPlan, most: int) -> Boat:
    """With the first so many of the holes that are proposed for each cavity."""
    more = {
        part.cavity: tuple(
            Hole(f"N{i}", HoleKind.FILL, hole.at, 0.03)
            for i, hole in enumerate(part.proposed[:most])
        )
        for part in plan.reach
    }
    cavities = tuple(
        replace(one, holes=(*one.holes, *more.get(one.name, ()))) for one in skiff.cavities
    )
    return replace(skiff, cavities=cavities)


def unreached(plan: PourPlan) -> float:
    return sum(part.unreached for part in plan.reach)


def test_its_sides_have_ends_that_foam_does_not_get_to(plan: PourPlan) -> None:
    short = [part.cavity for part in plan.reach if part.counted]
    assert sorted(short) == ["side port", "side starboard"]
    assert all(part.stated for part in plan.reach)
    assert unreached(plan) > 0.01
    assert plan.go


def test_one_proposed_hole_a_side_halves_it_and_all_of_them_reach_it(
    skiff: Boat, plan: PourPlan
) -> None:
    before = unreached(plan)
    assert unreached(plan_pours(drilled(skiff, plan, 1))) < 0.5 * before
    mended = plan_pours(drilled(skiff, plan, 9))
    assert unreached(mended) < 0.02 * before
    assert not any(part.counted for part in mended.reach)


def test_foam_air_and_what_is_not_reached_add_up_to_each_cavity(
    skiff: Boat, plan: PourPlan
) -> None:
    air = {part.cavity: part.caught * part.counted for part in plan.air}
    for part, pour in zip(plan.reach, plan.pours, strict=True):
        empty = part.unreached * part.counted + air.get(part.cavity, 0.0)
        whole = skiff.cavity(part.cavity).solid.volume
        assert pour.volume + empty == pytest.approx(whole, rel=1e-5)
