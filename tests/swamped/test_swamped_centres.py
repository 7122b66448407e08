"""Centres of what lifts against centres of what weighs."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_boats import HULL, MOTOR, SIDE, SOLIDS, cavity, mirrored, poured, skiff, skiff_foam

from flotation.boat import FoamInPlace
from flotation.geometry.shapes import mirrored as mirrored_solid
from flotation.swamped.assess import assess
from flotation.swamped.assessment import Assessment

OFFSETS = st.floats(-0.8, 0.8)


def levers(result: Assessment) -> dict[str, float]:
    names = ("Trim moment, bow up", "Heel moment, to starboard")
    return {line.label: line.value for line in result.lines if line.label in names}


def one_sided(y: float) -> tuple:
    hull, *others = skiff().weights
    return (replace(hull, at=(hull.at[0], y, hull.at[2])), *others)


def foam_of_both(density_port: float, density_starboard: float) -> list[FoamInPlace]:
    return [
        poured("side port", SIDE, density_port),
        poured("side starboard", mirrored_solid(SIDE), density_starboard),
    ]


@given(OFFSETS, st.floats(30.0, 200.0), st.floats(30.0, 200.0))
def test_a_mirrored_boat_has_mirrored_levers(y: float, port: float, starboard: float) -> None:
    boat = replace(skiff(), weights=one_sided(y))
    was = levers(assess(boat, foam_of_both(port, starboard)))
    now = levers(assess(mirrored(boat), foam_of_both(starboard, port)))
    assert now["Heel moment, to starboard"] == pytest.approx(
        -was["Heel moment, to starboard"], abs=1e-9
    )
    assert now["Trim moment, bow up"] == pytest.approx(was["Trim moment, bow up"], abs=1e-9)


def test_a_symmetrical_boat_has_no_heel_lever() -> None:
    assert levers(assess(skiff(), skiff_foam()))["Heel moment, to starboard"] == pytest.approx(0.0)


def test_weight_to_port_heels_to_port() -> None:
    result = assess(replace(skiff(), weights=one_sided(0.5)), skiff_foam())
    assert levers(result)["Heel moment, to starboard"] < -10.0


def test_weight_aft_of_the_lift_trims_the_bow_up() -> None:
    aft = replace(MOTOR, at=(-3.0, 0.0, 0.5))
    now = assess(replace(skiff(), weights=(HULL, aft)), skiff_foam())
    was = assess(replace(skiff(), weights=(HULL, MOTOR)), skiff_foam())
    assert levers(now)["Trim moment, bow up"] > levers(was)["Trim moment, bow up"] + 100.0


def test_levers_of_a_boat_that_can_be_worked_out_by_head() -> None:
    """Foam at (1.9, 0.75, 0.5); hull, motor and load at (2, 0.25), (-0.15, 0.55), (1.9, 0.4016)."""
    boat = replace(skiff(), weights=(HULL, MOTOR), cavities=(cavity("side port", SIDE),))
    balance = assess(boat, (poured("side port", SIDE),)).balance
    assert balance is not None
    assert balance.lift_centre == pytest.approx((1.9, 0.75, 0.5))
    load = balance.weight - 67.5 - 62.0
    x = (67.5 * 2.0 - 62.0 * 0.15 + load * 1.9) / balance.weight
    z = (67.5 * 0.25 + 62.0 * 0.55 + load * (0.3 + 0.1016)) / balance.weight
    assert balance.weight_centre == pytest.approx((x, 0.0, z))


def test_wood_with_its_physical_sign_joins_what_lifts() -> None:
    method = replace(skiff().method, wood_lifts=True)
    result = assess(replace(skiff(), method=method), skiff_foam())
    labels = [line.label for line in result.lines]
    assert "w2 sole, under water, as lift" in labels
    assert result.balance is not None
    foam = sum(cavity.net_lift for cavity in result.cavities)
    assert result.balance.lift == pytest.approx(foam + 24.0 * 0.81)


def test_without_foam_there_is_no_balance() -> None:
    assert assess(skiff(), ()).balance is None


def test_lift_below_the_weight_is_told() -> None:
    low = assess(skiff(), (poured("grid", SOLIDS["grid"]),))
    (finding,) = (f for f in low.findings if "acts above" in f.advice)
    assert finding.heeded is None
    assert "below the weight" in finding.found
    high = assess(skiff(), (poured("side port", SIDE),))
    (finding,) = (f for f in high.findings if "acts above" in f.advice)
    assert finding.heeded is True
