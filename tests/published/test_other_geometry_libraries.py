"""Two general libraries on every shape: trimesh 5 (MIT) and manifold3d 3 (Apache 2.0).

Each sums its own volumes, and manifold3d cuts its own sections. Tolerance is rounding, but for
files that keep fewer digits.
"""

from io import BytesIO

import numpy as np
import pytest
import trimesh
from pytest import approx

from flotation.geometry.cavities import overlap_volume, take_out, to_manifold
from flotation.geometry.meshfile import read_mesh
from flotation.geometry.shapes import box
from flotation.geometry.shapes_hats import HatStation, hat_stringer
from flotation.geometry.shapes_round import frustum, sphere, tube
from flotation.geometry.shapes_stations import OffsetStation, from_offsets
from flotation.geometry.solid import Solid
from flotation.geometry.stations import section_areas

SHAPES = {
    "hat": hat_stringer(
        [
            HatStation((0, 0.3, 0.0), 0.2, 0.1, 0.1),
            HatStation((1.5, 0.35, 0.05), 0.2, 0.1, 0.12),
            HatStation((3.0, 0.1, 0.2), 0.12, 0.08, 0.06),
        ]
    ),
    "loft": from_offsets(
        [
            OffsetStation(0.0, ((0.6, 0.3), (0.8, 0.35), (0.82, 0.7), (0.6, 0.7))),
            OffsetStation(1.5, ((0.6, 0.3), (0.85, 0.42), (0.9, 0.72), (0.6, 0.7))),
            OffsetStation(3.0, ((0.5, 0.3), (0.6, 0.55), (0.7, 0.78), (0.5, 0.72))),
        ]
    ),
    "tube": tube([(0, 0, 0), (1, 0, 0), (1.5, 0.5, 0.2), (1.5, 2, 0.4)], 0.1),
    "cone": frustum((0, 0, 0), (0.9, 0.1, 0.2), (0.4, 0.1)),
    "ball": sphere((1, 1, 1), 0.3),
    "less a ball": take_out(box((0, 0, 0), (1, 1, 1)), [sphere((1, 1, 1), 0.7)]),
}
shapes = pytest.mark.parametrize("solid", SHAPES.values(), ids=SHAPES)


def as_trimesh(solid: Solid) -> trimesh.Trimesh:
    return trimesh.Trimesh(solid.vertices, solid.faces, process=False)


@shapes
def test_volume_centroid_and_surface(solid):
    other = as_trimesh(solid)
    assert other.is_volume
    assert solid.volume == approx(other.volume, rel=1e-11)
    assert solid.centroid == approx(other.center_mass, abs=1e-11)
    assert solid.area == approx(other.area, rel=1e-12)
    assert solid.volume == approx(to_manifold(solid).volume(), rel=1e-11)


@shapes
@pytest.mark.parametrize("share", [0.31, 0.5, 0.77])
def test_section_areas(solid, share):
    low, high = solid.bounds[:, 0]
    x = low + share * (high - low)
    turned = Solid(np.roll(solid.vertices, -1, axis=1), solid.faces)  # x becomes z
    other = to_manifold(turned).slice(x).area()  # corners rounded to 1e-8 m
    assert section_areas(solid, [x]) == approx([other], rel=1e-6)


@shapes
@pytest.mark.parametrize(("ending", "error"), [("stl", 1e-6), ("obj", 1e-6), ("off", 1e-8)])
def test_files_written_by_the_other_library(solid, ending, error, tmp_path, monkeypatch):
    """Written in millimetres; STL keeps seven digits, OBJ and OFF eight and ten decimals."""
    from flotation.geometry import meshfile, meshfile_child

    monkeypatch.setattr(meshfile, "_ask_child", lambda d, e, place: meshfile_child.answer(d, e))
    other = as_trimesh(solid).copy().apply_scale(1000.0)
    path = tmp_path / f"shape.{ending}"
    stream = BytesIO()
    other.export(stream, file_type=ending)
    path.write_bytes(stream.getvalue())
    mesh = read_mesh(path, unit="mm")
    assert Solid(mesh.vertices, mesh.faces).volume == approx(solid.volume, rel=error)


def test_overlap_of_two_boxes_against_the_box_of_both():
    """No boolean of the other library is used: it would call the same engine."""
    one, other = box((0, 0, 0), (1, 1, 1)), box((0.4, -0.3, 0.7), (1, 1, 1))
    both = trimesh.creation.box(bounds=[(0.4, 0.0, 0.7), (1.0, 0.7, 1.0)])
    assert overlap_volume(one, other) == approx(both.volume, rel=1e-12)


def test_inertia_tells_where_the_volume_lies():
    """Second moments of a solid with a hollow: a check that no part is misplaced."""
    hollow = take_out(box((0, 0, 0), (2, 1, 1)), [box((0.2, 0.2, 0.2), (0.5, 0.5, 0.5))])
    other = as_trimesh(hollow)
    whole = trimesh.creation.box(bounds=[(0, 0, 0), (2, 1, 1)])
    part = trimesh.creation.box(bounds=[(0.2, 0.2, 0.2), (0.7, 0.7, 0.7)])
    moment = whole.volume * whole.center_mass - part.volume * part.center_mass
    assert hollow.volume * hollow.centroid == approx(moment, rel=1e-12)
    assert np.allclose(other.center_mass, hollow.centroid, rtol=0, atol=1e-12)
