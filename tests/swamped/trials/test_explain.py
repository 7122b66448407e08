"""Moments by weight and by cavity, and what would mend a boat that turns over."""

import math
from dataclasses import replace

import pytest
from afloat_boats import afloat_skiff, basin, low_skiff, raft, worked
from pytest import approx
from small_boats import cavity, poured, skiff_foam

from flotation.equilibrium.righting import righting_arms
from flotation.geometry.shapes import box
from flotation.swamped.assessment import Outcome
from flotation.swamped.books import load_books
from flotation.swamped.trials import in_the_water
from flotation.swamped.trials.cases import cases
from flotation.swamped.trials.explain import explain, held_at_heel, held_at_rest
from flotation.swamped.trials.level_tests import simulate

LEVEL = {case.name: case for case in cases("level", load_books().law)}


@pytest.mark.parametrize("name", ["183.230, port", "183.230, starboard"])
def test_the_moments_add_up_to_what_turns_the_boat_back(name: str) -> None:
    tank = basin(*low_skiff())
    done = simulate(tank, LEVEL[name])
    ready = tank.ready(done.case, done.choice)
    held = held_at_heel(ready, done.trial, done.case.heel.value)
    assert held is not None
    whole = math.fsum(one.moment for one in held.moments())
    side = -1.0 if name.endswith("port") else 1.0
    curve = righting_arms(
        [piece.body for piece in ready.pieces], ready.water, [side * done.case.heel.value]
    )
    assert whole == approx(side * float(curve.moments[0]), abs=1e-4)
    assert whole < 0.0
    told = explain(tank, done)
    assert told.missing == approx(-whole)
    assert told.unit == "N m"


def test_at_rest_the_moments_fore_and_aft_add_up_to_nothing() -> None:
    tank = basin(afloat_skiff(), skiff_foam())
    done = simulate(tank, LEVEL["183.235"])
    held = held_at_rest(tank.ready(done.case, done.choice), done.trial)
    found = {one.item: one for one in held.moments()}
    assert math.fsum(one.moment for one in found.values()) == approx(0.0, abs=1e-4)
    assert found["outboard"].moment > 0.0  # at the transom it lifts the bow


def test_persons_on_a_side_turn_the_boat_to_that_side() -> None:
    tank = basin(*low_skiff())
    for name in ("183.230, port", "183.230, starboard"):
        told = explain(tank, simulate(tank, LEVEL[name]))
        assert told.sentence.startswith("turns over and floats bottom up; held at 30° to")
        assert {one.item: one.moment for one in told.contributions}["persons"] < 0.0
        assert "persons" in told.sentence


def test_a_mirrored_failure_has_mirrored_reasons() -> None:
    tank = basin(*low_skiff())
    here, there = (
        explain(tank, simulate(tank, LEVEL[f"183.230, {side}"])) for side in ("port", "starboard")
    )
    assert here.missing == approx(there.missing, rel=1e-6)
    assert here.heel == approx(-there.heel)


def test_foam_in_the_empty_sides_mends_the_low_skiff() -> None:
    boat, foam = low_skiff()
    found = in_the_water(worked(boat, foam))
    move, again = found.mending
    assert "foam moved from grid to side port and side starboard" in move
    assert "makes up the" in move
    assert "every limit of the tests is met" in again
    filled = (*foam, *(entry for entry in skiff_foam() if entry.cavity != "grid"))
    assert all(one.meets for one in in_the_water(worked(boat, filled)).trials)


def test_the_sentence_to_remember_names_what_happens_and_why() -> None:
    found = in_the_water(worked(*low_skiff()))
    assert found.remember.startswith("Enough foam in the wrong place: ")
    assert "turns over in 183.230, port; 183.230, starboard" in found.remember
    assert "100 % of its foam lies under the sole" in found.remember
    assert in_the_water(worked(afloat_skiff(), skiff_foam())).remember == ""


def test_without_an_empty_cavity_the_sides_are_named() -> None:
    boat, foam = low_skiff()
    (said,) = in_the_water(worked(replace(boat, cavities=boat.cavities[:1]), foam)).mending
    assert said.startswith("No cavity is left empty to move foam to. At both hull sides")


def test_a_boat_that_sinks_is_told_how_much_foam_it_lacks() -> None:
    boat, _ = raft(1600.0, 0.2)
    small = poured("slab", box((1.0, -0.8, 0.0), (2.0, 1.6, 0.5)))
    bow = box((3.2, -0.8, 0.0), (0.5, 1.6, 0.5), name="bow")
    boat = replace(boat, cavities=(*boat.cavities, cavity("bow", bow)))
    found = in_the_water(worked(boat, (small,)))
    assert found.trials[0].outcome is Outcome.SINKS
    assert found.explanations[0].unit == "kg"
    assert found.explanations[0].missing == approx(found.trials[0].lacking)
    (said,) = found.mending
    assert "bow hold 0.400 m³" in said or "bow hold 0.4 m³" in said
    assert found.remember == ""


def test_an_end_too_deep_is_explained_by_what_pulls_it_down() -> None:
    """All foam forward of the middle: the motor pulls the stern under."""
    boat = afloat_skiff()
    ahead = box((1.9, -0.85, 0.3), (2.2, 1.7, 0.3), name="ahead")
    boat = replace(boat, cavities=(cavity("ahead", ahead),))
    found = in_the_water(worked(boat, (poured("ahead", ahead),)))
    empty = next(one for one in found.trials if one.section == "183.235")
    told = next(one for one in found.explanations if one.trial == empty.name)
    assert empty.verdicts[0].meets
    assert not empty.verdicts[2].meets
    assert "what pulls the aft end down most: " in told.sentence
    assert told.missing > 0.0
