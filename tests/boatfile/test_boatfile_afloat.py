"""Sheets, tanks, the real top and the intact hull in a boat file."""

import struct
from pathlib import Path

import numpy as np
from boatfile_writing import refused
from pytest import approx

from flotation.boat import Boat
from flotation.boatfile import read_boat, template
from flotation.errors import Fault

BOX = '{ kind = "box", corner = ["1 m", "-0.2 m", "0.1 m"], size = ["0.5 m", "0.4 m", "0.1 m"] }'
PART = """
[[part]]
name = "hull shell"
mesh = "shell.stl"
unit = "mm"
thickness = "5 mm"
weight = "hull laminate"
"""
TANK_WEIGHTS = """
[[weights.item]]
item = "empty fuel tank"
mass = "4 kg"
material = "aluminium"
at = ["1.25 m", "0 m", "0.15 m"]
waterline = "below"
role = "structure"

[[weights.item]]
item = "petrol"
mass = "12 kg"
at = ["1.25 m", "0 m", "0.15 m"]
waterline = "below"
role = "permanent tank"
"""
TANK = f"""
[[tank]]
name = "fuel tank"
shape = {BOX}
shell = "empty fuel tank"
contents = "petrol"
sealed = true
restraint = "two straps"
"""
TOP = """
[top]
forward = [["4.0 m", "0 m", "0.70 m"]]
aft = [["0.1 m", "0.8 m", "0.6 m"], ["0.1 m", "-0.8 m", "0.6 m"]]
"""
HULL = f"""
[hull]
shape = {BOX}
openings = [["1 m", "0 m", "0.2 m"]]
"""


def boat_file(folder: Path, *tables: str, weights: str = "") -> Path:
    """The template with more tables, more weights, and a square metre of sheet beside it."""
    corners = np.array([[(0, 0, 0), (1, 0, 0), (1, 1, 0)], [(0, 0, 0), (1, 1, 0), (0, 1, 0)]])
    rows = np.zeros(2, dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    rows["v"] = 1000.0 * corners
    (folder / "shell.stl").write_bytes(bytes(80) + struct.pack("<I", 2) + rows.tobytes())
    head, mark, tail = template().partition("# The boat on two scales shows")
    file = folder / "boat.toml"
    file.write_text("\n".join([head, weights, mark + tail, *tables]), encoding="utf-8")
    return file


def read(folder: Path, *tables: str, weights: str = "") -> Boat:
    return read_boat(boat_file(folder, *tables, weights=weights))


def fault(folder: Path, *tables: str, weights: str = "") -> Fault:
    """The one fault of a boat file with these tables."""
    faults = refused(boat_file(folder, *tables, weights=weights))
    assert len(faults) == 1, "\n".join(map(str, faults))
    return faults[0]


def test_a_boat_without_them_has_none(tmp_path):
    boat = read(tmp_path)
    assert (boat.parts, boat.tanks, boat.top, boat.intact_hull) == ((), (), None, None)


def test_a_part_is_a_skin_of_its_thickness_and_names_its_weight(tmp_path):
    boat = read(tmp_path, PART)
    (part,) = boat.parts
    assert (part.name, part.weight) == ("hull shell", "hull laminate")
    assert part.skin.area == approx(1.0)
    assert part.skin.thickness == 0.005
    assert "shell.stl" in dict(boat.files)


def test_a_part_of_an_unknown_weight_is_refused(tmp_path):
    told = fault(tmp_path, PART.replace('"hull laminate"', '"hull lamminate"'))
    assert told.place == 'boat.toml [[part]] "hull shell" weight'
    assert told.remedy == 'Is "hull laminate" meant?'


def test_a_part_of_a_weight_without_material_is_refused(tmp_path):
    told = fault(tmp_path, PART.replace('"hull laminate"', '"outboard motor"'))
    assert "has no material" in told.problem


def test_a_weight_is_drawn_once(tmp_path):
    boxed = 'role = "structure"\nsize = ["1 m", "1 m", "1 m"]\nitem = "locker lid"\nmass = "9 kg"\n'
    more = f'[[weights.item]]\n{boxed}material = "ABS"\nat = ["1 m", "0 m", "0 m"]\n'
    part = PART.replace('"hull laminate"', '"locker lid"')
    told = fault(tmp_path, part, weights=f'{more}waterline = "below"\n')
    assert "has a box of its own" in told.problem


def test_a_missing_mesh_is_told_with_its_entry(tmp_path):
    told = fault(tmp_path, PART.replace("shell.stl", "hull.stl"))
    assert told.place == 'boat.toml [[part]] "hull shell" mesh'
    assert told.problem == 'there is no file "hull.stl"'


def test_a_tank_has_an_outside_and_two_weights(tmp_path):
    boat = read(tmp_path, TANK, weights=TANK_WEIGHTS)
    (tank,) = boat.tanks
    assert tank.solid.volume == approx(0.02)
    assert (tank.shell, tank.contents) == ("empty fuel tank", "petrol")
    assert tank.sealed
    assert tank.restraint == "two straps"


def test_a_tank_may_be_what_a_cavity_leaves_out(tmp_path):
    out = TANK.replace(f"shape = {BOX}", 'left_out = "rigging tube"')
    told = fault(tmp_path, out, weights=TANK_WEIGHTS)
    assert told.problem == 'more than one cavity leaves out something called "rigging tube"'
    told = fault(tmp_path, out.replace("rigging", "riging"), weights=TANK_WEIGHTS)
    assert told.remedy == 'Is "rigging tube" meant?'


def test_a_tank_is_drawn_once(tmp_path):
    twice = TANK.replace("sealed", 'left_out = "rigging tube"\nsealed')
    assert "drawn twice" in fault(tmp_path, twice, weights=TANK_WEIGHTS).problem


def test_an_open_tank_has_nothing_to_restrain(tmp_path):
    told = fault(tmp_path, TANK.replace("sealed = true", "sealed = false"), weights=TANK_WEIGHTS)
    assert told.place == 'boat.toml [[tank]] "fuel tank" restraint'


def test_what_is_in_a_tank_has_the_role_of_a_permanent_tank(tmp_path):
    wrong = TANK_WEIGHTS.replace('"permanent tank"', '"equipment"')
    assert "has the role equipment" in fault(tmp_path, TANK, weights=wrong).problem


def test_two_tanks_do_not_share_a_weight(tmp_path):
    second = TANK.replace('name = "fuel tank"', 'name = "water tank"')
    faults = refused(boat_file(tmp_path, TANK, second, weights=TANK_WEIGHTS))
    assert [one.problem.split(" is ")[0] for one in faults] == ['"empty fuel tank"', '"petrol"'] * 2


def test_the_top_is_read(tmp_path):
    top = read(tmp_path, TOP).top
    assert top is not None
    assert top.forward == ((4.0, 0.0, 0.70),)
    assert top.aft == ((0.1, 0.8, 0.6), (0.1, -0.8, 0.6))


def test_points_of_the_top_lie_in_the_outermost_two_feet(tmp_path):
    told = fault(tmp_path, TOP.replace('"4.0 m"', '"3.5 m"'))
    assert told.place == "boat.toml [top] forward (1)"
    assert told.problem == "x = 3.5 m lies outside the reference area, from 3.59 m to 4.2 m"
    at_the_limit = TOP.replace('"4.0 m"', '"3.5904 m"')
    assert read(tmp_path, at_the_limit).top is not None


def test_points_of_the_top_lie_on_the_centreline_or_in_pairs(tmp_path):
    faults = refused(boat_file(tmp_path, TOP.replace('"-0.8 m", "0.6 m"', '"-0.8 m", "0.59 m"')))
    assert [one.place for one in faults] == ["boat.toml [top] aft (1)", "boat.toml [top] aft (2)"]
    assert faults[0].remedy == 'Add ["0.100 m", "-0.800 m", "0.600 m"].'


def test_an_empty_reference_area_is_refused(tmp_path):
    told = fault(tmp_path, TOP.replace('[["4.0 m", "0 m", "0.70 m"]]', "[]"))
    assert told.problem == "it has no points"


def test_the_intact_hull_is_a_solid_with_openings(tmp_path):
    hull = read(tmp_path, HULL).intact_hull
    assert hull is not None
    assert hull.solid.volume == approx(0.02)
    assert hull.openings == ((1.0, 0.0, 0.2),)
    told = fault(tmp_path, HULL.replace('[["1 m", "0 m", "0.2 m"]]', "[]"))
    assert told.place == "boat.toml [hull] openings"


def test_a_chamber_fits_into_its_box(tmp_path):
    chamber = """
[[chamber]]
name = "locker"
volume = "40 L"
at = ["3 m", "0 m", "0.4 m"]
integral = false
counted = true
size = ["0.5 m", "0.4 m", "0.2 m"]
"""
    (read_chamber,) = read(tmp_path, chamber).chambers
    assert read_chamber.size == (0.5, 0.4, 0.2)
    told = fault(tmp_path, chamber.replace("40 L", "41 L"))
    assert told.problem == "the box holds 40 L, less than the chamber"
