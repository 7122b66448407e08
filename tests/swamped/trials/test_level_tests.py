"""The simulated tests: textbook heel, laws, the worse end of every assumption, outcomes."""

import math
from dataclasses import replace

import pytest
from afloat_boats import SLAB, afloat_skiff, basin, low_skiff, raft, worked
from pytest import approx
from small_boats import BATTERY, FRESH, mirrored, skiff_foam

from flotation.boat import Capacity, Propulsion
from flotation.equilibrium.bodies import up
from flotation.swamped.assessment import Outcome
from flotation.swamped.books import load_books
from flotation.swamped.trials import in_the_water
from flotation.swamped.trials.cases import cases
from flotation.swamped.trials.condition import Choice
from flotation.swamped.trials.level_tests import AS_STATED, simulate
from flotation.swamped.trials.runs import Run, from_keel_down, inclination, slack

LAW = load_books().law
LEVEL = {case.name: case for case in cases("level", LAW)}
EMPTY, ALL = LEVEL["183.235"], LEVEL["183.225"]
PORT, STARBOARD = LEVEL["183.230, port"], LEVEL["183.230, starboard"]


def trials(boat, foam):
    return {one.name: one for one in in_the_water(worked(boat, foam)).trials}


def tolerant(boat, share: float):
    return replace(boat, weights=tuple(replace(w, tolerance=share * w.mass) for w in boat.weights))


def test_the_tests_of_level_flotation_and_their_limits() -> None:
    assert list(LEVEL) == ["183.225", "183.230, port", "183.230, starboard", "183.235"]
    assert [one.share for one in LEVEL.values()] == [1.0, 0.5, 0.5, 0.0]
    assert [math.degrees(one.heel.value) for one in LEVEL.values()] == approx([10, 30, 30, 10])
    assert [one.depth.value / 0.0254 for one in LEVEL.values()] == approx([6, 12, 12, 6])


def test_a_raft_heels_as_the_wall_sided_formula_says() -> None:
    """tan a (GM + BM tan^2 a / 2) = load x lever / mass, exact while the sides are wall-sided."""
    boat, foam = raft(700.0, 0.30)
    tank = basin(boat, foam)
    run = from_keel_down(tank.ready(PORT, tank.swamped.stated))
    assert isinstance(run, Run)
    assert run.rest is not None
    pieces = tank.ready(PORT, tank.swamped.stated).pieces
    mass = sum(one.body.mass for one in pieces)
    height = sum(one.body.mass * one.body.at[2] for one in pieces) / mass
    moment = sum(one.body.mass * one.body.at[1] for one in pieces)
    draught = mass / FRESH / (4.0 * 1.6)
    metacentre = 1.6**2 / 12.0 / draught
    stiff = draught / 2.0 + metacentre - height
    tangent = math.tan(-run.heel)
    assert tangent * (stiff + metacentre * tangent**2 / 2.0) == approx(moment / mass, rel=1e-6)
    assert run.trim == approx(0.0, abs=1e-9)
    assert draught < SLAB.bounds[1][2]


def test_a_wholly_sunk_slab_sinks_by_what_is_missing() -> None:
    boat, foam = raft(4000.0, 0.30)
    found = trials(boat, foam)["183.235"]
    assert found.outcome is Outcome.SINKS
    assert not found.meets
    assert (found.heel, found.trim, found.forward_depth, found.aft_depth) == (None,) * 4
    weight = 4000.0 + foam[0].mass + 20.0 * SLAB.volume
    assert found.lacking == approx(weight + 1e-9 - FRESH * SLAB.volume)
    assert found.notes[0].startswith("sinks: ")
    assert found.verdicts[0].margin == approx(-found.lacking)


def test_a_good_skiff_meets_every_limit() -> None:
    found = trials(afloat_skiff(), skiff_foam())
    assert all(one.meets for one in found.values())
    assert all(one.outcome is Outcome.FLOATS for one in found.values())
    assert all(len(one.verdicts) == 3 for one in found.values())
    assert found["183.235"].loads == ()
    persons = found["183.225"].loads[0]
    assert persons.mass == approx(0.5 * 532.0 * 0.45359237)
    assert persons.at == approx((1.9, 0.0, 0.4016))


def test_foam_low_on_the_centreline_turns_over() -> None:
    found = trials(*low_skiff())
    assert found["183.235"].meets
    assert found["183.230, port"].outcome is Outcome.TURTLE
    assert "turns over and floats bottom up" in found["183.230, port"].notes
    assert not found["183.230, port"].verdicts[0].meets


def test_the_other_side_of_a_mirrored_boat_is_the_same() -> None:
    boat = afloat_skiff()
    off = replace(BATTERY, at=(0.35, 0.5, 0.35), size=(0.26, 0.17, 0.21))
    boat = replace(boat, weights=(*boat.weights[:-1], off))
    here, there = trials(boat, skiff_foam()), trials(mirrored(boat), skiff_foam())
    assert here["183.235"].heel < -math.radians(0.5)  # to port, where the battery is
    for one, other in (("183.230, port", "183.230, starboard"), ("183.225", "183.225")):
        assert here[one].heel == approx(-there[other].heel, abs=1e-7)
        assert here[one].trim == approx(there[other].trim, abs=1e-7)
        assert here[one].aft_depth == approx(there[other].aft_depth, abs=1e-7)
        assert here[one].assumed == there[other].assumed


def test_of_all_ends_the_worst_is_shown() -> None:
    tank = basin(afloat_skiff(), skiff_foam())
    for case in (PORT, EMPTY):
        done = simulate(tank, case)
        ways = {one.words: one for one in done.trial.tried}
        assert AS_STATED in ways
        assert done.trial.assumed in ways
        left = slack(case, from_keel_down(tank.ready(case, done.choice)))
        stated = slack(case, from_keel_down(tank.ready(case, tank.swamped.stated)))
        assert left <= stated
        # no single end is worse than what is shown
        for words, way in ways.items():
            depth = max(way.forward_depth, way.aft_depth)
            assert 1.0 - abs(way.heel) / case.heel.value >= left - 1e-6, words
            assert 1.0 - depth / case.depth.value >= left - 1e-6, words


def test_every_end_is_tried_where_it_can_differ() -> None:
    tank = basin(afloat_skiff(), skiff_foam())
    on_one_side = {one.words for one in simulate(tank, PORT).trial.tried}
    assert {
        "as stated",
        "wood with its lift",
        "foam as light as its data sheet allows, dry",
        "foam as dense as its data sheet allows, with the stated uptake",
        "motor and battery dry, with their boxes",
        "the load at the edge of the passenger area",
        "without dead weight",
    } <= on_one_side
    empty = {one.words for one in simulate(tank, EMPTY).trial.tried}
    assert not {"the load at the edge of the passenger area", "without dead weight"} & empty


def test_a_boat_that_turns_over_as_stated_is_not_tried_further() -> None:
    boat, foam = raft(1200.0, 1.6)
    done = simulate(basin(boat, foam), EMPTY)
    assert done.trial.outcome is Outcome.TURTLE
    assert done.trial.tried == ()
    assert done.trial.assumed == AS_STATED


def test_tolerances_spread_over_heel_and_depth() -> None:
    boat, foam = tolerant(afloat_skiff(), 0.04), skiff_foam()
    found = trials(boat, foam)["183.230, port"]
    bare = trials(afloat_skiff(), foam)["183.230, port"]
    assert all(one.spread is None for one in bare.verdicts)
    heel, shows, deep = found.verdicts
    assert 0.0 < heel.spread < math.radians(4.0)
    assert 0.0 < deep.spread < 0.1
    assert 0.0 < shows.spread < 0.1
    assert heel.margin == approx(bare.verdicts[0].margin)


def test_heel_is_the_larger_of_two_inclinations() -> None:
    """Roll 30 degrees with trim 20 degrees inclines the transverse axis by 28.0 degrees."""
    normal = up(math.radians(30.0), math.radians(20.0))
    across = math.asin(normal[1])
    assert math.degrees(across) == approx(28.0, abs=0.05)
    assert math.degrees(inclination(normal)) == approx(30.0)


def test_a_load_above_the_water_is_flagged() -> None:
    boat, foam = raft(400.0, 0.3)
    high = replace(boat.passenger_area, sole=0.9)
    found = trials(replace(boat, passenger_area=high), foam)["183.225"]
    assert any("above the water here" in note for note in found.notes)
    low = replace(boat.passenger_area, sole=-0.5)
    assert trials(replace(boat, passenger_area=low), foam)["183.225"].notes == ()


def test_modified_level_has_its_own_sections_and_loads() -> None:
    plate = Capacity(335 * 0.45359237, 400 * 0.45359237, None, None)
    small = replace(afloat_skiff(), rated_power=1000.0, capacity=plate)
    found = trials(small, skiff_foam())
    assert list(found) == ["183.325", "183.330, port", "183.330, starboard", "183.335"]
    tried = {one.words for one in found["183.325"].tried}
    assert "persons by the handbook" in tried
    tank = basin(small, skiff_foam())
    by_law = tank.loads.aboard(1.0, "", Choice())[0].body.mass
    by_guidance = tank.loads.aboard(1.0, "", Choice(by_guidance=True))[0].body.mass
    assert by_law == approx(2 / 15 * plate.persons)
    assert by_guidance == approx(0.25 * plate.persons)


def test_basic_flotation_asks_only_that_something_floats() -> None:
    inboard = replace(afloat_skiff(), propulsion=Propulsion.INBOARD)
    (found,) = in_the_water(worked(inboard, skiff_foam())).trials
    assert found.section == "183.105"
    assert found.meets
    (verdict,) = found.verdicts
    assert verdict.obtained - verdict.required == approx(verdict.margin)
    boat, foam = raft(4000.0, 0.3)
    (sunk,) = in_the_water(worked(replace(boat, propulsion=Propulsion.INBOARD), foam)).trials
    assert sunk.outcome is Outcome.SINKS
    assert not sunk.meets
    assert sunk.lacking == approx(-sunk.verdicts[0].margin)


def test_basic_flotation_upside_down_is_still_afloat() -> None:
    boat, foam = raft(1200.0, 1.6)
    (found,) = in_the_water(worked(replace(boat, propulsion=Propulsion.INBOARD), foam)).trials
    assert found.outcome is Outcome.TURTLE
    assert found.meets


def test_outside_the_scope_the_verdicts_do_not_decide() -> None:
    long = replace(afloat_skiff(), length=6.8)
    found = in_the_water(worked(long, skiff_foam()))
    assert found.trials
    assert not any(one.decides for trial in found.trials for one in trial.verdicts)


@pytest.mark.parametrize("share", [0.95, 1.05])
def test_weights_five_per_cent_off_do_not_turn_the_verdicts(share: float) -> None:
    boat = afloat_skiff()
    heavy = replace(boat, weights=tuple(replace(w, mass=share * w.mass) for w in boat.weights))
    heavy = replace(
        heavy,
        weights=tuple(
            replace(w, swamped_mass=share * w.swamped_mass) if w.swamped_mass else w
            for w in heavy.weights
        ),
    )
    assert all(one.meets for one in trials(heavy, skiff_foam()).values())


def test_a_boat_that_displaces_nothing_sinks() -> None:
    boat, _ = raft(400.0, 0.3)
    found = trials(boat, ())["183.235"]
    assert found.outcome is Outcome.SINKS
    assert found.lacking == approx(400.0 + 1e-9)
