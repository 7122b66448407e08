"""Kits and drums: counted by the side that runs out first, with waste and flush."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pour_boats import FOAM, MACHINE, SHOP, boat, side

from flotation import plan_pours
from flotation.foamsystem import FoamPack, Shop
from flotation.pour.outlook import PackOrder

KIT = FoamPack("kit", 5.0, 4.0, 90.0, "EUR")
DRUM_A = FoamPack("drum of A", 250.0, None, None, "")


def order(pack: FoamPack, shop: Shop = SHOP) -> PackOrder:
    """Of a cavity of 0.18 m3: 7.003 kg mixed, 3.715 kg of A and 3.288 kg of B."""
    foam = replace(FOAM, packs=(pack,))
    (found,) = plan_pours(boat(side(depth=0.3), foam=foam, shop=shop)).packs
    return found


def test_a_kit_is_counted_by_the_side_that_runs_out_first() -> None:
    found = order(KIT)
    mixed = 0.18 * 35.2 * 1.05 / 0.95
    assert found.needed_a == pytest.approx(mixed * 113.0 / 213.0)
    assert found.count == 1
    assert found.left_a == pytest.approx(5.0 - found.needed_a)
    assert found.left_b == pytest.approx(4.0 - found.needed_b)
    assert order(replace(KIT, mass_b=3.2)).count == 2
    assert order(replace(KIT, mass_a=3.6)).count == 2


def test_a_drum_has_one_side_only() -> None:
    found = order(DRUM_A)
    assert (found.count, found.left_b, found.price) == (1, None, None)
    assert found.left_a == pytest.approx(250.0 - found.needed_a)


def test_the_price_of_all_packs_in_the_currency_of_the_file() -> None:
    found = order(replace(KIT, mass_a=2.0))
    assert (found.count, found.price, found.unit) == (2, 180.0, "EUR")


def test_what_the_mixing_head_is_flushed_with_is_bought_too() -> None:
    by_machine = replace(SHOP, mixing=replace(MACHINE, idle_limit=30.0, flush_mass=2.13))
    without = order(KIT, replace(SHOP, mixing=MACHINE))
    found = order(KIT, by_machine)
    assert found.needed_a - without.needed_a == pytest.approx(1.13)
    assert found.needed_b - without.needed_b == pytest.approx(1.00)
    assert (without.count, found.count) == (1, 2)


def test_exactly_one_pack_is_one_pack_whatever_the_rounding() -> None:
    needed = order(KIT)
    exact = FoamPack("exact", needed.needed_a, needed.needed_b, None, "")
    assert order(exact).count == 1
    assert order(exact).left_a == pytest.approx(0.0, abs=1e-9)


def test_a_foam_that_names_no_pack_has_no_order() -> None:
    assert plan_pours(boat(side())).packs == ()


@settings(max_examples=20)
@given(a=st.floats(0.5, 30.0), b=st.floats(0.5, 30.0))
def test_a_pack_less_would_not_do(a: float, b: float) -> None:
    found = order(FoamPack("kit", a, b, None, ""))
    assert min(found.count * a - found.needed_a, found.count * b - found.needed_b) >= -1e-6
    short = (found.count - 1) * a < found.needed_a or (found.count - 1) * b < found.needed_b
    assert short
    assert found.count >= math.ceil(found.needed_a / a - 1e-6)
