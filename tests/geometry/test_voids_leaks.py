"""Openings: sealed up to the gap, reported beyond it, at the right place, with where they lead."""

import numpy as np
import pytest
from cavity_parts import SIDES, bar, block, disc, drilled_plate, pipe, plates, turned

from flotation.geometry.solid import Solid
from flotation.geometry.voids import Closure, find_cavities
from flotation.geometry.voids.finding import OUTSIDE

GAP = 0.004
SIZE = (0.6, 0.4, 0.3)
WALL = 0.006


def drilled_box(diameter, at):
    """A box whose forward plate has a hole at y, z."""
    length, breadth, height = SIZE
    parts = [p for p in plates(SIZE, WALL) if p.name != "forward"]
    low, high = (length, -WALL, -WALL), (length + WALL, breadth + WALL, height + WALL)
    return [*parts, drilled_plate(low, high, (*at, diameter), "forward")]


OPENINGS = [
    (seed, float(width))
    for seed, width in enumerate(np.concatenate([np.linspace(1, 30, 14), [3.9, 4.2, 4, 5, 7, 2]]))
]


@pytest.mark.parametrize(("seed", "millimetres"), OPENINGS)
def test_seeded_opening_is_sealed_or_reported_at_its_place(seed, millimetres):
    diameter = millimetres / 1000.0
    chance = np.random.default_rng(seed)
    at = chance.uniform((0.05, 0.05), (SIZE[1] - 0.05, SIZE[2] - 0.05))
    parts, placed = turned(drilled_box(diameter, at), seed)
    found = find_cavities(parts, gap=GAP)
    middle = placed((SIZE[0] + WALL / 2, *at))
    across = diameter * np.cos(np.pi / SIDES)
    whole = float(np.prod(SIZE))
    if across <= GAP:
        (void,) = found.voids
        assert found.leaks == ()
        assert void.volume == pytest.approx(whole, rel=1e-5)
        (hole,) = [gap for gap in found.gaps if gap.parts == ("forward", "forward")]
        place, widest, sides = hole.place, hole.widest, hole.between
        assert sides == (OUTSIDE, 0)
    else:
        assert found.voids == ()
        (leak,) = found.leaks
        place, widest = leak.place, leak.widest
        assert leak.to == OUTSIDE and leak.parts == ("forward", "forward")
        assert leak.cavity_volume == pytest.approx(whole, rel=1e-3)
    assert place == pytest.approx(middle, abs=1e-4)
    assert across - 1e-6 <= widest <= diameter + 1e-6


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("millimetres", [6.0, 14.0])
def test_an_opening_is_measured_though_its_corners_have_the_digits_of_a_mesh_file(
    seed, millimetres
):
    """Single precision in millimetres, some metres off: 0.2 um, and no two facets are parallel."""
    chance = np.random.default_rng(seed)
    at = chance.uniform((0.05, 0.05), (SIZE[1] - 0.05, SIZE[2] - 0.05))
    shift = np.array([2.041, 0.377, 0.287]) + chance.uniform(0.0, 1.0, 3)
    parts = [
        Solid(as_stored(part.vertices + shift), part.faces, name=part.name)
        for part in drilled_box(millimetres / 1000.0, at)
    ]
    (leak,) = find_cavities(parts, gap=GAP).leaks
    assert leak.place == pytest.approx(np.add(shift, (SIZE[0] + WALL / 2, *at)), abs=1e-4)
    assert leak.widest == pytest.approx(millimetres / 1000.0, rel=0.01)


def as_stored(vertices):
    return (1000.0 * vertices).astype(np.float32).astype(float) / 1000.0


@pytest.mark.parametrize("attitude", [None, 1, 2])
def test_a_hole_is_told_of_where_edges_that_pass_each_other_are_sealed_too(attitude):
    """Six plates, each 1 mm off the next: no wall stands opposite another along their edges."""
    length, breadth, height = SIZE
    off, far = 0.001, 0.001 + WALL
    hole = (0.2, 0.15, 0.012)
    parts = [
        block((0.0, 0.0, -far), (length, breadth, -off), "bottom"),
        block((0.0, 0.0, height + off), (length, breadth, height + far), "lid"),
        block((-far, 0.0, 0.0), (-off, breadth, height), "aft"),
        drilled_plate((length + off, 0.0, 0.0), (length + far, breadth, height), hole, "forward"),
        block((0.0, -far, 0.0), (length, -off, height), "starboard"),
        block((0.0, breadth + off, 0.0), (length, breadth + far, height), "port"),
    ]
    at = np.array([length + off + WALL / 2, *hole[:2]])
    if attitude is not None:
        parts, placed = turned(parts, attitude)
        at = placed(at)
    (leak,) = find_cavities(parts, gap=0.003).leaks
    assert leak.place == pytest.approx(at, abs=1e-4)
    assert leak.widest == pytest.approx(hole[2], rel=0.01)


def test_a_wedge_outside_a_sealed_joint_is_no_leak():
    """A lid 2 mm above the walls, that rises beyond them over a ledge; and a hole elsewhere."""
    length, breadth, height = SIZE
    top, wide = height + WALL, breadth + WALL
    lower = np.array([(-0.3, top + 0.032), (-WALL, top + 0.002), (wide, top + 0.002)])
    lid = bar((lower, np.add(lower, (0.0, 0.02))), -WALL, length + WALL, "lid")
    ledge = block((-WALL, -0.3, top - 0.02), (length + WALL, -WALL, top), "ledge")
    box = [part for part in drilled_box(0.006, (0.21, 0.11)) if part.name != "lid"]
    found = find_cavities([*box, lid, ledge], gap=GAP)
    (leak,) = found.leaks
    assert leak.parts == ("forward", "forward")
    assert leak.place == pytest.approx((length + WALL / 2, 0.21, 0.11), abs=1e-4)


def test_a_joint_that_widens_to_more_than_the_gap_leaks_there():
    """As above, but the lid rises along the walls: from 2 mm aft to 8 mm forward."""
    length, breadth, height = SIZE
    top = height + WALL
    lid = block((-WALL, -WALL, top), (length + WALL, breadth + WALL, top + 0.02), "lid")
    rise = 0.002 + 0.006 * np.clip(lid.vertices[:, 0] / length, 0.0, None)
    raised = Solid(lid.vertices + np.outer(rise, (0.0, 0.0, 1.0)), lid.faces, name="lid")
    box = [part for part in plates(SIZE, WALL) if part.name != "lid"]
    leaks = find_cavities([*box, raised], gap=GAP).leaks
    assert {leak.parts for leak in leaks} >= {("forward", "lid")}
    for leak in leaks:
        assert leak.to == OUTSIDE and "lid" in leak.parts
        assert leak.place[0] > length / 3.0
        assert leak.widest == pytest.approx(0.008, abs=1e-4)


def test_a_limber_hole_joins_two_chambers_and_is_called_a_passage():
    parts = plates((1.0, 0.4, 0.3), WALL)
    bulkhead = drilled_plate((0.6, 0.0, 0.0), (0.606, 0.4, 0.3), (0.2, 0.03, 0.020), "bulkhead")
    found = find_cavities([*parts, bulkhead], gap=GAP)
    (void,) = found.voids
    assert void.volume == pytest.approx(0.994 * 0.4 * 0.3, rel=1e-3)
    (passage,) = found.leaks
    assert passage.is_passage and passage.cavity == 0
    assert passage.place == pytest.approx((0.603, 0.2, 0.03), abs=1e-4)
    assert passage.widest == pytest.approx(0.020, rel=0.01)
    assert passage.cavity_volume == pytest.approx((1.0 - 0.606) * 0.4 * 0.3, rel=1e-3)
    assert passage.to_place[0] < 0.6


def test_an_opening_closed_by_name_parts_the_chambers():
    parts = plates((1.0, 0.4, 0.3), WALL)
    bulkhead = drilled_plate((0.6, 0.0, 0.0), (0.606, 0.4, 0.3), (0.2, 0.03, 0.020), "bulkhead")
    plug = Closure("limber hole", (0.603, 0.2, 0.03), 0.022)
    found = find_cavities([*parts, bulkhead], gap=GAP, closures=[plug])
    volumes = [void.volume for void in found.voids]
    assert volumes == pytest.approx([0.394 * 0.4 * 0.3, 0.6 * 0.4 * 0.3], rel=1e-5)
    assert found.leaks == ()
    assert found.voids[0].touching == (1,)


def test_a_pipe_whose_ends_are_blanked_is_a_void_of_its_own():
    pipe_in = pipe(0.015, 0.018, 48, (-0.05, 0.65))
    pipe_in = Solid(np.add(pipe_in.vertices, (0.0, 0.2, 0.1)), pipe_in.faces, name="pipe")
    found = find_cavities([*plates(SIZE, WALL), pipe_in], gap=GAP)
    volumes = sorted(void.volume for void in found.voids)
    share = 0.5 * 48 * np.sin(2 * np.pi / 48) * SIZE[0]
    truth = [share * 0.015**2, np.prod(SIZE) - share * 0.018**2]
    assert volumes == pytest.approx(truth, rel=1e-6)
    assert [void.touching for void in found.voids] == [(1,), (0,)]


def test_a_chase_tube_through_both_ends_leads_outside_and_is_no_cavity():
    radius = 0.018
    ends = [
        drilled_plate((x, -WALL, -WALL), (x + WALL, 0.4 + WALL, 0.3 + WALL), (0.2, 0.1, 0.036), n)
        for x, n in ((-WALL, "aft"), (SIZE[0], "forward"))
    ]
    tube = pipe(0.015, radius - 0.0004, 48, (-0.05, 0.65))
    tube = Solid(np.add(tube.vertices, (0.0, 0.2, 0.1)), tube.faces, name="chase tube")
    sides = [p for p in plates(SIZE, WALL) if p.name not in ("aft", "forward")]
    found = find_cavities([*sides, *ends, tube], gap=GAP)
    (void,) = found.voids
    outer = 0.5 * 48 * (radius - 0.0004) ** 2 * np.sin(2 * np.pi / 48)
    assert void.volume == pytest.approx(np.prod(SIZE) - outer * SIZE[0], rel=1e-5)
    assert "chase tube" in void.parts
    assert all(leak.cavity != 0 and leak.to != 0 for leak in found.leaks)


def test_a_wide_slot_is_reported_and_a_narrow_one_sealed_with_its_length():
    narrow = find_cavities(plates(SIZE, WALL, 0.003), gap=GAP, look_to=GAP)
    (slot,) = [gap for gap in narrow.gaps if "lid" in gap.parts and gap.widest > 0.002][:1]
    assert slot.between == (OUTSIDE, 0) and slot.widest == pytest.approx(0.003, abs=1e-6)
    lid = sum(gap.length for gap in narrow.gaps if "lid" in gap.parts)
    assert lid == pytest.approx(2 * (SIZE[0] + SIZE[1]), rel=0.05)
    wide = find_cavities(plates(SIZE, WALL, 0.006), gap=GAP)
    assert wide.voids == ()
    assert all(leak.to == OUTSIDE for leak in wide.leaks)
    assert {name for leak in wide.leaks for name in leak.parts} == {
        "lid",
        "aft",
        "forward",
        "port",
        "starboard",
    }


def test_bulkhead_in_a_round_tube_leaks_at_its_rim():
    tube = pipe(0.3, 0.305, 60, (0.0, 1.0), "tube")
    ends = [disc(0.3, 60, *x, f"end {x[0]}") for x in ((0.0, 0.01), (0.99, 1.0))]
    loose = disc(0.29, 60, 0.5, 0.51, "bulkhead")
    found = find_cavities([tube, *ends, loose], gap=GAP)
    (void,) = found.voids
    assert void.volume > 0.0
    passages = [leak for leak in found.leaks if leak.is_passage]
    assert passages and all(set(p.parts) == {"bulkhead", "tube"} for p in passages)
    assert passages[0].widest == pytest.approx(0.01, rel=0.02)
    assert passages[0].place[0] == pytest.approx(0.505, abs=1e-3)


def test_a_tank_that_stands_on_the_floor_is_no_body_adrift():
    tank = block((0.1, 0.1, 0.0), (0.3, 0.2, 0.1), "tank")
    (void,) = find_cavities([*plates(SIZE, WALL), tank], gap=GAP, look_to=GAP).voids
    assert void.adrift == ()
    assert void.volume == pytest.approx(np.prod(SIZE) - 0.2 * 0.1 * 0.1, rel=1e-6)
