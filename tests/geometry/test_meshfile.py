"""Mesh files: what is read, and every refusal told with file, place and advice."""

import struct
import zipfile
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from flotation.errors import Fault, MeshError
from flotation.geometry import meshfile, meshfile_child
from flotation.geometry.bodies import label_bodies, nesting_depth, signed_volumes
from flotation.geometry.meshfile import Mesh, read_mesh

CUBE = trimesh.creation.box(extents=(2.0, 1.0, 0.5))
VOLUME = 1.0


@pytest.fixture(autouse=True)
def read_here(request, monkeypatch):
    """Answer in this process, which saves a second a file; `apart` keeps the process apart."""
    if "apart" not in request.fixturenames:
        monkeypatch.setattr(meshfile, "_ask_child", answer_here)


@pytest.fixture
def apart():
    """The file is read in the process of its own, as users have it."""


def answer_here(data: bytes, ending: str, place: str) -> bytes:
    try:
        return meshfile_child.answer(data, ending)
    except meshfile_child.Refusal as refusal:
        raise MeshError(Fault(place, refusal.problem, refusal.remedy)) from None
    except Exception as error:
        raise MeshError(Fault(place, f"cannot be read ({error!r})", "Use STL.")) from error


def stl(triangles: np.ndarray) -> bytes:
    """A binary STL of the corners (n, 3, 3)."""
    records = b"".join(
        struct.pack("<12fH", 0.0, 0.0, 0.0, *corners.ravel(), 0) for corners in triangles
    )
    return b"\0" * 80 + struct.pack("<I", len(triangles)) + records


def corners(mesh: trimesh.Trimesh = CUBE) -> np.ndarray:
    return np.asarray(mesh.vertices[mesh.faces])


def volume(mesh: Mesh) -> float:
    whole = np.zeros(len(mesh.faces), dtype=int)
    return float(signed_volumes(mesh.vertices, mesh.faces, whole)[0])


def write(folder: Path, name: str, data: bytes | str) -> Path:
    path = folder / name
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return path


def refusal(path: Path, unit: str | None = "m", **options: int) -> str:
    """The message of the refusal; it must name the file and say what to do."""
    with pytest.raises(MeshError) as caught:
        read_mesh(path, unit=unit, name=path.name, **options)
    for fault in caught.value.faults:
        assert fault.place == path.name
        assert fault.remedy.endswith(".")
    return str(caught.value)


@pytest.mark.parametrize("ending", ["stl", "obj", "ply", "off"])
@pytest.mark.parametrize(("unit", "metres"), [("mm", 1e-3), ("in", 0.0254), ("m", 1.0)])
def test_a_box_has_its_volume_in_every_format_without_unit(tmp_path, ending, unit, metres):
    path = write(tmp_path, f"box.{ending}", CUBE.export(file_type=ending))
    mesh = read_mesh(path, unit=unit)
    assert volume(mesh) == approx(VOLUME * metres**3, rel=1e-12)
    assert mesh.vertices.shape == (8, 3)
    assert mesh.faces.shape == (12, 3)


def test_text_stl_is_read_like_the_binary_one(tmp_path):
    text = write(tmp_path, "text.stl", CUBE.export(file_type="stl_ascii"))
    binary = write(tmp_path, "binary.stl", stl(corners()))
    assert np.array_equal(read_mesh(text, unit="m").vertices, read_mesh(binary, unit="m").vertices)


def test_several_solids_in_one_text_stl_are_all_read(tmp_path):
    other = CUBE.copy().apply_translation((10, 0, 0))
    text = CUBE.export(file_type="stl_ascii") + "\n" + other.export(file_type="stl_ascii")
    assert volume(read_mesh(write(tmp_path, "two.stl", text), unit="m")) == approx(2 * VOLUME)


def test_a_binary_stl_that_begins_with_solid_is_still_binary(tmp_path):
    data = b"solid box".ljust(80) + stl(corners())[80:]
    assert volume(read_mesh(write(tmp_path, "box.stl", data), unit="m")) == approx(VOLUME)


def test_3mf_carries_its_unit(tmp_path):
    mesh = CUBE.copy()
    mesh.units = "millimeter"
    path = write(tmp_path, "box.3mf", mesh.export(file_type="3mf"))
    assert volume(read_mesh(path, unit=None)) == approx(VOLUME * 1e-9)
    assert volume(read_mesh(path, unit="mm")) == approx(VOLUME * 1e-9)
    assert "given as 'in', but the file is in 'mm'" in refusal(path, "in")


@pytest.mark.parametrize(
    ("word", "metres"),
    [("micron", 1e-6), ("centimeter", 0.01), ("meter", 1.0), ("inch", 0.0254), ("foot", 0.3048)],
)
def test_every_unit_of_3mf_is_applied(tmp_path, word, metres):
    path = write(tmp_path, "box.3mf", threemf(f'unit="{word}"', cube_xml()))
    assert volume(read_mesh(path, unit=None)) == approx(VOLUME * metres**3, rel=1e-12)


def test_3mf_without_a_unit_is_in_millimetres_as_its_standard_says(tmp_path):
    path = write(tmp_path, "box.3mf", threemf("", cube_xml()))
    assert volume(read_mesh(path, unit=None)) == approx(VOLUME * 1e-9)


def test_glb_is_in_metres_and_is_turned_so_that_z_is_up(tmp_path):
    path = write(tmp_path, "box.glb", CUBE.export(file_type="glb"))
    mesh = read_mesh(path, unit=None)
    assert volume(mesh) == approx(VOLUME, rel=1e-6)
    # written with y = 1.0 and z = 0.5 along those axes; y is up in the file
    assert np.ptp(mesh.vertices, axis=0) == approx([2.0, 0.5, 1.0])
    assert any("z is up" in note for note in mesh.notes)
    assert "given as 'mm', but the file is in 'm'" in refusal(path, "mm")


def test_a_mirrored_instance_in_a_scene_stays_outward(tmp_path):
    scene = trimesh.Scene()
    mirror = np.diag([-1.0, 1.0, 1.0, 1.0])
    mirror[0, 3] = -5.0
    scene.add_geometry(CUBE)
    scene.add_geometry(CUBE, transform=mirror)
    path = write(tmp_path, "pair.glb", scene.export(file_type="glb"))
    assert volume(read_mesh(path, unit=None)) == approx(2 * VOLUME, rel=1e-6)


def test_split_corners_are_joined_by_position(tmp_path):
    """Hard edges give a corner three normals; a viewer's file repeats it."""
    hard = CUBE.copy()
    hard.unmerge_vertices()
    path = write(tmp_path, "hard.ply", hard.export(file_type="ply", vertex_normal=True))
    assert read_mesh(path, unit="m").vertices.shape == (8, 3)


def test_quads_are_split_and_a_note_says_so(tmp_path):
    path = write(tmp_path, "quads.obj", quads_obj())
    mesh = read_mesh(path, unit="m")
    assert volume(mesh) == approx(VOLUME)
    assert mesh.notes[0].startswith("6 faces have more than three corners")


def test_triangles_without_area_fall_away_with_a_note(tmp_path):
    """Two needles along one edge: joined by position they are nothing."""
    a, b = CUBE.vertices[CUBE.faces[0][:2]]
    needles = np.array([[a, a, b], [a, b, b]])
    path = write(tmp_path, "needles.stl", stl(np.concatenate([corners(), needles])))
    mesh = read_mesh(path, unit="m")
    assert len(mesh.faces) == 12
    assert any(note.startswith("2 triangles have two corners") for note in mesh.notes)


def test_far_from_the_origin_single_precision_is_noted(tmp_path):
    near = read_mesh(write(tmp_path, "near.stl", stl(corners())), unit="m")
    far = corners() + np.array([4.0e5, 0.0, 0.0])
    mesh = read_mesh(write(tmp_path, "far.stl", stl(far)), unit="m")
    assert near.notes == ()
    assert "stored to 0.031 m only" in mesh.notes[0]


def test_the_stated_bound_on_coarse_coordinates_holds(tmp_path):
    """A ball at map coordinates: the volume is off, and by no more than the note says."""
    ball = trimesh.creation.icosphere(subdivisions=3, radius=0.5)
    far = corners(ball).astype(np.float32) + np.float32(3.0e5)
    mesh = read_mesh(write(tmp_path, "ball.stl", stl(far)), unit="m")
    off = abs(volume(mesh) / ball.volume - 1.0)
    bound = float(mesh.notes[0].split("up to ")[1].split(" %")[0]) / 100.0
    assert 1e-4 < off < bound


@pytest.mark.parametrize(("scale", "noted"), [(1000.0, True), (1.0, False), (1e-3, True)])
def test_an_unlikely_size_asks_to_compare_the_unit(tmp_path, scale, noted):
    path = write(tmp_path, "box.stl", stl(corners() * scale))
    notes = read_mesh(path, unit="m").notes
    assert any("compare the unit" in note for note in notes) is noted


def test_the_process_apart_gives_arrays_or_a_reason(tmp_path, apart):
    assert volume(read_mesh(write(tmp_path, "a.obj", quads_obj()), unit="m")) == approx(VOLUME)
    short = write(tmp_path, "b.off", "OFF\n3 1\n")
    assert "counts 3 vertices and 1 faces but has 0 lines" in refusal(short)
    glb = CUBE.export(file_type="glb")
    damaged = glb[:20] + b"?" + glb[21:]
    message = refusal(write(tmp_path, "c.glb", damaged), None)
    assert "this is no GLB file that can be read (json.decoder.JSONDecodeError" in message


def test_a_word_within_the_numbers_is_refused_and_not_skipped(tmp_path, apart):
    """The library reads numbers up to the first word and drops the rest with a warning."""
    text = CUBE.export(file_type="ply", encoding="ascii").decode().replace("0.25", "0,25", 1)
    assert "could not be read to its end" in refusal(write(tmp_path, "comma.ply", text))


# refusals before anything is read


def test_a_missing_file_and_a_missing_unit_are_told_together(tmp_path):
    message = refusal(tmp_path / "none.stl", None)
    assert "there is no such file" in message
    assert "no unit is given" in message


def test_a_folder_is_no_mesh(tmp_path):
    (tmp_path / "folder.stl").mkdir()
    assert "this is a folder" in refusal(tmp_path / "folder.stl")


@pytest.mark.parametrize("name", ["box.zip", "box.stl.gz", "box.iges", "box.gltf", "box"])
def test_only_listed_endings_are_read(tmp_path, name):
    assert "STL, OBJ, PLY, OFF, 3MF, GLB" in refusal(write(tmp_path, name, b"PK\3\4"))


@pytest.mark.parametrize("unit", ["", "MM", "metre", "um", "parsec"])
def test_unknown_units_are_refused(tmp_path, unit):
    path = write(tmp_path, "box.stl", stl(corners()))
    assert f"the unit '{unit}' is not known" in refusal(path, unit)


def test_a_file_over_the_size_limit_is_not_read(tmp_path):
    path = write(tmp_path, "box.stl", stl(corners()))
    assert "more than the 0 MB read" in refusal(path, max_bytes=600)
    assert read_mesh(path, unit="m", max_bytes=684).faces.shape == (12, 3)


@pytest.mark.parametrize("ending", ["stl", "obj", "ply", "off", "3mf", "glb"])
def test_empty_files_are_refused(tmp_path, ending):
    unit = "m" if ending in ("stl", "obj", "ply", "off") else None
    assert "the file is empty" in refusal(write(tmp_path, f"nothing.{ending}", b""), unit)


@pytest.mark.parametrize("ending", ["stl", "obj", "ply", "off", "3mf", "glb"])
@pytest.mark.parametrize("data", [b"\n \n", b"Dear yard, see the other file.\n", b"PK\3\4" * 40])
def test_text_and_archives_under_a_mesh_name_are_refused(tmp_path, ending, data):
    unit = "m" if ending in ("stl", "obj", "ply", "off") else None
    refusal(write(tmp_path, f"garbage.{ending}", data), unit)


# damaged files


def test_a_truncated_binary_stl_is_refused(tmp_path):
    path = write(tmp_path, "cut.stl", stl(corners())[:-120])
    assert "counts 12 triangles, which take 684 bytes, but the file has 564" in refusal(path)


def test_trailing_bytes_after_a_binary_stl_are_refused(tmp_path):
    assert "has 687 bytes" in refusal(write(tmp_path, "long.stl", stl(corners()) + b"abc"))


def test_a_wrong_count_in_a_binary_stl_is_refused(tmp_path):
    data = bytearray(stl(corners()))
    data[80:84] = struct.pack("<I", 11)
    assert "counts 11 triangles" in refusal(write(tmp_path, "count.stl", bytes(data)))


def test_a_binary_stl_without_triangles_is_refused(tmp_path):
    path = write(tmp_path, "none.stl", stl(np.empty((0, 3, 3))))
    assert "holds no triangle" in refusal(path)


def test_a_text_stl_cut_between_two_facets_is_refused(tmp_path):
    """What is left parses well; only the missing last line tells."""
    lines = CUBE.export(file_type="stl_ascii").splitlines()
    path = write(tmp_path, "cut.stl", "\n".join(lines[: 1 + 7 * 10]))
    assert "the file ends where 'facet' or 'endsolid'" in refusal(path)


def test_a_text_stl_with_a_wrong_line_is_refused_with_the_line(tmp_path):
    lines = CUBE.export(file_type="stl_ascii").splitlines()
    del lines[3]
    assert "cut.stl:2: 'facet normal" in refusal(write(tmp_path, "cut.stl", "\n".join(lines)))


def test_a_text_stl_with_a_word_for_a_number_is_refused_with_the_line(tmp_path):
    lines = CUBE.export(file_type="stl_ascii").splitlines()
    lines[11] = "vertex 1.0 2,5 0.0"
    message = refusal(write(tmp_path, "comma.stl", "\n".join(lines)))
    assert "comma.stl:12: '2,5' is not a number" in message


@pytest.mark.parametrize("ending", ["obj", "ply", "off", "3mf", "glb"])
@pytest.mark.parametrize("share", [0.3, 0.6, 0.9, 0.98])
def test_a_file_cut_off_anywhere_is_refused(tmp_path, ending, share):
    pair = trimesh.util.concatenate([CUBE, CUBE.copy().apply_translation((10.1, 0, 0))])
    pair.units = "millimeter"
    data = pair.export(file_type=ending)
    data = data.encode() if isinstance(data, str) else data
    unit = "m" if ending in ("obj", "ply", "off") else None
    refusal(write(tmp_path, f"cut.{ending}", data[: int(share * len(data))]), unit)


@pytest.mark.parametrize(
    ("ending", "options", "lost"),
    [("off", {}, 12), ("ply", {"encoding": "ascii"}, 12)],
)
def test_a_text_file_that_lost_a_whole_body_is_refused(tmp_path, ending, options, lost):
    """The rest is a closed box: only the count in the header tells."""
    pair = trimesh.util.concatenate([CUBE, CUBE.copy().apply_translation((10, 0, 0))])
    data = pair.export(file_type=ending, **options)
    lines = (data.decode() if isinstance(data, bytes) else data).strip().splitlines()
    assert "lines" in refusal(write(tmp_path, f"lost.{ending}", "\n".join(lines[:-lost])))


def test_corner_numbers_counted_backwards_are_refused(tmp_path):
    text = quads_obj().replace("f 4 3 2 1", "f -5 -6 -7 -8")
    assert "counts corners backwards" in refusal(write(tmp_path, "back.obj", text))


@pytest.mark.parametrize("ending", ["obj", "off"])
def test_a_corner_that_is_not_there_is_refused(tmp_path, ending):
    text = CUBE.export(file_type=ending)
    text = text.rsplit(" ", 1)[0] + " 99\n"
    refusal(write(tmp_path, f"corner.{ending}", text))


# surfaces that bound no solid


def test_nan_is_refused_with_its_triangle(tmp_path):
    bad = corners().copy()
    bad[4, 1, 2] = np.nan
    message = refusal(write(tmp_path, "nan.stl", stl(bad)))
    assert "1 triangle (5) with a coordinate that is not a finite number" in message


@pytest.mark.parametrize("ending", ["obj", "ply", "off"])
def test_nan_is_refused_in_text_formats(tmp_path, ending):
    options = {"encoding": "ascii"} if ending == "ply" else {}
    data = CUBE.export(file_type=ending, **options)
    text = data.decode() if isinstance(data, bytes) else data
    first = next(word for word in text.split() if word.lstrip("-").startswith("0.5"))
    message = refusal(write(tmp_path, f"nan.{ending}", text.replace(first, "nan", 1)))
    assert "not a finite number" in message


def test_an_open_surface_is_refused_and_the_hole_is_told_in_the_file_s_unit(tmp_path):
    lid = corners()[:, :, 2].min(axis=1) > 0.2
    path = write(tmp_path, "lidless.stl", stl(corners()[~lid] * 1000.0))
    message = refusal(path, "mm")
    assert "4 edges have no second triangle, round 1 hole" in message
    assert "at (0, 0, 250) mm, 2236.07 mm across" in message


def test_two_holes_are_counted_as_two(tmp_path):
    mesh = trimesh.creation.box(extents=(2.0, 1.0, 0.5)).subdivide().subdivide()
    keep = np.ones(len(mesh.faces), dtype=bool)
    for side in (-0.25, 0.25):
        middle = mesh.triangles_center
        keep[np.argmin(np.linalg.norm(middle - (0.1, 0.1, side), axis=1))] = False
    path = write(tmp_path, "holes.stl", stl(corners(mesh)[keep]))
    assert "6 edges have no second triangle, round 2 holes" in refusal(path)


def test_corners_that_nearly_meet_are_told_as_such_and_not_joined(tmp_path):
    bad = corners().astype(np.float32).copy()
    bad[3] += np.float32(2e-6)
    message = refusal(write(tmp_path, "gap.stl", stl(bad)))
    assert "apart where one belongs" in message


def test_flipped_triangles_are_named(tmp_path):
    for rows, numbers in (([2, 7], "(3, 8)"), ([0, 7], "(1, 8)")):
        bad = corners().copy()
        bad[rows] = bad[rows, ::-1]
        message = refusal(write(tmp_path, "flipped.stl", stl(bad)))
        assert f"2 triangles {numbers} wound against their neighbours" in message


def test_an_inside_out_box_is_refused(tmp_path):
    path = write(tmp_path, "inside.stl", stl(corners()[:, ::-1]))
    assert "the surface is inside out: its volume is -1 m3" in refusal(path)


def test_one_inside_out_body_of_two_is_refused_though_the_sum_is_positive(tmp_path):
    big = corners(trimesh.creation.box(extents=(3, 3, 3)))
    turned = corners()[:, ::-1] + np.array([10.0, 0.0, 0.0])
    message = refusal(write(tmp_path, "two.stl", stl(np.concatenate([big, turned]))))
    assert "the body round (10, 0, 0) m is inside out" in message


def test_a_body_inside_another_is_refused_unless_it_is_a_hollow(tmp_path):
    big = corners(trimesh.creation.box(extents=(3, 3, 3)))
    counted_twice = stl(np.concatenate([big, corners()]))
    hollow = stl(np.concatenate([big, corners()[:, ::-1]]))
    assert "would count twice" in refusal(write(tmp_path, "twice.stl", counted_twice))
    mesh = read_mesh(write(tmp_path, "hollow.stl", hollow), unit="m")
    assert volume(mesh) == approx(27.0 - VOLUME)


def test_two_overlapping_bodies_are_refused(tmp_path):
    other = corners() + np.array([1.9, 0.3, 0.2])
    message = refusal(write(tmp_path, "bodies.stl", stl(np.concatenate([corners(), other]))))
    assert "the surface goes through itself" in message
    assert "near (" in message


def test_doubled_triangles_are_refused(tmp_path):
    doubled = stl(np.concatenate([corners(), corners()[:1]]))
    message = refusal(write(tmp_path, "doubled.stl", doubled))
    assert "1 triangles stand there twice" in message


def test_a_wall_inside_is_refused(tmp_path):
    """Two boxes that share a face, exported with the face between them."""
    other = corners() + np.array([2.0, 0.0, 0.0])
    both = stl(np.concatenate([corners(), other]))
    assert "more than two triangles" in refusal(write(tmp_path, "wall.stl", both))


def test_a_flat_sheet_of_two_sides_encloses_nothing(tmp_path):
    sheet = np.array([[[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 0, 0], [0, 1, 0], [1, 0, 0]]])
    assert "encloses no volume" in refusal(write(tmp_path, "flat.stl", stl(sheet * 1.0)))


# files that nobody vouches for


def test_a_3mf_that_unpacks_beyond_the_limit_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(meshfile_child, "MAX_UNPACKED", 10_000_000)
    blob = BytesIO()
    with zipfile.ZipFile(blob, "w", zipfile.ZIP_DEFLATED) as package:
        for number in range(11):
            package.writestr(f"3D/{number}.model", b" " * 1_000_000)
    assert len(blob.getvalue()) < 20_000
    assert "it unpacks to 11 MB" in refusal(write(tmp_path, "bomb.3mf", blob.getvalue()), None)


def test_a_3mf_with_nested_entities_is_refused(tmp_path, apart):
    """Each entity names the one before ten times: ten levels would be 10 GB of text."""
    levels = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10 if n else "x" * 10}">' for n in range(10))
    path = write(tmp_path, "laughs.3mf", threemf("", "&e9;", f"<!DOCTYPE model [{levels}]>"))
    refusal(path, None)


def test_a_3mf_cannot_reach_another_file(tmp_path, apart):
    secret = write(tmp_path, "secret.txt", "nobody reads this")
    doctype = f'<!DOCTYPE model [<!ENTITY s SYSTEM "{secret.as_uri()}">]>'
    message = refusal(write(tmp_path, "reach.3mf", threemf("", "&s;", doctype)), None)
    assert "nobody" not in message


@pytest.mark.parametrize(
    ("attributes", "content"),
    [
        ('unit="furlong"', "<resources/>"),
        ('requiredextensions="b" xmlns:b="http://example.org/lattice"', "<resources/>"),
        ("", '<resources><object id="1" type="support"/></resources>'),
    ],
)
def test_a_3mf_that_asks_for_what_is_not_read_is_refused(tmp_path, attributes, content):
    refusal(write(tmp_path, "odd.3mf", threemf(attributes, content)), None)


def test_the_reading_process_is_stopped_when_it_takes_too_long(tmp_path, apart, monkeypatch):
    path = write(tmp_path, "slow.obj", CUBE.export(file_type="obj"))
    monkeypatch.setattr(meshfile, "_SECONDS", 0.01)
    assert "takes more than" in refusal(path)


def test_the_reading_process_is_held_to_its_memory(tmp_path, apart, monkeypatch):
    path = write(tmp_path, "large.obj", CUBE.subdivide_loop(6).export(file_type="obj"))
    monkeypatch.setattr(meshfile, "_MEMORY", 250_000_000)
    assert "of memory" in refusal(path)


# laws


@settings(max_examples=40, deadline=None)
@given(
    turns=st.lists(st.booleans(), min_size=12, max_size=12),
    order=st.permutations(list(range(12))),
)
def test_a_box_is_read_only_when_no_triangle_is_turned(tmp_path_factory, turns, order):
    """Whatever the order of the triangles: outward gives the volume, anything else a refusal."""
    triangles = corners()[list(order)].copy()
    turned = np.array(turns)
    triangles[turned] = triangles[turned][:, ::-1]
    path = write(tmp_path_factory.mktemp("law"), "box.stl", stl(triangles))
    if not turned.any():
        assert volume(read_mesh(path, unit="m")) == approx(VOLUME)
    else:
        refusal(path)


def test_bodies_are_told_apart_and_nested():
    big = trimesh.creation.box(extents=(3, 3, 3))
    apart = trimesh.creation.icosphere(subdivisions=3).apply_translation((9, 0, 0))
    mesh = trimesh.util.concatenate([big, CUBE, apart])
    faces = np.asarray(mesh.faces)
    body = label_bodies(faces)
    assert np.bincount(body).tolist() == [12, 12, 1280]
    assert signed_volumes(mesh.vertices, faces, body) == approx([27.0, VOLUME, apart.volume])
    assert nesting_depth(mesh.vertices, faces, body).tolist() == [0, 1, 0]


def quads_obj() -> str:
    vertices = [(x, y, z) for z in (0, 0.5) for x, y in ((0, 0), (2, 0), (2, 1), (0, 1))]
    faces = ["1 2 3 4", "8 7 6 5", "5 6 2 1", "6 7 3 2", "7 8 4 3", "8 5 1 4"]
    lines = [f"v {x} {y} {z}" for x, y, z in vertices]
    return "\n".join([*lines, *(f"f {' '.join(face.split()[::-1])}" for face in faces)])


def cube_xml() -> str:
    vertices = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in CUBE.vertices)
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in CUBE.faces)
    return (
        f'<resources><object id="1"><mesh><vertices>{vertices}</vertices>'
        f"<triangles>{triangles}</triangles></mesh></object></resources>"
        '<build><item objectid="1"/></build>'
    )


def threemf(attributes: str, content: str, doctype: str = "") -> bytes:
    name = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
    blob = BytesIO()
    with zipfile.ZipFile(blob, "w") as package:
        package.writestr(
            "3D/3dmodel.model",
            f'<?xml version="1.0"?>{doctype}<model xmlns="{name}" {attributes}>{content}</model>',
        )
    return blob.getvalue()


def test_a_file_that_the_system_does_not_hand_out_is_refused(tmp_path, monkeypatch):
    assert "cannot be read: File name too long" in refusal(tmp_path / ("d" * 400 + ".stl"))
    (tmp_path / "kept.stl").write_bytes(b"x")

    def read_bytes(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", read_bytes)
    assert "kept.stl: the file cannot be read: Permission denied" in refusal(tmp_path / "kept.stl")
