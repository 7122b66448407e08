"""Air above the last way out: bodies whose caught volume is known in closed form, and laws."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from mesh_shapes import ring

from flotation.geometry.airtraps import AirTrap, caught_air, without_air
from flotation.geometry.cavities import take_out
from flotation.geometry.shapes import box, moved, prism, rotation_about
from flotation.geometry.solid import Solid

UP = np.array([0.0, 0.0, 1.0])
WIDE = 0.3


def profile(*corners: tuple[float, float]) -> Solid:
    """A body of one section (x, z), 0.3 m wide in y."""
    return prism([(x, 0.0, z) for x, z in corners], (0.0, WIDE, 0.0))


def total(traps: tuple[AirTrap, ...]) -> float:
    return math.fsum(trap.volume for trap in traps)


CUP = profile((0, 0), (2, 0), (2, 0.2), (1.2, 0.2), (1.2, 0.5), (0.8, 0.5), (0.8, 0.2), (0, 0.2))


def test_an_inverted_cup_holds_what_is_above_its_highest_hole() -> None:
    (trap,) = caught_air(CUP, UP, [(0.2, 0.1, 0.2), (0.8, 0.1, 0.3)])
    assert trap.volume == pytest.approx(0.4 * 0.2 * WIDE)
    assert trap.level == pytest.approx(0.3)
    assert trap.top == pytest.approx((1.0, 0.5 * WIDE, 0.5))
    assert trap.centroid == pytest.approx((1.0, 0.5 * WIDE, 0.4))


def test_a_cup_open_below_its_rim_is_caught_from_its_rim() -> None:
    (trap,) = caught_air(CUP, UP, [(0.2, 0.1, 0.2)])
    assert trap.volume == pytest.approx(0.4 * 0.3 * WIDE)


PEAKS = profile((0, 0), (2, 0), (2, 0.2), (1.5, 0.6), (1, 0.3), (0.5, 0.5), (0, 0.2))


def test_the_second_of_two_peaks_is_caught_from_the_saddle() -> None:
    """The peak at x = 1.5 stands 0.3 m over the saddle; it is 0.5 and 0.375 m wide there."""
    (trap,) = caught_air(PEAKS, UP, [(0.5, 0.1, 0.5)])
    assert trap.level == pytest.approx(0.3)
    assert trap.volume == pytest.approx(0.5 * 0.3 * (0.5 + 0.375) * WIDE)
    (other,) = caught_air(PEAKS, UP, [(1.5, 0.1, 0.6)])
    assert other.volume == pytest.approx(0.5 * 0.2 * (0.5 + 0.2 / 0.3 * 0.5) * WIDE)


def test_two_peaks_over_a_hole_in_the_saddle_are_two_traps() -> None:
    traps = caught_air(PEAKS, UP, [(1.0, 0.1, 0.3)])
    assert [round(trap.level, 9) for trap in traps] == [0.3, 0.3]
    assert traps[0].volume > traps[1].volume


def test_peaks_above_a_hole_below_the_saddle_are_one_trap() -> None:
    (trap,) = caught_air(PEAKS, UP, [(2.0, 0.1, 0.2)])
    below = PEAKS.below(UP, 0.2).volume
    assert trap.volume == pytest.approx(PEAKS.volume - below)


SLOPED = profile((0, 0), (2, 0), (2, 0.5), (0, 0.3))


def test_a_sloped_ceiling_vented_at_its_high_end_catches_nothing() -> None:
    assert caught_air(SLOPED, UP, [(2.0, 0.1, 0.5)]) == ()


def test_a_sloped_ceiling_vented_at_its_low_end_catches_its_wedge() -> None:
    (trap,) = caught_air(SLOPED, UP, [(0.0, 0.1, 0.3)])
    assert trap.volume == pytest.approx(0.5 * 2.0 * 0.2 * WIDE)


def test_a_level_ceiling_is_open_wherever_its_hole_is() -> None:
    assert caught_air(box((0, 0, 0), (2, 0.3, 0.4)), UP, [(1.2, 0.1, 0.4)]) == ()


def upright_ring() -> Solid:
    """A torus that stands: radius 1 m, thickness 0.3 m, its hole along y."""
    return moved(Solid(*ring(32, 12)), (0, 0, 0), rotation_about((1, 0, 0), math.pi / 2))


def test_a_ring_vented_half_way_up_on_one_side_holds_its_upper_half() -> None:
    body = upright_ring()
    (trap,) = caught_air(body, UP, [(1.3, 0.0, 0.0)])
    assert trap.volume == pytest.approx(0.5 * body.volume)
    assert trap.volume == pytest.approx(math.pi**2 * 1.0 * 0.3**2, rel=0.06)  # inscribed


def test_a_ring_vented_on_top_catches_nothing() -> None:
    assert caught_air(upright_ring(), UP, [(0.0, 0.0, 1.3)]) == ()


U = profile((0, 0), (1.2, 0), (1.2, 1), (0.9, 1), (0.9, 0.3), (0.3, 0.3), (0.3, 0.8), (0, 0.8))


def test_of_a_u_the_leg_without_a_vent_is_caught_from_its_foot() -> None:
    (right,) = caught_air(U, UP, [(0.1, 0.1, 0.8)])
    assert right.volume == pytest.approx(0.3 * 0.7 * WIDE)
    (left,) = caught_air(U, UP, [(1.0, 0.1, 1.0)])
    assert left.volume == pytest.approx(0.3 * 0.5 * WIDE)


def test_a_beam_that_hangs_across_divides_the_air_and_one_that_ends_does_not() -> None:
    room = box((0, 0, 0), (2, 0.3, 0.4))
    across = take_out(room, [box((0.9, -0.1, 0.3), (0.2, 0.5, 0.2))])
    (trap,) = caught_air(across, UP, [(0.2, 0.1, 0.4)])
    assert trap.volume == pytest.approx(0.9 * 0.3 * 0.1)
    ends = take_out(room, [box((0.9, -0.1, 0.3), (0.2, 0.35, 0.2))])
    assert caught_air(ends, UP, [(0.2, 0.1, 0.4)]) == ()


def test_a_pillar_through_the_space_makes_no_second_part() -> None:
    room = take_out(box((0, 0, 0), (2, 1, 0.4)), [box((0.8, 0.4, -0.1), (0.4, 0.2, 0.6))])
    assert caught_air(room, UP, [(0.1, 0.1, 0.4)]) == ()


def test_a_pocket_under_a_tank_is_caught_though_the_tank_touches_no_wall() -> None:
    """An inverted V, 0.2 m wide and 0.1 m high; beyond a bulkhead there is a second part."""
    under = [(0.6, 0.2), (0.9, 0.2), (1.0, 0.3), (1.1, 0.2), (1.4, 0.2), (1.4, 0.4), (0.6, 0.4)]
    tank = prism([(x, 0.1, z) for x, z in under], (0.0, 0.2, 0.0))
    room = take_out(box((0, 0, 0), (3, 0.4, 0.5)), [tank])
    assert caught_air(room, UP, [(0.1, 0.1, 0.5)]) == ()  # the notch is open at both ends
    ends = [box((0.85, 0.08, 0.15), (0.3, 0.02, 0.2)), box((0.85, 0.3, 0.15), (0.3, 0.02, 0.2))]
    bulkhead = box((2.0, -0.1, 0.05), (0.1, 0.6, 0.6))
    beyond, pocket = caught_air(take_out(room, [*ends, bulkhead]), UP, [(0.1, 0.1, 0.5)])
    assert beyond.volume == pytest.approx(0.9 * 0.4 * 0.45)
    assert pocket.level == pytest.approx(0.2)
    assert pocket.volume == pytest.approx(0.5 * 0.2 * 0.1 * 0.2)


def test_a_space_without_a_hole_is_caught_whole_and_each_piece_by_itself() -> None:
    one = box((0, 0, 0), (1, 1, 1))
    (trap,) = caught_air(one, UP, np.empty((0, 3)))
    assert trap.volume == pytest.approx(1.0)
    two = take_out(one, [box((0.4, -1, -1), (0.2, 3, 3))])
    (trap,) = caught_air(two, UP, [(0.1, 0.5, 1.0)])
    assert trap.volume == pytest.approx(0.4)
    assert trap.centroid == pytest.approx((0.8, 0.5, 0.5))


def test_what_is_left_and_what_is_caught_make_the_whole() -> None:
    traps = caught_air(PEAKS, UP, [(1.0, 0.1, 0.3)])
    left = without_air(PEAKS, UP, traps)
    assert left is not None
    assert left.volume + total(traps) == pytest.approx(PEAKS.volume)
    assert left.volume == pytest.approx(PEAKS.below(UP, 0.3).volume)
    assert left.bounds[1][2] == pytest.approx(0.3)


def test_of_one_trap_beside_another_peak_that_peak_stays() -> None:
    traps = caught_air(PEAKS, UP, [(0.5, 0.1, 0.5)])
    left = without_air(PEAKS, UP, traps)
    assert left is not None
    assert left.volume == pytest.approx(PEAKS.volume - traps[0].volume, rel=1e-6)
    assert left.bounds[1][2] == pytest.approx(0.5)


def test_a_ring_of_air_round_an_open_middle_leaves_the_middle() -> None:
    """A block around the ring would take the middle too."""
    wall = take_out(box((0.3, 0.3, 0.2), (0.4, 0.4, 0.9)), [box((0.35, 0.35, 0.1), (0.3, 0.3, 1))])
    room = take_out(box((0, 0, 0), (1, 1, 1)), [wall])
    (trap,) = caught_air(room, UP, [(0.5, 0.5, 1.0)])
    assert trap.volume == pytest.approx((1.0 - 0.16) * 0.8)
    left = without_air(room, UP, [trap])
    assert left is not None
    assert left.volume == pytest.approx(0.2 + 0.09 * 0.8)


def test_where_all_is_air_nothing_is_left() -> None:
    body = box((0, 0, 0), (1, 1, 1))
    assert without_air(body, UP, caught_air(body, UP, [])) is None
    assert without_air(body, UP, []) is body


@settings(max_examples=20)
@given(heel=st.floats(-1.2, 1.2), trim=st.floats(-1.2, 1.2), turn=st.floats(-3.1, 3.1))
def test_turning_body_holes_and_up_together_changes_nothing(
    heel: float, trim: float, turn: float
) -> None:
    up = rotation_about((1, 0, 0), heel) @ rotation_about((0, 1, 0), trim) @ UP
    holes = np.array([(0.5, 0.1, 0.5), (0.0, 0.1, 0.1)])
    there = caught_air(PEAKS, up, holes)
    around = rotation_about((0.3, -0.5, 0.8), turn)
    turned = caught_air(
        moved(PEAKS, (3, -1, 2), around), around @ up, holes @ around.T + (3, -1, 2)
    )
    assert len(turned) == len(there)
    assert total(turned) == pytest.approx(total(there), abs=1e-7)


ON_ROOF = st.tuples(st.floats(0.01, 1.99), st.floats(0.01, 0.29))


def on_roof(at: tuple[float, float]) -> tuple[float, float, float]:
    corners = [(0, 0.2), (0.5, 0.5), (1, 0.3), (1.5, 0.6), (2, 0.2)]
    return at[0], at[1], float(np.interp(at[0], *np.transpose(corners)))


@settings(max_examples=20)
@given(holes=st.lists(ON_ROOF, min_size=1, max_size=4), more=ON_ROOF)
def test_another_vent_never_adds_caught_air(
    holes: list[tuple[float, float]], more: tuple[float, float]
) -> None:
    before = caught_air(PEAKS, UP, [on_roof(at) for at in holes])
    after = caught_air(PEAKS, UP, [on_roof(at) for at in (*holes, more)])
    assert total(after) <= total(before) + 1e-9 * PEAKS.volume


@settings(max_examples=20)
@given(holes=st.lists(ON_ROOF, min_size=1, max_size=4))
def test_two_peaks_hold_what_their_highest_holes_leave(holes: list[tuple[float, float]]) -> None:
    """Beside the mesh: each peak from its own highest hole, or from the saddle without one."""
    points = [on_roof(at) for at in holes]
    assume(all(abs(x - 1.0) > 1e-3 for x, _, _ in points))
    left = max((z for x, _, z in points if x < 1.0 and z > 0.3), default=0.3)
    right = max((z for x, _, z in points if x > 1.0 and z > 0.3), default=0.3)
    assume(max(left, right) > 0.3 + 1e-6)
    slopes = ((left, 0.5, 0.5 / 0.3, 0.5 / 0.2), (right, 0.6, 0.5 / 0.4, 0.5 / 0.3))
    expected = sum(0.5 * (top - low) ** 2 * (a + b) * WIDE for low, top, a, b in slopes)
    assert total(caught_air(PEAKS, UP, points)) == pytest.approx(expected, abs=2e-8)


@pytest.mark.parametrize("below", [0.1, 1e-3, 1e-5, 1e-7, 1e-8, 1e-10])
def test_a_corner_elsewhere_just_below_a_peak_does_not_hide_its_air(below: float) -> None:
    """The cut through the first span then leaves less of the peak than counts."""
    body = profile(
        (0, 0), (4, 0), (4, 0.5), (3, 1.0), (2, 0.5), (1.5, 1.0 - below), (1, 1.2), (0, 0.5)
    )
    (trap,) = caught_air(body, UP, [(1.0, 0.1, 1.2)])
    assert trap.level == pytest.approx(0.5)
    assert trap.volume == pytest.approx(0.5 * 2.0 * 0.5 * WIDE)


@pytest.mark.parametrize("off", [-0.9e-9, -0.6e-9, -0.3e-9, 0.3e-9, 0.6e-9, 0.9e-9])
def test_a_hole_within_rounding_of_a_peak_opens_it(off: float) -> None:
    body = profile((0, 0), (2, 0), (2, 0.5), (1, 1.0 + off), (0, 0.5))
    beside = profile((0, 0), (2, 0), (2, 0.5), (1.2, 1.0 + off), (0.8, 1.0), (0, 0.5))
    assert caught_air(body, UP, [(1.0, 0.1, 1.0)]) == ()
    assert caught_air(beside, UP, [(0.8, 0.1, 1.0)]) == ()
