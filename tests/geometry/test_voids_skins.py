"""Sheets with a thickness: the right body, or a refusal that says which triangles and where."""

import numpy as np
import pytest
from cavity_parts import block, disc, polygon, polygon_area
from test_voids import globe

from flotation.errors import MeshError
from flotation.geometry.solid import Skin, Solid
from flotation.geometry.voids import find_cavities
from flotation.geometry.voids.thickening import closed_sheet

LENGTH, WIDTH = 0.5, 0.3


def strip(section, closed=False):
    """A sheet drawn out along x from points in y and z, without its ends."""
    ring = np.asarray(section, float)
    count = len(ring)
    points = np.concatenate([np.column_stack([np.full(count, x), ring]) for x in (0.0, LENGTH)])
    faces = []
    for i in range(count if closed else count - 1):
        j = (i + 1) % count
        faces += [(i, j, j + count), (i, j + count, i + count)]
    return points, np.array(faces)


def body_of(section, thickness, closed=False):
    vertices, faces, misfit = closed_sheet(*strip(section, closed), thickness, "skin")
    return Solid(vertices, faces), misfit


def refusal(section, thickness, closed=False):
    with pytest.raises(MeshError) as caught:
        body_of(section, thickness, closed)
    (fault,) = caught.value.faults
    assert fault.place == "skin" and "a solid with its real faces" in fault.remedy
    return fault.problem


@pytest.mark.parametrize("sides", [3, 12, 48])
@pytest.mark.parametrize("thickness", [1e-6, 1e-5, 1e-4, 0.004, 0.05])
def test_a_tube_drawn_as_a_skin_holds_what_lies_within_its_inner_face(sides, thickness):
    radius = 0.2
    tube = Skin(*strip(polygon(radius, sides), closed=True), thickness, name="tube")
    ends = [disc(0.3, 24, *at) for at in ((-0.01, 0.0), (LENGTH, LENGTH + 0.01))]
    (void,) = find_cavities([tube, *ends], gap=0.002, look_to=0.002).voids
    inner = radius - thickness / 2.0 / np.cos(np.pi / sides)
    truth = polygon_area(inner, sides) * LENGTH
    assert void.volume == pytest.approx(truth, rel=1e-4)
    # Faces 1 um apart touch, and putty covers them: that is in the bound.
    worst = 0.01 if thickness > 1e-6 else 0.03
    assert abs(void.volume - truth) <= void.volume_error < worst * truth


@pytest.mark.parametrize("thickness", [1e-6, 0.001, 0.004, 0.1, 0.35])
def test_a_globe_thinner_or_thicker_than_its_chords_stand_off_is_bounded(thickness):
    axes = np.full(3, 0.4)
    vertices, faces = globe(axes, 40, 20)
    (void,) = find_cavities([Skin(vertices, faces, thickness)], gap=0.0, look_to=0.0).voids
    # Facets stand inside the ball, so the room inside lies between two balls.
    planes = vertices[faces]
    normal = np.cross(planes[:, 1] - planes[:, 0], planes[:, 2] - planes[:, 0])
    depth = np.einsum("ij,ij->i", normal, planes[:, 0]) / np.linalg.norm(normal, axis=1)
    low, high = depth.min() - thickness / 2.0, 0.4 - thickness / 2.0
    assert 4.0 / 3.0 * np.pi * low**3 <= void.volume <= 4.0 / 3.0 * np.pi * high**3
    # Moved by half the thickness, the faceted room loses what the parallel planes cut off: volume
    # less area times the way, up to terms that the misfit bounds.
    room = np.einsum("ij,ij->i", planes[:, 0], np.cross(planes[:, 1], planes[:, 2])).sum() / 6.0
    scaled = room * (1.0 - thickness / 2.0 / depth.max()) ** 3
    assert abs(void.volume - scaled) <= void.volume_error + room * (depth.max() / depth.min() - 1.0)


@pytest.mark.parametrize("turn", [30.0, 90.0, 135.0, 150.0])
def test_a_sharp_fold_is_mitred_and_keeps_length_times_thickness(turn):
    angle = np.radians(turn)
    fold = [(-0.1, 0.0), (0.0, 0.0), (0.1 * np.cos(angle), 0.1 * np.sin(angle))]
    body, misfit = body_of(fold, 0.004)
    assert body.volume == pytest.approx(0.2 * 0.004 * LENGTH, rel=1e-9)
    assert misfit < 1e-12


@pytest.mark.parametrize("turn", [155.0, 175.0, 180.0])
def test_a_fold_back_on_itself_is_refused(turn):
    angle = np.radians(turn)
    fold = [(-0.1, 0.0), (0.0, 0.0), (0.1 * np.cos(angle), 0.1 * np.sin(angle) + 1e-9)]
    told = refusal(fold, 0.004)
    assert "folded back sharper than a mitre goes" in told
    x, y, z = (float(n) for n in told.partition("first near ")[2].replace(" m", "").split(","))
    assert 0.0 < x < LENGTH and -0.1 <= y < 0.0 and z == 0.0


def hem(off):
    """A sheet turned back beside itself, `off` from middle to middle."""
    return [(0.0, 0.0), (0.1, 0.0), (0.1, off), (0.03, off)]


def test_a_hem_is_right_until_its_sides_meet_and_refused_beyond():
    for off in (0.0201, 0.006, 0.00401, 0.004):
        body, _ = body_of(hem(off), 0.004)
        assert body.volume == pytest.approx((0.17 + off) * 0.004 * LENGTH, rel=1e-6)
    for off in (0.0039, 0.003, 0.001):
        told = refusal(hem(off), 0.004)
        assert "with a thickness of 4 mm the skin is bent or folded tighter than its thic" in told
        x, y, z = (float(n) for n in told.partition("first near ")[2].replace(" m", "").split(","))
        assert 0.0 <= x <= LENGTH and 0.0 <= y <= 0.1 and 0.0 <= z <= off + 1e-3


@pytest.mark.parametrize("sides", [6, 24, 96])
def test_a_pipe_thicker_than_its_radius_is_refused(sides):
    apothem = 0.01 * np.cos(np.pi / sides)
    body, _ = body_of(polygon(0.01, sides), 1.99 * apothem, closed=True)
    inner, outer = 0.005 * apothem, 1.995 * apothem
    truth = sides * np.tan(np.pi / sides) * (outer**2 - inner**2) * LENGTH
    assert body.volume == pytest.approx(truth, rel=1e-6)
    told = refusal(polygon(0.01, sides), 2.01 * apothem, closed=True)
    assert f"at {2 * sides} of its triangles" in told


def test_a_bulge_tighter_than_the_thickness_is_refused_where_it_is():
    # A bell 10 mm high has a radius of 5 mm at its top, and is blunter everywhere else.
    y = np.linspace(0.0, 0.2, 201)
    section = np.column_stack([y, 0.01 * np.exp(-(((y - 0.1) / 0.01) ** 2))])
    body, _ = body_of(section, 0.009)
    length = np.linalg.norm(np.diff(section, axis=0), axis=1).sum()
    assert body.volume == pytest.approx(length * 0.009 * LENGTH, rel=1e-3)
    told = refusal(section, 0.011)
    y = float(told.partition("first near ")[2].replace(" m", "").split(",")[1])
    assert y == pytest.approx(0.1, abs=0.003)


def test_sheets_of_one_part_that_cross_count_once():
    one, two = strip([(0.0, 0.1), (0.2, 0.1)]), strip([(0.1, 0.0), (0.1, 0.2)])
    vertices = np.concatenate([one[0], two[0]])
    cross = Skin(vertices, np.concatenate([one[1], two[1] + len(one[0])]), 0.004, name="cross")
    shell = block((-0.1, -0.1, -0.1), (0.7, 0.4, 0.4))
    tight = Skin(shell.vertices, shell.faces, 0.002, name="shell")
    (void,) = find_cavities([tight, cross], gap=0.0, look_to=0.0).voids
    room = np.prod(np.array((0.8, 0.5, 0.5)) - 0.002)
    taken = (2 * 0.2 * 0.004 - 0.004**2) * LENGTH
    assert void.volume == pytest.approx(room - taken, rel=1e-9)


@pytest.mark.parametrize("thickness", [0.0, -0.004, float("nan"), float("inf")])
def test_a_thickness_that_is_none_is_refused(thickness):
    with pytest.raises(ValueError, match="thickness must be above zero"):
        Skin(*strip([(0.0, 0.0), (0.1, 0.0)]), thickness)


def test_a_globe_thicker_than_its_own_width_is_refused():
    vertices, faces = globe(np.full(3, 0.4), 24, 12)
    with pytest.raises(MeshError, match=rf"tighter than its thickness, at {len(faces)} of its"):
        closed_sheet(vertices, faces, 0.9, "globe")


def test_a_lip_that_comes_back_beside_the_sheet_is_refused_where_they_meet():
    def curled(off):
        return [(0.0, 0.0), (0.1, 0.0), (0.1, 0.05), (0.02, 0.05), (0.02, off), (0.05, off)]

    body, _ = body_of(curled(0.0041), 0.004)
    length = 0.1 + 0.05 + 0.08 + 0.05 - 0.0041 + 0.03
    assert body.volume == pytest.approx(length * 0.004 * LENGTH, rel=1e-9)
    told = refusal(curled(0.003), 0.004)
    assert "at 6 of its triangles (1, 2, 7, 8, 9, ...)" in told
