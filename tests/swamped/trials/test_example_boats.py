"""The example skiff meets every limit, and its twin with the foam low says why it does not."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from flotation import assess, plan_pours, read_boat
from flotation.boat import Boat, FoamInPlace, Weight
from flotation.swamped.afloat import beyond_the_regulation
from flotation.swamped.assessment import Assessment, Outcome

MESHES = Path(__file__).parents[3] / "meshes" / "skiff"


@cache
def example(name: str) -> tuple[Boat, tuple[FoamInPlace, ...]]:
    boat = read_boat(MESHES / name)
    return boat, plan_pours(boat).foam


@cache
def assessed(name: str) -> Assessment:
    return assess(*example(name))


def scaled(weight: Weight, share: float) -> Weight:
    swamped = None if weight.swamped_mass is None else share * weight.swamped_mass
    return replace(weight, mass=share * weight.mass, swamped_mass=swamped)


def test_the_skiff_meets_every_limit_of_every_test() -> None:
    found = assessed("skiff.toml")
    assert [one.name for one in found.trials] == [
        "183.225",
        "183.230, port",
        "183.230, starboard",
        "183.235",
    ]
    assert all(verdict.meets and verdict.decided for verdict in found.limits)
    assert found.meets
    assert found.explanations == ()
    assert found.remember == ""


@pytest.mark.parametrize("share", [0.95, 1.05])
def test_its_verdicts_survive_weights_that_are_five_per_cent_off(share: float) -> None:
    boat, foam = example("skiff.toml")
    changed = replace(boat, weights=tuple(scaled(weight, share) for weight in boat.weights))
    found = assess(changed, foam)
    assert all(one.meets for trial in found.trials for one in trial.verdicts)


def test_sheets_and_weight_list_of_the_skiff_agree() -> None:
    found = [one for one in assessed("skiff.toml").findings if "sheets weigh" in one.advice]
    assert len(found) == 5
    assert all(one.heeded for one in found)


def test_the_twin_has_more_foam_than_is_asked_for_and_turns_over() -> None:
    found = assessed("skiff_foam_low.toml")
    assert all(verdict.meets for verdict in found.verdicts)
    assert not found.meets
    assert {one.name: one.outcome for one in found.trials}["183.225"] is Outcome.TURTLE
    assert found.remember.startswith("Enough foam in the wrong place: ")
    assert "it lifts from below what it has to hold upright" in found.remember
    assert {one.trial for one in found.explanations} == {
        one.name for one in found.trials if not one.meets
    }
    assert "side port and side starboard filled" in found.mending[-1]
    assert "without foam in grid transverse aft, bay aft" in found.mending[-1]
    assert "every limit of the tests is met" in found.mending[-1]


@pytest.mark.parametrize("share", [0.95, 1.05])
def test_the_twin_turns_over_with_weights_five_per_cent_off_too(share: float) -> None:
    boat, foam = example("skiff_foam_low.toml")
    changed = replace(boat, weights=tuple(scaled(weight, share) for weight in boat.weights))
    trials = {one.name: one for one in assess(changed, foam).trials}
    assert trials["183.230, starboard"].outcome is Outcome.TURTLE


def test_the_empty_twin_stands_as_stated() -> None:
    """A boat that stands empty and turns over with people: the case of which the sentence warns."""
    (empty,) = [one for one in assessed("skiff_foam_low.toml").trials if one.section == "183.235"]
    stated = next(one for one in empty.tried if one.words == "as stated")
    assert stated.meets
    assert abs(stated.heel or 0.0) < math.radians(10.0)


def test_beyond_the_regulation_the_skiff_needs_both_sides() -> None:
    found = beyond_the_regulation(*example("skiff.toml"))
    assert found is not None
    lost = {one.change: one for one in found.rows if one.group == "foam lost"}
    assert not lost["side port"].meets
    assert not lost["side starboard"].meets
    assert lost["tank bay"].meets
    assert found.intact is not None
    assert found.intact.to_opening > 2100.0  # kg, the maximum displacement of its plate
