"""Data sheet of an Australian marine pour foam (read): cream 36 s, 20 s of mixing.

16 s are then left to carry and pour. The shot is computed: 0.150 m3 at 35.2 kg/m3 in place are
5.28 kg; 1 : 1 by volume at 1.23 and 1.09 kg/L are 2.276 L each, 2.799 kg of A and 2.481 kg of B;
at 200 g/s a shot of 26.4 s, in time for a cream of 36 s and too long for 25 s. Tolerance: half
the last digit.
"""

from dataclasses import replace

import pytest
from pour_boats import FOAM, MACHINE, SHOP, boat, box, by_hand, cavity

from flotation import plan_pours
from flotation.foamsystem import Basis, CupTest, MixRatio
from flotation.pour.limits import shot_limit
from flotation.pour.pourplan import PourPlan


def shot(cream_time: float) -> PourPlan:
    foam = replace(
        FOAM,
        minimum_fill_density=35.2,
        overpack=1.0,
        mix=MixRatio(1.0, 1.0, Basis.VOLUME),
        cream_time=cream_time,
    )
    cups = (CupTest(foam.name, 32.0, "2026-04-14"),)
    shop = replace(SHOP, mixing=MACHINE, waste=0.0, cup_tests=cups)
    return plan_pours(
        boat(cavity("example", box((0, 0, 0), (1.0, 0.6, 0.25))), foam=foam, shop=shop)
    )


def test_sixteen_seconds_are_left_after_mixing() -> None:
    """At 0.5 kg/s and carried in no time, 16 s pour 8 kg."""
    mixing = replace(by_hand(mixing_time=20.0, batch_limit=50.0).mixing, carrying_time=0.0)
    assert shot_limit(replace(FOAM, cream_time=36.0), mixing).mass == pytest.approx(8.0)


def test_masses_and_volumes_of_the_shot() -> None:
    (lift,) = shot(36.0).lifts
    assert lift.mass == pytest.approx(5.28, abs=0.005)
    assert lift.mass_a == pytest.approx(2.799, abs=0.0005)
    assert lift.mass_b == pytest.approx(2.481, abs=0.0005)
    assert lift.volume_a * 1000.0 == pytest.approx(2.276, abs=0.0005)
    assert lift.volume_b * 1000.0 == pytest.approx(2.276, abs=0.0005)


def test_one_shot_of_26_4_seconds_is_in_time_for_a_cream_of_36() -> None:
    plan = shot(36.0)
    assert [one.seconds for one in plan.lifts[0].shots] == [26.4]
    assert not any("in more lifts" in text for text in plan.cautions)


def test_with_a_cream_of_25_the_shot_is_divided_and_warned_of() -> None:
    plan = shot(25.0)
    assert [[one.seconds for one in lift.shots] for lift in plan.lifts] == [[13.2], [13.2]]
    assert any("machine rate against the cream time" in text for text in plan.cautions)
