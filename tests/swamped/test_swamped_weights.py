"""Sums over the weight list, and foam that was in the hull when it was weighed."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_boats import HULL, MOTOR, RAIL, SOLE, skiff, skiff_foam, weight

from flotation.errors import InputError
from flotation.swamped.assess import assess
from flotation.swamped.burdens import number_weights
from flotation.swamped.weights import mass_and_centre, take_foam_off

FOAM = skiff_foam()
POURED = sum(entry.mass for entry in FOAM)
PLACES = st.tuples(st.floats(-5.0, 5.0), st.floats(-2.0, 2.0), st.floats(-1.0, 2.0))
PARTS = st.lists(st.tuples(st.floats(0.1, 500.0), PLACES), min_size=1, max_size=6)


@given(PARTS)
def test_mass_and_centre_of_any_list(parts: list) -> None:
    listed = number_weights([weight("part", mass, at=at) for mass, at in parts])
    mass, centre = mass_and_centre("Parts", listed)
    masses = np.array([part[0] for part in parts])
    places = np.array([part[1] for part in parts])
    assert mass.value == pytest.approx(masses.sum())
    assert [line.value for line in centre] == pytest.approx(
        np.average(places, axis=0, weights=masses), abs=1e-9
    )


def test_a_hull_weighed_before_the_pour_is_left_alone() -> None:
    assert take_foam_off(skiff(), skiff().weights, FOAM) is None
    assert take_foam_off(replace(skiff(), hull_has_foam=True), skiff().weights, ()) is None


def test_foam_in_the_hulls_weight_counts_once() -> None:
    """Weighed after the pour, the hull is heavier by its foam; the answer is the same."""
    x, y, z = (
        (HULL.mass * HULL.at[i] + sum(f.mass * float(f.solid.centroid[i]) for f in FOAM))
        / (HULL.mass + POURED)
        for i in range(3)
    )
    heavier = replace(HULL, mass=HULL.mass + POURED, at=(x, y, z))
    before = assess(skiff(), FOAM)
    weights = (heavier, *skiff().weights[1:])
    after = assess(replace(skiff(), weights=weights, hull_has_foam=True), FOAM)
    for was, now in zip(before.verdicts, after.verdicts, strict=True):
        assert now.margin == pytest.approx(was.margin, abs=1e-9)
    assert before.balance is not None
    assert after.balance is not None
    assert after.balance.weight_centre == pytest.approx(before.balance.weight_centre, abs=1e-9)
    assert any("hull laminate, the heaviest structure" in text for text in after.assumptions)


def test_foam_heavier_than_its_hull_is_refused() -> None:
    light = replace(HULL, mass=POURED / 2.0)
    boat = replace(skiff(), weights=(light, MOTOR), hull_has_foam=True)
    with pytest.raises(InputError, match="no structure entry is heavier than the foam"):
        take_foam_off(boat, boat.weights, FOAM)


def test_the_foam_comes_off_the_heaviest_structure_entry_and_off_no_other() -> None:
    settled = take_foam_off(replace(skiff(), hull_has_foam=True), (SOLE, RAIL, HULL, MOTOR), FOAM)
    assert settled is not None
    masses = [entry.mass for entry in settled.weights]
    assert masses == [SOLE.mass, RAIL.mass, pytest.approx(HULL.mass - POURED), MOTOR.mass]
