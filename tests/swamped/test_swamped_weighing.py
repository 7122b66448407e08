"""The weight list against the boat on two scales."""

from dataclasses import replace

import pytest
from small_boats import HULL, RAIL, SOLE, skiff, skiff_foam

from flotation.boat import Role, Scale, Weighing, Weight
from flotation.errors import InputError
from flotation.swamped.assess import assess
from flotation.swamped.weighing import ADOPTED, Reconciled, reconcile

ABOARD = frozenset({Role.STRUCTURE})
LISTED = (HULL, SOLE, RAIL)
MASS = sum(entry.mass for entry in LISTED)
X = sum(entry.mass * entry.at[0] for entry in LISTED) / MASS


def on_scales(mass: float, x: float, *, adopt: bool = True) -> Weighing:
    """What scales at 0.5 and 3.5 m show of a boat of this mass with its centre at x."""
    forward = mass * (x - 0.5) / 3.0
    return Weighing(Scale(0.5, mass - forward), Scale(3.5, forward), ABOARD, adopt)


def weighed(mass: float, x: float, *, adopt: bool = True) -> Reconciled:
    return reconcile(skiff().weights, on_scales(mass, x, adopt=adopt), 4.6)


def found(lines: Reconciled) -> dict[str, float]:
    return {line.label: line.value for line in lines.settled.section.lines}


def test_scales_give_mass_and_centre() -> None:
    lines = found(weighed(240.0, 1.7))
    assert lines["Weighed"] == pytest.approx(240.0)
    assert lines["Weighed, x of the centre"] == pytest.approx(1.7)


def test_a_heavier_boat_carries_the_difference_where_the_scales_put_it() -> None:
    extra, at = 20.0, 3.0
    mass = MASS + extra
    result = weighed(mass, (MASS * X + extra * at) / mass)
    adopted = result.settled.weights[-1]
    assert adopted.item == ADOPTED
    assert adopted.mass == pytest.approx(extra)
    assert adopted.at[0] == pytest.approx(at)
    assert adopted.at[2] == pytest.approx(sum(e.mass * e.at[2] for e in LISTED) / MASS)
    assert not adopted.below_water
    assert adopted.role is Role.STRUCTURE


def test_an_adopted_difference_asks_for_its_full_mass() -> None:
    weighing = on_scales(MASS + 20.0, X)
    with_it = assess(replace(skiff(), weighing=weighing), skiff_foam())
    without = assess(skiff(), skiff_foam())
    asked = with_it.verdicts[0].required - without.verdicts[0].required
    assert asked == pytest.approx(20.0)
    assert any(ADOPTED in text for text in with_it.assumptions)


def test_a_difference_that_is_not_adopted_is_only_reported() -> None:
    result = weighed(MASS + 20.0, X, adopt=False)
    assert result.settled.weights == skiff().weights
    assert any("not adopted" in text for text in result.settled.assumptions)
    assert "20 kg" in result.finding.found


def test_a_lighter_boat_is_given_no_credit() -> None:
    result = weighed(MASS - 20.0, X)
    assert result.settled.weights == skiff().weights
    assert any("the list stands" in text for text in result.settled.assumptions)


def test_a_boat_as_heavy_as_its_list_has_no_difference_to_place() -> None:
    result = weighed(MASS, X + 0.1)
    assert result.settled.weights == skiff().weights
    assert "Weighed less listed, x" not in found(result)


def test_a_difference_that_would_lie_outside_the_boat_points_at_the_list() -> None:
    assert "outside the boat" in weighed(MASS + 1.0, X + 0.1).finding.found
    assert "outside the boat" not in weighed(MASS + 20.0, X).finding.found


def toleranced(share: float) -> tuple[Weight, ...]:
    return tuple(replace(entry, tolerance=share * entry.mass) for entry in LISTED)


@pytest.mark.parametrize(("share", "heeded"), [(0.10, True), (0.05, False)])
def test_a_difference_is_held_against_the_stated_tolerances(share: float, heeded: bool) -> None:
    weighing = on_scales(MASS * 1.08, X)
    assert reconcile(toleranced(share), weighing, 4.6).finding.heeded is heeded


def test_without_tolerances_nobody_can_say_whether_a_difference_is_large() -> None:
    assert weighed(MASS + 20.0, X).finding.heeded is None


def test_a_weighing_of_nothing_is_refused() -> None:
    weighing = replace(on_scales(100.0, 2.0), roles=frozenset({Role.PERMANENT_TANK}))
    with pytest.raises(InputError, match="nothing of the weight list was aboard"):
        assess(replace(skiff(), weighing=weighing), skiff_foam())


def test_a_place_is_told_only_for_a_difference_that_matters() -> None:
    small = on_scales(MASS * 1.01, X, adopt=False)
    within = reconcile(toleranced(0.05), small, 4.6).finding
    assert within.heeded
    assert "x =" not in within.found
    assert "x =" in reconcile(toleranced(0.001), small, 4.6).finding.found


def test_a_lighter_boat_is_told_as_lighter() -> None:
    assert "20 kg (44.1 lb) less than the list" in weighed(MASS - 20.0, X).finding.found


def test_masses_that_agree_do_not_hide_a_centre_that_does_not() -> None:
    spread = toleranced(0.05)
    explained = sum(0.05 * e.mass * abs(e.at[0] - X) for e in LISTED)  # kg m
    for shift, heeded in ((0.99 * explained / MASS, True), (-1.01 * explained / MASS, None)):
        finding = reconcile(spread, on_scales(MASS, X + shift, adopt=False), 4.6).finding
        assert finding.heeded is heeded
        assert ("look at the places" in finding.found) is (heeded is None)
    far = reconcile(spread, on_scales(MASS, X - 0.1, adopt=False), 4.6).finding
    assert "the scales put the centre 100 mm aft of the list's" in far.found
    near = reconcile(spread, on_scales(MASS, X + 0.0004, adopt=False), 4.6).finding
    assert "within 0.5 mm of each other" in near.found
