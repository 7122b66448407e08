"""Found cavities keep name and order when a drawing is refined, a part is added, a gap changed."""

from pathlib import Path

import numpy as np
import pytest
from parts_files import BREADTH, CAVITY, HEIGHT, LENGTH, SEARCH, chest, parts_file, whole_boat

from flotation.boatfile import read_boat, read_found_cavities
from flotation.geometry.shapes import box
from flotation.geometry.solid import Solid
from flotation.report.stl import binary_stl

# forward to aft, and side by side port to starboard; the chest lies to port of the centreline
FOUR = (
    "0.81 port 0.55 up 0.15",
    "0.81 port 0.25 up 0.15",
    "0.30 port 0.55 up 0.15",
    "0.30 port 0.25 up 0.15",
)
ACROSS = box((0.60, 0.1, 0.0), (0.01, BREADTH, HEIGHT), name="across")
ALONG = box((0.0, 0.395, 0.0), (LENGTH, 0.01, HEIGHT), name="along")


def finer(solid: Solid, times: int) -> Solid:
    """The same body with each triangle cut into four, so many times."""
    corners = solid.vertices[solid.faces]
    for _ in range(times):
        a, b, c = (corners[:, k] for k in range(3))
        ab, bc, ca = (a + b) / 2.0, (b + c) / 2.0, (c + a) / 2.0
        four = ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))
        corners = np.concatenate([np.stack(one, axis=1) for one in four])
    vertices, faces = np.unique(corners.reshape(-1, 3).round(9), axis=0, return_inverse=True)
    return Solid(vertices, faces.reshape(-1, 3), solid.name)


def webs(folder: Path, times: int = 0) -> str:
    """The two walls across and along the chest, their meshes refined."""
    rows = []
    for wall in (ACROSS, ALONG):
        (folder / f"{wall.name}.stl").write_bytes(binary_stl(finer(wall, times)))
        rows.append(f'[[part]]\nname = "{wall.name}"\nmesh = "{wall.name}.stl"\nunit = "mm"\n')
    return "".join(rows)


@pytest.mark.parametrize("times", [0, 2])
def test_names_and_order_go_by_place_and_stay_when_meshes_are_refined(
    tmp_path: Path, times: int
) -> None:
    found = read_found_cavities(parts_file(tmp_path, SEARCH, chest(), webs(tmp_path, times)))
    assert found.names == FOUR


def test_names_do_not_hang_on_the_order_of_the_parts_nor_on_the_gap(tmp_path: Path) -> None:
    other = SEARCH.replace("3 mm", "2 mm")
    found = read_found_cavities(parts_file(tmp_path, other, webs(tmp_path), chest()))
    assert found.names == FOUR


def test_another_part_moves_no_name_to_another_cavity(tmp_path: Path) -> None:
    shelf = box((0.0, 0.4, 0.14), (0.6, 0.3, 0.01), name="shelf")  # halves the third cavity
    (tmp_path / "shelf.stl").write_bytes(binary_stl(shelf))
    table = '[[part]]\nname = "shelf"\nmesh = "shelf.stl"\nunit = "mm"\n'
    found = read_found_cavities(parts_file(tmp_path, SEARCH, chest(), webs(tmp_path), table))
    assert set(FOUR) - set(found.names) == {FOUR[2]}
    assert len(found.names) == 5


def test_foam_and_holes_stay_with_their_cavity(tmp_path: Path) -> None:
    cavity = CAVITY.replace("0.50 port 0.40 up 0.15", FOUR[2]).replace(
        'at = ["0.5 m", "0.4 m"', 'at = ["0.3 m", "0.55 m"'
    )
    coarse, fine = (
        read_boat(whole_boat(tmp_path, SEARCH, chest(), webs(tmp_path, times), cavity))
        for times in (0, 2)
    )
    (one,), (other,) = coarse.cavities, fine.cavities
    assert one.holes == other.holes
    assert one.solid.centroid == pytest.approx(other.solid.centroid, abs=1e-5)
    assert one.found is not None
    assert one.found.by_place == FOUR[2]
