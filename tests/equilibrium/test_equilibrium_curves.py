"""Righting arms with the trim left free, and the list of every rest."""

import math

import numpy as np
import pytest
from floating_shapes import WATER, boat, box, log

from flotation.equilibrium.balance import Afloat, let_go
from flotation.equilibrium.bodies import GRAVITY, Body, Box, Rest, Sinks, Stability, up
from flotation.equilibrium.buoyancy import buoyancy
from flotation.equilibrium.immersion import immersed
from flotation.equilibrium.rests import all_rests, spread
from flotation.equilibrium.righting import RightingArms, righting_arms
from flotation.equilibrium.solver import float_freely
from flotation.errors import NotSettled

SUNK = [box((1.0, 1.0, 1.0), (0.0, 0.0, 0.0), 1200.0)]


def arms_of(bodies: list[Body], heels: list[float]) -> RightingArms:
    curve = righting_arms(bodies, WATER, heels)
    assert isinstance(curve, RightingArms)
    return curve


def rests_of(bodies: list[Body]) -> tuple[Rest, ...]:
    rests = all_rests(bodies, WATER)
    assert isinstance(rests, tuple)
    return rests


# ---- righting arms -----------------------------------------------------------------------------


def test_a_wall_sided_boat_rights_as_the_formula_says() -> None:
    """GZ = sin(heel) (GM + BM tan^2(heel) / 2) while the deck edge is dry."""
    hull = box((8.0, 2.0, 2.0), (0.0, 0.0, 0.0), 0.0)
    weight = Body(16000.0, (0.0, 0.0, -0.2))
    heels = np.radians([-35.0, -10.0, 0.0, 5.0, 20.0, 40.0])
    curve = arms_of([hull, weight], heels.tolist())
    bm = 2.0**2 / 12.0
    gm = -0.5 + bm + 0.2
    expected = np.sin(heels) * (gm + 0.5 * bm * np.tan(heels) ** 2)
    assert curve.arms == pytest.approx(expected, abs=1e-12)
    assert curve.trims == pytest.approx(0.0, abs=1e-12)
    assert curve.moments == pytest.approx(expected * 16000.0 * GRAVITY, abs=1e-6)


def test_a_log_rights_by_its_weight_all_the_way_round() -> None:
    solid = log(0.5, 4.0, sides=1440)
    body = Body(0.6 * WATER * solid.volume, (0.0, 0.0, -0.1), solid)
    heels = np.linspace(-math.pi, math.pi, 25)
    curve = arms_of([body], heels.tolist())
    assert curve.arms == pytest.approx(0.1 * np.sin(heels), abs=1e-6)


def test_the_arm_is_the_slope_of_the_energy_over_heel() -> None:
    """dE / d heel = m g arm cos(trim), E at the trim and depth of the curve: its area is work."""
    bodies = boat(11)
    heels = np.linspace(-0.3, 0.3, 301)
    curve = arms_of(bodies, heels.tolist())
    afloat = let_go(bodies, WATER)
    assert isinstance(afloat, Afloat)
    energies = [
        immersed(afloat, np.array(up(heel, trim))).energy
        for heel, trim in zip((heels[0], heels[-1]), (curve.trims[0], curve.trims[-1]), strict=True)
    ]
    work = np.trapezoid(curve.arms * np.cos(curve.trims), heels) * afloat.mass
    assert np.abs(curve.trims).max() > 0.05
    assert energies[1] - energies[0] == pytest.approx(work, abs=1e-5 * afloat.mass)


def test_the_arm_vanishes_at_a_rest_with_the_rest_s_own_trim_and_depth() -> None:
    bodies = boat(3, 0.5)
    rest = float_freely(bodies, WATER)
    assert isinstance(rest, Rest)
    curve = arms_of(bodies, [rest.heel])
    assert curve.arms[0] == pytest.approx(0.0, abs=1e-8)
    assert curve.trims[0] == pytest.approx(rest.trim, abs=1e-8)
    assert curve.offsets[0] == pytest.approx(rest.offset, abs=1e-8)


def test_heels_may_come_in_any_order_and_sinking_is_told() -> None:
    bodies = [box((4.0, 2.0, 1.0), (0.0, 0.0, 0.0), 3000.0)]
    mixed = arms_of(bodies, [0.3, -0.2, 0.1])
    sorted_ = arms_of(bodies, [-0.2, 0.1, 0.3])
    assert mixed.arms[[1, 2, 0]] == pytest.approx(sorted_.arms, abs=1e-12)
    assert isinstance(righting_arms(SUNK, WATER, [0.1]), Sinks)
    with pytest.raises(ValueError, match="from -pi to pi"):
        righting_arms(bodies, WATER, [3.2])
    with pytest.raises(ValueError, match="read-only"):
        mixed.arms[0] = 1.0


def test_a_boat_that_will_not_lie_at_a_heel_has_no_arm_there() -> None:
    """Long over its beam turned up: a column with its weight at one end stands on that end."""
    column = Body(0.0, (0.0, 0.0, 0.0), Box((4.0, 0.3, 0.3)))
    with pytest.raises(NotSettled, match="over its end"):
        righting_arms([column, Body(180.0, (-1.9, 0.0, 0.1))], WATER, [math.pi])


# ---- every rest --------------------------------------------------------------------------------


def test_a_boat_with_its_weight_low_also_rests_turtle() -> None:
    hull = Body(0.0, (0.0, 0.0, 0.0), Box((4.0, 2.0, 0.6)))
    rests = rests_of([hull, Body(2000.0, (0.0, 0.0, -0.1))])
    heels = [abs(math.degrees(rest.heel)) for rest in rests]
    assert heels == pytest.approx([0.0, 180.0], abs=1e-6)
    assert rests[0].energy < rests[1].energy
    assert all(rest.stable for rest in rests)


def test_a_round_log_has_one_band_of_rests() -> None:
    solid = log(0.5, 4.0, sides=2048)
    rests = rests_of([Body(0.6 * WATER * solid.volume, (0.0, 0.0, 0.0), solid)])
    assert [rest.stability for rest in rests] == [Stability.MARGINAL]


def test_a_light_brick_rests_only_on_the_sides_that_are_wide_enough() -> None:
    """Edges 1, 2, 3 m at a tenth of the water's density.

    On a face a x b with height c: GM = s c / 2 + b^2 / (12 s c) - c / 2, b the shorter edge.
    """
    rests = rests_of([box((3.0, 2.0, 1.0), (0.0, 0.0, 0.0), 600.0)])
    steady = []
    for axis, (shorter, height) in enumerate(((1.0, 3.0), (1.0, 2.0), (2.0, 1.0))):
        if 0.05 * height + shorter**2 / (1.2 * height) - 0.5 * height > 0.0:
            steady += [(axis, 1), (axis, -1)]
    found = [
        (int(np.abs(rest.normal).argmax()), int(np.sign(max(rest.normal, key=abs))))
        for rest in rests
        if max(map(abs, rest.normal)) > 1.0 - 1e-9
    ]
    assert len(steady) == 2
    assert sorted(found) == sorted(steady)


def test_every_rest_of_a_lump_is_found_by_a_finer_spread_too() -> None:
    bodies = boat(21)
    few, many = rests_of(bodies), all_rests(bodies, WATER, starts=150, joined=buoyancy(bodies))
    assert isinstance(many, tuple)
    assert len(few) == len(many)
    for one, other in zip(few, many, strict=True):
        assert one.normal == pytest.approx(other.normal, abs=1e-6)


def test_sixty_starts_leave_no_attitude_farther_than_twenty_one_degrees() -> None:
    starts = np.array(spread(60))
    assert np.linalg.norm(starts, axis=1) == pytest.approx(1.0, abs=1e-12)
    everywhere = np.array(spread(20_000))
    nearest = np.degrees(np.arccos(np.clip((everywhere @ starts.T).max(axis=1), -1.0, 1.0)))
    assert 19.0 < nearest.max() < 21.0


def test_what_sinks_has_no_rests() -> None:
    assert isinstance(all_rests(SUNK, WATER), Sinks)
