"""The bound on a void's volume, on a thousand cavities whose volumes are known in closed form."""

from itertools import pairwise

import numpy as np
import pytest
from cavity_parts import block, disc, pipe, plates, polygon_area, turned

from flotation.geometry.solid import Skin, Solid
from flotation.geometry.voids import find_cavities


def drawn_box(chance, gap):
    """A box whose lid stands off its walls by anything up to the gap."""
    size = chance.uniform(0.1, 2.0, 3)
    return plates(size, chance.uniform(0.002, 0.02), chance.uniform(0, 1) * gap), [np.prod(size)]


def divided_box(chance, gap):
    """A bulkhead that stands off all round."""
    size = chance.uniform(0.2, 2.0, 3)
    off, thick = chance.uniform(0, 0.95) * gap, chance.uniform(0.004, 0.03)
    at = chance.uniform(0.1, 0.6) * size[0]
    shell = tray(size, 0.006)
    wall = block((at, off, off), (at + thick, size[1] - off, size[2] - off), "bulkhead")
    return [*shell, wall], [at * size[1] * size[2], (size[0] - at - thick) * size[1] * size[2]]


def tray(size, wall):
    """A box as one part: an outer box with a hollow."""
    outer = block(np.full(3, -wall), np.asarray(size) + wall)
    inner = block(np.zeros(3), size)
    return [
        Solid(
            np.concatenate([outer.vertices, inner.vertices]),
            np.concatenate([outer.faces, inner.faces[:, ::-1] + len(outer.vertices)]),
            name="tray",
        )
    ]


def leaning_divider(chance, gap):
    """A bulkhead that leans and is cut square, so that its gaps are wedges within the gap."""
    size = chance.uniform((0.8, 0.3, 0.2), (1.5, 1.5, 1.0))
    lean, off = chance.uniform(-0.5, 0.5), chance.uniform(0.05, 0.45) * gap
    # Square to its edge the bulkhead stands at most 0.95 of the gap off the floor.
    thick = min(0.012, (0.95 * gap * np.cos(lean) - off) / np.sin(abs(lean)))
    # Measured square to the floor the corner nearest to it is `off` away.
    rise = size[2] / np.cos(lean) - 2 * off / np.cos(lean) - thick * abs(np.tan(lean))
    plate = block((-thick / 2, off, -rise / 2), (thick / 2, size[1] - off, rise / 2))
    turn = np.array([[np.cos(lean), 0, np.sin(lean)], [0, 1, 0], [-np.sin(lean), 0, np.cos(lean)]])
    middle = np.array([0.5 * size[0], 0.0, size[2] / 2])
    leaning = Solid(plate.vertices @ turn.T + middle, plate.faces, name="bulkhead")
    half = (0.5 * size[0] - thick / 2 / np.cos(lean)) * size[1] * size[2]
    return [*tray(size, 0.01), leaning], [half, half]


def tube_with_ends(chance, gap):
    """A polygonal tube closed by discs of the same polygon that stand off."""
    sides, radius = int(chance.integers(5, 40)), chance.uniform(0.05, 0.5)
    length = chance.uniform(0.2, 2.0)
    tube = pipe(radius, radius * 1.1, sides, (-0.05, length + 0.05), "tube")
    off = chance.uniform(0, 0.9) * gap
    small = radius - off / np.cos(np.pi / sides)
    ends = [disc(small, sides, *at) for at in ((-0.01, 0.0), (length, length + 0.01))]
    return [tube, *ends], [polygon_area(radius, sides) * length]


def with_things_inside(chance, gap):
    """A block adrift, and a beam that pokes through both walls."""
    size = chance.uniform(0.3, 1.0, 3)
    adrift = block(0.1 * size, 0.4 * size, "tank")
    beam = block(
        (-0.5, 0.6 * size[1], 0.5 * size[2]), (size[0] + 0.5, 0.8 * size[1], 0.7 * size[2])
    )
    left = np.prod(size) - 0.3**3 * np.prod(size) - size[0] * 0.2 * size[1] * 0.2 * size[2]
    return [*tray(size, 0.005), adrift, beam], [left]


def skins(chance, gap):
    """A closed sheet with a thickness."""
    size, thick = chance.uniform(0.1, 1.0, 3), chance.uniform(0.001, 0.01)
    shell = block(np.zeros(3), size)
    return [Skin(shell.vertices, shell.faces, thick, name="skin")], [np.prod(size - thick)]


def slotted(chance, gap):
    """A wall with a slot right through it, no wider than the gap."""
    size = chance.uniform(0.2, 1.0, 3)
    width = chance.uniform(0.05, 0.95) * gap
    low, high = tray_with_slot(size, 0.01, width)
    return [low, high], [np.prod(size)]


def tray_with_slot(size, wall, width):
    """Two halves of a hollow box that stand `width` apart, square edge to square edge."""
    cut = 0.4 * size[2]
    halves = []
    for start, end, outer in ((0.0, cut, -wall), (cut + width, size[2], size[2] + wall)):
        halves.append(half_box(size, wall, (start, end, outer)))
    return halves


def half_box(size, wall, levels):
    """A box open at one end, its floor or lid at `outer`."""
    start, end, outer = levels
    x, y = size[0], size[1]
    ring = np.array([(0, 0), (x, 0), (x, y), (0, y)])
    wide = ring + np.array([(-wall, -wall), (wall, -wall), (wall, wall), (-wall, wall)])
    bottom = outer < start
    rim, inner = (end, start) if bottom else (start, end)
    rows = [(wide, outer), (wide, rim), (ring, rim), (ring, inner)]
    points = np.concatenate([np.column_stack([r, np.full(4, z)]) for r, z in rows])
    faces = [(0, 2, 1), (0, 3, 2), (12, 13, 14), (12, 14, 15)]
    for a, b in pairwise((0, 4, 8, 12)):
        for i in range(4):
            j = (i + 1) % 4
            faces += [(a + i, a + j, b + j), (a + i, b + j, b + i)]
    faces = np.array(faces)
    return Solid(points, faces if bottom else faces[:, ::-1], name="half")


def overlapping(chance, gap):
    """Two boxes side by side that share a doubled, coincident wall."""
    size = chance.uniform(0.1, 1.0, 3)
    second = size * (1.0, 1.0, chance.uniform(0.5, 1.5))
    wall = 0.01
    moved = [
        Solid(np.add(p.vertices, (size[0] + wall, 0.0, 0.0)), p.faces, name=f"{p.name} 2")
        for p in plates(second, wall)
    ]
    return [*plates(size, wall), *moved], [np.prod(size), np.prod(second)]


# A thousand in all, fewer of those whose many parts take longer.
DRAWN = {
    drawn_box: 110,
    divided_box: 110,
    leaning_divider: 100,
    tube_with_ends: 100,
    with_things_inside: 150,
    skins: 230,
    slotted: 150,
    overlapping: 50,
}


def test_a_thousand_cases_are_drawn():
    assert sum(DRAWN.values()) == 1000


@pytest.mark.parametrize(("family", "cases"), DRAWN.items())
def test_the_bound_holds_on_random_cavities(family, cases):
    for number in range(cases):
        chance = np.random.default_rng([len(family.__name__), number])
        gap = chance.uniform(0.001, 0.006)
        parts, truths = family(chance, gap)
        if all(isinstance(part, Solid) for part in parts):
            parts, _ = turned(parts, number)
        found = find_cavities(parts, gap=gap, look_to=gap)
        assert len(found.voids) == len(truths), (family.__name__, number)
        volumes = sorted(void.volume for void in found.voids)
        for volume, truth in zip(volumes, sorted(truths), strict=True):
            void = next(v for v in found.voids if v.volume == volume)
            off = abs(volume - truth)
            assert off <= void.volume_error, (family.__name__, number, off, void.volume_error)
            assert void.volume_error < 0.1 * truth, "a bound that says nothing"
            assert void.solid.volume == pytest.approx(volume, rel=1e-9)
