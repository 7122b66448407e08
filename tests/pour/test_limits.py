"""The largest bucket and the largest machine shot."""

from dataclasses import replace

import pytest
from pour_boats import FOAM, MACHINE, by_hand
from small_boats import skiff

from flotation.pour.limits import shot_limit, time_needed

HAND = skiff().shop.mixing


def test_a_bucket_is_bounded_by_what_may_be_mixed_at_once() -> None:
    limit = shot_limit(FOAM, HAND)
    assert limit.by_time == pytest.approx(0.5 * (45.0 - 25.0))
    assert limit.mass == 2.0


def test_a_bucket_is_bounded_by_the_cream_time() -> None:
    """36 s less 20 s of mixing and 10 s of carrying leave 6 s: 3 kg at 0.5 kg/s."""
    quick = replace(FOAM, cream_time=36.0)
    limit = shot_limit(quick, by_hand(batch_limit=5.0, mixing_time=20.0).mixing)
    assert limit.mass == pytest.approx(3.0)


def test_where_no_time_is_left_the_stated_limit_stays_for_the_engineers_numbers() -> None:
    limit = shot_limit(FOAM, by_hand(mixing_time=40.0).mixing)
    assert limit.by_time < 0.0
    assert limit.mass == 2.0


def test_a_machine_shot_ends_before_the_cream_time() -> None:
    assert shot_limit(FOAM, MACHINE).mass == pytest.approx(0.2 * 45.0)
    assert shot_limit(FOAM, replace(MACHINE, shot_limit=3.0)).mass == 3.0


def test_time_from_the_first_stir_to_the_last_drop() -> None:
    assert time_needed(FOAM, HAND, 2.0).value == pytest.approx(15.0 + 10.0 + 4.0)
    assert time_needed(FOAM, MACHINE, 2.0).value == pytest.approx(10.0)
