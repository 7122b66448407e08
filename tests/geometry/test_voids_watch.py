"""Nothing leaks in silence: corners, limber holes and slots, sealed or reported at their place."""

import numpy as np
import pytest
from cavity_parts import block, drilled_plate, plates, turned

from flotation.geometry.solid import Solid
from flotation.geometry.voids import OUTSIDE, Closure, find_cavities

SIZE = (0.6, 0.4, 0.3)
WALL = 0.006
GAP = 0.003
WHOLE = float(np.prod(SIZE))
TOUCH = 1e-5


def edge_to_edge(off):
    """Six plates as large as the inner faces less `off`: no wall stands opposite another."""
    (x, y, z), t = SIZE, WALL
    return [
        block((off, off, -t), (x - off, y - off, 0.0), "bottom"),
        block((off, off, z), (x - off, y - off, z + t), "lid"),
        block((-t, off, off), (0.0, y - off, z - off), "aft"),
        block((x, off, off), (x + t, y - off, z - off), "forward"),
        block((off, -t, off), (x - off, 0.0, z - off), "starboard"),
        block((off, y, off), (x - off, y + t, z - off), "port"),
    ]


def in_a_ring(off):
    """At one corner each of three plates ends `off` before the face of the next."""
    (x, y, z), t = SIZE, WALL
    return [
        block((-t, off, -t), (x - off, y + t, 0.0), "bottom"),
        block((-t, -t, off), (0.0, y + t, z - off), "aft"),
        block((off, -t, -t), (x - off, 0.0, z - off), "starboard"),
        block((x, -t, -t), (x + t, y + t, z - off), "forward"),
        block((off, y, off), (x - off, y + t, z - off), "port"),
        block((-t, -t, z), (x + t, y + t, z + t), "lid"),
    ]


# Three corners of plates stand sqrt(2) * off from each other.
WIDEST = {edge_to_edge: GAP / np.sqrt(2.0), in_a_ring: GAP}


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("corners", [edge_to_edge, in_a_ring])
def test_corners_where_three_parts_end_are_sealed_within_the_gap(corners, seed):
    off = np.random.default_rng(seed).uniform(0.0003, 0.99 * WIDEST[corners])
    sealed_whole(corners(off), seed)


def sealed_whole(parts, seed):
    """The finding, once it is one void with putty at every plate."""
    parts, _ = turned(parts, seed)
    found = find_cavities(parts, gap=GAP, look_to=GAP)
    (void,) = found.voids
    assert abs(void.volume - WHOLE) <= void.volume_error < 0.001 * WHOLE
    assert {name for gap in found.gaps for name in gap.parts} == {part.name for part in parts}
    return found


@pytest.mark.parametrize("seed", range(20, 28))
def test_three_corners_that_a_ball_of_the_gap_passes_between_are_sealed(seed):
    # The ball that passes between three corners is 2 / sqrt(3) times as wide as they stand apart.
    share = np.random.default_rng(seed).uniform(0.87, 0.999)
    found = sealed_whole(edge_to_edge(share * GAP / np.sqrt(2.0)), seed)
    for gap in found.gaps:
        assert gap.widest == pytest.approx(share * GAP, rel=0.03)
        assert gap.widest <= GAP + TOUCH


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("corners", [edge_to_edge, in_a_ring])
def test_a_gap_drawn_as_wide_as_the_seal_is_sealed_in_single_precision_too(corners, seed):
    parts, _ = turned(corners(WIDEST[corners]), seed)
    rough = [Solid(p.vertices.astype(np.float32), p.faces, name=p.name) for p in parts]
    (void,) = find_cavities(rough, gap=GAP, look_to=GAP).voids
    assert void.volume == pytest.approx(WHOLE, rel=1e-3)


@pytest.mark.parametrize("seed", [2, 3, 4])
def test_corners_wider_than_the_gap_are_reported(seed):
    off = np.random.default_rng(seed).uniform(1.02 * GAP / np.sqrt(2.0), 2.5 * GAP)
    parts, placed = turned(edge_to_edge(off), seed)
    found = find_cavities(parts, gap=GAP)
    assert found.voids == () and not any("could not be measured" in c for c in found.cautions)
    assert all(leak.to == OUTSIDE for leak in found.leaks)
    assert found.leaks[0].cavity_volume == pytest.approx(WHOLE, rel=0.1)
    # One opening along each of the twelve edges, as wide as the plates there stand apart.
    sides = {frozenset(leak.parts): leak for leak in found.leaks}
    assert len(found.leaks) == len(sides) == 12
    for names, leak in sides.items():
        assert leak.widest == pytest.approx(np.sqrt(2.0) * off, rel=0.03)
        assert leak.place == pytest.approx(placed(middle_of_edge(names, off)), abs=2.0 * off)


def middle_of_edge(names, off):
    """Where two plates of `edge_to_edge` come closest, half way along."""
    at = np.array(SIZE) / 2.0
    sides = (("aft", "forward"), ("starboard", "port"), ("bottom", "lid"))
    for axis, (low, high) in enumerate(sides):
        if low in names:
            at[axis] = off / 2.0
        if high in names:
            at[axis] = SIZE[axis] - off / 2.0
    return at


@pytest.mark.parametrize("seed", range(10))
def test_limber_holes_are_passages_at_their_place(seed):
    chance = np.random.default_rng(seed)
    diameter = chance.uniform(0.012, 0.030)
    at = chance.uniform((0.05, 0.02), (SIZE[1] - 0.05, 0.05))
    web = drilled_plate((0.25, 0.0, 0.0), (0.26, *SIZE[1:]), (*at, diameter), "web")
    parts, placed = turned([*plates(SIZE, WALL), web], seed)
    found = find_cavities(parts, gap=GAP)
    (void,) = found.voids
    assert void.volume == pytest.approx(WHOLE - 0.01 * SIZE[1] * SIZE[2], rel=1e-3)
    (passage,) = found.leaks
    assert passage.is_passage and passage.parts == ("web", "web")
    assert passage.place == pytest.approx(placed((0.255, *at)), abs=2e-4)
    assert 0.98 * diameter <= passage.widest <= diameter + 1e-6
    assert passage.cavity_volume == pytest.approx(0.25 * SIZE[1] * SIZE[2], rel=1e-3)


def slotted(width):
    """A box of which the forward plate stops `width` short of the lid, from side to side."""
    parts = [part for part in plates(SIZE, WALL) if part.name != "forward"]
    x, y, z = SIZE
    return [
        *parts,
        block((x, -WALL, -WALL), (x + WALL, y + WALL, z - width), "forward"),
        block((x, -WALL, z), (x + WALL, y + WALL, z + WALL), "header"),
    ]


@pytest.mark.parametrize("seed", range(4))
def test_long_slots_are_reported_with_their_width(seed):
    width = np.random.default_rng(seed).uniform(1.2 * GAP, 0.02)
    parts, placed = turned(slotted(width), seed)
    found = find_cavities(parts, gap=GAP)
    assert found.voids == ()
    widest = found.leaks[0]
    assert widest.to == OUTSIDE and "forward" in widest.parts
    assert widest.widest == pytest.approx(width, rel=0.02)
    middle = placed((SIZE[0] + WALL / 2, SIZE[1] / 2, SIZE[2] - width / 2))
    assert widest.place == pytest.approx(middle, abs=2e-3)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.77])
def test_a_long_slot_is_closed_by_a_place_anywhere_along_it(share):
    width = 0.012
    at = (SIZE[0] + WALL / 2, share * SIZE[1], SIZE[2] - width / 2)
    tape = Closure("slot", at, 0.013)
    (void,) = find_cavities(slotted(width), gap=GAP, closures=[tape]).voids
    assert void.volume == pytest.approx(WHOLE, rel=1e-3)


def test_progress_is_told_from_start_to_end():
    told = []
    parts = plates(SIZE, WALL)
    find_cavities(parts, gap=GAP, progress=lambda share, stage: told.append((share, stage)))
    shares = [share for share, _ in told]
    assert shares[0] == 0.0 and shares[-1] == 1.0 and shares == sorted(shares)
    assert len({stage for _, stage in told}) == len(told)


def test_a_search_that_looks_for_no_openings_says_so():
    parts, _ = turned(edge_to_edge(0.5 * GAP), 2)
    (told,) = find_cavities(parts, gap=GAP, look_to=GAP).cautions
    both = f"{1000.0 * GAP:.1f} mm"
    assert f"the width to look to, {both}, is not more than the gap, {both};" in told
    found = find_cavities(parts, gap=GAP)
    (told,) = found.cautions
    assert f"openings up to {1000.0 * found.looked_to:.0f} mm wide were looked for" in told
    cell = float(told.partition("a grid of ")[2].split()[0])
    narrow = float(told.partition("a space less than about ")[2].split()[0])
    assert narrow == pytest.approx(4.0 * cell, abs=0.7)
    alike = float(told.partition("narrower than its space, ")[2].split()[0])
    assert alike == pytest.approx(5.0 * cell, abs=0.7)


@pytest.mark.parametrize("side", [0.014, 0.022])
def test_a_chamber_too_small_to_be_told_of_is_named_in_a_caution(side):
    parts = [part for part in plates((side,) * 3, WALL) if part.name != "forward"]
    low, high = (side, -WALL, -WALL), (side + WALL, side + WALL, side + WALL)
    parts.append(drilled_plate(low, high, (side / 2.0, side / 2.0, 0.008), "forward"))
    parts, _ = turned(parts, 1)
    found = find_cavities(parts, gap=0.004)
    (told,) = found.cautions
    shown = told.partition("nor is a chamber in which the grid shows less than ")[2]
    litres = float(shown.split()[0])
    width = float(told.partition(" of room, a cube ")[2].split()[0])
    assert width == pytest.approx(16.0) and litres == pytest.approx(1000.0 * 0.016**3, rel=0.02)
    assert found.voids == ()
    # Wider than a space that the cells do not show at all, yet too small to be told of.
    assert 1000.0 * side > float(told.partition("a space less than about ")[2].split()[0])
    assert [leak.to for leak in found.leaks] == ([OUTSIDE] if 1000.0 * side > width else [])
