"""The sheet of a test in real water, and the way back from what was measured."""

import math
from dataclasses import replace

import pytest
from afloat_boats import afloat_skiff, basin, raft
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from small_boats import skiff, skiff_foam

from flotation.equilibrium.bodies import Body
from flotation.equilibrium.solver import float_freely
from flotation.errors import InputError
from flotation.rulebook import materials
from flotation.swamped.afloat import reconcile_swamp_test, swamp_test_sheets
from flotation.swamped.books import load_books
from flotation.swamped.trials.cases import cases
from flotation.swamped.trials.condition import Kind, Piece
from flotation.swamped.trials.reference import depth_at

BOAT, FOAM = afloat_skiff(), skiff_foam()
SHEETS = {sheet.name: sheet for sheet in swamp_test_sheets(BOAT, FOAM)}


def foretold(name: str) -> dict[str, float]:
    return {mark.name: mark.depth for mark in SHEETS[name].marks}


def test_dry_weights_are_what_gives_the_weight_under_water() -> None:
    sheet = SHEETS["183.225"]
    assert sheet.material == "steel"
    for put in sheet.weights:
        assert put.submerged == approx(0.87 * put.dry)
    lead = swamp_test_sheets(BOAT, FOAM, materials()["lead"])[0]
    assert lead.weights[0].dry == approx(sheet.weights[0].submerged / 0.91)


def test_the_places_of_a_load_have_its_centre_and_its_sum() -> None:
    tank = basin(BOAT, FOAM)
    for case, count in (("183.225", 4), ("183.230, port", 2)):
        persons = [put for put in SHEETS[case].weights if put.stands_for == "persons"]
        share, side = (1.0, "") if count == 4 else (0.5, "port")
        load = tank.loads.aboard(share, side, tank.swamped.stated)[0].body
        assert len(persons) == count
        assert sum(put.submerged for put in persons) == approx(load.mass)
        for axis in range(3):
            centre = sum(put.submerged * put.at[axis] for put in persons) / load.mass
            assert centre == approx(load.at[axis])
    assert not any(put.stands_for == "persons" for put in SHEETS["183.235"].weights)


def test_the_sheet_says_what_to_do_and_when_to_stop() -> None:
    sheet = SHEETS["183.230, port"]
    assert "18 h" in sheet.before[0]
    assert sheet.stop[0] == "the heel passes 30°"
    assert any("both reference areas are under water" in text for text in sheet.stop)
    assert len(sheet.marks) == 8


def test_measured_as_foretold_the_model_stands() -> None:
    found = reconcile_swamp_test(BOAT, FOAM, "183.230, port", foretold("183.230, port"))
    sheet = SHEETS["183.230, port"]
    assert found.heel == approx(sheet.heel, abs=1e-9)
    assert found.trim == approx(sheet.trim, abs=1e-9)
    assert found.added == approx(0.0, abs=1e-6)
    assert found.off_plane == approx(0.0, abs=1e-12)
    assert found.at is None
    assert found.sentence == "the boat weighs what the model says, within 0.1 kg (0.220 lb)"


@settings(max_examples=15, deadline=None)
@given(
    mass=st.floats(2.0, 25.0),
    x=st.floats(0.8, 3.2),
    y=st.floats(-0.5, 0.5),
)
def test_a_weight_that_the_model_lacks_is_found_where_it_lies(mass, x, y) -> None:
    """The boat is set afloat with a weight more; from its depths the weight is found again."""
    tank = basin(BOAT, FOAM)
    case = cases("level", load_books().law)[0]
    ready = tank.ready(case, tank.swamped.stated)
    sole = BOAT.passenger_area.sole
    more = Piece(Kind.LOAD, "forgotten", Body(mass, (x, y, sole)))
    rest = float_freely([p.body for p in (*ready.pieces, more)], ready.water)
    tops = (("forward", tank.top.forward), ("aft", tank.top.aft))
    measured = {
        f"{end} {i}": depth_at(point, rest.normal, rest.offset)
        for end, points in tops
        for i, point in enumerate(points, start=1)
    }
    found = reconcile_swamp_test(BOAT, FOAM, "183.225", measured)
    assert found.added == approx(mass, rel=1e-5)
    assert found.at == (approx(x, abs=1e-4), approx(y, abs=1e-4))
    assert found.heel == approx(rest.heel, abs=1e-9)
    side = "on the centreline" if abs(y) < 0.004 else "to port" if y > 0.0 else "to starboard"
    assert side in found.sentence or 0.004 <= abs(y) <= 0.006


def test_scatter_of_the_depths_is_told() -> None:
    measured = foretold("183.225")
    measured["aft 1"] += 0.02
    measured["aft 2"] -= 0.02
    measured["aft 3"] -= 0.02
    measured["aft 4"] += 0.02
    found = reconcile_swamp_test(BOAT, FOAM, "183.225", measured)
    assert found.off_plane == approx(math.sqrt(4 * 0.02**2 / 8), rel=0.05)


def test_a_difference_is_held_against_the_stated_tolerances() -> None:
    boat = replace(BOAT, weights=tuple(replace(w, tolerance=2.0) for w in BOAT.weights))
    deeper = {name: depth + 0.01 for name, depth in foretold("183.225").items()}
    found = reconcile_swamp_test(boat, FOAM, "183.225", deeper)
    assert 4.0 < found.added < 60.0
    beyond = "beyond" if found.added > 10.0 else "within"
    assert f"{beyond} the stated tolerances, which add up to 10 kg" in found.sentence


@pytest.mark.parametrize(
    ("measured", "problem"),
    [
        ({"forward 1": 0.1, "stern": 0.2, "aft 1": 0.1}, '"stern" is no mark of the sheet'),
        ({"forward 1": 0.1, "forward 3": 0.2}, "three marks that do not lie in one line"),
        (
            {"forward 1": 0.1, "forward 3": 0.2, "aft 1": 0.1, "aft 3": 0.1},
            "three marks that do not lie in one line",
        ),
        ({}, "three marks that do not lie in one line"),
    ],
)
def test_marks_that_tell_no_plane_are_refused(measured, problem: str) -> None:
    with pytest.raises(InputError, match=problem):
        reconcile_swamp_test(BOAT, FOAM, "183.225", measured)


def test_a_boat_that_would_be_lost_is_not_sent_into_the_water() -> None:
    with pytest.raises(InputError, match="turns over"):
        swamp_test_sheets(*raft(1200.0, 1.6))
    with pytest.raises(InputError, match="sinks"):
        swamp_test_sheets(*raft(4000.0, 0.3))


def test_a_boat_without_what_the_tests_need_is_refused() -> None:
    with pytest.raises(InputError, match="rail: the size of its box"):
        swamp_test_sheets(skiff(), FOAM)


def test_weights_that_float_and_unknown_tests_are_refused() -> None:
    with pytest.raises(InputError, match="weights of cedar do not sink"):
        swamp_test_sheets(BOAT, FOAM, materials()["cedar"])
    with pytest.raises(InputError, match=r'"183\.999" is no test of this boat'):
        reconcile_swamp_test(BOAT, FOAM, "183.999", {})
