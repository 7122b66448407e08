"""Who must meet what, and how a boat outside is told."""

import math
from dataclasses import replace

import pytest
from small_boats import FT, HP, skiff

from flotation.boat import Kind, Propulsion
from flotation.rulebook import load_rulebook
from flotation.swamped.scope import find_scope

LAW = load_rulebook("us_33cfr183")


@pytest.mark.parametrize("kind", [kind for kind in Kind if kind is not Kind.MONOHULL])
def test_every_other_kind_is_left_out_and_still_assessed(kind: Kind) -> None:
    scope = find_scope(replace(skiff(), kind=kind), LAW)
    assert (scope.inside, scope.subpart, scope.flotation) == (False, "", "level")
    assert "outside the scope of Subparts F to H; shown for information" in scope.sentence
    assert any(str(kind) in reason for reason in scope.reasons)


def test_a_multihull_is_not_called_left_out_by_a_list_it_is_not_on() -> None:
    reasons = find_scope(replace(skiff(), kind=Kind.MULTIHULL), LAW).reasons
    assert any("the subparts cover monohulls" in reason for reason in reasons)


def test_every_test_of_the_scope_says_what_was_found() -> None:
    reasons = " / ".join(find_scope(skiff(), LAW).reasons)
    for found in ("30 hp", "22.4 kW", "4.6 m", "15.09 ft", "monohull"):
        assert found in reasons


@pytest.mark.parametrize("noise", [math.nextafter(6.096, 0.0), 6.096, math.nextafter(6.096, 7.0)])
def test_rounding_does_not_bring_twenty_feet_under_twenty_feet(noise: float) -> None:
    assert not find_scope(replace(skiff(), length=noise), LAW).inside


@pytest.mark.parametrize("power", [2.0 * HP, math.nextafter(2.0 * HP, 1e9), 1.9 * HP])
def test_two_horsepower_is_not_above_two_horsepower(power: float) -> None:
    assert find_scope(replace(skiff(), rated_power=power), LAW).subpart == "H"


def test_a_small_inboard_comes_under_the_stricter_of_two_subparts_and_is_told_of_both() -> None:
    boat = replace(skiff(), propulsion=Propulsion.INBOARD, rated_power=1.5 * HP)
    scope = find_scope(boat, LAW)
    assert scope.subpart == "H"
    assert any("Subpart F applies as well" in reason for reason in scope.reasons)


def test_outside_the_length_the_kind_of_flotation_follows_the_propulsion() -> None:
    boat = replace(skiff(), length=22.0 * FT, propulsion=Propulsion.STERNDRIVE)
    scope = find_scope(boat, LAW)
    assert (scope.inside, scope.flotation) == (False, "basic")
    assert any("not under 20 ft" in reason for reason in scope.reasons)
