"""The weight list in CSV: the same entries as in the boat file, each fault with its row."""

import pytest
from boatfile_writing import refused, write

from flotation.boat import Role
from flotation.boatfile import read_boat, template

HEAD = "item,mass,material,x,y,z,waterline,role,tolerance,swamped_mass,size"
HULL = "hull laminate,118 kg,fibreglass laminate,1.85 m,0 m,0.26 m,below,structure,4 %,,"
MOTOR = 'motor,52 kg,,-0.1 m,0 m,0.5 m,below,motor,,44 kg,"0.35 m, 0.30 m, 0.60 m"'


def from_csv(folder, *rows):
    """A boat file whose whole weight list stands in weights.csv."""
    text = template()
    start = text.index('[[weights.item]]\nitem = "hull')
    end = text.index("# The boat on two scales")
    text = text[:start] + text[end:]
    file = folder / "boat.toml"
    file.write_text(text.replace('# file = "weights', 'file = "weights'), encoding="utf-8")
    (folder / "weights.csv").write_bytes("\n".join(rows).encode())
    return file


def test_a_row_is_read_like_an_item_of_the_boat_file(tmp_path):
    hull, motor = read_boat(from_csv(tmp_path, HEAD, HULL, MOTOR)).weights
    same = read_boat(write(tmp_path)).weights[0]
    assert hull.entry == 'weights.csv "hull laminate"'
    assert (hull.item, hull.mass, hull.material, hull.at) == (
        (same.item, same.mass, same.material, same.at)
    )
    assert (hull.below_water, hull.role, hull.tolerance) == (True, Role.STRUCTURE, same.tolerance)
    assert (motor.material, motor.swamped_mass, motor.size) == (None, 44.0, (0.35, 0.3, 0.6))


def test_columns_stand_in_any_order_and_empty_rows_do_no_harm(tmp_path):
    rows = ["role,item,z,y,x,mass,waterline", "", "structure, hull ,1 ft,0 m,2 m,9 lb,above", ",,,"]
    (hull,) = read_boat(from_csv(tmp_path, *rows)).weights
    assert (hull.item, hull.at) == ("hull", (2.0, 0.0, 0.3048))


def test_a_list_in_both_places_is_one_list(tmp_path):
    file = write(tmp_path, ('# file = "weights', 'file = "weights'))
    (tmp_path / "weights.csv").write_text(f"{HEAD}\n{MOTOR}\n")
    weights = read_boat(file).weights
    assert [weight.item for weight in weights][-1] == "motor"
    (tmp_path / "weights.csv").write_text(f"{HEAD}\n{HULL}\n")
    (fault,) = refused(file)
    assert fault.place == 'weights.csv "hull laminate"'
    assert 'the name "hull laminate" stands twice, first at boat.toml:' in fault.problem


def test_each_bad_cell_is_a_fault_of_its_row_all_at_once(tmp_path):
    rows = [
        HEAD,
        HULL.replace("118 kg", "-118 kg"),
        HULL.replace("hull laminate,", '"two\nlines",', 1),
        HULL.replace("hull laminate,", "deck,", 1).replace("0.26 m", ""),
        HULL.replace("hull laminate,", "sole,", 1).replace("fibreglass", "fiberglass"),
        MOTOR.replace("44 kg", "44 l").replace("0.30 m, ", ""),
        HULL.replace("structure", "struct").replace("hull laminate,", "keel,", 1),
    ]
    faults = refused(from_csv(tmp_path, *rows))
    found = [(fault.line, fault.place.removeprefix("weights.csv ")) for fault in faults]
    assert found == [
        (2, '"hull laminate" mass'),
        (3, '"two lines" item'),
        (5, '"deck" at z'),
        (6, '"sole" material'),
        (7, '"motor" swamped_mass'),
        (7, '"motor" size'),
        (8, '"keel" role'),
    ]
    assert str(faults[0]).startswith('weights.csv:2 "hull laminate" mass: "-118 kg" is not above')


@pytest.mark.parametrize(
    ("rows", "line", "problem"),
    [
        ([""], 1, "has no headings"),
        ([HEAD], 1, "has no rows"),
        ([HEAD.replace(",", ";")], 1, "separated by semicolons"),
        ([HEAD + ",mass", HULL], 1, 'has the heading "mass" twice'),
        ([HEAD, HULL + ",extra"], 2, "has 12 cells below 11 headings"),
        ([HEAD, HULL, '"open'], 3, "is not CSV"),
        ([HEAD + ",colour", HULL + ",red"], 2, '"colour" is not known here'),
        ([HEAD.replace("role,", ""), HULL.replace("structure,", "")], 2, '"role" is missing'),
    ],
)
def test_a_table_that_is_no_weight_list_is_refused(tmp_path, rows, line, problem):
    (fault,) = refused(from_csv(tmp_path, *rows))
    assert fault.place.startswith("weights.csv")
    assert fault.line == line
    assert problem in fault.problem
    assert fault.remedy


def test_rows_that_are_too_long_are_told_together(tmp_path):
    faults = refused(from_csv(tmp_path, HEAD, HULL + ",a", MOTOR, HULL + ",b"))
    assert [fault.line for fault in faults] == [2, 4]


def test_a_table_in_another_encoding_is_refused_at_its_line(tmp_path):
    file = from_csv(tmp_path, HEAD, HULL)
    (tmp_path / "weights.csv").write_bytes(f"{HEAD}\n{HULL}\n".encode() + b"caf\xe9")
    (fault,) = refused(file)
    assert (fault.place, fault.line) == ("weights.csv", 3)
    assert "UTF-8" in fault.problem


@pytest.mark.parametrize(
    ("name", "problem"),
    [
        ("weight.csv", 'there is no file "weight.csv"'),
        ("../weights.csv", "does not stay inside the folder"),
        ("lists/../../weights.csv", "does not stay inside the folder"),
        ("/etc/hostname", "does not stay inside the folder"),
        ("C:/weights.csv", "does not stay inside the folder"),
        ("lists\\\\weights.csv", "does not stay inside the folder"),
        ("out.csv", "is a link that leads out of the folder"),
        (".", '"." is a folder'),
    ],
)
def test_a_file_is_read_only_from_the_folder_of_the_boat_file(tmp_path, name, problem):
    outside, folder = tmp_path / "weights.csv", tmp_path / "boat"
    folder.mkdir()
    outside.write_text(f"{HEAD}\n{MOTOR}\n")
    (folder / "out.csv").symlink_to(outside)
    (fault,) = refused(write(folder, ('# file = "weights.csv"', f'file = "{name}"')))
    assert fault.place == "boat.toml [weights] file"
    assert problem in fault.problem
