"""STEP: metres whatever the file's unit, the tessellation error, and what is said without it."""

import os
from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from step_parts import flat_sided, hollow, pipe, round_bar, step_file

from flotation.errors import MeshError
from flotation.geometry.meshfile import Mesh, read_mesh
from flotation.geometry.shapes import box
from flotation.geometry.solid import Solid

RADIUS, HEIGHT = 0.1, 0.3
OUTSIDE = box((0.0, 0.0, 0.0), (1.0, 0.6, 0.3))
INSIDE = box((0.01, 0.01, 0.01), (0.98, 0.58, 0.28))
SINGLE = 1e-6  # share by which single precision, in which the library answers, moves a volume


def read(folder: Path, text: str, ending: str = "step") -> tuple[Mesh, Solid]:
    file = folder / f"part.{ending}"
    file.write_text(text)
    mesh = read_mesh(file, unit=None)
    return mesh, Solid(mesh.vertices, mesh.faces)


@pytest.mark.parametrize(("unit", "ending"), [("mm", "step"), ("m", "STP"), ("in", "stp")])
def test_a_round_bar_is_read_in_metres_and_within_its_surface_error(
    tmp_path: Path, unit: str, ending: str
) -> None:
    mesh, solid = read(tmp_path, step_file(unit, round_bar(RADIUS, HEIGHT)), ending)
    assert solid.bounds[:, 2] == approx([0.0, HEIGHT], abs=1e-6)
    exact = np.pi * RADIUS**2 * HEIGHT
    assert mesh.surface_error > 0.0
    assert solid.volume < exact
    assert exact - solid.volume < mesh.surface_error * 2.0 * np.pi * RADIUS * HEIGHT
    assert "0.1 mm" in " ".join(mesh.notes)


@pytest.mark.parametrize("radius", [0.01, 5.0])
def test_chords_stand_off_a_curved_face_by_less_than_the_surface_error(
    tmp_path: Path, radius: float
) -> None:
    mesh, _ = read(tmp_path, step_file("mm", pipe(0.9 * radius, radius, HEIGHT)))
    corners = mesh.vertices[mesh.faces]
    middles = np.concatenate([corners.mean(axis=1), *(0.5 * (corners + np.roll(corners, 1, 1)))])
    distance = np.hypot(middles[:, 0], middles[:, 1])
    inside = (middles[:, 2] > 1e-3) & (middles[:, 2] < HEIGHT - 1e-3)  # not on the flat ends
    off = np.minimum(np.abs(distance - radius), np.abs(distance - 0.9 * radius))[inside]
    assert len(off) > 10
    assert 0.0 < off.max() < mesh.surface_error


@pytest.mark.parametrize("unit", ["m", "in"])
def test_a_hollow_box_keeps_its_hollow(tmp_path: Path, unit: str) -> None:
    _, solid = read(tmp_path, step_file(unit, hollow(OUTSIDE, INSIDE)))
    walls = OUTSIDE.volume - INSIDE.volume
    assert solid.volume == approx(walls, rel=10.0 * SINGLE)
    assert len(solid.faces) == 24


def test_several_bodies_of_one_file_are_one_part(tmp_path: Path) -> None:
    apart = box((1.0, 1.0, 1.0), (0.1, 0.2, 0.3))
    mesh, solid = read(tmp_path, step_file("in", flat_sided(apart), pipe(0.09, RADIUS, HEIGHT)))
    round_volume = np.pi * (RADIUS**2 - 0.09**2) * HEIGHT
    surface = 2.0 * np.pi * (RADIUS + 0.09) * HEIGHT
    assert solid.volume == approx(apart.volume + round_volume, abs=mesh.surface_error * surface)
    assert solid.bounds.ravel() == approx([-0.1, -0.1, 0.0, 1.1, 1.2, 1.3], abs=1e-4)


def test_overlapping_bodies_of_one_file_are_refused(tmp_path: Path) -> None:
    with pytest.raises(MeshError, match="through"):
        read(tmp_path, step_file("mm", flat_sided(OUTSIDE), round_bar(RADIUS, HEIGHT)))


def test_what_is_no_step_file_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "bar.step"
    file.write_text("a note")
    with pytest.raises(MeshError, match="ISO-10303-21"):
        read_mesh(file, unit=None)
    file.write_text(step_file("mm", round_bar(RADIUS, HEIGHT))[:900])
    with pytest.raises(MeshError, match=r"bar\.step"):
        read_mesh(file, unit=None)


def test_without_the_extra_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "cascadio.py").write_text("raise ImportError\n")
    paths = os.pathsep.join([str(tmp_path), os.environ.get("PYTHONPATH", "")])
    monkeypatch.setenv("PYTHONPATH", paths)
    file = tmp_path / "bar.step"
    file.write_text(step_file("mm", round_bar(RADIUS, HEIGHT)))
    with pytest.raises(MeshError, match=r"pip install 'flotation\[step\]'"):
        read_mesh(file, unit=None)
