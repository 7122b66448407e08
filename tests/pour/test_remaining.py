"""What remains after lifts that went as planned, short or over, and after another cup."""

import math
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pour_boats import FOAM, SHOP, TOP, boat, box, by_hand, cavity, hole

from flotation import plan_pours
from flotation.boat import Boat
from flotation.errors import InputError
from flotation.foamsystem import CupTest
from flotation.pour.pourplan import Lift, PourPlan
from flotation.pour.remaining import replan

Log = list[tuple[int, float]]


@cache
def sides() -> tuple[Boat, PourPlan]:
    """Two sides of two layers, each poured through two holes."""
    both = []
    for name, sign in (("port", 1.0), ("starboard", -1.0)):
        low, high = sorted((sign * 0.6, sign * 0.8))
        fill = (hole(f"{name} {x}", (float(x), sign * 0.7, TOP)) for x in (1, 2))
        both.append(cavity(name, box((0.0, low, 0.0), (3.0, high, TOP)), *fill))
    one = boat(*both, shop=replace(SHOP, turnaround=20.0))
    return one, plan_pours(one)


def as_planned(plan: PourPlan, count: int, factor: dict[int, float] | None = None) -> Log:
    factor = factor or {}
    return [
        (lift.order, lift.mixed_mass * factor.get(lift.order, 1.0)) for lift in plan.lifts[:count]
    ]


def amounts(lifts: tuple[Lift, ...]) -> list[tuple[object, ...]]:
    """What the floor does: everything but the times."""
    return [
        (one.order, one.cavity, one.hole, one.number, one.of, one.volume, one.mass,
         one.foam_height, one.dip, one.thickness, one.closing, one.by_dip,
         [(shot.weigh_a, shot.weigh_b, shot.batch) for shot in one.shots])
        for one in lifts
    ]  # fmt: skip


def test_the_plan_that_the_tests_stand_on() -> None:
    _, plan = sides()
    assert [(lift.cavity, lift.number) for lift in plan.lifts] == [
        ("port", 1), ("port", 1), ("starboard", 1), ("starboard", 1),
        ("port", 2), ("port", 2), ("starboard", 2), ("starboard", 2),
    ]  # fmt: skip


@pytest.mark.parametrize("count", range(9))
def test_with_everything_poured_as_planned_the_rest_is_what_it_was(count: int) -> None:
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, count))
    assert rest.done == plan.lifts[:count]
    assert amounts(rest.lifts) == amounts(plan.lifts[count:])
    assert [foam.mass for foam in rest.foam] == pytest.approx([foam.mass for foam in plan.foam])


def test_what_the_scale_rounded_is_as_planned_too() -> None:
    one, plan = sides()
    weighed = [(lift.order, sum(shot.mass for shot in lift.shots)) for lift in plan.lifts[:3]]
    assert weighed != as_planned(plan, 3)
    assert amounts(replan(plan, one, weighed).lifts) == amounts(plan.lifts[3:])


def test_a_short_lift_stands_lower_and_its_hole_gets_the_rest_with_its_next_lift() -> None:
    """One of two holes got 60 %: 80 % of the layer of 0.3 m stands, 0.24 m high."""
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 4, {1: 0.6}))
    first, second = rest.done[:2]
    assert first.mass == pytest.approx(plan.lifts[0].mass * 0.6)
    assert second.mass == plan.lifts[1].mass
    assert first.foam_height == second.foam_height == pytest.approx(0.24)
    assert first.dip == pytest.approx(TOP - 0.24)
    short = plan.lifts[0].volume * 0.4
    changed = [lift for lift in rest.lifts if lift.hole == "port 1"]
    assert sum(lift.volume for lift in changed) == pytest.approx(plan.lifts[4].volume + short)
    assert all(lift.thickness <= FOAM.lift_limit + 1e-9 for lift in rest.lifts)
    starboard = [lift.mass for lift in rest.lifts if lift.cavity == "starboard"]
    assert starboard == [lift.mass for lift in plan.lifts[6:]]


def test_a_layer_that_grew_beyond_the_sheets_limit_is_divided() -> None:
    """0.36 m are left above 0.24 m, and the sheet allows 0.3 m: two lifts for each hole."""
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 4, {1: 0.6}))
    port = [lift for lift in rest.lifts if lift.cavity == "port"]
    assert [(lift.number, lift.of, lift.closing) for lift in port] == [
        (2, 3, False), (2, 3, False), (3, 3, True), (3, 3, True),
    ]  # fmt: skip
    assert [lift.thickness for lift in port] == pytest.approx([0.18] * 4)


def test_too_much_is_taken_off_the_next_lift_of_the_same_hole() -> None:
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 4, {2: 1.25}))
    (next_one,) = [lift for lift in rest.lifts if lift.hole == "port 2"]
    assert next_one.volume == pytest.approx(plan.lifts[5].volume - 0.25 * plan.lifts[1].volume)
    assert rest.foam[0].mass == pytest.approx(
        plan.foam[0].mass - 0.25 * plan.lifts[1].mass * (FOAM.overpack - 1.0)
    )


def test_a_short_closing_lift_is_topped_up_after_it_has_gelled() -> None:
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 8, {5: 0.7}))
    (more,) = rest.lifts
    assert (more.cavity, more.hole, more.closing) == ("port", "port 1", True)
    assert more.mass == pytest.approx(plan.lifts[4].mass * 0.3)
    assert more.start >= plan.lifts[4].next_after
    assert more.foam_height == pytest.approx(TOP)
    assert rest.foam[0].mass == pytest.approx(plan.foam[0].mass)
    assert more.order == 9


def test_what_can_no_longer_be_taken_off_is_told() -> None:
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 8, {5: 1.3}))
    assert rest.lifts == ()
    assert "port: " in rest.cautions[0]
    assert "more than planned went in" in rest.cautions[0]
    assert rest.foam[0].mass == pytest.approx(plan.foam[0].mass + 0.3 * plan.lifts[4].mass)
    assert rest.foam[0].density > plan.foam[0].density
    assert rest.timetable is None


def test_too_much_in_a_closing_lift_is_taken_off_the_others_that_are_left() -> None:
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 5, {5: 1.2}))
    other = next(lift for lift in rest.lifts if lift.hole == "port 2")
    assert other.mass == pytest.approx(plan.lifts[5].mass - 0.2 * plan.lifts[4].mass)
    assert not any("more than planned" in text for text in rest.cautions)


def test_less_than_the_mix_may_be_off_is_left_and_told() -> None:
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 8, {5: 0.985}))
    assert rest.lifts == ()
    assert "less than planned went through port 1" in rest.cautions[0]


def test_another_cup_moves_only_what_remains() -> None:
    one, plan = sides()
    heavier = [CupTest(FOAM.name, 33.0, "2026-04-15")]
    rest = replan(plan, one, as_planned(plan, 4), heavier)
    assert rest.done == plan.lifts[:4]
    assert [lift.volume for lift in rest.lifts] == [lift.volume for lift in plan.lifts[4:]]
    assert [lift.mass for lift in rest.lifts] == pytest.approx(
        [lift.mass * 33.0 / 32.0 for lift in plan.lifts[4:]]
    )
    assert rest.cups[0].density == 33.0
    assert rest.go


def test_a_cup_outside_the_sheets_limits_stops_what_remains() -> None:
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 4), [CupTest(FOAM.name, 35.0, "2026-04-15")])
    assert not rest.go
    assert "heavier than the sheet allows" in rest.stops[0]


def test_a_plan_of_what_remains_is_planned_again_like_any_other() -> None:
    """Short at first, then as the new sheet said; each sheet is logged by its own numbers."""
    one, plan = sides()
    first = replan(plan, one, as_planned(plan, 4, {1: 0.6}))
    second = replan(first, one, as_planned(first, 3))
    assert [lift.order for lift in second.done] == [1, 2, 3, 4, 5, 6, 7]
    assert amounts(second.lifts) == amounts(first.lifts[3:])
    finished = replan(second, one, [(lift.order, lift.mixed_mass) for lift in second.lifts])
    assert finished.lifts == ()
    assert [foam.mass for foam in finished.foam] == pytest.approx(
        [foam.mass for foam in first.foam]
    )


def test_the_clock_goes_on_and_foam_still_gels() -> None:
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 4, {1: 0.6}))
    last = max(lift.end for lift in rest.done)
    assert all(lift.start >= last for lift in rest.lifts)
    port = [lift for lift in (*rest.done, *rest.lifts) if lift.cavity == "port"]
    for lift in port:
        assert all(
            lift.start >= below.next_after - 1e-9 for below in port if below.number < lift.number
        )


@pytest.mark.parametrize(
    ("log", "word"),
    [
        ([(99, 1.0)], "the plan has no such lift"),
        ([(1, 1.0), (1, 1.0)], "stands twice"),
        ([(1, 0.0)], "is no mass that was poured"),
        ([(1, math.nan)], "is no mass that was poured"),
        ([(1, 1.0), (5, 1.0)], "lift 2 under it is not said to be poured"),
    ],
)
def test_a_log_that_cannot_be_is_refused(log: Log, word: str) -> None:
    one, plan = sides()
    with pytest.raises(InputError, match=word):
        replan(plan, one, log)


def test_a_lift_that_was_poured_by_an_earlier_sheet_is_not_poured_again() -> None:
    one, plan = sides()
    rest = replan(plan, one, as_planned(plan, 4))
    with pytest.raises(InputError, match="or it was poured before"):
        replan(rest, one, [(2, 1.0)])


@settings(max_examples=20)
@given(
    count=st.integers(1, 8),
    shares=st.lists(st.floats(0.5, 1.15), min_size=8, max_size=8),
    crew=st.integers(1, 3),
)
def test_what_stands_at_the_end_is_what_went_in_and_fills_the_cavity(
    count: int, shares: list[float], crew: int
) -> None:
    """Sums to the gram; and every cavity gets its volume, unless too much went in already."""
    one, plan = sides()
    one = replace(one, shop=replace(by_hand(batch_limit=8.0, scale_step=0.001), crew=crew))
    log = as_planned(plan, count, dict(enumerate(shares, 1)))
    rest = replan(plan, one, log)
    for foam in rest.foam:
        lifts = [lift for lift in (*rest.done, *rest.lifts) if lift.cavity == foam.cavity]
        assert foam.mass == pytest.approx(math.fsum(lift.mass for lift in lifts), abs=1e-6)
        whole = 0.36
        stands = math.fsum(lift.volume for lift in lifts)
        left_so = 0.02 * whole
        assert stands >= whole - left_so
        if not any("no later lift can take it off" in text for text in rest.cautions):
            assert stands <= whole + 1e-9
    mixed = dict(log)
    for lift in rest.done:
        assert lift.mixed_mass == pytest.approx(mixed[lift.order], abs=1e-6)
        assert lift.mass_a + lift.mass_b == pytest.approx(lift.mixed_mass, abs=1e-6)
    assert [lift.order for lift in rest.lifts] == list(
        range(count + 1, count + 1 + len(rest.lifts))
    )
