"""Times, batches and flushes over a whole plan."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pour_boats import FOAM, MACHINE, SHOP, boat, box, by_hand, cavity, hole, side

from flotation import plan_pours
from flotation.boat import Boat
from flotation.pour.outlook import Timetable
from flotation.pour.pourplan import PourPlan

QUICK = replace(SHOP, mixing=replace(SHOP.mixing, batch_limit=50.0, pouring_rate=50.0))
IDLE = replace(MACHINE, idle_limit=30.0, flush_mass=0.4)


def pair(crew: int = 1, turnaround: float = 0.0) -> Boat:
    shop = replace(QUICK, crew=crew, turnaround=turnaround)
    return boat(side(depth=0.6), side("side starboard", -1.0, depth=0.6), shop=shop)


def timetable(plan: PourPlan) -> Timetable:
    assert plan.timetable is not None
    return plan.timetable


def test_start_end_and_next_after_of_a_pair_of_sides() -> None:
    """Each batch: 15 s to mix, 10 s to carry, then 6.67 and 7.00 kg at 50 kg/s; gel 240 s."""
    lifts = plan_pours(pair()).lifts
    assert [lift.cavity for lift in lifts] == ["side port", "side starboard"] * 2
    assert [lift.start for lift in lifts] == pytest.approx([0.0, 25.13, 265.13, 290.27], abs=0.01)
    assert lifts[0].end == pytest.approx(25.0 + 0.18 * 35.2 / 0.95 / 50.0, abs=0.001)
    for lift in lifts:
        assert lift.next_after == lift.end + FOAM.tack_free_time
        (shot,) = lift.shots
        assert (shot.start, shot.end, shot.batch) == (lift.start, lift.end, lift.order)


def test_the_longer_of_two_waits_counts_and_the_gel_wait_is_still_told() -> None:
    cooling = replace(FOAM, lift_wait=1800.0)
    plan = plan_pours(replace(pair(), foams=(cooling,)))
    first, *_, last = plan.lifts
    assert first.wait == FOAM.tack_free_time
    assert first.next_after == first.end + 1800.0
    assert last.start >= first.next_after
    assert timetable(plan).tack_free == last.end + FOAM.tack_free_time


def test_two_pour_the_two_sides_at_the_same_time() -> None:
    lifts = plan_pours(pair(crew=2)).lifts
    assert lifts[0].start == lifts[1].start == 0.0
    assert [lift.order for lift in lifts] == [1, 2, 3, 4]


def test_the_turnaround_comes_between_two_batches_of_the_same_hands() -> None:
    first, second, *_ = plan_pours(pair(turnaround=60.0)).lifts
    assert second.start == pytest.approx(first.end + 60.0)


def test_batches_are_counted_over_the_whole_boat_lift_after_lift() -> None:
    plan = plan_pours(boat(side(), side("side starboard", -1.0), shop=replace(SHOP, crew=4)))
    shots = [shot for lift in plan.lifts for shot in lift.shots]
    assert [shot.batch for shot in shots] == list(range(1, timetable(plan).batches + 1))
    assert len(shots) > len(plan.lifts)
    for lift in plan.lifts:
        assert min(shot.start for shot in lift.shots) == lift.start
        assert max(shot.end for shot in lift.shots) == lift.end


def test_a_mixing_head_is_flushed_where_it_would_stand_idle_and_at_the_end() -> None:
    """Two layers of one cavity: the head stands idle while the first gels."""
    plan = plan_pours(boat(side(depth=0.6), shop=replace(SHOP, mixing=IDLE)))
    flushes = timetable(plan).flushes
    assert [flush.after for flush in flushes] == [1, 2]
    assert [flush.at for flush in flushes] == [lift.end for lift in plan.lifts]
    assert flushes[0].mass_a + flushes[0].mass_b == pytest.approx(0.4)
    assert flushes[0].mass_a == pytest.approx(0.4 * 113.0 / 213.0)


def test_a_head_that_is_never_idle_for_long_is_flushed_once() -> None:
    patient = replace(IDLE, idle_limit=600.0)
    plan = plan_pours(boat(side(depth=0.6), shop=replace(SHOP, mixing=patient)))
    assert [flush.after for flush in timetable(plan).flushes] == [2]


def test_another_foam_asks_for_a_flush_of_the_one_before() -> None:
    dense = replace(FOAM, name="dense")
    bow = replace(side("bow", depth=0.2), foam="dense")
    shop = replace(SHOP, mixing=replace(IDLE, idle_limit=600.0))
    plan = plan_pours(replace(boat(side(depth=0.2), bow, shop=shop), foams=(FOAM, dense)))
    assert [flush.foam for flush in timetable(plan).flushes] == ["pour foam", "dense"]


def test_buckets_and_a_machine_that_states_no_flush_have_none() -> None:
    assert timetable(plan_pours(pair())).flushes == ()
    by_machine = replace(SHOP, mixing=MACHINE)
    assert timetable(plan_pours(boat(side(), shop=by_machine))).flushes == ()


def test_a_machine_has_one_head_whatever_the_crew() -> None:
    plan = plan_pours(boat(side(), shop=replace(SHOP, mixing=MACHINE, crew=5)))
    assert timetable(plan).crew == 1


boxes = st.lists(
    st.tuples(
        st.sampled_from([-0.6, 0.0, 0.6]),
        st.floats(0.0, 0.4),
        st.floats(0.1, 0.9),
        st.integers(1, 3),
    ),
    min_size=1,
    max_size=4,
)


@settings(max_examples=15)
@given(rows=boxes, crew=st.integers(1, 3), batch=st.floats(1.0, 5.0))
def test_a_plan_is_no_longer_than_cavity_after_cavity_and_its_waits_are_kept(
    rows: list[tuple[float, float, float, int]], crew: int, batch: float
) -> None:
    cavities = [
        cavity(
            f"c{i}",
            box((0.0, y - 0.1, z), (1.0, y + 0.1, z + depth)),
            *(hole(f"h{i}{k}", (0.2 + 0.3 * k, y, z + depth)) for k in range(holes)),
        )
        for i, (y, z, depth, holes) in enumerate(rows)
    ]
    plan = plan_pours(boat(*cavities, shop=replace(by_hand(batch_limit=batch), crew=crew)))
    found = timetable(plan)
    assert found.total_time <= found.sequential_time + 1e-6
    assert found.total_time == max(lift.end for lift in plan.lifts)
    assert [lift.order for lift in plan.lifts] == list(range(1, len(plan.lifts) + 1))
    for lift in plan.lifts:
        for below in plan.lifts:
            if below.cavity == lift.cavity and below.number < lift.number:
                assert lift.start >= below.next_after - 1e-6
    moments = sorted((s.start, 1) for lift in plan.lifts for s in lift.shots)
    moments += sorted((s.end - 1e-9, -1) for lift in plan.lifts for s in lift.shots)
    busy = 0
    for _, change in sorted(moments):
        busy += change
        assert busy <= crew
