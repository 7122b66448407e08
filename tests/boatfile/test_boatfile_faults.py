"""Bad boat files: each fault with its line, its entry, what is wrong and what to write instead."""

import re

import pytest
from boatfile_writing import line_of, only_fault, refused, write
from hypothesis import given, settings
from hypothesis import strategies as st

from flotation.boatfile import read_boat, template
from flotation.errors import BoatFileError

# What is changed, the entry that the fault names, words of the problem, words of the remedy. The
# fault stands on the line where the new text begins.
SINGLE = [
    # a unit that is missing, doubtful or of another kind
    ('length = "4.20 m"', 'length = "4.20"', "[boat] length", "has no unit", '"1.84 m"'),
    ('length = "4.20 m"', 'length = "4,20 m"', "[boat] length", "comma", '"4.20 m"'),
    ('beam = "1.78 m"', "beam = 1.78", "[boat] beam", "1.78 is not text", '"1.84 m"'),
    ('beam = "1.78 m"', 'beam = "1.78 kg"', "[boat] beam", "is not a length", '"1.84 m"'),
    ('beam = "1.78 m"', "beam = nan", "[boat] beam", "nan is not text", '"1.84 m"'),
    (
        'lift_limit = "300 mm"',
        'lift_limit = "1 gal"',
        '[[foam]] "pour foam 2 lb" lift_limit',
        'does not say which "gal"',
        "1 US gal or 1 imperial gal",
    ),
    (
        'free_rise_density = "32.0 kg/m^3"',
        'free_rise_density = "2 lb"',
        '[[foam]] "pour foam 2 lb" free_rise_density',
        "is not a density",
        'Is "2 lb/ft^3" meant?',
    ),
    (
        'temperature = "22 degC"\nwaste',
        'temperature = "22"\nwaste',
        "[shop] temperature",
        "no unit",
        '"20 degC"',
    ),
    ('waste = "5 %"', 'waste = "0.05"', "[shop] waste", "has no unit", '"5 %"'),
    ('waste = "5 %"', 'waste = "100 %"', "[shop] waste", "below 100 %", "a share"),
    ('heel = "0 deg"', 'heel = "5 %"', "[jig] heel", "is not an angle", '"2 deg"'),
    ('heel = "0 deg"', 'heel = "50 deg"', "[jig] heel", "45 degrees or more", "its unit"),
    # numbers that cannot be
    (
        'mass = "118 kg"',
        'mass = "-118 kg"',
        '[[weights.item]] "hull laminate" mass',
        '"-118 kg" is not above zero',
        "a mass",
    ),
    ('beam = "1.78 m"', 'beam = "0 m"', "[boat] beam", "is not above zero", "a length"),
    ('beam = "1.78 m"', 'beam = "17.8 m"', "[boat] beam", "larger than the length", "units"),
    ("a = 113", "a = 0", '[[foam]] "pour foam 2 lb" mix a', "not a number above zero", "quotes"),
    ("a = 113", 'a = "113"', '[[foam]] "pour foam 2 lb" mix a', "not a number", "quotes"),
    # names
    (
        'beam = "1.78 m"',
        'beem = "1.78 m"\nbeam = "1.78 m"',
        "[boat] beem",
        "not known here",
        'Is "beam" meant?',
    ),
    ("[jig] ", "[rig]\n[jig]", "[rig]", '"rig" is not known here', 'Is "jig" meant?'),
    (
        'kind = "monohull"',
        'kind = "monohul"',
        "[boat] kind",
        '"monohul" is not one of',
        'Is "monohull" meant?',
    ),
    ('kind = "monohull"', 'kind = "x"', "[boat] kind", "not one of the choices", '"multihull"'),
    ('water = "fresh"', 'water = "frsh"', "[boat] water", "no water known", 'Is "fresh" meant?'),
    ('water = "fresh"', 'water = "10 kg/m^3"', "[boat] water", "no density of water", "number"),
    ('water = "fresh"', 'water = "1012"', "[boat] water", "has no unit", '"32 kg/m^3"'),
    (
        "wood = false",
        'wood = "no"',
        '[[material]] "shop laminate" wood',
        "neither true nor false",
        "without quotes",
    ),
    ('name = "Harbour skiff 42"', 'name = " "', "[boat] name", "is empty", "no blanks"),
    (
        'name = "Harbour skiff 42"',
        'name = "Harbour skiff 42 "',
        "[boat] name",
        "has a blank at one of its ends",
        "no blanks",
    ),
    (
        'name = "Harbour skiff 42"',
        f'name = "{"long " * 20}boat"',
        "[boat] name",
        "long ...' has 104 characters",
        "up to 80 characters",
    ),
    (
        'name = "Harbour skiff 42"',
        'name = "Harbour\\nskiff"',
        "[boat] name",
        "has a line end",
        "one line",
    ),
    # slips of number or unit that nothing on a boat has, and that would be planned in millions
    (
        'mass = "46 kg"',
        'mass = "46e9 kg"',
        '[[weights.item]] "liner and side decks" mass',
        "below 1000 t",
        "a mass",
    ),
    ('beam = "1.78 m"', 'beam = "178e-200 m"', "[boat] beam", "power of ten", '"1.84 m"'),
    (
        'temperature = "22 degC"\nwaste',
        'temperature = "22 K"\nwaste',
        "[shop] temperature",
        "between -50 and 150 degC",
        "a temperature",
    ),
    (
        'batch_limit = "2.0 kg"',
        'batch_limit = "2.0 g"',
        "[shop] hand batch_limit",
        "between 10 g and 1000 t",
        "a mass",
    ),
    (
        'pouring_rate = "0.5 kg/s"',
        'pouring_rate = "0.5 g/s"',
        "[shop] hand pouring_rate",
        "between 1 g/s and 1000 kg/s",
        "a rate of mass",
    ),
    (
        'lift_limit = "300 mm"',
        'lift_limit = "0.3 mm"',
        '[[foam]] "pour foam 2 lb" lift_limit',
        "10 mm or more",
        "a length",
    ),
    (
        'carrying_time = "10 s"',
        'carrying_time = "29.999 s"',
        "[shop] hand carrying_time",
        "pour foam 2 lb: 0.001 s of the cream time are left",
        "cream_time",
    ),
    ('name = "Harbour skiff 42"', "name = 42", "[boat] name", "42 is not text", "quotes"),
    (
        'at = ["1.85 m", "0 m", "0.26 m"]',
        'at = ["1.85 m", "0 m"]',
        '[[weights.item]] "hull laminate" at',
        "is not a list of 3 texts: x, y, z",
        '["1.2 m", "0.80 m", "0.66 m"]',
    ),
    (
        'at = ["1.85 m", "0 m", "0.26 m"]',
        'at = ["1.85 m", "0", "0.26 m"]',
        '[[weights.item]] "hull laminate" at y',
        "has no unit",
        '"1.84 m"',
    ),
    (
        'at = ["1.85 m", "0 m", "0.26 m"]',
        'at = ["185 m", "0 m", "0.26 m"]',
        '[[weights.item]] "hull laminate" at',
        '["185.000 m", "0.000 m", "0.260 m"] lies far away from the boat',
        "units",
    ),
    (
        'material = "shop laminate"',
        'material = "shop laminat"',
        '[[weights.item]] "liner and side decks" material',
        '"shop laminat" is no known material',
        'Is "shop laminate" meant? Or add it under [[material]].',
    ),
    # entries that contradict each other
    (
        'persons = "450 lb"',
        'persons = "700 lb"',
        "[capacity] persons",
        "more than the maximum",
        "capacity plate",
    ),
    (
        '# maximum_displacement = "1700 lb"',
        'maximum_displacement = "600 lb"',
        "[capacity] maximum_displacement",
        "not above the maximum weight",
        "boat and load together",
    ),
    (
        'rated_power = "20 hp"',
        'rated_power = "0 hp"',
        "[boat] rated_power",
        "the power is zero",
        "rowed or paddled",
    ),
    (
        'forward = "2.80 m"',
        'forward = "0.60 m"',
        "[passenger_area] forward",
        "forward of the aft",
        "transom",
    ),
    (
        'forward = "2.80 m"',
        'forward = "5 m"',
        "[passenger_area] forward",
        "forward of the boat",
        "transom",
    ),
    (
        'side = "0.72 m"',
        'side = "0.40 m"',
        "[passenger_area] side",
        "nearer the centreline",
        "centreline",
    ),
    ('side = "0.72 m"', 'side = "0.95 m"', "[passenger_area] side", "half the beam", "centreline"),
    (
        'cup_limits = ["30.5 kg/m^3", "33.5 kg/m^3"]',
        'cup_limits = ["33.5 kg/m^3", "30.5 kg/m^3"]',
        '[[foam]] "pour foam 2 lb" cup_limits',
        "the lower limit is not below the upper one",
        "data sheet",
    ),
    (
        'cup_limits = ["30.5 kg/m^3", "33.5 kg/m^3"]',
        'cup_limits = ["32.5 kg/m^3", "33.5 kg/m^3"]',
        '[[foam]] "pour foam 2 lb" cup_limits',
        "do not lie about the free-rise density, 32 kg/m³",
        "data sheet",
    ),
    (
        'minimum_fill_density = "35.2 kg/m^3"',
        'minimum_fill_density = "31 kg/m^3"',
        '[[foam]] "pour foam 2 lb" minimum_fill_density',
        "below the free-rise density, 32 kg/m³",
        "never lighter than in a cup",
    ),
    (
        'minimum_fill_density = "35.2 kg/m^3"',
        'minimum_fill_density = "35.2 kg/L"',
        '[[foam]] "pour foam 2 lb" minimum_fill_density',
        "as dense as its liquid, 1090 kg/m³",
        "units",
    ),
    (
        'gel_time = "2 min 50 s"',
        'gel_time = "40 s"',
        '[[foam]] "pour foam 2 lb" gel_time',
        "do not follow one another",
        "data sheet",
    ),
    (
        "# expansion_ratio = 25",
        "expansion_ratio = 0.04",
        '[[foam]] "pour foam 2 lb" expansion_ratio',
        "no expansion",
        "over liquid volume",
    ),
    (
        'liquid_temperature = ["21 degC", "27 degC"]',
        'liquid_temperature = ["27 degC", "21 degC"]',
        '[[foam]] "pour foam 2 lb" liquid_temperature',
        "lower limit",
        "lower one first",
    ),
    (
        'liquid_temperature = ["21 degC", "27 degC"]',
        'liquid_temperature = ["21 degC"]',
        '[[foam]] "pour foam 2 lb" liquid_temperature',
        "is not a list of two texts",
        "the lower one first",
    ),
    (
        'date = "2026-04-14"',
        'date = "14.4.2026"',
        '[[shop.cup_test]] "pour foam 2 lb" date',
        "14.4.2026 is not a date",
        '"2026-04-14"',
    ),
    (
        'foam = "pour foam 2 lb"\ndensity',
        'foam = "pour foam 3 lb"\ndensity',
        '[[shop.cup_test]] "pour foam 3 lb" foam',
        '"pour foam 3 lb" is no foam of this file',
        'Is "pour foam 2 lb" meant?',
    ),
    (
        '# swamped_mass = "44 kg"',
        'swamped_mass = "53 kg"',
        '[[weights.item]] "outboard motor" swamped_mass',
        "larger than the mass",
        "both numbers",
    ),
    (
        'tolerance = "4 %"',
        'tolerance = "118 kg"',
        '[[weights.item]] "hull laminate" tolerance',
        "as large as the mass",
        "both numbers",
    ),
    (
        'tolerance = "4 %"',
        'tolerance = "4"  #',
        '[[weights.item]] "hull laminate" tolerance',
        "has no unit",
        'Write a mass, "3 kg", or a share, "4 %".',
    ),
    (
        'item = "transom core"',
        'swamped_mass = "5 kg"\nitem = "transom core"',
        '[[weights.item]] "transom core" swamped_mass',
        "the role is structure",
        "only a motor and a battery",
    ),
]


@pytest.mark.parametrize(("old", "new", "entry", "problem", "remedy"), SINGLE)
def test_one_slip_is_one_fault_at_its_line(tmp_path, old, new, entry, problem, remedy):
    fault = only_fault(tmp_path, (old, new), cavities=False)
    assert fault.place == f"boat.toml {entry}"
    assert problem in fault.problem
    assert remedy in fault.remedy
    assert fault.line == line_of(tmp_path / "boat.toml", new.partition("\n")[0])


@pytest.mark.parametrize(
    ("old", "entry", "problem", "remedy"),
    [
        ('beam = "1.78 m"\n', "[boat]", '"beam" is missing', 'Write beam = "1.84 m".'),
        ('kind = "monohull"', "[boat]", '"kind" is missing', '"monohull" or "multihull" or'),
        ("hull_has_foam = false ", "[weights]", '"hull_has_foam" is missing', "= false."),
        ("b = 100, ", '[[foam]] "pour foam 2 lb" mix', '"b" is missing', "Write b = 100."),
        (
            'water_uptake = { share = "2 %", basis = "volume" }',
            '[[foam]] "pour foam 2 lb"',
            '"water_uptake" is missing',
            'Write water_uptake = { share = "2 %", basis = "volume" }.',
        ),
        ('persons = "450 lb"', "[capacity]", '"persons" is missing', 'Write persons = "182 kg".'),
        ('scale_step = "5 g"', "[shop] hand", '"scale_step" is missing', "Write scale_step ="),
        (
            'hold_down_by = "side deck bonded to hull and liner"',
            '[[cavity]] "side port" hold_down',
            "stated without hold_down_by",
            "Write hold_down_by =",
        ),
        ('exposure = "none"', '[[cavity]] "side port"', '"exposure" is missing', '"engine room"'),
    ],
)
def test_what_is_missing_is_named_with_an_example(tmp_path, old, entry, problem, remedy):
    fault = only_fault(tmp_path, (old, ""))
    assert fault.place == f"boat.toml {entry}"
    assert problem in fault.problem
    assert remedy in fault.remedy


def test_a_file_name_with_blanks_keeps_its_line(tmp_path):
    file = write(tmp_path, ('beam = "1.78 m"', "beam = 1.78")).rename(tmp_path / "my 2nd boat.toml")
    (fault,) = refused(file)
    line = line_of(file, "beam = 1.78")
    assert str(fault).startswith(f"my 2nd boat.toml:{line} [boat] beam: 1.78 is not text")


def test_a_table_that_is_missing_is_named(tmp_path):
    text = template()
    start, end = text.index("[passenger_area]"), text.index("# ---")
    file = tmp_path / "boat.toml"
    file.write_text(text[:start] + text[end:], encoding="utf-8")
    (fault,) = refused(file)
    assert str(fault) == (
        "boat.toml:1: [passenger_area] is missing. Copy it from the file that `flotation new` "
        "writes, and change it to the boat."
    )


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("format = 1", "format = 1\nmethod = 3", "3 is not a table"),
        ('mix = { a = 113, b = 100, basis = "mass" }', 'mix = "1:1"', '"1:1" is not a table'),
        ("[boat]", "[[boat]]", "is not a table"),
        ("[[material]]  ", "[material]", "is no list of tables"),
        ("[shop.hand]", "[shop.hand.hand]", "is not known here"),
    ],
)
def test_a_table_of_the_wrong_make_is_refused(tmp_path, old, new, problem):
    if new == "[[boat]]":
        old, new = f"{old}\nname", f"{new}\nname"
    faults = refused(write(tmp_path, (old, new)))
    assert any(problem in fault.problem for fault in faults)


def test_names_that_stand_twice_are_refused_with_the_first_place(tmp_path):
    file = write(
        tmp_path,
        ('item = "battery"', 'item = "transom core"'),
        ('name = "P6"', 'name = "P1"'),
        ('name = "stringer port"', 'name = "side port"'),
        ('mirror = "stringer port"', 'mirror = "side port"\nfoam = "none"'),
    )
    faults = refused(file)
    core = line_of(file, 'item = "transom core"\nmass = "8 kg"') - 1
    assert f'the name "transom core" stands twice, first at boat.toml:{core}' in [
        fault.problem for fault in faults
    ]
    assert any('the name "side port" stands twice' in fault.problem for fault in faults)
    assert any(
        'the name "P1" stands twice' in fault.problem
        and fault.place == 'boat.toml [[cavity]] "side port" hole "P1"'
        and fault.line == line_of(file, 'name = "P1"\nkind = "fill"\nat = ["2.20 m"') - 1
        for fault in faults
    )
    assert any('the name "S1" stands twice' in fault.problem for fault in faults)


def test_a_material_of_the_published_table_is_not_replaced(tmp_path):
    faults = refused(write(tmp_path, ('name = "shop laminate"', 'name = "steel"')))
    assert [fault.problem for fault in faults] == [
        '"shop laminate" is no known material',
        'there is already a material "steel"',
    ]


def test_a_foam_cannot_be_called_none(tmp_path):
    text = template().replace('"pour foam 2 lb"', '"none"')
    file = tmp_path / "boat.toml"
    file.write_text(text, encoding="utf-8")
    (fault,) = refused(file)
    assert fault.place == 'boat.toml [[foam]] "none" name'
    assert "stands for no foam" in fault.problem


def test_two_cup_tests_of_one_foam_are_refused(tmp_path):
    start = "[shop.hand] "
    cup = '[[shop.cup_test]]\nfoam = "pour foam 2 lb"\ndensity = "31 kg/m^3"\ndate = 2026-04-15\n'
    fault = only_fault(tmp_path, (start, cup + start))
    assert 'the name "pour foam 2 lb" stands twice' in fault.problem


def test_a_shop_mixes_one_way(tmp_path):
    machine = '[shop.machine]\nrate = "1 kg/s"\ntimer_step = "1 s"\n#'
    fault = only_fault(tmp_path, ("# [shop.machine]", machine))
    assert fault.place == "boat.toml [shop]"
    assert fault.problem == "has both hand and machine"
    text = template()
    start, end = text.index("[shop.hand]"), text.index("# [shop.machine]")
    file = tmp_path / "boat.toml"
    file.write_text(text[:start] + text[end:], encoding="utf-8")
    (fault,) = refused(file)
    assert fault.problem == "has neither hand nor machine"


WEIGHING = """[weighing]
aft = { x = "3 m", mass = "0 kg" }
forward = { x = "2 m", mass = "0 kg" }
aboard = []
adopt = false
"""


def test_a_weighing_that_cannot_be_is_refused(tmp_path):
    file = write(tmp_path, ("# [weighing]", WEIGHING + "#"))
    faults = refused(file)
    assert [fault.problem for fault in faults] == [
        "both scales show nothing",
        "the forward scale does not stand forward of the aft one",
        "nothing of the weight list was aboard",
    ]
    assert faults[1].place == "boat.toml [weighing] forward x"
    assert faults[1].line == line_of(file, 'forward = { x = "2 m"')


def test_an_empty_weight_list_is_refused(tmp_path):
    text = template()
    start = text.index('[[weights.item]]\nitem = "hull')
    end = text.index("# The boat on two scales")
    file = tmp_path / "boat.toml"
    file.write_text(text[:start] + text[end:], encoding="utf-8")
    (fault,) = refused(file)
    assert fault.problem == "the weight list is empty"


def test_all_faults_come_at_once_in_the_order_of_the_file(tmp_path):
    file = write(
        tmp_path,
        ('length = "4.20 m"', 'length = "4,20 m"'),
        ('mass = "118 kg"', 'mass = "-118 kg"'),
        ('material = "fir plywood"', 'material = "firr plywood"'),
        ('cup_limits = ["30.5 kg/m^3", "33.5 kg/m^3"]', 'cup_limits = ["30 kg", "31 kg/m^3"]'),
        ('persons = "450 lb"', 'persons = "700 lb"'),
        ("[shop.hand] ", "[shop.hands]"),
        ('foam = "pour foam 2 lb"        #', 'foam = "pour foam"        #'),
        ('at = ["0.90 m", "0.72 m", "0.58 m"]', 'at = ["0.90 m", "0.72 m", "0.80 m"]'),
        ('["1.60 m", "0.66 m", "0.42 m"]], diameter', '["5 m", "0.66 m", "0.42 m"]], diameter'),
        ("passes_through = true", "passes_through = false"),
        ('mirror = "stringer port"', 'mirror = "stringer"'),
        ('kind = "hat stringer"\nstations', 'kind = "hat"\nstations'),
    )
    faults = refused(file)
    lines = [fault.line for fault in faults]
    assert lines == sorted(lines)
    assert [fault.place.removeprefix("boat.toml ") for fault in faults] == [
        "[boat] length",
        "[capacity] persons",
        '[[weights.item]] "hull laminate" mass',
        '[[weights.item]] "transom core" material',
        '[[foam]] "pour foam 2 lb" cup_limits low',
        "[shop] hands",
        '[[cavity]] "side port" foam',
        '[[cavity]] "side port" hole "P1" at',
        '[[cavity]] "side port" out "rigging tube"',
        '[[cavity]] "stringer port" shape kind',
        '[[cavity]] "stringer starboard" mirror',
    ]


NOT_QUANTITIES = ["1", '"x"', "[]", "{}", "true", "2020-01-01", "nan", '""', "[[1]]", "[{}]"]
LENGTHS = ['"-1 m"', '"1e99 m"', '"0 m"', '"1e-99 m"', '["1 m"]', '[["1 m", "1 m", "1 m"]]']
TOKENS = [
    match
    for match in re.finditer(r'"[^"\n]*"|\b[0-9]+\b|(?<== )\[', template())
    if "#" not in template()[template().rfind("\n", 0, match.start()) : match.start()]
]


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(TOKENS), st.sampled_from([*NOT_QUANTITIES, *LENGTHS]))
def test_whatever_stands_in_place_of_a_value_each_fault_is_whole(tmp_path_factory, token, value):
    text = template()
    file = tmp_path_factory.mktemp("boat") / "boat.toml"
    file.write_text(text[: token.start()] + value + text[token.end() :], encoding="utf-8")
    try:
        read_boat(file)
    except BoatFileError as error:
        assert all(fault.problem and fault.remedy for fault in error.faults)
        assert all(fault.line and fault.place.startswith("boat.toml") for fault in error.faults)


def test_a_chamber_far_from_the_boat_is_refused(tmp_path):
    chamber = '[[chamber]]\nname = "locker"\nvolume = "40 L"\nat = ["3 m", "40 m", "0 m"]\n'
    chamber += "integral = false\ncounted = false\n#"
    fault = only_fault(tmp_path, ("# [[chamber]]", chamber))
    assert fault.place == 'boat.toml [[chamber]] "locker" at'


def test_what_is_quoted_from_the_file_is_cut_to_what_a_person_reads(tmp_path):
    long = "9" * 3000
    for old, new in (
        ('length = "4.20 m"', f'length = "{long} m"'),
        ('kind = "monohull"', f'kind = "{long}"'),
        ('length = "4.20 m"', f"length = {long * 2}"),
    ):
        fault = only_fault(tmp_path, (old, new), cavities=False)
        assert len(str(fault)) < 500
        assert "set_int_max_str_digits" not in str(fault)
        assert fault.remedy
