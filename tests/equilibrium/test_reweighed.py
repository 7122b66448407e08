"""A boat weighed many times comes to the rests that each list of masses has alone."""

import math
from dataclasses import replace

import numpy as np
import pytest
from floating_shapes import WATER, boat, box
from hypothesis import given, settings
from hypothesis import strategies as st

from flotation.equilibrium.balance import let_go
from flotation.equilibrium.bodies import Body, Rest, Sinks
from flotation.equilibrium.buoyancy import buoyancy
from flotation.equilibrium.immersion import set_afloat
from flotation.equilibrium.reweighed import float_reweighed, recentred
from flotation.equilibrium.solver import float_freely

BARGE = [
    box((4.0, 1.8, 0.5), (0.0, 0.0, 0.25), 900.0),
    Body(120.0, (1.0, 0.2, 0.4)),
    Body(80.0, (-1.2, -0.3, 0.6)),
]


def weighed(bodies: list[Body], row: list[float]) -> list[Body]:
    return [replace(body, mass=mass) for body, mass in zip(bodies, row, strict=True)]


def spread(bodies: list[Body], share: float, rows: int, seed: int) -> np.ndarray:
    chance = np.random.default_rng(seed)
    masses = np.array([body.mass for body in bodies])
    return np.asarray(masses * chance.normal(1.0, share, size=(rows, len(bodies))))


def assert_same(found: Rest | Sinks, alone: Rest | Sinks) -> None:
    if isinstance(alone, Sinks):
        assert found == alone
        return
    assert isinstance(found, Rest)
    assert found.normal == pytest.approx(alone.normal, abs=1e-9)
    assert found.offset == pytest.approx(alone.offset, abs=1e-9)
    assert found.gm == pytest.approx(alone.gm, abs=1e-7)
    assert found.mass == alone.mass
    assert found.stability is alone.stability
    assert found.force_residual <= 1e-9
    assert found.moment_residual <= 1e-9


def test_each_list_of_masses_comes_to_the_rest_that_it_has_alone() -> None:
    masses = spread(BARGE, 0.05, 12, 3)
    for found, row in zip(float_reweighed(BARGE, WATER, masses), masses.tolist(), strict=True):
        assert_same(found, float_freely(weighed(BARGE, row), WATER))


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_a_boat_of_any_shape_agrees_with_itself_alone(seed: int) -> None:
    bodies = boat(seed)
    masses = spread(bodies, 0.01, 2, seed)
    for rest, row in zip(float_reweighed(bodies, WATER, masses), masses.tolist(), strict=True):
        assert isinstance(rest, Rest)
        again = float_freely(weighed(bodies, row), WATER, start=rest.normal)
        assert_same(rest, again)


def test_two_processes_give_the_same_numbers_to_the_last_bit() -> None:
    masses = spread(BARGE, 0.05, 5, 8)
    one = float_reweighed(BARGE, WATER, masses)
    two = float_reweighed(BARGE, WATER, masses, processes=2)
    told = [(r.normal, r.offset, r.gm, r.energy) for r in one if isinstance(r, Rest)]
    assert len(told) == 5
    assert told == [(r.normal, r.offset, r.gm, r.energy) for r in two if isinstance(r, Rest)]


def test_a_list_that_sinks_the_boat_says_so_and_the_others_float() -> None:
    sinks, floats = float_reweighed(BARGE, WATER, [[3500.0, 120.0, 80.0], [900.0, 120.0, 80.0]])
    assert isinstance(sinks, Sinks)
    assert sinks.lacking == pytest.approx(100.0)
    assert isinstance(floats, Rest)


def test_a_boat_that_sinks_as_stated_is_let_go_keel_down_when_it_is_lighter() -> None:
    heavy = weighed(BARGE, [3700.0, 120.0, 80.0])
    (found,) = float_reweighed(heavy, WATER, [[900.0, 120.0, 80.0]])
    assert_same(found, float_freely(BARGE, WATER))


def test_a_list_that_turns_the_boat_over_is_not_held_upright() -> None:
    """Weight high up: the upright valley is gone, and keel down decides where it goes."""
    tall = [box((3.0, 1.0, 0.6), (0.0, 0.0, 0.3), 700.0), Body(50.0, (0.0, 0.05, 0.9))]
    stated = float_freely(tall, WATER)
    assert isinstance(stated, Rest)
    assert abs(stated.heel) < math.radians(8.0)
    row = [700.0, 600.0]
    alone = float_freely(weighed(tall, row), WATER)
    assert isinstance(alone, Rest)
    assert abs(alone.heel) > math.radians(30.0)
    assert_same(float_reweighed(tall, WATER, [row])[0], alone)


def test_the_balance_about_another_centre_is_the_one_found_there() -> None:
    bodies = boat(5)
    joined = buoyancy(bodies)
    there = let_go(bodies, WATER, joined)
    row = (np.array([body.mass for body in bodies]) * [1.1, 0.9, 1.2, 0.7, 1.3]).tolist()
    here = let_go(weighed(bodies, row), WATER, joined)
    assert not isinstance(there, Sinks)
    assert not isinstance(here, Sinks)
    attitude = set_afloat(there, (0.2, -0.3, 1.0))
    told = recentred(attitude, here)
    asked = here.at(attitude.normal, told.depth)
    assert told.offset == pytest.approx(attitude.offset, abs=1e-12)
    assert told.volume == pytest.approx(asked.volume, abs=1e-12)
    assert told.moment == pytest.approx(asked.moment, abs=1e-12)
    assert told.plane.first == pytest.approx(asked.plane.first, abs=1e-12)
    assert told.plane.second == pytest.approx(asked.plane.second, abs=1e-12)


def test_masses_of_another_shape_and_no_process_at_all_are_refused() -> None:
    with pytest.raises(ValueError, match="rows of 3 numbers"):
        float_reweighed(BARGE, WATER, [[900.0, 120.0]])
    with pytest.raises(ValueError, match="at least one process"):
        float_reweighed(BARGE, WATER, [[900.0, 120.0, 80.0]], processes=0)
