"""Laws of equilibrium, whatever the bodies."""

import math

import numpy as np
import pytest
from floating_shapes import WATER, boat, pebble, reframed, turn_of
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from flotation.equilibrium.balance import Afloat, Attitude, let_go, tangents, turned, valley
from flotation.equilibrium.bodies import Body, Rest, heel_of, trim_of, up
from flotation.equilibrium.immersion import immersed, immersion
from flotation.equilibrium.solver import float_freely

SEEDS = st.integers(0, 10_000)
FRACTIONS = st.floats(0.15, 0.9)
HEELS = st.floats(-math.pi, math.pi)
TRIMS = st.floats(-1.4, 1.4)
STEEP = 0.02  # of the length: metacentric heights above it leave a basin of some degrees


def rest_of(bodies: list[Body], start: tuple[float, float, float] = (0.0, 0.0, 1.0)) -> Rest:
    rest = float_freely(bodies, WATER, start=start)
    assert isinstance(rest, Rest)
    return rest


def afloat(bodies: list[Body]) -> Afloat:
    result = let_go(bodies, WATER)
    assert isinstance(result, Afloat)
    return result


def leaned(normal: tuple[float, float, float], angle: float, way: float) -> tuple[float, ...]:
    """The direction tipped by an angle, this way round."""
    here = np.array(normal)
    axes = tangents(here)
    turn = angle * (math.cos(way) * axes[0] + math.sin(way) * axes[1])
    return tuple(turned(here, turn).tolist())


@given(SEEDS, FRACTIONS, HEELS, TRIMS)
@settings(max_examples=30, deadline=None)
def test_weight_and_lift_balance_at_rest(seed: int, share: float, heel: float, trim: float) -> None:
    """Told by each body on its own, not by the join: force, and the centres in one vertical."""
    bodies = boat(seed, share)
    rest = rest_of(bodies, up(heel, trim))
    parts = [body.displaces.below(rest.normal, rest.offset) for body in bodies if body.displaces]
    volume = sum(part.volume for part in parts)
    centre = sum(part.volume * part.centroid for part in parts if part.volume) / volume
    mass = sum(body.mass for body in bodies)
    gravity = sum(body.mass * np.array(body.at) for body in bodies) / mass
    assert WATER * volume == pytest.approx(mass, rel=1.1e-9)
    across = np.cross(centre - gravity, np.array(rest.normal))
    assert np.linalg.norm(across) <= 1.1e-9 * rest.length
    assert rest.displaced_volume == pytest.approx(volume, rel=1e-9)
    assert rest.centre_of_buoyancy == pytest.approx(centre.tolist(), abs=1e-9)


@given(SEEDS, FRACTIONS, HEELS, TRIMS, st.floats(0.0, 6.3))
@settings(max_examples=30, deadline=None)
def test_every_attitude_beside_a_stable_rest_has_more_energy(
    seed: int, share: float, heel: float, trim: float, way: float
) -> None:
    bodies = boat(seed, share)
    rest = rest_of(bodies, up(heel, trim))
    assume(rest.stable)
    beside = immersed(afloat(bodies), np.array(leaned(rest.normal, 2e-3, way)))
    rise = beside.energy * 9.80665 - rest.energy
    assert rise > 0.3 * 0.5 * rest.mass * 9.80665 * rest.gm * 2e-3**2


@given(SEEDS, FRACTIONS, SEEDS, st.floats(0.0, 6.3))
@settings(max_examples=25, deadline=None)
def test_a_rest_does_not_depend_on_the_frame(
    seed: int, share: float, turn_seed: int, way: float
) -> None:
    bodies = boat(seed, share)
    rest = rest_of(bodies)
    assume(rest.gm > STEEP * rest.length)
    turn, move = turn_of(turn_seed), np.array([300.0, -40.0, 7.0])
    start = turn @ np.array(leaned(rest.normal, math.radians(0.5), way))
    again = rest_of(reframed(bodies, turn, move), tuple(start.tolist()))
    assert turn.T @ np.array(again.normal) == pytest.approx(np.array(rest.normal), abs=1e-7)
    assert again.gm == pytest.approx(rest.gm, rel=1e-5)
    assert again.energy == pytest.approx(rest.energy, rel=1e-9)
    level = again.offset - float(np.array(again.normal) @ move)
    assert level == pytest.approx(rest.offset, abs=1e-7)


@given(SEEDS, FRACTIONS, st.floats(0.0, 6.3), st.floats(0.0, 0.5))
@settings(max_examples=30, deadline=None)
def test_a_rest_does_not_depend_on_the_start_within_its_basin(
    seed: int, share: float, way: float, degrees: float
) -> None:
    bodies = boat(seed, share)
    rest = rest_of(bodies)
    assume(rest.gm > STEEP * rest.length)
    again = rest_of(bodies, leaned(rest.normal, math.radians(degrees), way))  # type: ignore[arg-type]
    assert again.normal == pytest.approx(rest.normal, abs=1e-7)
    assert again.other is None


@given(SEEDS, FRACTIONS, HEELS, TRIMS)
@settings(max_examples=25, deadline=None)
def test_a_mirrored_boat_heels_the_other_way(
    seed: int, share: float, heel: float, trim: float
) -> None:
    bodies = boat(seed, share)
    mirror = np.diag([1.0, -1.0, 1.0])
    rest = rest_of(bodies, up(heel, trim))
    assume(rest.stable)
    twin = rest_of(reframed(bodies, mirror, np.zeros(3)), up(-heel, trim))
    x, y, z = rest.normal
    assert twin.normal == pytest.approx((x, -y, z), abs=1e-7)
    assert (rest.other is None) == (twin.other is None)


@given(SEEDS, FRACTIONS, st.floats(0.1, 30.0))
@settings(max_examples=30, deadline=None)
def test_a_larger_boat_of_the_same_form_rests_alike(seed: int, share: float, times: float) -> None:
    bodies = boat(seed, share)
    scaled = [
        Body(body.mass * times**3, body.at, body.displaces)
        for body in reframed(bodies, times * np.eye(3), np.zeros(3))
    ]
    rest, larger = rest_of(bodies), rest_of(scaled)
    assume(rest.stable)
    assert larger.normal == pytest.approx(rest.normal, abs=1e-7)
    assert larger.gm == pytest.approx(times * rest.gm, rel=1e-5)


@given(SEEDS, HEELS, TRIMS, st.floats(5.0, 900.0), st.floats(0.0, 0.3))
@settings(max_examples=30, deadline=None)
def test_lighter_foam_in_place_of_water_reduces_immersion(
    seed: int, heel: float, trim: float, density: float, height: float
) -> None:
    """At a fixed attitude, foam in a flooded space floats the boat higher, the lighter the more."""
    space = pebble(seed, points=12)
    x, y, z = space.centroid.tolist()
    crew = Body(20.0, (0.0, 0.0, height))
    hull = boat(seed, 0.5)

    def level(foam: list[Body]) -> float:
        offset = immersion([*hull, crew, *foam], WATER, up(heel, trim))
        assert isinstance(offset, float)
        return offset

    def filled(foam_density: float) -> float:
        return level([Body(foam_density * space.volume, (x, y, z), space)])

    assert filled(density * 0.9) < filled(density)
    flooded = level([])
    wet = space.below(up(heel, trim), flooded).volume
    if wet > 1e-6 * space.volume:
        # Foam lifts by its wet part and weighs in full: lighter than that share, it must gain.
        assert filled(0.999 * WATER * wet / space.volume) < flooded


@given(SEEDS, HEELS, TRIMS, st.floats(0.0, 6.3))
@settings(max_examples=25, deadline=None)
def test_slope_and_curvature_are_the_derivatives_of_the_energy(
    seed: int, heel: float, trim: float, way: float
) -> None:
    """Central differences at constant displacement; their error falls with the step squared."""
    boat_afloat = afloat(boat(seed))
    here = immersed(boat_afloat, np.array(up(heel, trim)))
    model = valley(here, tangents(here.normal))
    along = np.array([math.cos(way), math.sin(way)])
    axis = along @ model.directions

    def at(angle: float) -> Attitude:
        return immersed(boat_afloat, turned(here.normal, angle * axis))

    scale = boat_afloat.mass * boat_afloat.buoyancy.length
    step = 1e-3
    before, after = at(-step), at(step)
    slope = (after.energy - before.energy) / (2.0 * step)
    assert slope == pytest.approx(float(model.slope @ along), abs=1e-5 * scale)
    bend = (after.energy - 2.0 * here.energy + before.energy) / step**2
    curvature = float(along @ model.curvature @ along)
    assert bend == pytest.approx(curvature, abs=3e-3 * scale)
    assert after.depth - here.depth == pytest.approx(
        float(model.follow @ along) * step, abs=3e-5 * boat_afloat.buoyancy.length
    )


@given(SEEDS, HEELS, TRIMS)
@settings(max_examples=25, deadline=None)
def test_a_valley_told_from_a_depth_slightly_off_is_that_of_the_true_depth(
    seed: int, heel: float, trim: float
) -> None:
    """Energy and slope are mended for what the depth is off by: an error of its square is left."""
    boat_afloat = afloat(boat(seed))
    true = immersed(boat_afloat, np.array(up(heel, trim)))
    off = 1e-4 * boat_afloat.buoyancy.length
    beside = boat_afloat.at(true.normal, true.depth + off)
    directions = tangents(true.normal)
    here, there = valley(true, directions), valley(beside, directions)
    scale = boat_afloat.mass * boat_afloat.buoyancy.length
    assert there.sink == pytest.approx(-off, rel=5e-3)
    assert there.energy == pytest.approx(here.energy, abs=1e-9 * scale)
    assert there.slope == pytest.approx(here.slope, abs=1e-6 * scale)


@given(HEELS, st.floats(-1.5, 1.5))
def test_heel_and_trim_come_back_from_the_upward_direction(heel: float, trim: float) -> None:
    normal = up(heel, trim)
    assert math.hypot(*normal) == pytest.approx(1.0, abs=1e-15)
    assert trim_of(normal) == pytest.approx(trim, abs=1e-12)
    assert math.remainder(heel_of(normal) - heel, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-12)
