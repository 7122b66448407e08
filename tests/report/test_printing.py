"""Numbers as the hand-outs print them."""

import pytest

from flotation.report.printing import (
    both,
    decimal_text,
    liquid,
    minutes,
    on_scale,
    put_in,
    range_of,
    si,
    tape,
    us,
)


def test_a_value_is_printed_in_both_systems() -> None:
    assert both(0.246, "m3") == {"si": "246 L", "us": "8.687 ft³"}


def test_a_share_is_the_same_in_both_systems() -> None:
    assert both(0.33, "1") == {"si": "0.33", "us": ""}
    assert both(0.33, "") == {"si": "0.33", "us": ""}


def test_what_was_not_stated_is_a_dash() -> None:
    assert both(None, "kg") == {"si": "—", "us": ""}


def test_a_negative_value_has_a_printed_minus() -> None:
    assert si(-0.03, "m") == "−30 mm"
    assert us(-0.03, "m") == "−1.181 in"


def test_a_value_in_a_formula_keeps_one_unit_whatever_its_size() -> None:
    assert put_in(0.0388, "m3") == "0.0388 m³"
    assert put_in(0.05, "kg") == "0.05 kg"


def test_a_temperature_in_a_formula_stays_in_kelvin() -> None:
    assert put_in(10.0, "K") == "10 K"
    assert put_in(293.15, "K") == "293.15 K"
    assert si(293.15, "K") == "20 °C"


def test_what_rounding_leaves_is_nothing() -> None:
    assert si(-7.3e-16, "m") == "0 mm"
    assert put_in(2.0e-10, "m3") == "0 m³"
    assert si(2.0e-9, "m") == "0.000002 mm"


def test_a_unit_that_is_no_physical_one_is_kept() -> None:
    assert si(4.0, "persons") == "4 persons"
    assert us(4.0, "persons") == ""


def test_limits_are_a_range_or_one_end() -> None:
    assert range_of(294.15, 300.15, "K") == {"si": "21 to 27 °C", "us": "69.8 to 80.6 °F"}
    assert range_of(30.0, None, "s") == {"si": "at least 30 s", "us": ""}
    assert range_of(None, 311.15, "K")["si"] == "at most 38 °C"
    assert range_of(None, None, "K")["si"] == "—"


@pytest.mark.parametrize(
    ("mass", "step", "kilograms", "pounds"),
    [
        (1.045, 0.005, "1.045", "2.30"),
        (1.0, 0.005, "1.000", "2.20"),
        (1.045, 0.001, "1.045", "2.304"),
        (12.4, 0.1, "12.4", "27.3"),
        (2.0, 1.0, "2", "4"),
    ],
)
def test_a_mass_shows_every_step_of_the_scale(
    mass: float, step: float, kilograms: str, pounds: str
) -> None:
    assert on_scale(mass, step) == {"si": kilograms, "us": pounds}


def test_a_liquid_is_in_litres_and_in_us_measures() -> None:
    assert liquid(0.000850) == {"si": "0.85 L", "us": "28.7 US fl oz"}
    assert liquid(0.03)["us"] == "7.93 US gal"


def test_a_dip_is_in_whole_millimetres_and_sixteenths() -> None:
    assert tape(0.19) == {"si": "190 mm", "us": "7 1/2 in"}
    assert tape(-0.004) == {"si": "−4 mm", "us": "−3/16 in"}
    assert tape(-0.0001)["si"] == "0 mm"


def test_a_wait_is_never_shortened_by_rounding() -> None:
    assert minutes(45.0) == "45 s"
    assert minutes(240.0) == "4 min"
    assert minutes(240.2) == "4 min 1 s"


def test_a_number_for_machines_has_few_digits_and_no_exponent() -> None:
    assert decimal_text(0.1 + 0.2) == "0.3"
    assert decimal_text(1.0 / 3.0) == "0.333333"
    assert decimal_text(2.5e-8) == "0.000000025"
    assert decimal_text(-2.5e-18) == "0"
