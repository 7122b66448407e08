"""Textbook answers, and the places where a search of equilibrium goes wrong."""

import math
from itertools import pairwise

import numpy as np
import pytest
from floating_shapes import WATER, boat, box, cone, log

from flotation.equilibrium.balance import Afloat, let_go
from flotation.equilibrium.bodies import GRAVITY, Body, Box, Rest, Sinks, Stability, up
from flotation.equilibrium.buoyancy import buoyancy
from flotation.equilibrium.immersion import immersion, set_afloat
from flotation.equilibrium.solver import float_freely, settle
from flotation.errors import NotSettled
from flotation.geometry.solid import Skin


def at_rest(bodies: list[Body], start: tuple[float, float, float] = (0.0, 0.0, 1.0)) -> Rest:
    rest = float_freely(bodies, WATER, start=start)
    assert isinstance(rest, Rest)
    assert rest.force_residual <= 1e-9
    assert rest.moment_residual <= 1e-9
    return rest


# ---- a round log -------------------------------------------------------------------------------

DEPTHS = [(0.1, 0.156476), (0.25, 0.298014), (0.425, 0.440958), (0.6, 0.578868), (0.75, 0.701986)]


@pytest.mark.parametrize(("share", "depth"), DEPTHS)
def test_a_round_log_floats_at_any_heel_and_is_not_called_stable(
    share: float, depth: float
) -> None:
    """Depth over diameter as computed from the circle's segment, six digits."""
    solid = log(0.5, 6.0, sides=4096)
    body = Body(share * WATER * solid.volume, (0.0, 0.0, 0.0), solid)
    for heel in (0.0, 0.7):
        rest = at_rest([body], up(heel, 0.0))
        assert rest.offset + 0.5 == pytest.approx(depth, abs=1e-6)  # the polygon gives 0.4e-6
        assert rest.stability is Stability.MARGINAL
        assert rest.gm_transverse == pytest.approx(0.0, abs=1e-6)
        assert rest.gm_longitudinal > 1.0
        assert rest.heel == pytest.approx(heel, abs=math.radians(0.2))  # push, facet


def test_a_log_with_its_weight_low_turns_it_down() -> None:
    solid = log(0.5, 6.0, sides=720)
    body = Body(0.5 * WATER * solid.volume, (0.0, 0.0, -0.1), solid)
    rest = at_rest([body], up(math.radians(130.0), 0.0))
    assert rest.stable
    assert rest.heel == pytest.approx(0.0, abs=1e-8)
    assert rest.gm_transverse == pytest.approx(0.1, abs=1e-5)
    assert rest.start_gm < 0.0


# ---- a cone, point down ------------------------------------------------------------------------


@pytest.mark.parametrize("half_angle", [25.0, 35.0])
def test_a_cone_floats_point_down_above_cos_to_the_sixth(half_angle: float) -> None:
    """KB = 3 h / 4, BM = 3 h tan^2 / 4, h = H s^(1/3): stable for s > cos^6 of the half angle.

    Classical (Besant and Ramsey, "A Treatise on Hydromechanics", recalled).
    """
    angle = math.radians(half_angle)
    solid = cone(math.tan(angle), 1.0, sides=720)
    limit = math.cos(angle) ** 6
    for share in (limit * 1.02, limit * 0.98):
        rest = at_rest([Body(share * WATER * solid.volume, (0.0, 0.0, 0.75), solid)])
        expected = 0.75 * (share ** (1.0 / 3.0) / math.cos(angle) ** 2 - 1.0)
        if share > limit:
            assert rest.stable
            assert rest.normal == pytest.approx((0.0, 0.0, 1.0), abs=1e-7)
            assert rest.gm == pytest.approx(expected, abs=1e-5)  # the 720-gon's inertia
        else:
            assert rest.start_gm == pytest.approx(expected, abs=1e-5)
            assert rest.normal[2] < math.cos(math.radians(5.0))


# ---- a raft of two foam logs with crew ---------------------------------------------------------


def test_a_raft_of_two_logs_is_stiff_by_what_stands_apart() -> None:
    """BM = sum(i + a y^2) / V about the middle of the waterplane of both logs."""
    radius, apart, length = 0.25, 0.8, 3.0
    logs = [log(radius, length, sides=2048, y=y) for y in (-apart, apart)]
    foam = [Body(30.0 * solid.volume, (0.0, y, 0.0), solid) for solid, y in
            zip(logs, (-apart, apart), strict=True)]  # fmt: skip
    half_wet = 0.5 * WATER * 2.0 * logs[0].volume
    crew = Body(half_wet - sum(body.mass for body in foam), (0.0, 0.0, 0.6))
    rest = at_rest([*foam, crew])
    width = 2.0 * radius  # floating half wet
    own = length * width**3 / 12.0
    volume = half_wet / WATER
    bm = 2.0 * (own + length * width * apart**2) / volume
    buoyancy_below = 4.0 * radius / (3.0 * math.pi)
    gravity = 0.6 * crew.mass / half_wet
    assert rest.stable
    assert rest.waterplane.area == pytest.approx(2.0 * length * width, rel=1e-5)
    assert rest.waterplane.second_moments[1, 1] / volume == pytest.approx(bm, rel=1e-5)
    assert rest.gm_transverse == pytest.approx(bm - buoyancy_below - gravity, rel=1e-5)
    lengthwise = 2.0 * width * length**3 / 12.0 / volume
    assert rest.gm_longitudinal == pytest.approx(lengthwise - buoyancy_below - gravity, rel=1e-5)


def test_foam_wholly_under_water_lifts_and_does_not_stiffen() -> None:
    """A sunk block holds up a mast that crosses the surface: BM is the mast's alone."""
    block, mast = box((2.0, 2.0, 0.5), (0.0, 0.0, 0.0), 60.0), box((0.2, 0.2, 2.0), (0, 0, 1.25), 4)
    ballast = Body(1960.0, (0.0, 0.0, -0.8))
    rest = at_rest([block, mast, ballast])
    assert rest.waterplane.area == pytest.approx(0.04, rel=1e-12)
    bm = 0.2**4 / 12.0 / rest.displaced_volume
    gravity = (4.0 * 1.25 - 1960.0 * 0.8) / rest.mass
    assert rest.gm == pytest.approx(bm + rest.centre_of_buoyancy[2] - gravity, rel=1e-9)


# ---- what it says of a rest --------------------------------------------------------------------


def test_stiffness_is_the_moment_of_a_degree() -> None:
    rest = at_rest([box((4.0, 2.0, 1.0), (0.0, 0.0, 0.0), 3000.0)])
    bm = 2.0**2 / (12.0 * 0.375)
    gm = 0.5 * 0.375 + bm - 0.5
    assert rest.gm == pytest.approx(gm, rel=1e-12)
    assert rest.gm == pytest.approx(min(rest.gm_transverse, rest.gm_longitudinal), rel=1e-12)
    assert rest.stiffness == pytest.approx(3000.0 * GRAVITY * gm * math.pi / 180.0, rel=1e-12)
    assert rest.heel_stiffness == pytest.approx(rest.stiffness, rel=1e-12)
    assert rest.trim_stiffness > 3.0 * rest.heel_stiffness


def test_heel_and_trim_are_two_turns_in_their_order() -> None:
    """Roll 30 deg with trim 20 deg inclines the transverse axis by 28.0 deg."""
    heel, trim = math.radians(30.0), math.radians(20.0)
    solid = log(0.5, 1.0, sides=12)
    weight = np.array(up(heel, trim)) * -0.4
    rest = at_rest(
        [Body(0.4 * WATER * solid.volume, tuple(weight.tolist()), solid)], up(heel, trim)
    )
    assert math.degrees(rest.transverse_inclination) == pytest.approx(
        math.degrees(math.asin(rest.normal[1]))
    )
    assert up(rest.heel, rest.trim) == pytest.approx(rest.normal, abs=1e-15)
    x, y, _ = up(heel, trim)
    assert math.degrees(math.asin(y)) == pytest.approx(28.0, abs=0.05)
    assert math.asin(x) == pytest.approx(trim)


def test_a_weight_to_starboard_heels_to_starboard_and_one_aft_lifts_the_bow() -> None:
    hull = box((4.0, 2.0, 1.0), (2.0, 0.0, 0.0), 3000.0)
    assert at_rest([hull, Body(200.0, (2.0, -0.5, 0.0))]).heel > 0.02
    assert at_rest([hull, Body(200.0, (0.5, 0.0, 0.0))]).trim > 0.02


def test_a_weight_with_volume_presses_less_than_one_without() -> None:
    hull = box((4.0, 2.0, 1.0), (0.0, 0.0, 0.0), 5000.0)
    bare = at_rest([hull, Body(400.0, (0.0, -0.6, -0.4))])
    lump = at_rest([hull, Body(400.0, (0.0, -0.6, -0.4), Box((0.5, 0.3, 0.2)))])
    assert lump.offset < bare.offset
    assert 0.0 < lump.heel < bare.heel


def test_a_lump_above_the_water_lifts_nothing() -> None:
    hull = box((4.0, 2.0, 1.0), (0.0, 0.0, 0.0), 3000.0)
    dry = at_rest([hull, Body(40.0, (0.0, 0.0, 0.8), Box((0.5, 0.5, 0.5)))])
    bare = at_rest([hull, Body(40.0, (0.0, 0.0, 0.8))])
    assert dry.offset == pytest.approx(bare.offset, abs=1e-12)
    assert dry.gm == pytest.approx(bare.gm, abs=1e-12)


# ---- sinking -----------------------------------------------------------------------------------


def test_a_body_that_sinks_says_what_is_lacking() -> None:
    bodies = [box((1.0, 1.0, 1.0), (0.0, 0.0, 0.0), 900.0), Body(130.0, (0.0, 0.0, 1.0))]
    fate = float_freely(bodies, WATER)
    assert isinstance(fate, Sinks)
    assert fate.lacking == pytest.approx(30.0, abs=1e-9)
    assert immersion(bodies, WATER, (0.0, 0.0, 1.0)) == fate
    assert isinstance(float_freely(bodies, 1031.0), Rest)


def test_a_body_as_heavy_as_its_water_hangs_and_is_no_rest() -> None:
    fate = float_freely([box((0.1, 0.2, 0.3), (0.0, 0.0, 0.0), 6.0)], WATER)
    assert isinstance(fate, Sinks)
    assert fate.lacking == pytest.approx(0.0, abs=1e-12)


def test_a_millionth_of_reserve_floats() -> None:
    rest = at_rest([box((1.0, 2.0, 3.0), (0.0, 0.0, 0.0), 6000.0 * (1.0 - 1e-6))])
    assert rest.displaced_volume == pytest.approx(6.0 * (1.0 - 1e-6), rel=1e-9)


# ---- unstable starts ---------------------------------------------------------------------------


def test_a_top_heavy_box_leaves_keel_down_and_shows_its_way() -> None:
    hull = Body(0.0, (0.0, 0.0, 0.0), Box((6.0, 1.0, 1.0)))
    rest = at_rest([hull, Body(3000.0, (0.0, 0.0, 0.45))])
    assert rest.start_gm == pytest.approx(-0.25 + 1.0 / 6.0 - 0.45)
    assert rest.stable
    assert math.degrees(rest.heel) > 90.0
    energies = [step.energy for step in rest.path]
    assert rest.path[0].normal == (0.0, 0.0, 1.0)
    assert rest.path[-1].normal == rest.normal
    assert all(before >= after - 1e-6 for before, after in pairwise(energies))
    assert max(math.dist(a.normal, b.normal) for a, b in pairwise(rest.path)) < math.radians(8.1)
    assert rest.other is None  # turtle, whichever side it went over


def test_the_side_with_the_greater_heel_is_returned() -> None:
    """A lolling bar with a little weight to port lolls farther to port, and less to starboard."""
    bar = box((10.0, 1.0, 1.0), (0.0, 0.0, 0.0), 2300.0)
    rest = at_rest([bar, Body(0.02, (0.0, 0.3, 0.0))])
    assert rest.heel < 0.0
    assert rest.other is not None
    assert 0.0 < rest.other.heel < -rest.heel


def test_a_column_on_its_end_falls_though_nothing_pushes_it_that_way() -> None:
    """Wide athwart, so the push to either side is withstood: it falls lengthwise."""
    column = box((0.5, 3.0, 2.0), (0.0, 0.0, 0.0), 1500.0)
    rest = at_rest([column])
    assert rest.stable
    assert abs(math.degrees(rest.trim)) == pytest.approx(90.0, abs=1e-6)


# ---- faces in the water surface ----------------------------------------------------------------


def flanged(height: float) -> list[Body]:
    """A keel block 1 m wide under a flange 2 m wide; the flange's underside is at z = 0.

    It weighs what the block displaces, so the flange lies exactly on the water; length 10 m.
    """
    block = Body(0.0, (0.0, 0.0, -0.5), Box((10.0, 1.0, 1.0)))
    flange = Body(0.0, (0.0, 0.0, 0.25), Box((10.0, 2.0, 0.5)))
    return [block, flange, Body(10000.0, (0.0, 0.0, height))]


def test_a_flange_in_the_surface_stiffens_on_its_low_side_only() -> None:
    """Inclined by e, the low flange dips and the boat lifts by e / 4: 0.28125 of e a metre."""
    rest = at_rest(flanged(-0.5 + 0.2))
    assert rest.stable
    assert rest.heel == pytest.approx(0.0, abs=1e-9)
    assert rest.gm == pytest.approx(0.28125 - 0.2, abs=1e-6)


def test_stiffness_of_the_whole_flange_does_not_pass_for_stability() -> None:
    """With 0.28 < BG < 0.667 the plane just above the face looks stable and is not."""
    rest = at_rest(flanged(-0.5 + 0.4))
    assert rest.stable
    assert abs(rest.heel) > math.radians(1.0)


@pytest.mark.parametrize("lever", [-0.2, 0.2, 0.3, 0.4, 0.6])
@pytest.mark.parametrize("shade", [0.0, 1e-12, -1e-12])
def test_let_go_exactly_level_only_a_true_rest_is_kept(lever: float, shade: float) -> None:
    """Unpushed, and with the surface a shade above or below the flange.

    The waterplane as it lies is then the whole flange, 2/3 of e a metre, or none of it, 1/12;
    the boat itself has 0.28125 whichever way it is turned.
    """
    bodies = flanged(-0.5 + lever)
    heavier = Body(bodies[2].mass * (1.0 + shade), bodies[2].at)
    afloat = let_go([*bodies[:2], heavier], WATER)
    assert isinstance(afloat, Afloat)
    settled = settle(set_afloat(afloat, (0.0, 0.0, 1.0)))
    tilted = settled.descent.end.normal[2] < math.cos(math.radians(0.2))
    assert settled.gm > 0.0
    assert tilted == (lever > 0.28125)
    if not tilted:
        assert settled.gm == pytest.approx(0.28125 - lever, abs=1e-6)


def test_a_thin_sole_in_the_surface_comes_to_rest_to_the_last_digit() -> None:
    """3 m2 of sole, 5 mm thick: half its height under water settles it."""
    corners = np.array([[-1.0, -0.75, 0], [1.0, -0.75, 0], [1.0, 0.75, 0], [-1.0, 0.75, 0]])
    sole = Skin(corners, np.array([[0, 1, 2], [0, 2, 3]]), 0.005)
    block = box((1.0, 0.5, 0.5), (0.0, 0.0, -0.3), 20.0)
    rest = at_rest([block, Body(237.5, (0.0, 0.0, -0.5), sole)])
    assert rest.stable
    assert rest.offset == pytest.approx(0.0, abs=1e-9)
    assert rest.waterplane.area == pytest.approx(3.0)


def test_where_nothing_crosses_the_surface_the_rest_is_marginal() -> None:
    """The sunk block carries the whole weight; the float above hangs clear of the water."""
    block = box((1.0, 1.0, 1.0), (0.0, 0.0, -1.0), 900.0)
    rest = at_rest([block, box((1.0, 1.0, 0.2), (0.0, 0.0, 1.0), 0.0), Body(100.0, (0, 0, -3.0))])
    assert rest.stability is Stability.MARGINAL
    assert rest.waterplane.area == 0.0


# ---- one join for many weights -----------------------------------------------------------------


def test_a_join_is_used_again_for_other_masses() -> None:
    bodies = boat(5)
    joined = buoyancy(bodies)
    heavier = [Body(1.1 * body.mass, body.at, body.displaces) for body in bodies]
    again, anew = float_freely(heavier, WATER, joined=joined), float_freely(heavier, WATER)
    assert isinstance(again, Rest)
    assert isinstance(anew, Rest)
    assert again.normal == anew.normal
    assert again.offset == anew.offset


def test_a_join_of_other_bodies_is_refused() -> None:
    joined = buoyancy(boat(5))
    with pytest.raises(ValueError, match="displace something else"):
        float_freely(boat(6), WATER, joined=joined)
    crew = [Body(80.0, (0.0, y, 0.5), Box((0.3, 0.3, 0.3))) for y in (0.1, 0.2)]
    hull = box((4.0, 2.0, 1.0), (0.0, 0.0, 0.0), 1000.0)
    with pytest.raises(ValueError, match="displace something else"):
        float_freely([hull, crew[1]], WATER, joined=buoyancy([hull, crew[0]]))


def same(again: Rest | Sinks, anew: Rest | Sinks) -> None:
    assert isinstance(again, Rest)
    assert isinstance(anew, Rest)
    assert again.normal == pytest.approx(anew.normal, abs=1e-9)
    assert again.displaced_volume == pytest.approx(anew.displaced_volume, rel=1e-9)
    assert again.gm == pytest.approx(anew.gm, rel=1e-7)
    assert again.length == anew.length


def test_crew_moves_and_a_cavity_is_lost_without_joining_the_boat_again() -> None:
    hull = boat(9, 0.4)
    crew = [Body(20.0, (0.1, y, 0.9), Box((0.3, 0.3, 0.3))) for y in (0.1, 0.3, 0.5)]
    joined = buoyancy([*hull, crew[0]])
    changes = [
        [*hull, crew[1]],
        [*hull, crew[0], crew[2]],
        hull,
        [*hull[:1], *hull[2:], crew[0]],
        [crew[1], *hull[1:]],
    ]
    for bodies in changes:
        changed = joined.changed_to(bodies)
        assert changed.parts[0] is joined.parts[0]
        same(float_freely(bodies, WATER, joined=changed), float_freely(bodies, WATER))
        assert joined.changed_to(bodies).changed_to([*hull, crew[0]]).parts == joined.parts


# ---- misuse ------------------------------------------------------------------------------------


def test_misuse_is_refused() -> None:
    hull = box((1.0, 1.0, 1.0), (0.0, 0.0, 0.0), 500.0)
    with pytest.raises(ValueError, match="water density"):
        float_freely([hull], 0.0)
    with pytest.raises(ValueError, match="weigh"):
        float_freely([hull, Body(-500.0, (0.0, 0.0, 0.0))], WATER)
    with pytest.raises(ValueError, match="displaces anything"):
        float_freely([Body(1.0, (0.0, 0.0, 0.0))], WATER)
    with pytest.raises(ValueError, match="upward direction"):
        float_freely([hull], WATER, start=(0.0, 0.0, 0.0))
    with pytest.raises(ValueError, match="positive edges"):
        Box((1.0, 0.0, 1.0))
    with pytest.raises(ValueError, match="not finite"):
        Body(math.nan, (0.0, 0.0, 0.0))


def test_a_search_that_cannot_settle_says_so() -> None:
    """A sheet of no height worth the name: the lift jumps past the weight at the last digit."""
    sheet = Body(0.0, (0.0, 0.0, 0.0), Box((2.0, 2.0, 1e-13)))
    with pytest.raises(NotSettled, match="off by"):
        float_freely([sheet, Body(1.7e-10, (0.0, 0.0, -1.0))], WATER)
