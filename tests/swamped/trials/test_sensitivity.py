"""First-order moves of a rest against the rest found anew."""

import math
from dataclasses import replace

import numpy as np
import pytest
from afloat_boats import afloat_skiff, basin
from pytest import approx
from small_boats import skiff_foam

from flotation.boat import Boat
from flotation.equilibrium.bodies import Rest
from flotation.swamped.books import load_books
from flotation.swamped.trials.cases import cases
from flotation.swamped.trials.immersed import immersed
from flotation.swamped.trials.runs import Run, from_keel_down
from flotation.swamped.trials.sensitivity import moved_by_tolerances, spread_over

PORT = cases("level", load_books().law)[1]
SHARE = 0.002


def run_of(boat: Boat) -> tuple[Run, Rest, tuple, float]:
    tank = basin(boat, skiff_foam())
    ready = tank.ready(PORT, replace(tank.swamped.stated, machinery_dry=True, dead_weight=False))
    run = from_keel_down(ready)
    assert isinstance(run, Run)
    assert run.rest is not None
    return run, run.rest, ready.pieces, tank.water


@pytest.mark.parametrize("item", ["hull laminate", "sole", "rail", "battery"])
def test_a_tolerance_moves_the_water_as_a_new_search_finds_it(item: str) -> None:
    """Sheets, wood, a lump above the water, and a battery in a box: mass and volume together."""
    boat = afloat_skiff()
    run, rest, pieces, water = run_of(boat)
    parts = immersed(pieces, run.normal, run.offset)
    (moved,) = moved_by_tolerances(rest, parts, {item: SHARE}, water)
    heavier = tuple(
        replace(w, mass=w.mass * (1.0 + SHARE)) if w.item == item else w for w in boat.weights
    )
    again, *_ = run_of(replace(boat, weights=heavier))
    normal, offset = moved.surfaces[0]
    found = np.array(again.normal) - np.array(run.normal)
    told = np.array(normal) - np.array(run.normal)
    assert told == approx(found, rel=0.02, abs=2e-7)
    assert offset - run.offset == approx(again.offset - run.offset, rel=0.02, abs=2e-7)
    assert abs(offset - run.offset) > 1e-6


def test_the_other_way_is_the_opposite() -> None:
    run, rest, pieces, water = run_of(afloat_skiff())
    parts = immersed(pieces, run.normal, run.offset)
    (moved,) = moved_by_tolerances(rest, parts, {"hull laminate": 1e-4}, water)
    up, down = (np.array(surface[0]) - np.array(run.normal) for surface in moved.surfaces)
    assert up == approx(-down, rel=1e-3)


def test_spreads_add_up_item_by_item() -> None:
    run, rest, pieces, water = run_of(afloat_skiff())
    parts = immersed(pieces, run.normal, run.offset)

    def heel(normal, offset):
        return (math.atan2(normal[1], normal[2]),)

    shares = {"hull laminate": 0.04, "sole": 0.05, "rail": 0.1}
    each = [
        spread_over(moved_by_tolerances(rest, parts, {item: share}, water), rest, heel)[0]
        for item, share in shares.items()
    ]
    (whole,) = spread_over(moved_by_tolerances(rest, parts, shares, water), rest, heel)
    assert whole == approx(sum(each))
    assert min(each) > 0.0
