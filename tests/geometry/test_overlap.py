"""Surfaces that go through themselves are told from surfaces that touch."""

import numpy as np
import pytest
from mesh_shapes import Mesh, box, globe, inward, moved, ring, together, turned

from flotation.geometry.overlap import find_overlap

UNIT = box((0, 0, 0), (1, 1, 1))
ROOF = (
    np.array([[0, -1, 0], [4, -1, 0], [0, 1, 0], [4, 1, 0], [0, 0, 1], [4, 0, 1.0]]),
    np.array(
        [[0, 2, 1], [1, 2, 3], [0, 1, 5], [0, 5, 4], [2, 4, 5], [2, 5, 3], [0, 4, 2], [1, 3, 5]]
    ),
)


def centred(size: tuple[float, float, float]) -> Mesh:
    half = tuple(side / 2 for side in size)
    return box(tuple(-side for side in half), half)


def roofs(apart: float) -> Mesh:
    """Two roofs ridge to ridge, crosswise, the upper one hanging upside down."""
    upper = turned(turned(moved(ROOF, (-2, 0, -1)), (1, 0, 0), np.pi), (0, 0, 1), np.pi / 2)
    return together(ROOF, moved(upper, (2, 0, 1 + apart)))


OVERLAPPING = {
    "a corner in the other": together(UNIT, box((0.5, 0.5, 0.5), (1.5, 1.5, 1.5))),
    "half way along, four faces flush": together(UNIT, box((0.5, 0, 0), (1.5, 1, 1))),
    "the same box twice": together(UNIT, UNIT),
    "inside and flush at the bottom": together(UNIT, box((0.25, 0.25, 0), (0.75, 0.75, 0.5))),
    "edges through diagonals of faces": together(
        centred((1, 1, 1)), turned(centred((1, 1, 0.5)), (0, 0, 1), np.pi / 4)
    ),
    "a star of two cubes": together(
        centred((1, 1, 1)), turned(centred((1, 1, 1)), (0, 0, 1), np.pi / 4)
    ),
    "a rod through a ring's tube": together(ring(24, 12), box((0.9, -0.05, -1), (1.0, 0.05, 1))),
    "roofs with their ridges crossed": roofs(-0.1),
    "ten microns deep": together(UNIT, box((1 - 1e-5, 0.3, 0.3), (2, 0.7, 0.7))),
}

FREE = {
    "one box": UNIT,
    "a ball": globe(24, 12),
    "a ring": ring(24, 12),
    "a rod through the hole of a ring": together(
        ring(24, 12), box((-0.1, -0.1, -1), (0.1, 0.1, 1))
    ),
    "side by side": together(UNIT, box((2, 0, 0), (3, 1, 1))),
    "face to face": together(UNIT, box((1, 0, 0), (2, 1, 1))),
    "a small face on a large one": together(UNIT, box((1, 0.25, 0.25), (1.5, 0.75, 0.75))),
    "standing on the other, overhanging": together(UNIT, box((0.5, 0.3, 1), (1.5, 0.7, 2))),
    "hung below the other, overhanging": together(UNIT, box((0.6, 0.2, -1), (1.7, 0.9, 0))),
    "leaning on two sides, overhanging": together(UNIT, box((1, 0.4, 0.3), (3, 1.3, 2.2))),
    "edge to edge": together(UNIT, box((1, 1, 0), (2, 2, 1))),
    "corner to corner": together(UNIT, box((1, 1, 1), (2, 2, 2))),
    "ridge to ridge": roofs(0.0),
    "a hollow": together(UNIT, inward(box((0.25, 0.25, 0.25), (0.75, 0.75, 0.75)))),
    "a nanometre deep": together(UNIT, box((1 - 1e-9, 0.3, 0.3), (2, 0.7, 0.7))),
}


@pytest.mark.parametrize("name", OVERLAPPING)
def test_bodies_that_overlap_are_found(name: str) -> None:
    vertices, faces = OVERLAPPING[name]
    pairs = find_overlap(vertices, faces)
    assert len(pairs)
    assert (pairs[:, 0] < pairs[:, 1]).all()
    one, other = faces[pairs[:, 0]], faces[pairs[:, 1]]
    low, high = vertices.take(one, axis=0).min(axis=1), vertices.take(one, axis=0).max(axis=1)
    assert (low <= vertices[other].max(axis=1)).all()
    assert (high >= vertices[other].min(axis=1)).all()


@pytest.mark.parametrize("name", FREE)
def test_surfaces_that_only_touch_or_pass_are_free_of_overlap(name: str) -> None:
    assert find_overlap(*FREE[name]).shape == (0, 2)


@pytest.mark.parametrize("name", [*OVERLAPPING, *FREE])
def test_overlap_is_the_same_in_another_order_place_and_size(name: str) -> None:
    vertices, faces = (OVERLAPPING | FREE)[name]
    rng = np.random.default_rng(5)
    shuffled = rng.permutation(len(faces))
    here = find_overlap(vertices, faces)
    there = find_overlap(1000.0 * vertices[:, (2, 0, 1)], faces[shuffled])
    assert {tuple(sorted(pair)) for pair in shuffled[there].tolist()} == set(
        map(tuple, here.tolist())
    )


def test_crossing_triangles_are_those_that_a_plain_search_finds() -> None:
    """Against every pair of triangles in turn, by signs of tetrahedra, in general position."""
    one = globe(9, 7)
    other = moved(turned(globe(8, 6), (1, 2, 3), 0.7), (0.9, 0.3, 0.2))
    vertices, faces = together(one, other)

    def volume(a: int, b: int, c: int, d: int) -> float:
        p, q, r, s = vertices[[a, b, c, d]]
        return float(np.dot(q - p, np.cross(r - p, s - p)))

    def pierces(mine: np.ndarray, yours: np.ndarray) -> bool:
        a, b, c = yours
        for p, q in zip(mine, np.roll(mine, -1), strict=True):
            if volume(a, b, c, p) * volume(a, b, c, q) < 0:
                sides = [volume(p, q, *edge) > 0 for edge in ((a, b), (b, c), (c, a))]
                if all(sides) or not any(sides):
                    return True
        return False

    expected = {
        (i, j)
        for i in range(len(one[1]))
        for j in range(len(one[1]), len(faces))
        if pierces(faces[i], faces[j]) or pierces(faces[j], faces[i])
    }
    assert len(expected) > 20
    assert set(map(tuple, find_overlap(vertices, faces).tolist())) == expected
