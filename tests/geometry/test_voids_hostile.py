"""Parts as drawings really hand them over: the right answer or a clear refusal."""

import numpy as np
import pytest
from cavity_parts import block, plates, turned

from flotation.errors import MeshError
from flotation.geometry.solid import Skin, Solid
from flotation.geometry.voids import find_cavities

SIZE = (0.8, 0.5, 0.3)
WALL = 0.006
TRUTH = float(np.prod(SIZE))


def only_volume(parts, gap=0.003):
    (void,) = find_cavities(parts, gap=gap, look_to=gap).voids
    assert void.solid.volume == pytest.approx(void.volume, rel=1e-9)
    return void.volume


@pytest.mark.parametrize("seed", range(4))
def test_parts_that_touch_in_coincident_faces(seed):
    parts, _ = turned(plates(SIZE, WALL), seed)
    assert only_volume(parts) == pytest.approx(TRUTH, rel=1e-6)
    assert only_volume(parts, gap=0.0) == pytest.approx(TRUTH, rel=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_parts_rounded_to_single_precision(seed):
    parts, _ = turned(plates(SIZE, WALL), seed)
    rough = [Solid(p.vertices.astype(np.float32), p.faces, name=p.name) for p in parts]
    assert only_volume(rough, gap=0.0) == pytest.approx(TRUTH, rel=1e-5)


def test_parts_that_overlap_and_poke_through():
    grown = [
        block(p.vertices.min(axis=0) - 0.001, p.vertices.max(axis=0) + 0.001, p.name)
        for p in plates(SIZE, WALL)
    ]
    beam = block((-0.3, 0.2, 0.1), (1.1, 0.25, 0.15), "beam")
    truth = float(np.prod(np.array(SIZE) - 0.002)) - (SIZE[0] - 0.002) * 0.05 * 0.05
    assert only_volume([*grown, beam]) == pytest.approx(truth, rel=1e-6)


def test_a_part_given_twice_counts_once_and_is_mentioned():
    parts = plates(SIZE, WALL)
    tank = block((0.2, 0.1, 0.1), (0.4, 0.2, 0.2), "tank")
    found = find_cavities([*parts, tank, tank], gap=0.003, look_to=0.003)
    assert found.voids[0].volume == pytest.approx(TRUTH - 0.2 * 0.1 * 0.1, rel=1e-6)
    assert "tank is the same as tank; it counts once" in found.cautions


def test_a_part_of_two_overlapping_bodies_counts_once():
    one = block((0.2, 0.1, 0.1), (0.4, 0.2, 0.2))
    two = block((0.3, 0.1, 0.1), (0.5, 0.2, 0.2))
    both = Solid(
        np.concatenate([one.vertices, two.vertices]),
        np.concatenate([one.faces, two.faces + len(one.vertices)]),
        name="tanks",
    )
    volume = only_volume([*plates(SIZE, WALL), both])
    assert volume == pytest.approx(TRUTH - 0.3 * 0.1 * 0.1, rel=1e-6)


def test_flipped_normals_are_refused_before_the_search():
    part = plates(SIZE, WALL)[0]
    with pytest.raises(MeshError, match="inside out"):
        Solid(part.vertices, part.faces[:, ::-1], name="bottom")
    faces = part.faces.copy()
    faces[3] = faces[3, ::-1]
    with pytest.raises(MeshError, match="direction of another"):
        Solid(part.vertices, faces, name="bottom")


@pytest.mark.parametrize("factor", [1000.0, 39.37, 25.4, 1 / 1000.0])
def test_a_part_in_another_unit_is_refused_by_name(factor):
    parts = plates(SIZE, WALL)
    wrong = block((0.1, 0.1, 0.1), (0.7, 0.4, 0.2))
    wrong = Solid(wrong.vertices * factor, wrong.faces, name="liner")
    with pytest.raises(MeshError, match=r"liner.*another unit"):
        find_cavities([*parts, wrong], gap=0.003)


def test_skin_with_a_flipped_triangle_is_refused():
    part = plates(SIZE, WALL)[0]
    faces = part.faces.copy()
    faces[3] = faces[3, ::-1]
    with pytest.raises(MeshError, match="normals of the skin"):
        find_cavities([Skin(part.vertices, faces, 0.004, name="liner")], gap=0.003)


def test_a_part_that_hangs_on_to_nothing_is_reported():
    far = block((2.0, 0.0, 0.0), (2.3, 0.2, 0.2), "stray")
    found = find_cavities([*plates(SIZE, WALL), far], gap=0.003, look_to=0.003)
    assert found.apart == (("stray",),)
    assert found.voids[0].volume == pytest.approx(TRUTH, rel=1e-6)


def test_needles_and_slivers_do_not_move_the_volume():
    parts = plates(SIZE, WALL)
    bottom = parts[0]
    # One corner of the first triangle's edge is split a micrometre from its end.
    a, b = bottom.faces[0][0], bottom.faces[0][1]
    point = bottom.vertices[a] + 1e-6 * (bottom.vertices[b] - bottom.vertices[a])
    vertices = np.vstack([bottom.vertices, point])
    faces = []
    for face in bottom.faces.tolist():
        if {a, b} <= set(face):
            k = next(k for k in range(3) if {face[k], face[(k + 1) % 3]} == {a, b})
            new = len(vertices) - 1
            p, q, r = face[k], face[(k + 1) % 3], face[(k + 2) % 3]
            faces += [(p, new, r), (new, q, r)]
        else:
            faces.append(tuple(face))
    split = Solid(vertices, np.array(faces), name="bottom")
    assert only_volume([split, *parts[1:]]) == pytest.approx(TRUTH, rel=1e-6)


def test_the_order_of_parts_does_not_matter():
    parts, _ = turned(plates(SIZE, WALL, 0.002), 7)
    forth = only_volume(parts)
    assert only_volume(parts[::-1]) == pytest.approx(forth, rel=1e-9)


def test_a_box_without_a_lid_has_no_void_and_says_nothing_false():
    found = find_cavities(plates(SIZE, WALL)[:-1], gap=0.003)
    assert found.voids == () and found.leaks == ()
