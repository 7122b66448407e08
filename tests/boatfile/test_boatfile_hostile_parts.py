"""Parts as drawings really hand them over: the right cavity, or a refusal with its line."""

from pathlib import Path

import numpy as np
import pytest
from parts_files import (
    BREADTH,
    CAVITY,
    HEIGHT,
    LENGTH,
    SEARCH,
    WALL,
    chest,
    faults_of,
    parts_file,
    plate,
    whole_boat,
)
from pytest import approx

from flotation.boatfile import read_boat, read_found_cavities
from flotation.errors import BoatFileError
from flotation.geometry.meshfile import read_mesh
from flotation.geometry.shapes import box
from flotation.geometry.solid import Solid

INCH = 25.4
TRUTH = LENGTH * BREADTH * HEIGHT
WEB = box((0.60, 0.1, 0.0), (0.01, BREADTH, HEIGHT), name="web")
TANK = box((0.20, 0.3, 0.1), (0.20, 0.20, 0.1), name="tank")
SPLIT = (LENGTH - 0.61, 0.60)  # lengths of the two cavities beside the web


def stl(folder: Path, name: str, vertices: np.ndarray, faces: np.ndarray) -> None:
    """An ASCII STL of bare triangles: what a drawing program writes is not checked."""
    rows = ["solid part"]
    for corners in vertices[faces]:
        rows += ["facet normal 0 0 0", "outer loop"]
        rows += [f"vertex {x:.9g} {y:.9g} {z:.9g}" for x, y, z in corners]
        rows += ["endloop", "endfacet"]
    (folder / name).write_text("\n".join([*rows, "endsolid part"]) + "\n")


def part(folder: Path, solid: Solid, *, drawn: str = "mm", said: str = "mm", more: str = "") -> str:
    """A [[part]] whose file is drawn in one unit and said to be in another."""
    scale = {"mm": 1000.0, "in": 1000.0 / INCH, "m": 1.0}[drawn]
    stl(folder, f"{solid.name}.stl", solid.vertices * scale, solid.faces)
    mesh = f'mesh = "{solid.name}.stl"\nunit = "{said}"\n'
    return f'[[part]]\nname = "{solid.name}"\n{mesh}{more}\n'


@pytest.mark.parametrize(("drawn", "said"), [("in", "mm"), ("mm", "in"), ("m", "mm")])
def test_a_part_in_another_unit_is_refused_with_both_sizes(
    tmp_path: Path, drawn: str, said: str
) -> None:
    web = part(tmp_path, WEB, drawn=drawn, said=said)
    told = f'in "{drawn}" it would measure 671 mm and touch them'
    (fault,) = faults_of(parts_file(tmp_path, SEARCH, chest(), web))
    assert told in fault
    assert '[[part]] "web" unit: ' in fault
    with pytest.raises(BoatFileError, match="hardly touches"):
        read_boat(whole_boat(tmp_path, SEARCH, chest(), CAVITY, web))


def test_a_part_in_its_own_unit_is_taken_whichever_that_is(tmp_path: Path) -> None:
    for unit in ("mm", "in", "m"):
        web = part(tmp_path, WEB, drawn=unit, said=unit)
        found = read_found_cavities(parts_file(tmp_path, SEARCH, chest(), web))
        assert len(found.voids) == 2
        for void, length in zip(found.voids, SPLIT, strict=True):
            assert void.volume == approx(length * BREADTH * HEIGHT, abs=void.volume_error)


def test_a_small_fitting_that_touches_nothing_is_no_fault_and_its_size_is_told(
    tmp_path: Path,
) -> None:
    block = box((0.30, 0.3, 0.1), (0.02, 0.03, 0.04), name="block")
    found = read_found_cavities(parts_file(tmp_path, SEARCH, chest(), part(tmp_path, block)))
    assert found.voids[0].volume == approx(TRUTH - 0.02 * 0.03 * 0.04, abs=1e-6)
    (told,) = found.asides
    assert told == 'block (20 mm x 30 mm x 40 mm) stands free in "0.50 port 0.40 up 0.15"'


def test_all_parts_in_another_unit_do_not_fit_the_boat(tmp_path: Path) -> None:
    small = box((0.0, 0.1, 0.0), (LENGTH / INCH, BREADTH / INCH, HEIGHT / INCH), name="lid")
    with pytest.raises(BoatFileError) as caught:
        read_boat(whole_boat(tmp_path, SEARCH, part(tmp_path, small)))
    (fault,) = caught.value.faults
    assert "the parts measure 39 mm in all, and the boat is 4.2 m long" in str(fault)


def test_one_part_that_is_too_large_for_the_boat_is_named(tmp_path: Path) -> None:
    far = box((0.30, 0.3, 0.1), (0.20, 0.03, 0.04), name="block")
    block = part(tmp_path, far, drawn="mm", said="in")
    boat = '[boat]\nlength = "1.2 m"\n'
    (fault,) = faults_of(parts_file(tmp_path, boat, SEARCH, chest(), block))
    assert '[[part]] "block" unit: the part measures 5.08 m, the boat is 1.2 m long' in fault


def test_a_skin_without_its_thickness_is_told_both_ways_out(tmp_path: Path) -> None:
    shell = box((0.1, 0.1, 0.1), (0.2, 0.2, 0.1), name="shell")
    lines = [f"v {x} {y} {z}" for x, y, z in shell.vertices.tolist()]
    lines += [f"f {a} {b} {c}" for a, b, c in (shell.faces[2:] + 1).tolist()]
    (tmp_path / "shell.obj").write_text("\n".join(lines))
    table = '[[part]]\nname = "shell"\nmesh = "shell.obj"\nunit = "m"\n'
    (fault,) = faults_of(parts_file(tmp_path, SEARCH, chest(), table))
    assert "the surface is open" in fault
    assert fault.endswith('Or, if it is drawn as a skin, write thickness = "4 mm" with it.')
    read = read_found_cavities(parts_file(tmp_path, SEARCH, chest(), table + 'thickness = "4 mm"'))
    assert len(read.voids) == 1


def test_a_part_under_two_names_counts_once_and_is_told(tmp_path: Path) -> None:
    twice = part(tmp_path, TANK)
    tables = (SEARCH, chest(), twice, twice.replace('name = "tank"', 'name = "tank again"'))
    found = read_found_cavities(parts_file(tmp_path, *tables))
    assert found.voids[0].volume == approx(TRUTH - TANK.volume, abs=found.voids[0].volume_error)
    assert "tank again is the same as tank; it counts once" in found.finding.cautions
    notes = read_boat(whole_boat(tmp_path, *tables)).notes
    assert any("tank again is the same as tank" in note for note in notes)


def test_parts_that_overlap_and_poke_through_count_once(tmp_path: Path) -> None:
    post = box((0.5 - WALL, 0.3, -0.05), (0.02, 0.05, HEIGHT + 0.1), name="post")
    brace = box(
        (0.5, 0.32, 0.1), (0.6, 0.01, 0.02), name="brace"
    )  # out of the post, and on through
    tables = (SEARCH, chest(), part(tmp_path, post), part(tmp_path, brace))
    found = read_found_cavities(parts_file(tmp_path, *tables))
    (void,) = found.voids
    shared = (0.5 + WALL - 0.5) * 0.01 * 0.02
    taken = 0.02 * 0.05 * HEIGHT + (LENGTH - 0.5) * 0.01 * 0.02 - shared
    assert void.volume == approx(TRUTH - taken, abs=void.volume_error)
    assert void.volume == approx(TRUTH - taken, rel=1e-5)


def test_flipped_normals_are_refused_with_the_file(tmp_path: Path) -> None:
    for faces, told in (
        (WEB.faces[:, ::-1], "inside out"),
        (np.vstack([WEB.faces[:1, ::-1], WEB.faces[1:]]), "wound against their neighbours"),
    ):
        web = part(tmp_path, WEB)
        stl(tmp_path, "web.stl", 1000.0 * WEB.vertices, faces)
        (fault,) = faults_of(parts_file(tmp_path, SEARCH, chest(), web))
        assert told in fault
        assert "web.stl" in fault
        with pytest.raises(BoatFileError, match=told):
            read_boat(whole_boat(tmp_path, SEARCH, chest(), web))


def test_a_sheet_with_a_flipped_triangle_is_refused_by_name(tmp_path: Path) -> None:
    corners = np.array([[605, 100, 0], [605, 700, 0], [605, 700, 300], [605, 100, 300]], float)
    web = '[[part]]\nname = "web"\nmesh = "web.stl"\nunit = "mm"\nthickness = "10 mm"\n'
    file = parts_file(tmp_path, SEARCH, chest(), web)
    stl(tmp_path, "web.stl", corners, np.array([[0, 1, 2], [0, 2, 3]]))
    assert len(read_found_cavities(file).voids) == 2
    stl(tmp_path, "web.stl", corners, np.array([[0, 1, 2], [0, 3, 2]]))
    (fault,) = faults_of(file)
    assert "web" in fault
    assert "normals of the skin" in fault


def test_a_part_that_hangs_on_nothing_is_told(tmp_path: Path) -> None:
    stray = plate("stray", (1.5, 0.2, 0.1), (0.2, 0.2, 0.2))
    found = read_found_cavities(parts_file(tmp_path, SEARCH, chest(), stray))
    assert found.asides == ("stray (200 mm x 200 mm x 200 mm) hangs on to no other part",)
    assert found.voids[0].volume == approx(TRUTH, abs=found.voids[0].volume_error)


@pytest.mark.parametrize(
    ("thickness", "told"),
    [
        ("0 mm", '[[part]] "tank" thickness: '),
        ("-4 mm", '[[part]] "tank" thickness: '),
        ("nan mm", '[[part]] "tank" thickness: '),
        ("4", '[[part]] "tank" thickness: '),
        (
            "900 mm",
            "[parts]: tank: with a thickness of 900 mm the skin is bent or folded tighter than its "
            "thickness, at 12 of its triangles",
        ),
    ],
)
def test_a_thickness_that_no_sheet_has_is_refused_with_its_entry(
    tmp_path: Path, thickness: str, told: str
) -> None:
    tank = part(tmp_path, TANK, more=f'thickness = "{thickness}"\n')
    (fault,) = faults_of(parts_file(tmp_path, SEARCH, chest(), tank))
    assert told in fault


SKIFF = Path(__file__).parent.parent.parent / "meshes" / "skiff"


@pytest.mark.parametrize(
    ("name", "unit", "scale"),
    [
        (name, unit, scale)
        for name in ("webs", "longitudinal_port", "grid_top")
        for unit, scale in (("cm", 0.1), ("in", 1 / INCH), ("ft", 1 / 304.8), ("m", 0.001))
    ],
)
def test_a_part_read_too_small_is_told_its_unit_even_where_it_lies_in_the_bilge(
    tmp_path: Path, name: str, unit: str, scale: float
) -> None:
    for file in SKIFF.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    drawn = read_mesh(SKIFF / f"{name}.stl", unit="mm")
    # read in metres and written as numbers of another unit, said to be millimetres
    stl(tmp_path, name, drawn.vertices * 1000.0 * scale, drawn.faces)
    (tmp_path / name).replace(tmp_path / f"{name}.stl")
    (fault,) = faults_of(tmp_path / "skiff_from_parts.toml")
    assert f'[[part]] "{name.replace("_", " ")}" unit: ' in fault
    assert f'Write unit = "{unit}"' in fault
