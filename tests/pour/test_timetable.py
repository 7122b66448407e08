"""No crew is in two places at once, foam gels before more is poured on it, and time is used."""

from dataclasses import replace
from itertools import groupby, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flotation.pour.timetable import Job, Team, Timed, greedy, in_this_order, sequential, total_time

pours = st.lists(st.floats(0.5, 20.0), min_size=1, max_size=4).map(tuple)


@st.composite
def cavities(draw: st.DrawFn) -> list[list[Job]]:
    """Up to five cavities of up to three layers, each poured through up to three holes."""
    found = []
    for name in range(draw(st.integers(1, 5))):
        layers = range(1, draw(st.integers(1, 3)) + 1)
        wait, lead = draw(st.floats(0.0, 300.0)), draw(st.floats(0.0, 40.0))
        between = draw(st.sampled_from([0.0, 30.0]))
        found.append(
            [
                Job(f"c{name}", layer, lead, draw(pours), wait, between)
                for layer in layers
                for _ in range(draw(st.integers(1, 3)))
            ]
        )
    return found


teams = st.builds(Team, st.integers(1, 4), st.sampled_from([0.0, 30.0]))


def check(timed: tuple[Timed, ...], team: Team) -> None:
    """Every law of a timetable, whatever made it."""
    busy = sorted(
        (hand, *span, one.place, one.job.between)
        for one in timed
        for hand, span in zip(one.hands, one.spans, strict=True)
    )
    for _, own in groupby(busy, key=lambda row: row[0]):
        for (_, _, end, place, between), (_, start, _, following, _) in pairwise(own):
            pause = between if place == following else team.turnaround
            assert start >= end + pause - 1e-9
    assert {row[0] for row in busy} <= set(range(team.crew))
    for one in timed:
        for (start, end), pouring in zip(one.spans, one.job.pours, strict=True):
            assert end - start == pytest.approx(one.job.lead + pouring)
        for (_, end), (start, _) in pairwise(one.spans):
            assert start + one.job.lead >= end - 1e-9, "two buckets in one hole"
        for below in timed:
            if below.job.cavity == one.job.cavity and below.job.layer < one.job.layer:
                assert one.start >= below.next_after - 1e-9


@given(rows=cavities(), team=teams)
def test_hands_are_in_one_place_and_foam_has_gelled(rows: list[list[Job]], team: Team) -> None:
    for made in (greedy(rows, team), sequential(rows, team)):
        check(made, team)
        assert sorted(one.place for one in made) == list(range(sum(map(len, rows))))


@given(rows=cavities(), team=teams)
def test_the_same_cavities_give_the_same_timetable(rows: list[list[Job]], team: Team) -> None:
    assert greedy(rows, team) == greedy([list(row) for row in rows], team)


@given(rows=cavities())
def test_what_cannot_take_less_time_does_not(rows: list[list[Job]]) -> None:
    """One pair of hands needs the sum of all batches at least, and one cavity its own waits."""
    team = Team(1, 0.0)
    work = sum(job.lead * len(job.pours) + sum(job.pours) for row in rows for job in row)
    rows = [[replace(job, between=0.0) for job in row] for row in rows]
    assert total_time(greedy(rows, team)) >= work - 1e-6
    assert (
        total_time(greedy(rows, team))
        >= max(total_time(greedy([row], team)) for row in rows) - 1e-6
    )


def test_while_port_gels_starboard_is_poured() -> None:
    port, starboard = (
        [Job(name, layer, 10.0, (5.0,), 100.0) for layer in (1, 2)] for name in ("P", "S")
    )
    made = greedy([port, starboard], Team(1, 0.0))
    assert [(one.job.cavity, one.start) for one in made] == [
        ("P", 0.0),
        ("S", 15.0),
        ("P", 115.0),
        ("S", 130.0),
    ]
    assert total_time(sequential([port, starboard], Team(1, 0.0))) == 260.0


def test_a_lift_of_three_buckets_is_mixed_by_three_and_poured_one_after_another() -> None:
    (one,) = greedy([[Job("c", 1, 25.0, (4.0, 4.0, 4.0), 0.0)]], Team(3, 60.0))
    assert one.spans == ((0.0, 29.0), (4.0, 33.0), (8.0, 37.0))
    assert one.hands == (0, 1, 2)


def test_one_pair_of_hands_mixes_the_second_bucket_after_the_first_is_out() -> None:
    (one,) = greedy([[Job("c", 1, 25.0, (4.0, 4.0), 0.0, between=60.0)]], Team(1, 60.0))
    assert one.spans == ((0.0, 29.0), (89.0, 118.0))


def test_a_machine_goes_on_at_its_hole_and_takes_its_turnaround_to_the_next_one() -> None:
    row = [Job("c", 1, 0.0, (4.0, 3.0), 0.0), Job("c", 1, 0.0, (5.0,), 0.0)]
    first, second = greedy([row], Team(1, 60.0))
    assert first.spans == ((0.0, 4.0), (4.0, 7.0))
    assert second.start == 67.0


def test_two_work_at_two_holes_of_a_layer_at_the_same_time() -> None:
    jobs = [Job("c", layer, 25.0, (4.0,), 240.0) for layer in (1, 1, 2)]
    made = greedy([jobs], Team(2, 0.0))
    assert [one.start for one in made] == [0.0, 0.0, 269.0]


@given(rows=cavities(), team=teams, begin=st.floats(0.0, 1000.0))
def test_what_remains_keeps_its_sequence_and_the_laws(
    rows: list[list[Job]], team: Team, begin: float
) -> None:
    jobs = [job for row in rows for job in row]
    ready = {"c0": begin + 500.0}
    made = in_this_order(jobs, team, begin, ready)
    check(made, team)
    assert [one.place for one in made] == list(range(len(jobs)))
    assert all(one.start <= other.start for one, other in pairwise(made))
    assert min(one.start for one in made if one.job.cavity == "c0") >= begin + 500.0


def test_a_longer_wait_makes_no_pour_start_sooner() -> None:
    row = [Job("c", layer, 10.0, (5.0,), 100.0) for layer in (1, 2)]
    slow = [replace(job, wait=200.0) for job in row]
    soon, late = (greedy([jobs], Team(1, 0.0)) for jobs in (row, slow))
    assert [one.start for one in soon] == [0.0, 115.0]
    assert [one.start for one in late] == [0.0, 215.0]
