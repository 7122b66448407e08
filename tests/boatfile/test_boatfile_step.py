"""Parts drawn as STEP: a cavity with a closed form, and the tessellation error in its bound."""

from pathlib import Path

import numpy as np
import pytest
from parts_files import parts_file
from step_parts import flat_sided, pipe, step_file

from flotation.boatfile import read_found_cavities
from flotation.geometry.shapes import box

INNER, OUTER, LENGTH = 0.2, 0.21, 0.8  # m, a pipe that two plates close
OFF = 0.001  # m, by which each of them stands off it
TRUTH = np.pi * INNER**2 * (LENGTH + 2.0 * OFF)


def closed_pipe(folder: Path, unit: str, search: str = '[parts]\ngap = "2 mm"\n') -> Path:
    places = (-0.01 - OFF, LENGTH + OFF)
    plates = [box((-0.25, -0.25, z), (0.5, 0.5, 0.01)) for z in places]
    (folder / "pipe.step").write_text(step_file(unit, pipe(INNER, OUTER, LENGTH)))
    (folder / "ends.step").write_text(step_file(unit, *map(flat_sided, plates)))
    parts = [f'[[part]]\nname = "{name}"\nmesh = "{name}.step"\n' for name in ("pipe", "ends")]
    return parts_file(folder, search, *parts)


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_cavity_in_a_round_pipe_has_its_volume_within_the_bound(
    tmp_path: Path, unit: str
) -> None:
    found = read_found_cavities(closed_pipe(tmp_path, unit))
    (void,) = found.voids
    assert found.surface_error == 1e-4
    assert abs(void.volume - TRUTH) < void.volume_error
    mantle = 2.0 * np.pi * INNER * LENGTH
    assert void.volume_error > found.surface_error * mantle
    assert void.volume_error < 0.01 * TRUTH
    assert sum("at most 0.1 mm" in note for note in found.notes) == 2


def test_the_stated_surface_error_comes_on_top_of_the_tessellation(tmp_path: Path) -> None:
    search = '[parts]\ngap = "2 mm"\nsurface_error = "0.3 mm"\n'
    found = read_found_cavities(closed_pipe(tmp_path, "mm", search))
    assert found.surface_error == pytest.approx(4e-4)
    assert found.voids[0].volume_error > 4e-4 * 2.0 * np.pi * INNER * LENGTH
