"""Sheets: open surfaces, read like closed ones except for what closedness asks."""

import struct
from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from flotation.errors import MeshError
from flotation.geometry.meshfile import read_mesh, read_sheet
from flotation.geometry.solid import Skin

FLOOR = [[(0, 0, 0), (1, 0, 0), (1, 1, 0)], [(0, 0, 0), (1, 1, 0), (0, 1, 0)]]
WALL = [[(0, 0, 0), (1, 0, 0), (1, 0, 1)], [(0, 0, 0), (1, 0, 1), (0, 0, 1)]]
# Through the middle of the floor, from below to above it.
BLADE = [[(0.5, 0.2, -1), (0.5, 0.8, -1), (0.5, 0.5, 1)]]


def stl(path: Path, triangles) -> Path:
    corners = np.array(triangles, dtype="<f4")
    rows = np.zeros(len(corners), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    rows["v"] = corners
    path.write_bytes(bytes(80) + struct.pack("<I", len(rows)) + rows.tobytes())
    return path


def refusal(path: Path) -> str:
    with pytest.raises(MeshError) as caught:
        read_sheet(path, unit="m")
    return str(caught.value)


def test_an_open_sheet_is_read_in_its_unit(tmp_path):
    mesh = read_sheet(stl(tmp_path / "floor.stl", FLOOR), unit="ft")
    assert Skin(mesh.vertices, mesh.faces, 0.005).area == approx(0.3048**2)
    assert len(mesh.vertices) == 4
    assert mesh.notes == ()


def test_what_is_a_sheet_is_no_solid(tmp_path):
    path = stl(tmp_path / "floor.stl", FLOOR)
    with pytest.raises(MeshError, match="edges"):
        read_mesh(path, unit="m")


def test_a_sheet_may_branch_and_be_wound_as_it_likes(tmp_path):
    flipped = [triangle[::-1] for triangle in WALL]
    below = [[(x, y, -z) for x, y, z in triangle] for triangle in WALL]
    mesh = read_sheet(stl(tmp_path / "branching.stl", [*FLOOR, *flipped, *below]), unit="m")
    assert Skin(mesh.vertices, mesh.faces, 0.005).area == approx(3.0)


def test_a_sheet_may_end_on_another_without_a_common_corner(tmp_path):
    standing = [[(0.2, 0.3, 0), (0.8, 0.3, 0), (0.5, 0.3, 1)]]
    mesh = read_sheet(stl(tmp_path / "tee.stl", [*FLOOR, *standing]), unit="m")
    assert len(mesh.faces) == 3


def test_both_sides_of_a_sheet_are_refused(tmp_path):
    back = [triangle[::-1] for triangle in FLOOR]
    said = refusal(stl(tmp_path / "both_sides.stl", [*FLOOR, *back]))
    assert "2 triangles (3, 4) standing there twice" in said
    assert "one side of the sheet only" in said


def test_a_sheet_through_itself_is_refused(tmp_path):
    said = refusal(stl(tmp_path / "blade.stl", [*FLOOR, *BLADE]))
    assert "goes through itself" in said


def test_a_sheet_with_a_corner_that_is_no_number_is_refused(tmp_path):
    broken = [[(0, 0, 0), (1, 0, 0), (np.nan, 1, 0)]]
    assert "not a finite number" in refusal(stl(tmp_path / "broken.stl", broken))


def test_a_sheet_needs_a_unit_and_a_known_ending(tmp_path):
    path = stl(tmp_path / "floor.stl", FLOOR)
    with pytest.raises(MeshError, match="no unit is given"):
        read_sheet(path, unit=None)
    with pytest.raises(MeshError, match=r"ending in '\.dwg' is not read"):
        read_sheet(tmp_path / "floor.dwg", unit="m")
