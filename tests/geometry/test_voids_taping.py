"""Tape closes the opening that it is put on, all of it, and nothing else that is as narrow."""

import numpy as np
import pytest
from cavity_parts import block, drilled_plate, pipe, plates, polygon_area, turned

from flotation.geometry.solid import Solid
from flotation.geometry.voids import OUTSIDE, Closure, find_cavities

WALL, GAP = 0.006, 0.003
# A chase tube from outside aft to the middle of a low bay: as near to its lid as it is wide.
SIZE = (1.0, 0.4, 0.12)
INNER, OUTER, SIDES = 0.027, 0.030, 24
BORE = Closure("end of the chase tube", (0.5, 0.2, 0.06), 0.056)


def bay_with_chase_tube(lid=None):
    """The tube goes tightly through the aft plate and ends open in the middle of the bay."""
    parts = [p for p in plates(SIZE, WALL) if p.name != "aft" and (lid is None or p.name != "lid")]
    low, high = (-WALL, -WALL, 0.0), (0.0, SIZE[1] + WALL, SIZE[2] + WALL)
    aft = drilled_plate(low, high, (0.2, 0.06, 2.0 * OUTER), "aft")
    tube = pipe(INNER, OUTER, SIDES, (-0.05, 0.5), "chase tube")
    tube = Solid(tube.vertices + np.array((0.0, 0.2, 0.06)), tube.faces, name="chase tube")
    return [*parts, aft, tube, *([] if lid is None else [lid])]


WHOLE = float(np.prod(SIZE)) - 0.5 * polygon_area(OUTER, SIDES)


@pytest.mark.parametrize("seed", range(3))
def test_tape_on_a_tube_leaves_the_space_beside_the_tube_alone(seed):
    parts, placed = turned(bay_with_chase_tube(), seed)
    tape = Closure(BORE.name, tuple(placed(BORE.at).tolist()), BORE.width)
    (void,) = find_cavities(parts, gap=GAP, closures=[tape]).voids
    assert abs(void.volume - WHOLE) <= void.volume_error
    assert void.volume == pytest.approx(WHOLE, rel=1e-3)


def test_what_is_taped_is_not_told_as_open_because_another_opening_is():
    lid = drilled_lid(0.008, (0.8, 0.2))
    (leak,) = find_cavities(bay_with_chase_tube(lid), gap=GAP, closures=[BORE]).leaks
    assert leak.place == pytest.approx((0.8, 0.2, SIZE[2] + WALL / 2.0), abs=1e-4)
    assert leak.widest == pytest.approx(0.008, rel=0.01) and leak.to == OUTSIDE
    # and without the tape both are
    both = find_cavities(bay_with_chase_tube(lid), gap=GAP).leaks
    assert {leak.parts for leak in both} >= {("lid", "lid"), ("chase tube", "chase tube")}


def drilled_lid(diameter, at):
    """The lid of the bay with a hole at x, y: a drilled plate laid down."""
    length, breadth, height = SIZE
    low, high = (0.0, 0.0, -length), (WALL, breadth, 0.0)
    upright = drilled_plate(low, high, (at[1], -at[0], diameter), "lid")
    x, y, z = upright.vertices.T
    return Solid(np.column_stack([-z, y, x + height]), upright.faces, name="lid")


def as_one(bodies):
    """Bodies side by side as one part."""
    before = np.cumsum([0] + [len(body.vertices) for body in bodies])
    faces = [body.faces + start for body, start in zip(bodies, before, strict=False)]
    return Solid(np.concatenate([b.vertices for b in bodies]), np.concatenate(faces), name="bars")


def test_tape_on_two_slots_side_by_side_leaves_the_bay_its_volume():
    (length, breadth, height), t = (0.6, 0.4, 0.3), WALL
    bars = ((-t, 0.1), (0.13, 0.134), (0.144, height + t))
    parts = [p for p in plates((length, breadth, height), t) if p.name != "forward"]
    parts.append(
        as_one([block((length, -t, low), (length + t, breadth + t, high)) for low, high in bars])
    )
    tape = [
        Closure("wide", (length + t / 2.0, 0.2, 0.115), 0.031),
        Closure("narrow", (length + t / 2.0, 0.2, 0.139), 0.011),
    ]
    (void,) = find_cavities(parts, gap=GAP, closures=tape, look_to=GAP).voids
    # The bars touch the sides of the box: no putty goes round their edges into the bay.
    assert void.volume == pytest.approx(length * breadth * height, rel=1e-6)


def test_the_bound_holds_where_tape_goes_round_an_edge():
    """Strips 1 mm off the wall overhang the slot, so that the tape goes round its edges too."""
    size, t = (0.6, 0.4, 0.3), WALL
    length, breadth, height = size
    parts = [p for p in plates(size, t) if p.name != "forward"]
    parts.append(block((length, -t, -t), (length + t, breadth + t, 0.1), "low"))
    parts.append(block((length, -t, 0.13), (length + t, breadth + t, height + t), "high"))
    parts += [
        block((length - 0.004, 0.0, z), (length - 0.001, breadth, z + 0.04), f"strip {z}")
        for z in (0.0605, 0.1295)
    ]
    tape = Closure("slot", (length + t / 2.0, 0.2, 0.115), 0.031)
    (void,) = find_cavities(parts, gap=GAP, closures=[tape], look_to=GAP).voids
    drawn = length * breadth * height - 2.0 * breadth * 0.04 * 0.003
    assert drawn - void.volume > 0.5 * breadth * 0.03**2  # it stands out into the bay
    assert drawn - void.volume <= void.volume_error
