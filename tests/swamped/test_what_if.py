"""A supposition is the boat with one thing changed, through the same calculation."""

from dataclasses import replace

import pytest
from afloat_boats import afloat_skiff, raft
from small_boats import skiff, skiff_foam

from flotation.boat import Role
from flotation.swamped.assess import assess, verdicts_without_tests
from flotation.swamped.what_if import (
    Changed,
    Stated,
    denser_foam,
    heavier_motor,
    heavier_structure,
    more_persons,
    wet_foam,
    what_if,
)


def heavier_by_hand(boat, kilograms: float):
    weights = tuple(
        replace(one, mass=one.mass + kilograms, swamped_mass=one.swamped_mass + kilograms)
        if one.role is Role.MOTOR
        else one
        for one in boat.weights
    )
    return replace(boat, weights=weights)


def test_a_heavier_motor_gives_the_margins_of_the_boat_that_has_it() -> None:
    boat, foam = skiff(), skiff_foam()
    found = what_if(boat, foam)
    (row,) = [one for one in found.rows if one.change == "20 kg heavier"]
    own = assess(heavier_by_hand(boat, 20.0), foam).verdicts
    assert [(one.name, one.margin, one.meets) for one in row.limits] == [
        (one.name, one.margin, one.meets) for one in own
    ]
    assert found.as_stated.limits[0].margin - row.limits[0].margin == pytest.approx(20.0, abs=5.0)


def test_as_stated_are_the_limits_of_the_assessment() -> None:
    boat, foam = skiff(), skiff_foam()
    assert verdicts_without_tests(boat, foam) == assess(boat, foam).verdicts
    stated = what_if(boat, foam).as_stated
    assert [one.margin for one in stated.limits] == [
        one.margin for one in assess(boat, foam).verdicts
    ]
    assert stated.test is None  # this boat file draws nothing for the tests


@pytest.fixture(scope="module")
def afloat():
    boat = afloat_skiff()
    return boat, tuple(skiff_foam())


CHANGES = {
    "motor": lambda floating: heavier_motor(floating, 15.0),
    "denser": lambda floating: denser_foam(floating, 0.2),
    "wet": lambda floating: wet_foam(floating, 0.05),
    "persons": lambda floating: more_persons(floating, 1.0),
}


@pytest.mark.parametrize("kind", CHANGES)
def test_pieces_made_heavier_float_as_pieces_made_anew(kind: str, afloat) -> None:
    stated, changed = Stated(afloat), CHANGES[kind](afloat)
    assert changed.pieces is not None
    quick = stated.test("", "", changed)
    anew = stated.test("", "", Changed(changed.floating))
    assert quick is not None
    assert anew is not None
    assert (quick.worst, quick.outcome) == (anew.worst, anew.outcome)
    assert (quick.heel, quick.depth, quick.left) == pytest.approx(
        (anew.heel, anew.depth, anew.left), abs=1e-6
    )


def test_the_reach_is_where_a_limit_is_lost_within_the_step(afloat) -> None:
    found = what_if(*afloat)
    assert found.as_stated.test is not None
    for reach, change, step in zip(
        found.reaches,
        (heavier_motor, heavier_structure, wet_foam),
        (0.5, 0.005, 0.005),
        strict=True,
    ):
        assert reach.most is not None
        stated = Stated(afloat)
        assert stated.supposed("", "", change(afloat, reach.most)).meets
        if reach.first:
            assert not stated.supposed("", "", change(afloat, reach.most + step)).meets
    assert any(reach.first for reach in found.reaches)


def test_a_boat_that_turns_over_as_stated_is_not_tested_further() -> None:
    boat, foam = raft(1200.0, 1.6)
    found = what_if(boat, foam)
    assert found.as_stated.test is not None
    assert not found.as_stated.test.meets
    assert all(row.test is None for row in found.rows)
    assert all(reach.most is None for reach in found.reaches)
    assert {reach.first for reach in found.reaches} == {found.as_stated.test.worst}


def test_a_boat_without_motor_or_foam_is_asked_less() -> None:
    boat = skiff()
    weights = tuple(one for one in boat.weights if one.role is not Role.MOTOR)
    rowed = replace(boat, weights=weights, propulsion=type(boat.propulsion).MANUAL, rated_power=0.0)
    found = what_if(rowed, ())
    assert [row.group for row in found.rows] == ["all structure", "plate"]
    assert [reach.what for reach in found.reaches] == ["all structure heavier by"]
