"""A boat file becomes a Boat: every entry in SI, every file noted."""

import hashlib
from math import pi
from pathlib import Path

import pytest
from boatfile_writing import line_of, only_fault, refused, write

from flotation.boat import Exposure, HoleKind, Kind, Propulsion, Role
from flotation.boatfile import read_boat, template, write_template
from flotation.errors import BoatFileError
from flotation.foamsystem import Basis, HandMixing, MachineMixing
from flotation.rulebook import waters
from flotation.workings import Mark

POUND = 0.45359237


def test_the_boat_file_to_start_from_is_read(tmp_path):
    boat = read_boat(write(tmp_path))
    assert boat.name == "Harbour skiff 42"
    assert boat.kind is Kind.MONOHULL
    assert boat.propulsion is Propulsion.OUTBOARD
    assert (boat.length, boat.beam) == (4.20, 1.78)
    assert boat.rated_power == pytest.approx(20 * 745.6998715822702)
    assert boat.water == pytest.approx(62.4 * POUND / 0.3048**3)
    assert boat.water_name == "fresh"
    assert boat.capacity.persons == pytest.approx(450 * POUND)
    assert boat.capacity.maximum_weight == pytest.approx(640 * POUND)
    assert boat.capacity.maximum_displacement is None
    assert boat.passenger_area.half_breadth == 0.55
    assert boat.hull_has_foam is False
    assert boat.weighing is None
    assert (boat.jig.heel, boat.jig.trim) == (0.0, 0.0)
    assert boat.method.wood_lifts is False
    assert boat.method.credit_cap is False
    assert boat.method.basic_persons == "maximum weight"
    assert boat.method.material_factor == "largest"
    assert boat.chambers == ()
    assert boat.notes == ()


def test_weights_come_with_material_tolerance_and_entry(tmp_path):
    hull, liner, core, motor, *_ = read_boat(write(tmp_path)).weights
    assert (hull.item, hull.mass, hull.at) == ("hull laminate", 118.0, (1.85, 0.0, 0.26))
    assert hull.material is not None
    assert hull.material.name == "fibreglass laminate"
    assert hull.below_water
    assert hull.role is Role.STRUCTURE
    assert hull.tolerance == pytest.approx(0.04 * 118.0)
    assert hull.entry == 'boat.toml [[weights.item]] "hull laminate"'
    assert liner.material is not None
    assert liner.material.density == 1620.0
    assert liner.material.mark is Mark.STATED
    assert liner.material.source == 'boat.toml [[material]] "shop laminate"'
    assert core.material is not None
    assert core.material.is_wood
    assert (motor.material, motor.tolerance, motor.swamped_mass, motor.size) == (None,) * 4


def test_a_foam_comes_as_its_sheet_states_it(tmp_path):
    (foam,) = read_boat(write(tmp_path)).foams
    assert (foam.free_rise_low, foam.free_rise_density, foam.free_rise_high) == (30.5, 32.0, 33.5)
    assert foam.minimum_fill_density == 35.2
    assert foam.overpack == pytest.approx(1.05)
    assert foam.lift_limit == pytest.approx(0.3)
    assert (foam.mix.a, foam.mix.b, foam.mix.basis) == (113.0, 100.0, Basis.MASS)
    assert foam.mix_tolerance == pytest.approx(0.02)
    assert (foam.density_a, foam.density_b) == (1230.0, 1090.0)
    assert (foam.cream_time, foam.gel_time, foam.tack_free_time) == (45.0, 170.0, 240.0)
    assert foam.sheet_temperature == pytest.approx(293.15)
    assert (foam.liquid_low, foam.liquid_high) == pytest.approx((294.15, 300.15))
    assert (foam.hull_low, foam.hull_high) == pytest.approx((289.15, 311.15))
    assert (foam.uptake.share, foam.uptake.basis) == (0.02, Basis.VOLUME)
    assert (foam.expansion_ratio, foam.fuel_statement, foam.fuel_statement_date) == (None,) * 3


def test_the_shop_mixes_by_hand_or_by_machine(tmp_path):
    shop = read_boat(write(tmp_path)).shop
    assert shop.temperature == pytest.approx(295.15)
    assert shop.waste == pytest.approx(0.05)
    assert shop.mixing == HandMixing(2.0, 15.0, 10.0, 0.5, 0.005)
    ((foam, density, date),) = [(cup.foam, cup.density, cup.date) for cup in shop.cup_tests]
    assert (foam, density, date) == ("pour foam 2 lb", 31.8, "2026-04-14")


def test_a_machine_has_a_rate_and_a_timer(tmp_path):
    text = template()
    start, end = text.index("[shop.hand]"), text.index("# [shop.machine]")
    machine = '[shop.machine]\nrate = "6 kg/min"\ntimer_step = "0.1 s"\n'
    file = tmp_path / "boat.toml"
    file.write_text(text[:start] + machine + text[end:], encoding="utf-8")
    assert read_boat(file).shop.mixing == MachineMixing(pytest.approx(0.1), None, 0.1)


def test_entries_that_may_be_left_out_are_read_when_they_stand(tmp_path):
    file = write(
        tmp_path,
        ("# maximum_displacement =", "maximum_displacement ="),
        ("# side_load =", "side_load ="),
        ("# swamped_mass =", "swamped_mass ="),
        ("# size =", "size ="),
        ("# expansion_ratio = 25  ", "expansion_ratio = 25"),
        ("# fuel_statement =", "fuel_statement ="),
        ("# [weighing]", "[weighing]"),
        ("# aft = {", "aft = {"),
        ("# forward = {", "forward = {"),
        ("# aboard =", "aboard ="),
        ("# adopt =", "adopt ="),
        ("# [method]  ", "[method]"),
        ("# wood =", "wood ="),
        ('wood = "no lift"', 'wood = "physical"'),
        ("# credit_cap = false", "credit_cap = true"),
        ('# basic_persons = "maximum weight"', 'basic_persons = "persons"'),
        ('# material_factor = "largest"', 'material_factor = "handbook"'),
        ("# [[chamber]]", "[[chamber]]"),
        ('# name = "bow locker"', 'name = "bow locker"'),
        ("# volume =", "volume ="),
        ('# at = ["3.7', 'at = ["3.7'),
        ("# integral =", "integral ="),
        ("# counted =", "counted ="),
        ('heel = "0 deg"', 'heel = "-2 deg"'),
        ('water = "fresh"', 'water = "1012 kg/m^3"'),
    )
    boat = read_boat(file)
    assert boat.capacity.maximum_displacement == pytest.approx(1700 * POUND)
    assert boat.capacity.side_load == pytest.approx(300 * POUND)
    motor = next(weight for weight in boat.weights if weight.role is Role.MOTOR)
    assert (motor.swamped_mass, motor.size) == (44.0, (0.35, 0.3, 0.6))
    assert boat.foams[0].expansion_ratio == 25.0
    assert boat.foams[0].fuel_statement == "words of the supplier on 33 CFR 183.114"
    assert boat.foams[0].fuel_statement_date == "2026-03-02"
    assert boat.weighing is not None
    assert (boat.weighing.aft.x, boat.weighing.forward.mass) == (0.2, 86.0)
    assert boat.weighing.roles == {Role.STRUCTURE, Role.EQUIPMENT}
    assert boat.weighing.adopt is False
    assert boat.method.wood_lifts
    assert boat.method.credit_cap
    assert boat.method.basic_persons == "persons"
    assert boat.method.material_factor == "handbook"
    (chamber,) = boat.chambers
    assert (chamber.name, chamber.volume, chamber.at) == ("bow locker", 0.04, (3.7, 0.0, 0.45))
    assert boat.jig.heel == pytest.approx(-2 * pi / 180)
    assert boat.water == 1012.0


@pytest.mark.parametrize("name", ["fresh", "salt", "salt 15 degC"])
def test_a_water_is_named_or_stated(tmp_path, name):
    boat = read_boat(write(tmp_path, ('water = "fresh"', f'water = "{name}"')))
    assert boat.water == waters()[name].value


def test_cavities_come_with_holes_and_what_is_taken_out(tmp_path):
    boat = read_boat(write(tmp_path))
    side = boat.cavity("side port")
    assert side.group == "sides"
    assert side.foam == "pour foam 2 lb"
    assert side.exposure is Exposure.NONE
    assert (side.hold_down, side.hold_down_by) == (4000.0, "side deck bonded to hull and liner")
    assert side.moved_in == 0.005
    assert [hole.name for hole in side.holes] == ["P1", "P2", "P3", "P4"]
    assert side.holes[0].kind is HoleKind.FILL
    assert side.holes[2].kind is HoleKind.VENT
    (tube,) = side.taken_out
    assert tube.volume_inside == pytest.approx(pi / 4 * 0.05**2 * (1.6 - 0.305), rel=1e-6)
    assert side.solid.volume == pytest.approx(side.gross_volume - tube.volume_inside, rel=1e-9)
    assert (tube.tank, tube.sole_support) == (None, False)


def test_every_file_is_noted_with_its_hash(tmp_path):
    file = write(tmp_path, ('# file = "weights.csv"', 'file = "lists/weights.csv"'))
    (tmp_path / "lists").mkdir()
    table = tmp_path / "lists" / "weights.csv"
    table.write_text(
        "item,mass,x,y,z,waterline,role\nlocker lid,3 kg,1 m,0 m,1 m,above,structure\n"
    )
    assert read_boat(file).files == (
        ("boat.toml", hashlib.sha256(file.read_bytes()).hexdigest()),
        ("lists/weights.csv", hashlib.sha256(table.read_bytes()).hexdigest()),
    )


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(tmp_path):
    file = tmp_path / "boat.toml"
    file.write_bytes(b"\xef\xbb\xbf" + template().replace("\n", "\r\n").encode())
    assert read_boat(file).name == "Harbour skiff 42"


def test_a_file_without_cavities_is_a_boat_without_cavities(tmp_path):
    file = tmp_path / "boat.toml"
    file.write_text(template().partition("[[cavity]]")[0], encoding="utf-8")
    assert read_boat(file).cavities == ()


def test_a_new_boat_file_is_written_and_never_over_another(tmp_path):
    file = tmp_path / "new.toml"
    write_template(file)
    assert file.read_text(encoding="utf-8") == template()
    assert read_boat(file).name == "Harbour skiff 42"
    file.write_text("mine", encoding="utf-8")
    with pytest.raises(BoatFileError, match="nothing is written over"):
        write_template(file)
    assert file.read_text(encoding="utf-8") == "mine"
    with pytest.raises(BoatFileError, match="it cannot be written"):
        write_template(tmp_path / "no folder" / "new.toml")


@pytest.mark.parametrize(
    ("name", "content", "problem", "line"),
    [
        ("missing.toml", None, "there is no such file", None),
        ("empty.toml", b"", '"format" is missing', 1),
        ("binary.toml", b"format = 1\nname = '\xff\xfe'\n", "is not text in UTF-8", 2),
        ("slip.toml", b"format = 1\n[boat\nname = 1\n", "is not TOML", 2),
        ("twice.toml", b"format = 1\nformat = 1\n", "is not TOML: Cannot overwrite a value", 2),
        ("open.toml", b'format = 1\nname = """\nopen\n', "is not TOML", 4),
        ("deep.toml", b"format = " + b"[" * 100_000, "nests brackets too deeply", None),
        ("large.toml", b"#" * 10_000_001, "has more than 10 MB", None),
    ],
)
def test_a_file_that_is_no_boat_file_is_refused(tmp_path, name, content, problem, line):
    file = tmp_path / name
    if content is not None:
        file.write_bytes(content)
    fault = refused(file)[0]
    assert problem in fault.problem
    assert fault.remedy
    assert fault.line == line
    assert name in fault.place


def test_a_folder_is_no_boat_file(tmp_path):
    assert refused(tmp_path)[0].problem == "this is a folder"


def test_an_empty_file_lacks_every_table_at_once(tmp_path):
    file = tmp_path / "boat.toml"
    file.write_text("", encoding="utf-8")
    problems = [fault.problem for fault in refused(file)]
    assert problems == [
        '"format" is missing',
        "[boat] is missing",
        "[capacity] is missing",
        "[passenger_area] is missing",
        "[weights] is missing",
        "[shop] is missing",
        "[jig] is missing",
    ]


@pytest.mark.parametrize("given", ["2", '"1"', "1.5", "true"])
def test_another_format_is_refused(tmp_path, given):
    fault = only_fault(tmp_path, ("format = 1", f"format = {given}"))
    assert "is not known to this version, which reads 1" in fault.problem
    assert fault.line == line_of(tmp_path / "boat.toml", f"format = {given}")


def test_the_message_names_file_line_entry_problem_and_remedy(tmp_path):
    fault = only_fault(tmp_path, ('beam = "1.78 m"', "beam = 1.78"))
    line = line_of(tmp_path / "boat.toml", "beam = 1.78")
    assert str(fault) == (
        f"boat.toml:{line} [boat] beam: 1.78 is not text with a unit. "
        'Write a length with its unit, such as "1.84 m".'
    )


@pytest.mark.parametrize("name", ["boat.toml", "weights.csv"])
def test_a_file_that_the_system_does_not_hand_out_is_told(tmp_path, monkeypatch, name):
    file = write(tmp_path, ('# file = "weights.csv"', 'file = "weights.csv"'), cavities=False)
    (tmp_path / "weights.csv").write_text("item,mass\n")
    whole = Path.read_bytes

    def read_bytes(path: Path) -> bytes:
        if path.name == name:
            raise PermissionError(13, "Permission denied")
        return whole(path)

    monkeypatch.setattr(Path, "read_bytes", read_bytes)
    (fault,) = refused(file)
    assert name in str(fault)
    assert "cannot be read: Permission denied" in fault.problem
    assert "who may read it" in fault.remedy


def test_a_boat_file_with_a_name_that_no_system_takes_is_told(tmp_path):
    (fault,) = refused(tmp_path / ("d" * 400))
    assert "cannot be read: File name too long" in fault.problem
