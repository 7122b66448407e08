"""STEP: metres whatever the file's unit, the tessellation error, and what is said without it."""

import os
from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from step_parts import round_bar

from flotation.errors import MeshError
from flotation.geometry.meshfile import read_mesh
from flotation.geometry.solid import Solid

RADIUS, HEIGHT = 0.1, 0.3


@pytest.mark.parametrize(("unit", "scale"), [("mm", 1000.0), ("m", 1.0)])
@pytest.mark.parametrize("ending", ["step", "STP"])
def test_a_round_bar_is_read_in_metres_and_within_its_surface_error(
    tmp_path: Path, unit: str, scale: float, ending: str
) -> None:
    file = tmp_path / f"bar.{ending}"
    file.write_text(round_bar(RADIUS * scale, HEIGHT * scale, unit))
    mesh = read_mesh(file, unit=None)
    solid = Solid(mesh.vertices, mesh.faces)
    assert solid.bounds[:, 2] == approx([0.0, HEIGHT], abs=1e-6)
    exact = np.pi * RADIUS**2 * HEIGHT
    assert mesh.surface_error > 0.0
    assert solid.volume < exact
    assert exact - solid.volume < mesh.surface_error * 2.0 * np.pi * RADIUS * HEIGHT
    middles = (mesh.vertices[mesh.faces] + np.roll(mesh.vertices[mesh.faces], 1, axis=1)) / 2.0
    inside = (middles[..., 2] > 1e-6) & (middles[..., 2] < HEIGHT - 1e-6)
    off = RADIUS - np.hypot(middles[..., 0], middles[..., 1])[inside]
    assert off.max() < mesh.surface_error
    assert "0.1 mm" in " ".join(mesh.notes)


def test_what_is_no_step_file_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "bar.step"
    file.write_text("a note")
    with pytest.raises(MeshError, match="ISO-10303-21"):
        read_mesh(file, unit=None)
    file.write_text(round_bar(100.0, 300.0, "mm")[:900])
    with pytest.raises(MeshError, match=r"bar\.step"):
        read_mesh(file, unit=None)


def test_without_the_extra_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "cascadio.py").write_text("raise ImportError\n")
    paths = os.pathsep.join([str(tmp_path), os.environ.get("PYTHONPATH", "")])
    monkeypatch.setenv("PYTHONPATH", paths)
    file = tmp_path / "bar.step"
    file.write_text(round_bar(100.0, 300.0, "mm"))
    with pytest.raises(MeshError, match=r"pip install 'flotation\[step\]'"):
        read_mesh(file, unit=None)
