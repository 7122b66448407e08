"""Cavities of a boat file: shapes and meshes, laminate, what is taken out, holes, twins."""

import struct
from math import pi
from pathlib import Path

import numpy as np
import pytest
from boatfile_writing import line_of, only_fault, refused, write

from flotation.boat import Exposure
from flotation.boatfile import read_boat, template
from flotation.errors import Fault
from flotation.geometry.shapes import box

BOX = (
    'shape = { kind = "box", corner = ["1 m", "0.1 m", "0.1 m"], size = ["1 m", "0.4 m", "0.3 m"] }'
)
HEAD = '[[cavity]]\nname = "box"\nface = "laminate"\nexposure = "none"\n'


def boat_file(folder: Path, *parts: str) -> Path:
    """The template with these cavities instead of its own."""
    file = folder / "boat.toml"
    head = template()
    start = head.index('[[cavity]]\nname = "side port"')
    file.write_text(head[:start] + "\n".join(parts) + "\n", encoding="utf-8")
    return file


def cavity(folder: Path, *parts: str):
    """The one cavity of a boat file with these entries."""
    (found,) = read_boat(boat_file(folder, *parts)).cavities
    return found


def fault(folder: Path, *parts: str) -> Fault:
    """The one fault of a boat file with these entries."""
    faults = refused(boat_file(folder, *parts))
    assert len(faults) == 1, "\n".join(map(str, faults))
    return faults[0]


def stl(path: Path, solid, scale: float = 1000.0) -> Path:
    """A binary STL of a solid, in millimetres."""
    corners = (solid.vertices * scale)[solid.faces].astype("<f4")
    rows = np.zeros(len(corners), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    rows["v"] = corners
    path.write_bytes(bytes(80) + struct.pack("<I", len(rows)) + rows.tobytes())
    return path


SHAPES = [
    (BOX, 0.12),
    (
        'shape = { kind = "prism", outline = [["1 m", "0 m", "0.1 m"], ["2 m", "0 m", "0.1 m"],'
        ' ["1 m", "0 m", "0.4 m"]], along = ["0 m", "0.2 m", "0 m"] }',
        0.03,
    ),
    (
        'shape = { kind = "tube", path = [["1 m", "0 m", "0.3 m"], ["2 m", "0 m", "0.3 m"]],'
        ' diameter = "200 mm" }',
        pi * 0.01,
    ),
    (
        'shape = { kind = "cone", start = ["1 m", "0 m", "0.3 m"], end = ["2 m", "0 m", "0.3 m"],'
        ' start_diameter = "0.3 m", end_diameter = "0 m" }',
        pi / 12 * 0.09,
    ),
    (
        'shape = { kind = "ball", centre = ["1 m", "0 m", "0.3 m"], diameter = "0.3 m" }',
        pi / 6 * 0.027,
    ),
    (
        'shape = { kind = "hat stringer", stations = ['
        '{ at = ["0.5 m", "0.3 m", "0.1 m"], base_width = "0.2 m", top_width = "0.1 m",'
        ' height = "0.1 m" },'
        '{ at = ["2.5 m", "0.3 m", "0.1 m"], base_width = "0.2 m", top_width = "0.1 m",'
        ' height = "0.1 m" }] }',
        2 * 0.015,
    ),
    (
        'shape = { kind = "section areas", stations = ['
        '{ x = "1 m", y = "0.3 m", area = "0.04 m^2", bottom = "0.1 m", height = "0.2 m" },'
        '{ x = "2 m", y = "0.3 m", area = "0.06 m^2", bottom = "0.1 m", height = "0.2 m" }] }',
        0.05,
    ),
    (
        'shape = { kind = "offsets", stations = ['
        '{ x = "1 m", points = [["0.1 m", "0.1 m"], ["0.3 m", "0.1 m"], ["0.1 m", "0.3 m"]] },'
        '{ x = "2 m", points = [["0.1 m", "0.1 m"], ["0.3 m", "0.1 m"], ["0.1 m", "0.3 m"]] }] }',
        0.02,
    ),
]


@pytest.mark.parametrize(("shape", "volume"), SHAPES)
def test_every_shape_is_read_with_its_volume(tmp_path, shape, volume):
    found = cavity(tmp_path, HEAD + shape)
    assert found.solid.volume == pytest.approx(volume, rel=1e-9)
    assert found.gross_volume == found.solid.volume
    assert (found.moved_in, found.taken_out, found.foam, found.holes) == (0.0, (), None, ())


def test_every_kind_of_shape_is_explained_in_the_file_to_start_from():
    for shape, _ in SHAPES:
        kind = shape.partition('kind = "')[2].partition('"')[0]
        assert f'{{ kind = "{kind}",' in template()


def test_only_shapes_with_stations_have_a_check_by_hand(tmp_path):
    for shape, volume in SHAPES:
        found = cavity(tmp_path, HEAD + shape)
        if "section areas" in shape or "offsets" in shape:
            assert found.hand_check is not None
            assert found.hand_check.trapezoidal == pytest.approx(volume)
            assert found.hand_check.simpson is None
            assert found.hand_check.solid == found.gross_volume
        else:
            assert found.hand_check is None


def test_simpsons_rule_stands_beside_the_trapezoidal_where_the_stations_allow_it(tmp_path):
    stations = ", ".join(
        f'{{ x = "{x} m", y = "0 m", area = "{area} m^2", bottom = "0.1 m", height = "0.2 m" }}'
        for x, area in ((1.0, 0.02), (1.5, 0.05), (2.0, 0.04))
    )
    found = cavity(
        tmp_path, HEAD + f'shape = {{ kind = "section areas", stations = [{stations}] }}'
    )
    assert found.hand_check.trapezoidal == pytest.approx(0.25 * (0.02 + 2 * 0.05 + 0.04))
    assert found.hand_check.simpson == pytest.approx(0.5 / 3 * (0.02 + 4 * 0.05 + 0.04))


def test_a_mesh_is_read_in_its_unit_and_noted_with_its_hash(tmp_path):
    stl(tmp_path / "box.stl", box((1, 0.1, 0.1), (1, 0.4, 0.3)))
    boat = read_boat(boat_file(tmp_path, HEAD + 'mesh = "box.stl"\nunit = "mm"'))
    assert boat.cavities[0].solid.volume == pytest.approx(0.12, rel=1e-6)
    assert boat.cavities[0].solid.name == "box"
    assert [name for name, _ in boat.files] == ["boat.toml", "box.stl"]


def test_what_a_mesh_file_is_noted_for_reaches_the_boat(tmp_path):
    far = box((1, 0.1, 0.1), (1, 0.4, 0.3))
    stl(tmp_path / "box.stl", far, scale=1.0)
    text = "solid box\n"
    for a, b, c in far.vertices[far.faces] * 1000.0:
        corners = "".join(f"vertex {x} {y} {z}\n" for x, y, z in (a, b, c))
        text += f"facet normal 0 0 0\nouter loop\n{corners}endloop\nendfacet\n"
    degenerate = "vertex 1000 100 100\nvertex 1000 100 100\nvertex 2000 100 100\n"
    text += f"facet normal 0 0 0\nouter loop\n{degenerate}endloop\nendfacet\nendsolid box\n"
    (tmp_path / "box.stl").write_text(text)
    boat = read_boat(boat_file(tmp_path, HEAD + 'mesh = "box.stl"\nunit = "mm"'))
    assert len(boat.notes) == 1
    assert boat.notes[0].startswith("box.stl: 1 triangles have two corners at one position")


def test_a_moulded_face_is_moved_in_by_its_laminate(tmp_path):
    moulded = HEAD.replace('"laminate"', '"moulded"\nlaminate = "5 mm"')
    found = cavity(tmp_path, moulded + BOX)
    assert found.solid.volume == pytest.approx(0.99 * 0.39 * 0.29, rel=1e-9)
    assert found.moved_in == 0.005
    assert found.gross_volume == found.solid.volume


OUT = '\n[[cavity.out]]\nname = "{name}"\n{shape}\n{more}'
ROD = (
    'shape = {{ kind = "tube", path = [["{start} m", "0.3 m", "0.2 m"], ["{end} m", "0.3 m",'
    ' "0.2 m"]], diameter = "60 mm" }}'
)


def out(start: float, end: float, *, name: str = "tube", more: str = "") -> str:
    return OUT.format(name=name, shape=ROD.format(start=start, end=end), more=more)


def test_what_is_taken_out_leaves_its_volume(tmp_path):
    block = BOX.replace('"1 m", "0.1 m", "0.1 m"', '"1.2 m", "0.4 m", "0.1 m"')
    block = block.replace('"1 m", "0.4 m", "0.3 m"', '"0.2 m", "0.05 m", "0.1 m"')
    tank = OUT.format(name="tank", shape=block, more='tank = "metallic"\nsole_support = true')
    found = cavity(tmp_path, HEAD + BOX + out(1, 2) + tank)
    rod = pi / 4 * 0.06**2
    assert found.gross_volume == pytest.approx(0.12, rel=1e-12)
    assert found.solid.volume == pytest.approx(0.12 - rod - 0.001, rel=1e-9)
    assert [thing.volume_inside for thing in found.taken_out] == pytest.approx([rod, 0.001])
    assert [thing.tank for thing in found.taken_out] == [None, "metallic"]
    assert [thing.sole_support for thing in found.taken_out] == [False, True]


def test_a_tube_may_end_at_the_moulded_face(tmp_path):
    moulded = HEAD.replace('"laminate"', '"moulded"\nlaminate = "5 mm"')
    found = cavity(tmp_path, moulded + BOX + out(1, 2))
    assert found.taken_out[0].volume_inside == pytest.approx(pi / 4 * 0.06**2 * 0.99, rel=1e-9)


def test_a_tube_longer_than_its_cavity_is_refused_unless_it_passes_through(tmp_path):
    found = fault(tmp_path, HEAD + BOX + out(1, 2.5))
    assert found.place == 'boat.toml [[cavity]] "box" out "tube"'
    assert "it sticks out of the cavity by 500 mm" in found.problem
    assert '["2.500 m", ' in found.problem
    assert "passes_through = true" in found.remedy
    passing = cavity(tmp_path, HEAD + BOX + out(0, 2.5, more="passes_through = true"))
    assert passing.taken_out[0].volume_inside == pytest.approx(pi / 4 * 0.06**2, rel=1e-9)


def test_a_thing_outside_its_cavity_is_refused(tmp_path):
    for more in ("", "passes_through = true"):
        found = fault(tmp_path, HEAD + BOX + out(2.1, 2.5, more=more))
        assert found.problem == "it lies outside the cavity"


def test_two_things_in_one_place_are_refused(tmp_path):
    found = fault(tmp_path, HEAD + BOX + out(1, 1.5) + out(1.4, 2, name="other"))
    assert found.place == 'boat.toml [[cavity]] "box" out "other"'
    assert 'shares 282.7 mL with "tube"' in found.problem.replace("0.2827 L", "282.7 mL")


def test_things_that_leave_nothing_for_foam_are_refused(tmp_path):
    found = fault(tmp_path, HEAD + BOX + OUT.format(name="tank", shape=BOX, more=""))
    assert "leaves nothing of it" in found.problem


def test_foam_that_cannot_reach_every_piece_is_noted(tmp_path):
    wall = BOX.replace('"1 m", "0.1 m"', '"1.4 m", "0.1 m"').replace(
        '["1 m", "0.4', '["0.1 m", "0.4'
    )
    boat = read_boat(boat_file(tmp_path, HEAD + BOX + OUT.format(name="wall", shape=wall, more="")))
    assert boat.notes == (
        "box: what is taken out leaves 2 pieces (60 L, 48 L); foam poured into one does not reach"
        " the others.",
    )


HOLE = (
    '\n[[cavity.hole]]\nname = "{name}"\nkind = "fill"\n'
    'at = ["{x} m", "{y} m", "{z} m"]\ndiameter = "30 mm"\n'
)


def hole(x: float, y: float, z: float, name: str = "P1") -> str:
    return HOLE.format(name=name, x=x, y=y, z=z)


@pytest.mark.parametrize("z", [0.4, 0.385, 0.409])
def test_a_hole_lies_on_the_moulded_face_or_on_the_inside_of_the_laminate(tmp_path, z):
    moulded = HEAD.replace('"laminate"', '"moulded"\nlaminate = "15 mm"')
    assert cavity(tmp_path, moulded + BOX + hole(1.5, 0.3, z)).holes[0].at == (1.5, 0.3, z)


@pytest.mark.parametrize(
    ("at", "problem"),
    [
        ((1.5, 0.3, 0.45), "the hole lies 50 mm outside it"),
        ((1.5, 0.3, 0.3), "the hole lies 100 mm inside the cavity, away from its surface"),
        ((2.5, 0.3, 0.4), "the hole lies 500 mm outside it"),
    ],
)
def test_a_hole_off_its_cavity_is_refused_with_the_nearest_place(tmp_path, at, problem):
    found = fault(tmp_path, HEAD + BOX + hole(*at))
    assert found.place == 'boat.toml [[cavity]] "box" hole "P1" at'
    assert found.problem == problem
    nearest = (min(at[0], 2.0), 0.3, 0.4)
    assert found.remedy.endswith("[" + ", ".join(f'"{x:.3f} m"' for x in nearest) + "].")


def test_a_hole_over_something_that_is_taken_out_is_refused(tmp_path):
    block = BOX.replace('"1 m", "0.1 m", "0.1 m"', '"1.2 m", "0.1 m", "0.2 m"')
    block = block.replace('"1 m", "0.4 m", "0.3 m"', '"0.6 m", "0.4 m", "0.2 m"')
    tank = OUT.format(name="tank", shape=block, more="")
    found = fault(tmp_path, HEAD + BOX + hole(1.5, 0.3, 0.4) + tank)
    assert "no foam gets in here" in found.problem


TWIN = '[[cavity]]\nname = "twin"\nmirror = "box"\n'
FILLED = HEAD + 'foam = "pour foam 2 lb"\nhold_down = "1 kN"\nhold_down_by = "lid"\n' + BOX


def test_a_twin_is_mirrored_with_all_that_is_in_it(tmp_path):
    file = boat_file(
        tmp_path, FILLED + hole(1.5, 0.3, 0.4) + hole(1.1, 0.2, 0.4, "P12") + out(1, 2), TWIN
    )
    box_, twin = read_boat(file).cavities
    assert twin.name == twin.group == twin.solid.name == "twin"
    assert twin.solid.volume == pytest.approx(box_.solid.volume, rel=1e-12)
    assert twin.solid.centroid * (1, -1, 1) == pytest.approx(box_.solid.centroid)
    assert twin.taken_out[0].solid.centroid == pytest.approx((1.5, -0.3, 0.2))
    assert [(hole.name, hole.at) for hole in twin.holes] == [
        ("S1", (1.5, -0.3, 0.4)),
        ("S12", (1.1, -0.2, 0.4)),
    ]
    for entry in ("foam", "exposure", "hold_down", "hold_down_by", "moved_in", "gross_volume"):
        assert getattr(twin, entry) == getattr(box_, entry)
    assert twin.entry == 'boat.toml [[cavity]] "twin"'


def test_a_twin_states_what_is_different_about_it(tmp_path):
    own = 'group = "low"\nfoam = "none"\nexposure = "engine room"\nhole_names = ["top"]\n'
    hold = 'hold_down = "2 kN"\nhold_down_by = "screws"\n'
    file = boat_file(tmp_path, FILLED + hole(1.5, 0.3, 0.4, "C1"), TWIN + own + hold)
    _, twin = read_boat(file).cavities
    assert (twin.group, twin.foam, twin.exposure) == ("low", None, Exposure.ENGINE_ROOM)
    assert (twin.hold_down, twin.hold_down_by) == (2000.0, "screws")
    assert [hole.name for hole in twin.holes] == ["top"]


def test_the_original_may_stand_behind_its_twin(tmp_path):
    boat = read_boat(boat_file(tmp_path, TWIN, FILLED))
    assert [cavity.name for cavity in boat.cavities] == ["twin", "box"]


@pytest.mark.parametrize(
    ("twin", "entry", "problem"),
    [
        (TWIN, "", 'its hole "C1" has no name on the other side'),
        (TWIN + 'hole_names = ["a", "b"]', " hole_names", "names 2 holes, and box has 1"),
        (TWIN + 'hole_names = ["C1"]', "", 'the name "C1" stands twice'),
        (TWIN.replace('"box"', '"bix"'), " mirror", '"bix" is no cavity to mirror'),
        (TWIN.replace('"box"', '"twin"'), " mirror", '"twin" is no cavity to mirror'),
        (TWIN + 'mesh = "box.stl"', " mesh", '"mesh" is not known here'),
        (TWIN + 'foam = "other"\nhole_names = ["a"]', " foam", '"other" is no foam'),
        (TWIN + 'hold_down = "1 N"\nhole_names = ["a"]', " hold_down", "without hold_down_by"),
    ],
)
def test_a_twin_that_cannot_be_is_refused(tmp_path, twin, entry, problem):
    found = fault(tmp_path, FILLED + hole(1.5, 0.3, 0.4, "C1"), twin)
    assert found.place == f'boat.toml [[cavity]] "twin"{entry}'
    assert problem in found.problem


def test_the_twin_of_a_bad_cavity_adds_no_fault_of_its_own(tmp_path):
    found = fault(tmp_path, FILLED.replace('"1 m", "0.4 m"', '"-1 m", "0.4 m"'), TWIN)
    assert found.place == 'boat.toml [[cavity]] "box" shape size x'


@pytest.mark.parametrize(
    ("entries", "entry", "problem"),
    [
        ("", "", "has neither a mesh nor a shape"),
        (BOX + '\nmesh = "box.stl"\nunit = "mm"', "", "has both a mesh and a shape"),
        (BOX + '\nunit = "mm"', " unit", "a shape has no unit of its own"),
        (BOX + '\nlaminate = "5 mm"', " laminate", "the inside of the laminate already"),
        ("shape = 3", " shape", "a shape is a table"),
        ('shape = { size = "1 m" }', " shape", '"kind" is missing'),
        ('shape = { kind = "bax" }', " shape kind", '"bax" is no kind of shape'),
        ('shape = { kind = "ball", centre = ["0 m", "0 m", "0 m"] }', " shape", '"diameter" is'),
        (BOX.replace("0.4 m", "400 m"), "", "it lies outside the boat"),
        (BOX.replace("0.4 m", "1e99 m"), " shape size y", "is not above zero and below 1 km"),
        (BOX.replace('"0.1 m", "0.1', '"1e99 m", "0.1'), " shape corner y", "is not within 1 km"),
        ('shape = { kind = ["box"] }', " shape kind", "is no kind of shape"),
        ('mesh = "none.stl"\nunit = "mm"', " mesh", 'there is no file "none.stl"'),
        ('mesh = "../box.stl"\nunit = "mm"', " mesh", "does not stay inside the folder"),
        ('mesh = "box.stl"', " mesh", "no unit is given"),
        ('mesh = "box.stl"\nunit = "yd"', " unit", '"yd" is not one of the choices'),
        ('mesh = "box.stl"\nunit = "m"', "", "it lies outside the boat"),
        ('mesh = "metres.stl"\nunit = "mm"', "", "it measures 1 mm at most"),
        (BOX.replace('"0.3 m"', '"30 m"'), "", "to 30.1 m"),
        ('mesh = "folder.stl"\nunit = "mm"', " mesh", '"folder.stl" is a folder'),
        ('mesh = "round.stl"\nunit = "mm"', " mesh", '"round.stl" cannot be read'),
        (f'mesh = "{"d" * 75}.stl"\nunit = "mm"', " mesh", "there is no file"),
        ('mesh = "box.txt"\nunit = "mm"', " mesh", "a file ending in '.txt' is not read"),
        (
            'shape = { kind = "offsets", stations = [{ x = "1 m", points = [["0 m"]] }] }',
            " shape stations (1) points (1)",
            "is not a list of 2 texts: y, z",
        ),
        (
            'shape = { kind = "offsets", stations = [{ x = "1 m", points = [["0 m", "1"]] }] }',
            " shape stations (1) points (1) z",
            "has no unit",
        ),
        (
            'shape = { kind = "tube", path = [["0 m", "0 m", "0 m"]], diameter = "1 cm" }',
            " shape",
            "the path has fewer than two points",
        ),
    ],
)
def test_a_cavity_that_cannot_be_is_refused(tmp_path, entries, entry, problem):
    stl(tmp_path / "box.stl", box((1, 0.1, 0.1), (1, 0.4, 0.3)))
    stl(tmp_path / "metres.stl", box((0.001, 0.0001, 0.0001), (0.001, 0.0004, 0.0003)))
    (tmp_path / "folder.stl").mkdir()
    (tmp_path / "round.stl").symlink_to("round.stl")
    (tmp_path / "box.txt").write_text("solid")
    found = fault(tmp_path, HEAD + entries)
    assert found.place == f'boat.toml [[cavity]] "box"{entry}'
    assert problem in found.problem
    assert found.remedy


@pytest.mark.parametrize("laminate", ["", 'laminate = "0 mm"\n'])
def test_a_moulded_face_without_its_laminate_is_refused(tmp_path, laminate):
    found = fault(tmp_path, HEAD.replace('"laminate"\n', f'"moulded"\n{laminate}') + BOX)
    assert found.problem == "the thickness of the laminate is not stated"


def test_a_laminate_that_fills_the_cavity_is_refused(tmp_path):
    moulded = HEAD.replace('"laminate"', '"moulded"\nlaminate = "150 mm"')
    found = fault(tmp_path, moulded + BOX)
    assert found.place == 'boat.toml [[cavity]] "box" laminate'
    assert "fills the cavity" in found.problem
    wedge = (
        'shape = { kind = "prism", outline = [["1 m", "0 m", "0 m"], ["1.3 m", "0 m", "0 m"],'
        ' ["1 m", "0 m", "0.3 m"]], along = ["0 m", "0.3 m", "0 m"] }'
    )
    found = fault(tmp_path, moulded.replace("150", "100") + wedge)
    assert found.place == 'boat.toml [[cavity]] "box" laminate'
    assert "fills the cavity" in found.problem


def bad_mesh(kind: str, good: bytes) -> bytes:
    """The bytes of an STL of 12 triangles, spoilt."""
    count = struct.unpack("<I", good[80:84])[0]
    records = [good[84 + 50 * i : 134 + 50 * i] for i in range(count)]
    if kind == "truncated":
        return good[:-20]
    if kind == "wrong count":
        return good[:80] + struct.pack("<I", count + 1) + good[84:]
    if kind == "empty":
        return b""
    if kind == "text":
        return b"not a mesh, but a letter about one. " * 5
    if kind == "open":
        records = records[:-1]
    if kind == "flipped":
        records[0] = turned(records[0])
    if kind == "inside out":
        records = [turned(record) for record in records]
    if kind == "not a number":
        records[0] = records[0][:12] + struct.pack("<f", float("nan")) + records[0][16:]
    if kind == "overlapping":
        records += [shifted(record, 500.0) for record in records]
    return good[:80] + struct.pack("<I", len(records)) + b"".join(records)


def turned(record: bytes) -> bytes:
    return record[:12] + record[24:36] + record[12:24] + record[36:]


def shifted(record: bytes, by: float) -> bytes:
    numbers = list(struct.unpack("<12f", record[:48]))
    for corner in range(3):
        numbers[3 + 3 * corner] += by
    return struct.pack("<12f", *numbers) + record[48:]


@pytest.mark.parametrize(
    ("kind", "problem"),
    [
        ("truncated", "but the file has"),
        ("wrong count", "13 triangles"),
        ("empty", "the file is empty"),
        ("text", "STL"),
        ("open", "edge"),
        ("flipped", "wound"),
        ("inside out", "inside out"),
        ("not a number", "not a finite number"),
        ("overlapping", "through"),
    ],
)
def test_a_bad_mesh_is_refused_at_its_entry_and_named(tmp_path, kind, problem):
    good = stl(tmp_path / "box.stl", box((1, 0.1, 0.1), (1, 0.4, 0.3))).read_bytes()
    (tmp_path / "box.stl").write_bytes(bad_mesh(kind, good))
    file = boat_file(tmp_path, HEAD + 'mesh = "box.stl"\nunit = "mm"')
    faults = refused(file)
    assert all(fault.place == 'boat.toml [[cavity]] "box" mesh' for fault in faults)
    assert all(fault.line == line_of(file, 'mesh = "box.stl"\nunit') for fault in faults)
    assert all(fault.problem.startswith("box.stl") and fault.remedy for fault in faults)
    assert any(problem in fault.problem for fault in faults)


def test_cavities_that_share_space_are_refused(tmp_path):
    other = HEAD.replace('"box"', '"other"') + BOX.replace('"1 m", "0.1 m"', '"1.9 m", "0.1 m"')
    found = fault(tmp_path, HEAD + BOX, other)
    assert found.place == 'boat.toml [[cavity]] "other"'
    assert found.problem == 'it shares 12 L with the cavity "box"'
    across = BOX.replace('"1 m", "0.1 m"', '"1 m", "-0.1 m"')
    found = fault(tmp_path, HEAD + across, TWIN)
    assert found.problem == 'it shares 60 L with the cavity "box"'


def test_cavities_that_touch_are_read(tmp_path):
    other = HEAD.replace('"box"', '"other"') + BOX.replace('"1 m", "0.1 m"', '"2 m", "0.1 m"')
    assert len(read_boat(boat_file(tmp_path, HEAD + BOX, other)).cavities) == 2


def test_bad_cavities_leave_the_faults_of_the_others_to_be_found(tmp_path):
    (tmp_path / "box.stl").write_bytes(b"")
    faults = refused(
        boat_file(
            tmp_path,
            HEAD + 'mesh = "box.stl"\nunit = "mm"',
            HEAD.replace('"box"', '"b"') + BOX + hole(1.5, 0.3, 0.5),
            HEAD.replace('"box"', '"c"') + "shape = { }",
            HEAD.replace('"box"', '"d"').replace('"none"', '"nowhere"') + BOX + out(1, 3),
        )
    )
    assert [fault.place.removeprefix("boat.toml [[cavity]] ") for fault in faults] == [
        '"box" mesh',
        '"b" hole "P1" at',
        '"c" shape',
        '"d" exposure',
    ]


def test_a_tank_support_is_stated_for_tanks_only(tmp_path):
    found = fault(tmp_path, HEAD + BOX + out(1, 2, more="sole_support = true"))
    assert found.place == 'boat.toml [[cavity]] "box" out "tube" sole_support'


def test_a_foam_that_is_not_in_the_file_is_refused(tmp_path):
    entry = ('foam = "pour foam 2 lb"        #', 'foam = "pour foam 3 lb"        #')
    found = only_fault(tmp_path, entry)
    assert found.remedy.startswith('Is "pour foam 2 lb" meant?')


def test_the_template_boat_is_symmetric(tmp_path):
    boat = read_boat(write(tmp_path))
    sides = [(cavity.solid.volume, cavity.solid.centroid) for cavity in boat.cavities]
    for (port, at_port), (starboard, at_starboard) in zip(sides[::2], sides[1::2], strict=True):
        assert port == pytest.approx(starboard, rel=1e-12)
        assert at_port == pytest.approx(at_starboard * (1, -1, 1))
