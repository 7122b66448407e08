"""Text -> SI and back. What is read, what is refused, and what the refusal tells to write."""

import doctest
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flotation import units
from flotation.errors import UnitError
from flotation.units import Kind, System, read
from flotation.units.scales import SCALES, SI_NAMES
from flotation.units.words import SYMBOLS, TOO_VAGUE, WORDS

FOOT, INCH, POUND = 0.3048, 0.0254, 0.45359237


def message(text: object, kind: Kind) -> str:
    with pytest.raises(UnitError) as caught:
        read(text, kind, where="skiff.toml [boat] beam")
    assert len(caught.value.faults) == 1
    fault = caught.value.faults[0]
    assert fault.place == "skiff.toml [boat] beam"
    assert fault.problem
    assert fault.remedy
    return str(fault)


# Each text that the unit library alone takes for something else, or refuses in an ordinary form.
READ_AS_A_PERSON_MEANS = [
    ("1 1/2 in", Kind.LENGTH, 1.5 * INCH),
    ("6 ft 2 in", Kind.LENGTH, 74 * INCH),
    ("12'", Kind.LENGTH, 12 * FOOT),
    ('12"', Kind.LENGTH, 12 * INCH),
    ("70 F", Kind.TEMPERATURE, (70 + 459.67) / 1.8),
    ("20 C", Kind.TEMPERATURE, 293.15),
    ("3 cu in", Kind.VOLUME, 3 * INCH**3),
    ("20 degC", Kind.TEMPERATURE, 293.15),
    ("3 ft3", Kind.VOLUME, 3 * FOOT**3),
    ("2 kg/m3", Kind.DENSITY, 2.0),
    ("2 pcf", Kind.DENSITY, 2 * POUND / FOOT**3),
    ("10 PSI", Kind.PRESSURE, 10 * POUND * 9.80665 / INCH**2),
]
REFUSED_WITH_ADVICE = [
    ("1,5 m", Kind.LENGTH, 'Write "1.5 m"'),
    ("4 in 3", Kind.LENGTH, 'powers are written "in^3"'),
    ("4 in 3", Kind.VOLUME, 'powers are written "in^3"'),
    ("70 F", Kind.LENGTH, 'Write a length with its unit, such as "1.84 m"'),
    ("20 C", Kind.MASS, 'Write a mass with its unit, such as "182 kg"'),
    ("5 fl oz", Kind.VOLUME, "5 US fl oz or 5 imperial fl oz"),
    ("3 Nm", Kind.FORCE, 'Write a force with its unit, such as "4 kN"'),
    ("1 ton", Kind.MASS, "1 metric ton (1000 kg), 1 short ton (2000 lb) or 1 long ton (2240 lb)"),
]


@pytest.mark.parametrize(("text", "kind", "value"), READ_AS_A_PERSON_MEANS)
def test_ordinary_text_is_read_as_a_person_means_it(text, kind, value):
    assert read(text, kind) == pytest.approx(value, rel=1e-14)


@pytest.mark.parametrize(("text", "kind", "advice"), REFUSED_WITH_ADVICE)
def test_text_of_several_meanings_is_refused_with_advice(text, kind, advice):
    assert advice in message(text, kind)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("6 ft 2 3/8 in", Kind.LENGTH, 74.375 * INCH),
        ("6' 2 3/8\"", Kind.LENGTH, 74.375 * INCH),
        ("6'-2 3/8\"", Kind.LENGTH, 74.375 * INCH),
        ("6′ 2 3/8″", Kind.LENGTH, 74.375 * INCH),
        ("-6 ft 2 3/8 in", Kind.LENGTH, -74.375 * INCH),
        ("2-3/8 in", Kind.LENGTH, 2.375 * INCH),
        ("3/64 in", Kind.LENGTH, 3 / 64 * INCH),
        ("6 FT 0 IN", Kind.LENGTH, 6 * FOOT),
        ("1 foot 1.25 inches", Kind.LENGTH, 13.25 * INCH),
        ("4.60 m", Kind.LENGTH, 4.6),
        ("460 cm", Kind.LENGTH, 4.6),
        ("4600mm", Kind.LENGTH, 4.6),
        ("-12 mm", Kind.LENGTH, -0.012),
        ("\u221212 mm", Kind.LENGTH, -0.012),
        (" 1e3  mm ", Kind.LENGTH, 1.0),
        (".5 in", Kind.LENGTH, 0.5 * INCH),
        ("2 yd", Kind.LENGTH, 6 * FOOT),
        ("0.35 m2", Kind.AREA, 0.35),
        ("0.35 m²", Kind.AREA, 0.35),
        ("2 sq ft", Kind.AREA, 2 * FOOT**2),
        ("40 L", Kind.VOLUME, 0.040),
        ("40 litres", Kind.VOLUME, 0.040),
        ("250 mL", Kind.VOLUME, 0.00025),
        ("3 cubic feet", Kind.VOLUME, 3 * FOOT**3),
        ("3 ft**3", Kind.VOLUME, 3 * FOOT**3),
        ("10 US gal", Kind.VOLUME, 10 * 231 * INCH**3),
        ("10 gal (US)", Kind.VOLUME, 10 * 231 * INCH**3),
        ("10 U.S. gallons", Kind.VOLUME, 10 * 231 * INCH**3),
        ("10 imperial gal", Kind.VOLUME, 0.0454609),
        ("128 US fl oz", Kind.VOLUME, 231 * INCH**3),
        ("160 imp fl oz", Kind.VOLUME, 0.00454609),
        ("8 US pt", Kind.VOLUME, 231 * INCH**3),
        ("4 imperial quarts", Kind.VOLUME, 0.00454609),
        ("182 kg", Kind.MASS, 182.0),
        ("5 g", Kind.MASS, 0.005),
        ("532 lb", Kind.MASS, 532 * POUND),
        ("3 lb 4 1/2 oz", Kind.MASS, (3 + 4.5 / 16) * POUND),
        ("1 short ton", Kind.MASS, 2000 * POUND),
        ("1 long ton", Kind.MASS, 2240 * POUND),
        ("1 tonne", Kind.MASS, 1000.0),
        ("1.2 t", Kind.MASS, 1200.0),
        ("2 lb/ft^3", Kind.DENSITY, 2 * POUND / FOOT**3),
        ("2 lb/ft3", Kind.DENSITY, 2 * POUND / FOOT**3),
        ("2 lb per cubic foot", Kind.DENSITY, 2 * POUND / FOOT**3),
        ("1.23 kg/L", Kind.DENSITY, 1230.0),
        ("1.09 g/cm³", Kind.DENSITY, 1090.0),
        ("9.7 lb/US gal", Kind.DENSITY, 9.7 * POUND / (231 * INCH**3)),
        ("68 °F", Kind.TEMPERATURE, 293.15),
        ("20 deg C", Kind.TEMPERATURE, 293.15),
        ("-10 °C", Kind.TEMPERATURE, 263.15),
        ("293.15 K", Kind.TEMPERATURE, 293.15),
        ("45 s", Kind.TIME, 45.0),
        ("2 min 50 s", Kind.TIME, 170.0),
        ("2.5 min", Kind.TIME, 150.0),
        ("1 h", Kind.TIME, 3600.0),
        ("0.5 kg/s", Kind.MASS_RATE, 0.5),
        ("12 lb/min", Kind.MASS_RATE, 12 * POUND / 60),
        ("30 hp", Kind.POWER, 30 * 550 * FOOT * POUND * 9.80665),
        ("30 PS", Kind.POWER, 30 * 75 * 9.80665),
        ("22 kW", Kind.POWER, 22000.0),
        ("4 kN", Kind.FORCE, 4000.0),
        ("9.80665 m/s2", Kind.ACCELERATION, 9.80665),
        ("10 lbf", Kind.FORCE, 10 * POUND * 9.80665),
        ("10 kgf", Kind.FORCE, 98.0665),
        ("10 kPa", Kind.PRESSURE, 10000.0),
        ("2 lbf/ft^2", Kind.PRESSURE, 2 * POUND * 9.80665 / FOOT**2),
        ("0.1 bar", Kind.PRESSURE, 10000.0),
        ("180 deg", Kind.ANGLE, 3.141592653589793),
        ("10°", Kind.ANGLE, 10 * 3.141592653589793 / 180),
        ("0.1 rad", Kind.ANGLE, 0.1),
        ("5 %", Kind.SHARE, 0.05),
        ("5 per cent", Kind.SHARE, 0.05),
    ],
)
def test_units_of_the_trade_are_read(text, kind, value):
    assert read(text, kind) == pytest.approx(value, rel=1e-13)


@pytest.mark.parametrize(
    ("text", "kind", "advice"),
    [
        ("1,500 mm", Kind.LENGTH, '"1.500 mm" or "1500 mm"'),
        ("1,234,567.8 mm", Kind.LENGTH, '"1234567.8 mm"'),
        ("1 500 mm", Kind.LENGTH, "not one number and one unit"),
        ("1.2.3 m", Kind.LENGTH, "not one number and one unit"),
        ("2 x 4 in", Kind.LENGTH, "not one number and one unit"),
        ("10 to 12 mm", Kind.LENGTH, "not one number and one unit"),
        ("1 1/2 ft", Kind.LENGTH, '"1 ft 6 1/2 in"'),
        ("1/2 US gal", Kind.VOLUME, "not one number and one unit"),
        ("1 1/3 in", Kind.LENGTH, "no tape or scale shows"),
        ("1 4/3 in", Kind.LENGTH, "no tape or scale shows"),
        ("1 5/4 in", Kind.LENGTH, "no tape or scale shows"),
        ("1.5 1/2 in", Kind.LENGTH, "no tape or scale shows"),
        ("2 min 1/2 s", Kind.TIME, "no tape or scale shows"),
        ("6 ft 14 in", Kind.LENGTH, "second number of 12 or more"),
        ("3 lb 16 oz", Kind.MASS, "second number of 16 or more"),
        ("6.5 ft 2 in", Kind.LENGTH, "first number that is not whole"),
        ("6 ft 2", Kind.LENGTH, "not one number and one unit"),
        ("6 ft -2 in", Kind.LENGTH, "not one number and one unit"),
        ("6-2-3", Kind.LENGTH, "not one number and one unit"),
        ("2", Kind.LENGTH, 'has no unit. Write a length with its unit, such as "1.84 m"'),
        (2, Kind.LENGTH, '2 is not text with a unit. Write a length with its unit, such as "1.'),
        (1.84, Kind.MASS, '1.84 is not text with a unit. Write a mass with its unit, such as "18'),
        (True, Kind.MASS, "True is not text with a unit"),
        (None, Kind.MASS, "None is not text with a unit"),
        ("", Kind.MASS, "is empty"),
        ("  ", Kind.MASS, "is empty"),
        ("kg", Kind.MASS, "does not begin with a plain number"),
        ("about 5 kg", Kind.MASS, "does not begin with a plain number"),
        ("nan m", Kind.LENGTH, "does not begin with a plain number"),
        ("inf m", Kind.LENGTH, "does not begin with a plain number"),
        ("-inf m", Kind.LENGTH, "does not begin with a plain number"),
        ("∞ m", Kind.LENGTH, "does not begin with a plain number"),
        ("½ in", Kind.LENGTH, "does not begin with a plain number"),
        ("1e400 m", Kind.LENGTH, "a power of ten that no measure needs"),
        ("1_000 mm", Kind.LENGTH, "not one number and one unit"),
        ("5 kg " + "x" * 60, Kind.MASS, "longer than 60 characters"),
        ("5 MM", Kind.LENGTH, 'Is "mm" meant?'),
        ("5 KG", Kind.MASS, 'Is "kg" meant?'),
        ("5 kilogrammes", Kind.MASS, 'Is "kilograms" meant?'),
        ("5 furlongs", Kind.LENGTH, 'such as "1.84 m"'),
        ("10 gal", Kind.VOLUME, "10 US gal or 10 imperial gal"),
        ("10 quarts", Kind.VOLUME, "10 US quarts or 10 imperial quarts"),
        ("2 cups", Kind.VOLUME, "US fl oz"),
        ("9.7 lb/gal", Kind.DENSITY, "US gal or"),
        ("2 lb", Kind.DENSITY, 'Is "2 lb/ft^3" meant?'),
        ("10 lb", Kind.FORCE, 'Is "10 lbf" meant?'),
        ("5 oz", Kind.VOLUME, 'Is "5 US fl oz" meant?'),
        ("5 m/m/m", Kind.LENGTH, "no unit"),
        ("5 kg/", Kind.DENSITY, "no unit"),
        ("5 psi/m", Kind.PRESSURE, "no unit"),
        ("5 psi^2", Kind.PRESSURE, "no unit"),
        ("5 ^3", Kind.VOLUME, "no unit"),
        ("5 m/rad", Kind.LENGTH, "no unit"),
        ("5 m^4", Kind.LENGTH, "no unit"),
        ("5 deg", Kind.SHARE, "not a share"),
        ("5 %", Kind.ANGLE, "not an angle"),
        ("0.05", Kind.SHARE, 'such as "5 %"'),
        ("-274 degC", Kind.TEMPERATURE, "below absolute zero"),
        ("-1 K", Kind.TEMPERATURE, "below absolute zero"),
        ("5 K", Kind.LENGTH, "not a length"),
        ("6'", Kind.ANGLE, "not an angle"),
    ],
)
def test_what_is_not_one_number_and_one_unit_is_refused(text, kind, advice):
    assert advice in message(text, kind)


def test_customary_units_come_out_to_the_last_digit():
    assert read("1 ft3", Kind.VOLUME) == 0.028316846592
    assert read("1 US gal", Kind.VOLUME) == 0.003785411784
    assert read("1 lb", Kind.MASS) == 0.45359237
    exact = Fraction("0.45359237") / Fraction("0.3048") ** 3
    assert read("1 lb/ft3", Kind.DENSITY) == float(exact)


@pytest.mark.parametrize(
    ("function", "text", "value"),
    [
        (units.length, "1 m", 1.0),
        (units.area, "1 m2", 1.0),
        (units.volume, "1 m3", 1.0),
        (units.mass, "1 kg", 1.0),
        (units.density, "1 kg/m3", 1.0),
        (units.temperature, "1 K", 1.0),
        (units.time, "1 s", 1.0),
        (units.mass_rate, "1 kg/s", 1.0),
        (units.power, "1 W", 1.0),
        (units.force, "1 N", 1.0),
        (units.pressure, "1 Pa", 1.0),
        (units.acceleration, "1 m/s2", 1.0),
        (units.angle, "1 rad", 1.0),
        (units.share, "1 %", 0.01),
    ],
)
def test_each_named_reader_reads_its_own_kind_and_no_other(function, text, value):
    assert function(text) == value
    with pytest.raises(UnitError, match="here: "):
        function("1 m/s", "here")


def test_every_spelling_is_a_unit_and_none_is_vague_at_once():
    registry = pint.UnitRegistry()
    for unit in {*SYMBOLS.values(), *WORDS.values()}:
        assert registry.Unit(unit) is not None
    assert not set(TOO_VAGUE) & set(WORDS)


def test_the_registry_that_others_share_is_left_alone():
    before = pint.get_application_registry().get()
    read("20 degC", Kind.TEMPERATURE)
    assert pint.get_application_registry().get() is before
    assert isinstance(pint.Quantity("1.5 m").magnitude, float)


def test_the_unit_library_is_loaded_at_the_first_reading_only():
    program = (
        "import sys, flotation.units as u; assert 'pint' not in sys.modules;"
        "u.length('1 m'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", program], check=True)


def test_examples_of_the_docstrings_hold():
    for module in (units.quantities, units.text):
        outcome = doctest.testmod(module)
        assert outcome.attempted > 0
        assert outcome.failed == 0


KIND_OF_UNIT = {
    "m": Kind.LENGTH,
    "m2": Kind.AREA,
    "m3": Kind.VOLUME,
    "kg": Kind.MASS,
    "kg/m3": Kind.DENSITY,
    "s": Kind.TIME,
    "K": Kind.TEMPERATURE,
    "rad": Kind.ANGLE,
    "N": Kind.FORCE,
    "Pa": Kind.PRESSURE,
    "kg/s": Kind.MASS_RATE,
    "W": Kind.POWER,
    "m/s2": Kind.ACCELERATION,
}


@given(
    unit=st.sampled_from(sorted(KIND_OF_UNIT)),
    system=st.sampled_from(System),
    value=st.floats(1e-4, 1e6),
    digits=st.integers(3, 9),
    coherent=st.booleans(),
)
def test_what_is_shown_reads_back_within_the_digits_shown(unit, system, value, digits, coherent):
    if unit == "K":
        value = 150.0 + value % 400.0
    shown = units.shown(value, unit, system, digits=digits, coherent=coherent)
    back = read(str(shown), KIND_OF_UNIT[unit])
    if unit == "K":
        written = abs(float(shown.value)) + 0.1
        assert back == pytest.approx(value, abs=0.5 * 10 ** (1 - digits) * 10 * written)
    else:
        assert back == pytest.approx(value, rel=0.5 * 10 ** (1 - digits) * (1 + 1e-9))


@given(st.floats(-30.0, 30.0))
def test_feet_and_inches_read_back_within_half_a_sixteenth(value):
    assert read(units.feet_inches(value), Kind.LENGTH) == pytest.approx(
        value, abs=0.0254 / 32 * (1 + 1e-9)
    )


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1.889125, "6 ft 2 3/8 in"),
        (6 * FOOT, "6 ft 0 in"),
        (2.375 * INCH, "2 3/8 in"),
        (0.5 * INCH, "1/2 in"),
        (12 * FOOT + 0.25 * INCH, "12 ft 1/4 in"),
        (FOOT - 0.0005, "1 ft 0 in"),
        (-FOOT, "-1 ft 0 in"),
        (-0.0001, "0 in"),
        (0.0, "0 in"),
    ],
)
def test_lengths_for_the_floor_are_feet_inches_and_sixteenths(value, text):
    assert units.feet_inches(value) == text


@pytest.mark.parametrize(
    ("value", "unit", "si", "us"),
    [
        (4.6, "m", "4.6 m", "15.09 ft"),
        (0.3, "m", "300 mm", "11.81 in"),
        (1.0, "m2", "1 m²", "10.76 ft²"),
        (0.0388, "m3", "38.8 L", "1.370 ft³"),
        (0.001, "m3", "1 L", "33.81 US fl oz"),
        (1.2, "m3", "1.2 m³", "42.38 ft³"),
        (90.0, "kg", "90 kg", "198.4 lb"),
        (0.025, "kg", "25 g", "0.8818 oz"),
        (32.0, "kg/m3", "32 kg/m³", "1.998 lb/ft³"),
        (170.0, "s", "170 s", "170 s"),
        (293.15, "K", "20 °C", "68 °F"),
        (0.17453292519943295, "rad", "10°", "10°"),
        (4000.0, "N", "4000 N", "899.2 lbf"),
        (10000.0, "Pa", "10 kPa", "1.450 psi"),
        (0.5, "kg/s", "0.5 kg/s", "1.102 lb/s"),
        (0.0003, "m3/s", "0.3 L/s", "0.6357 ft³/min"),
        (0.5, "m3/kg", "0.5 m³/kg", "8.009 ft³/lb"),
        (22371.0, "W", "22.37 kW", "30.00 hp"),
        (10.0, "kg m", "10 kg·m", "72.33 lb·ft"),
        (10.0, "N m", "10 N·m", "7.376 lbf·ft"),
        (0.375, "1", "0.375", "0.375"),
        (0.0, "kg", "0 g", "0 oz"),
        (-0.012, "m", "-12 mm", "-0.4724 in"),
    ],
)
def test_values_are_shown_in_units_of_their_size(value, unit, si, us):
    assert str(units.si(value, unit)) == si
    assert str(units.us(value, unit)) == us


def test_coherent_units_do_not_depend_on_the_size():
    for value in (1e-4, 1.0, 1e4):
        for unit in KIND_OF_UNIT:
            for system in System:
                shown = units.shown(value, unit, system, coherent=True)
                assert shown.unit == units.shown(1.0, unit, system, coherent=True).unit
    volume = units.shown(0.0388, "m3", System.US, digits=9, coherent=True)
    density = units.shown(32.0, "kg/m3", System.US, digits=9, coherent=True)
    mass = units.shown(0.0388 * 32.0, "kg", System.US, digits=9, coherent=True)
    assert float(volume.value) * float(density.value) == pytest.approx(float(mass.value), rel=1e-8)


def test_liquids_are_shown_in_us_fluid_ounces_below_a_gallon():
    assert str(units.us_liquid(0.001)) == "33.81 US fl oz"
    assert str(units.us_liquid(0.01)) == "2.642 US gal"


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (9.9996, 4, "10.00"),
        (12345.6, 4, "12346"),
        (0.000012345, 3, "0.0000123"),
        (5.44001, 4, "5.440"),
        (5.44, 4, "5.44"),
        (0.1 + 0.2, 4, "0.3"),
        (-0.0, 4, "0"),
        (100.0, 4, "100"),
        (1200.0, 2, "1200"),
    ],
)
def test_numbers_keep_their_significant_digits(value, digits, text):
    assert units.number(value, digits) == text


def test_a_share_is_shown_in_percent():
    assert str(units.percent(0.05)) == "5 %"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_a_value_that_is_not_finite_is_not_shown(value):
    with pytest.raises(ValueError, match="cannot be shown"):
        units.si(value, "kg")


def test_a_unit_without_a_scale_is_not_shown():
    with pytest.raises(KeyError):
        units.si(1.0, "furlong")


@cache
def whole_library() -> "pint.UnitRegistry[Decimal]":
    return pint.UnitRegistry(non_int_type=Decimal)


def every_unit() -> list[str]:
    scales = [scale.unit for row in SCALES.values() for scale in row]
    named = {*SYMBOLS.values(), *WORDS.values(), *SI_NAMES.values(), *scales} - {""}
    return sorted(named)


@pytest.mark.parametrize("unit", every_unit())
def test_our_short_list_of_units_agrees_with_the_librarys_own_list(unit: str) -> None:
    """The default definitions of pint, which follow the SI brochure and NIST SP 811."""
    here = units.quantities._registry().Quantity(Decimal(7), unit)
    there = whole_library().Quantity(Decimal(7), unit).to_base_units()
    assert abs(here.to(str(there.units)).magnitude / there.magnitude - 1) < Decimal("1e-25")
