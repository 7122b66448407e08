"""The example skiff with one hole drilled through a moulding: it is told of where it is."""

import shutil
from pathlib import Path

import numpy as np
import pytest
import trimesh
from manifold3d import Manifold, Mesh64

from flotation.boatfile import read_found_cavities

SKIFF = Path(__file__).parent.parent / "meshes" / "skiff"
FACETS = 24
# Part, place in m, direction, diameter in mm, and whether the hole leads to another cavity.
HOLES = [
    ("side_moulding_starboard", (3.19497, -0.70934, 0.67995), (0.0576, 0.0, -0.9983), 4.0, False),
    ("hull_moulding", (1.30636, -0.81420, 0.35535), (0.0140, 0.9450, 0.3269), 14.0, False),
    ("longitudinal_starboard", (1.27139, -0.25159, 0.15150), (0.0, 0.9961, 0.0878), 18.0, True),
]


def drill(
    folder: Path, part: str, place: tuple[float, ...], along: tuple[float, ...], bore: float
) -> None:
    """Take a cylinder out of a part's mesh, in millimetres as it stands there."""
    mesh = trimesh.load(folder / f"{part}.stl")
    mesh.merge_vertices()
    solid = Manifold(Mesh64(np.array(mesh.vertices), np.array(mesh.faces, dtype=np.uint64)))
    bit = Manifold.cylinder(17.0, bore / 2.0, circular_segments=FACETS, center=True)
    turn = trimesh.geometry.align_vectors((0.0, 0.0, 1.0), along)
    turn[:3, 3] = 1000.0 * np.array(place)
    left = (solid - bit.transform(turn[:3])).to_mesh64()
    drilled = trimesh.Trimesh(np.asarray(left.vert_properties)[:, :3], np.asarray(left.tri_verts))
    drilled.export(folder / f"{part}.stl")


@pytest.mark.parametrize(("part", "place", "along", "bore", "inward"), HOLES)
def test_a_hole_in_a_moulding_is_told_of_at_its_place(
    part: str,
    place: tuple[float, ...],
    along: tuple[float, ...],
    bore: float,
    inward: bool,
    tmp_path: Path,
) -> None:
    folder = tmp_path / "skiff"
    shutil.copytree(SKIFF, folder)
    drill(folder, part, place, along, bore)
    found = read_found_cavities(folder / "skiff_from_parts.toml")
    assert len(found.voids) == 9
    (leak,) = found.finding.leaks
    assert leak.place == pytest.approx(place, abs=1e-3)
    assert 0.98 * bore < 1000.0 * leak.widest < 1.001 * bore
    assert leak.is_passage == inward
