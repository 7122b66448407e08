"""Blocks of cells and the walls and slits in them, against dense cells and closed forms."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import ndimage

from flotation.geometry.voids.block_walls import block_walls
from flotation.geometry.voids.blocks import CELLS, SIDE, blocks_at
from flotation.geometry.voids.cells import Grid, surface_cells
from flotation.geometry.voids.slits import slits

# Blocks are chosen from so many along each axis.
ACROSS = 3
SEEDS = st.integers(0, 2**32 - 1)


def some_blocks(chance):
    """Some of 27 blocks, all of them now and then, and which cells of the dense grid they hold."""
    share = chance.choice([0.2, 0.6, 1.0])
    chosen = chance.random((ACROSS,) * 3) < share
    chosen[tuple(chance.integers(0, ACROSS, 3))] = True
    at = chance.permutation(np.argwhere(chosen))
    held = np.kron(chosen, np.ones((SIDE,) * 3, dtype=bool)).astype(bool)
    return blocks_at(chance.uniform(-2.0, 2.0, 3), chance.uniform(0.001, 0.1), at), held


def cut(blocks, dense):
    """What a dense array holds in each of the blocks."""
    return np.stack([dense[tuple(slice(SIDE * k, SIDE * (k + 1)) for k in at)] for at in blocks.at])


def some_cells(chance, blocks, held):
    """Some cells of the blocks, as the blocks' array and as a dense one."""
    dense = held & (chance.random(held.shape) < chance.choice([0.02, 0.3, 0.7]))
    return cut(blocks, dense), dense


def some_triangles(chance, blocks):
    """Triangles from less than a cell to more than the whole in size, (n, 3, 3) m."""
    count = int(chance.integers(1, 12))
    size = chance.choice([0.5, 4.0, 20.0, 100.0], count)[:, None, None]
    middle = chance.uniform(-4.0, SIDE * ACROSS + 4.0, (count, 1, 3))
    return blocks.first + blocks.cell * (middle + size * chance.uniform(-0.5, 0.5, (count, 3, 3)))


@given(SEEDS)
def test_blocks_are_marked_as_dense_cells_are(seed):
    chance = np.random.default_rng(seed)
    blocks, _ = some_blocks(chance)
    corners = some_triangles(chance, blocks)
    grid = Grid(blocks.first, blocks.cell, (SIDE * ACROSS,) * 3)
    dense, lines = surface_cells(grid, corners)
    wall, found = block_walls(blocks, corners)
    assert (wall == cut(blocks, dense)).all()

    def told(lots, at):
        """Crossings on the lines of a block, from one cell below it to one above."""
        seen = set()
        for lot in lots:
            off = lot.place - SIDE * at
            here = (np.delete(off, lot.axis, axis=1) > -1e-6).all(axis=1)
            here &= (np.delete(off, lot.axis, axis=1) < SIDE - 1 + 1e-6).all(axis=1)
            here &= (off[:, lot.axis] >= -1.0) & (off[:, lot.axis] < SIDE)
            place = (np.round(lot.place[here], 6) + 0.0).tolist()
            triangle = lot.triangle[here].tolist()
            seen |= {(lot.axis, t, *p) for t, p in zip(triangle, place, strict=True)}
        return seen

    for at in blocks.at:
        assert told(found, at) == told(lines, at)


@given(SEEDS)
def test_cells_have_the_numbers_of_their_places(seed):
    chance = np.random.default_rng(seed)
    blocks, held = some_blocks(chance)
    every = np.arange(len(blocks.at) * CELLS)
    places = blocks.places(every)
    assert {tuple(p) for p in places} == {tuple(p) for p in np.argwhere(held)}
    assert (blocks.numbers(places) == every).all()
    assert np.allclose(blocks.centres(every), blocks.first + blocks.cell * places)
    anywhere = chance.integers(-2, SIDE * ACROSS + 9, (200, 3))
    within = [p for p in anywhere if (p >= 0).all() and (p < held.shape).all() and held[tuple(p)]]
    found = blocks.places(blocks.numbers(anywhere))
    assert found.tolist() == [p.tolist() for p in within]


@given(SEEDS)
def test_cells_beside_each_other_are_so_from_block_to_block(seed):
    chance = np.random.default_rng(seed)
    blocks, held = some_blocks(chance)
    around = np.pad(held, 1)
    cells = chance.choice(len(blocks.at) * CELLS, 100)
    place = blocks.places(cells)
    steps = set()
    for there, inside in blocks.beside(cells):
        beyond = blocks.places(there[inside]) - place[inside]
        steps |= {tuple(step) for step in beyond}
        (step,) = {tuple(one) for one in beyond} or {None}
        if step is not None:
            assert (around[tuple((place + step + 1).T)] == inside).all()
    assert steps <= {tuple(s) for s in np.vstack([np.eye(3, dtype=int), -np.eye(3, dtype=int)])}
    assert len(steps) == 6


@given(SEEDS)
def test_blocks_grow_as_dense_cells_do(seed):
    chance = np.random.default_rng(seed)
    blocks, held = some_blocks(chance)
    cells, dense = some_cells(chance, blocks, held)
    by_sides = ndimage.binary_dilation(dense, ndimage.generate_binary_structure(3, 1))
    by_corners = ndimage.binary_dilation(dense, ndimage.generate_binary_structure(3, 3))
    assert (blocks.grown(cells, across_edges=False) == cut(blocks, by_sides)).all()
    grown = blocks.grown(cells)
    # Nothing grows across the edge of a block where neither block beside that edge is there.
    assert (grown <= cut(blocks, by_corners)).all() and (grown >= cut(blocks, by_sides)).all()
    if held.all():
        assert (grown == cut(blocks, by_corners)).all()


@given(SEEDS)
def test_bodies_of_cells_hang_together_from_block_to_block(seed):
    chance = np.random.default_rng(seed)
    blocks, held = some_blocks(chance)
    cells, dense = some_cells(chance, blocks, held)
    body, cell, size = blocks.hanging(cells.ravel())
    label, count = ndimage.label(dense)
    there = cut(blocks, label)[cells]
    assert len(size) == len(cell) == count
    assert len({*zip(body.tolist(), there.tolist(), strict=True)}) == count
    assert (np.bincount(body, minlength=count) == size).all()
    assert (body[np.searchsorted(np.flatnonzero(cells), cell)] == np.arange(count)).all()


@given(SEEDS)
@settings(max_examples=20)
def test_labels_meet_from_block_to_block(seed):
    chance = np.random.default_rng(seed)
    blocks, held = some_blocks(chance)
    dense = np.where(held, chance.integers(0, 4, held.shape), 0).astype(np.int32)
    label = cut(blocks, dense)
    expected = set()
    for axis in range(3):
        here, ahead = np.moveaxis(dense, axis, 0)[:-1], np.moveaxis(dense, axis, 0)[1:]
        at = np.argwhere((here != ahead) & (here > 0) & (ahead > 0))
        low = np.insert(at[:, 1:], axis, at[:, 0], axis=1)
        expected |= {(*p, *(p + np.eye(3, dtype=int)[axis])) for p in low}
    one, other = blocks.meeting(label)
    pairs = np.hstack([blocks.places(one), blocks.places(other)])
    assert len(pairs) == len(expected) and {tuple(p) for p in pairs} == expected


def plane(height, up, across=20.0):
    """Two triangles square to z, from -1 to `across` in x and y, with their normals."""
    a, b, c, d = (
        (x, y, height) for x, y in ((-1, -1), (across, -1), (across, across), (-1, across))
    )
    one, two = ([a, b, c], [a, c, d]) if up else ([a, c, b], [a, d, c])
    return np.array([one, two], float)


def crossed(corners, size=16):
    """Crossings of the lines of a cube of cells, and the triangles' normals."""
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    grid = Grid(np.zeros(3), 1.0, (size,) * 3)
    normals = normal / np.linalg.norm(normal, axis=1)[:, None]
    return surface_cells(grid, corners)[1], normals


# From the top of the lower plate to the bottom of the upper one: three cells.
PLATES = [(1.2, False), (2.3, True), (5.3, False), (6.4, True)]


@pytest.mark.parametrize(
    ("least", "most", "is_told"),
    [(2.9, 3.1, True), (0.0, 9.0, True), (3.1, 9.0, False), (0.0, 2.9, False), (0.0, 1.5, False)],
)
def test_between_two_plates_three_cells_apart_is_a_slit(least, most, is_told):
    lines, normals = crossed(np.concatenate([plane(*face) for face in PLATES]))
    told = {tuple(cell) for cell in slits(lines, normals, least, most)}
    # On every line from the cell below the lower wall to the one above the upper wall.
    whole = {(x, y, z) for x in range(16) for y in range(16) for z in (2, 3, 4, 5, 6)}
    assert told == (whole if is_told else set())


@given(SEEDS)
def test_askew_plates_are_a_slit_where_a_line_between_them_is_short_enough(seed):
    chance = np.random.default_rng(seed)
    turn, _ = np.linalg.qr(chance.normal(size=(3, 3)))
    turn *= np.linalg.det(turn)
    apart, size = chance.uniform(1.0, 6.0), 20
    faces = [plane(-apart / 2, True), plane(apart / 2, False)]
    centre = np.full(3, (size - 1) / 2.0)
    corners = (np.concatenate(faces) - (9.5, 9.5, 0.0)) * (8.0, 8.0, 1.0) @ turn.T + centre
    lines, normals = crossed(corners, size)
    along = apart / np.abs(turn[:, 2])
    most = chance.uniform(apart, 1.8 * apart)
    told = slits(lines, normals, 0.0, most)
    off = (told - centre) @ turn[:, 2]
    # A line ends less than one cell beyond each wall.
    assert (np.abs(off) < apart / 2 + 1.0).all()
    assert (len(told) > 0) == bool((along <= most).any())
    # What stands closer to the mid-plane than the walls lies on such a line.
    cells = np.stack(np.meshgrid(*[np.arange(6, size - 6)] * 3), axis=-1).reshape(-1, 3)
    between = cells[np.abs((cells - centre) @ turn[:, 2]) < apart / 2]
    if (along <= most).any():
        assert {tuple(c) for c in between} <= {tuple(c) for c in told}


def test_a_plate_and_a_corner_are_no_slits():
    lines, normals = crossed(np.concatenate([plane(2.3, False), plane(5.3, True)]))
    assert not len(slits(lines, normals, 0.0, 9.0))
    wedge = np.array(
        [[(0, -1, 0), (30, -1, 30), (0, 40, 0)], [(0, -1, 16), (0, 40, 16), (30, -1, -14)]]
    )
    normals = np.array([(-1.0, 0.0, 1.0), (-1.0, 0.0, -1.0)]) / np.sqrt(2.0)
    lines, _ = crossed(wedge.astype(float))
    assert any(len(lot.place) for lot in lines)
    assert not len(slits(lines, normals, 0.0, 30.0))
