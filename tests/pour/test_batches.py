"""Shots: what is weighed adds up, keeps the ratio and keeps within the limit."""

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pour_boats import MACHINE, by_hand
from small_boats import skiff

from flotation.foamsystem import HandMixing
from flotation.pour.batches import Mixture, alike, shots

HAND = skiff().shop.mixing
MIX = Mixture(113.0 / 213.0, 1230.0, 1090.0, 0.02)


def with_step(step: float) -> HandMixing:
    mixing = by_hand(scale_step=step).mixing
    assert isinstance(mixing, HandMixing)
    return mixing


def test_one_bucket_if_it_fits() -> None:
    made = shots(1.9, MIX, HAND, 2.0)
    assert made.fault == ""
    (bucket,) = made.shots
    assert (bucket.weigh_a, bucket.weigh_b) == (1.01, 0.89)
    assert bucket.volume_a == pytest.approx(1.01 / 1230.0)
    assert bucket.seconds is None


def test_a_mass_of_exactly_the_limit_is_one_bucket_whatever_the_rounding() -> None:
    assert len(shots(0.1 + 0.2, MIX, with_step(0.001), 0.3).shots) == 1
    assert len(shots(6.0, MIX, HAND, 2.0).shots) == 3


def test_a_full_bucket_is_rounded_down_rather_than_over_its_limit() -> None:
    """1.998 kg is nearest to 1.060 + 0.940 kg, which is more than a bucket of 1.998 kg takes."""
    (bucket,) = shots(1.998, MIX, HAND, 1.998).shots
    assert (bucket.weigh_a, bucket.weigh_b) == (1.06, 0.935)


def test_steps_are_shared_out_so_that_the_sum_is_right_to_a_step() -> None:
    made = shots(5.5579, MIX, HAND, 2.0)
    assert [(one.weigh_a, one.weigh_b) for one in made.shots] == [
        (0.985, 0.87),
        (0.985, 0.87),
        (0.98, 0.87),
    ]


def test_a_scale_too_coarse_for_the_ratio_is_refused_with_one_that_would_do() -> None:
    made = shots(0.12, MIX, HAND, 2.0)
    assert "on a scale that shows 5 g" in made.fault
    assert "a scale that shows 0.5 g" in made.fault
    assert shots(0.12, MIX, with_step(0.0005), 2.0).fault == ""


def test_a_lift_of_less_than_one_step_is_refused_and_divides_nothing_by_zero() -> None:
    assert shots(0.004, MIX, HAND, 2.0).fault


@given(
    mixed=st.floats(0.05, 60.0),
    limit=st.floats(0.2, 5.0),
    step=st.sampled_from([0.0005, 0.001, 0.005, 0.01]),
    share=st.floats(0.35, 0.65),
)
def test_buckets_add_up_and_keep_ratio_and_limit(
    mixed: float, limit: float, step: float, share: float
) -> None:
    mix = replace(MIX, share_a=share)
    made = shots(mixed, mix, with_step(step), limit)
    exact_a, exact_b = mixed * share, mixed * (1.0 - share)
    assert sum(one.weigh_a for one in made.shots) == pytest.approx(exact_a, abs=step * 1.000001)
    assert sum(one.weigh_b for one in made.shots) == pytest.approx(exact_b, abs=step * 1.000001)
    assume(not made.fault)
    for one in made.shots:
        assert one.mass <= limit * (1.0 + 1e-6)
        assert one.mass == pytest.approx(one.weigh_a + one.weigh_b)
        assert one.weigh_a / one.weigh_b == pytest.approx(share / (1.0 - share), rel=0.0201)
        assert one.weigh_a / step == pytest.approx(round(one.weigh_a / step), abs=1e-4)
    assert sum(one.mass for one in made.shots) == pytest.approx(mixed, rel=0.0201)
    assert max(one.weigh_a for one in made.shots) - min(
        one.weigh_a for one in made.shots
    ) <= step * (1.0 + 1e-4)


@given(mixed=st.floats(1.0, 60.0), limit=st.floats(0.5, 5.0))
def test_a_fine_scale_never_needs_more_buckets_than_the_limit_asks_for(
    mixed: float, limit: float
) -> None:
    made = shots(mixed, MIX, with_step(0.001), limit)
    assert made.fault == ""
    assert len(made.shots) <= mixed / (limit - 0.002) + 1.0


def test_a_machine_shot_is_opened_for_whole_timer_steps() -> None:
    (shot,) = shots(5.28, MIX, MACHINE, 7.2).shots
    assert shot.seconds == 26.4
    assert shot.mass == pytest.approx(0.2 * 26.4)
    assert shot.weigh_a == pytest.approx(shot.mass * MIX.share_a)


def test_a_machine_divides_what_outlasts_its_limit() -> None:
    made = shots(5.28, MIX, MACHINE, 5.0)
    assert [one.seconds for one in made.shots] == [13.2, 13.2]
    assert made.fault == ""


def test_a_timer_too_coarse_for_the_lift_is_refused() -> None:
    """0.17 kg at 0.2 kg/s is 0.85 s: a timer of whole seconds would shoot 18 % too much."""
    made = shots(0.17, MIX, replace(MACHINE, timer_step=1.0), 5.0)
    assert "a timer that counts in 1 s" in made.fault


@given(mixed=st.floats(0.5, 60.0), limit=st.floats(0.5, 5.0))
def test_machine_shots_add_up_to_half_a_timer_step(mixed: float, limit: float) -> None:
    made = shots(mixed, MIX, MACHINE, limit)
    assert made.fault == ""
    assert sum(one.mass for one in made.shots) == pytest.approx(mixed, abs=0.0100001)
    assert all(one.mass <= limit * (1.0 + 1e-6) for one in made.shots)


@given(mixed=st.floats(0.5, 60.0), limit=st.floats(0.5, 5.0))
def test_shots_of_a_table_are_alike_and_off_by_half_a_step_each_at_most(
    mixed: float, limit: float
) -> None:
    (count, a, b), seconds = alike(mixed, MIX, HAND, limit)
    assert seconds is None
    assert a + b <= limit * (1.0 + 1e-6)
    assert count * (a + b) == pytest.approx(mixed, abs=count * 0.0050001)


def test_a_table_for_a_machine_gives_seconds() -> None:
    (count, a, b), seconds = alike(5.28, MIX, MACHINE, 5.0)
    assert (count, seconds) == (2, 13.2)
    assert a + b == pytest.approx(13.2 * 0.2)
