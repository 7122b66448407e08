"""Entries about lifts, crew, packs and the jig's range."""

from math import radians
from pathlib import Path

import pytest
from boatfile_writing import only_fault, write

from flotation.boatfile import read_boat, template
from flotation.foamsystem import FoamPack, MachineMixing

PACK = (
    ("# [[foam.pack]] ", "[[foam.pack]] "),
    ('# name = "kit of two cans"', 'name = "kit of two cans"'),
    ('# mass_a = "10.6 kg"', 'mass_a = "10.6 kg"'),
    ('# mass_b = "9.4 kg"', 'mass_b = "9.4 kg"'),
    ("# price = ", "price = "),
)


def test_what_the_new_file_explains_is_read_when_it_stands(tmp_path: Path) -> None:
    file = write(
        tmp_path,
        *PACK,
        ("# lift_mass_limit", "lift_mass_limit"),
        ("# lift_wait", "lift_wait"),
        ("# crew", "crew"),
        ("# turnaround", "turnaround"),
        ("# trim_range", "trim_range"),
        ("# heel_range", "heel_range"),
        cavities=False,
    )
    boat = read_boat(file)
    (foam,) = boat.foams
    assert (foam.lift_mass_limit, foam.lift_wait) == (3.0, 1800.0)
    assert foam.packs == (FoamPack("kit of two cans", 10.6, 9.4, 180.0, "EUR"),)
    assert (boat.shop.crew, boat.shop.turnaround) == (2, 60.0)
    assert boat.jig.trim_range == pytest.approx((radians(-5.0), radians(5.0)))
    assert boat.jig.heel_range == pytest.approx((radians(-3.0), radians(3.0)))


def test_what_is_left_out_is_not_guessed(tmp_path: Path) -> None:
    boat = read_boat(write(tmp_path, cavities=False))
    (foam,) = boat.foams
    assert (foam.lift_mass_limit, foam.lift_wait, foam.packs) == (None, None, ())
    assert (boat.shop.crew, boat.shop.turnaround) == (1, 0.0)
    assert (boat.jig.trim_range, boat.jig.heel_range) == (None, None)


def test_a_machine_states_how_long_its_head_may_stand_idle(tmp_path: Path) -> None:
    text = template()
    start, end = text.index("[shop.hand]"), text.index("# [shop.machine]")
    machine = (
        '[shop.machine]\nrate = "6 kg/min"\ntimer_step = "0.1 s"\n'
        'idle_limit = "30 s"\nflush_mass = "0.4 kg"\n'
    )
    file = tmp_path / "boat.toml"
    file.write_text(text[:start] + machine + text[end:], encoding="utf-8")
    expected = MachineMixing(pytest.approx(0.1), None, 0.1, 30.0, 0.4)
    assert read_boat(file).shop.mixing == expected


@pytest.mark.parametrize(
    ("old", "new", "place", "problem", "remedy"),
    [
        ("# crew = 2", "crew = 0", "[shop] crew", "0 is not a whole number from 1", "quotes"),
        ("# crew = 2", "crew = 2.5", "[shop] crew", "2.5 is not a whole number", "quotes"),
        ("# crew = 2", "crew = true", "[shop] crew", "is not a whole number", "quotes"),
        ('# turnaround = "60 s"', 'turnaround = "60"', "[shop] turnaround", "no unit", '"45 s"'),
        (
            '# trim_range = ["-5 deg", "5 deg"]',
            'trim_range = ["1 deg", "5 deg"]',
            "[jig] trim_range",
            "the angle at which the jig stands does not lie between the two",
            "lower one first",
        ),
        (
            '# trim_range = ["-5 deg", "5 deg"]',
            'trim_range = ["-5 deg", "50 deg"]',
            "[jig] trim_range",
            "leans by 45 degrees or more",
            "its unit",
        ),
        (
            '# heel_range = ["-3 deg", "3 deg"]',
            'heel_range = ["3 deg"]',
            "[jig] heel_range",
            "is not a list of two texts",
            "both limits",
        ),
        (
            '# lift_mass_limit = "3 kg"',
            'lift_mass_limit = "3 g"',
            '[[foam]] "pour foam 2 lb" lift_mass_limit',
            "between 10 g and 1000 t",
            "a mass",
        ),
    ],
)
def test_a_slip_is_told_where_it_stands(
    tmp_path: Path, old: str, new: str, place: str, problem: str, remedy: str
) -> None:
    fault = only_fault(tmp_path, (old, new), cavities=False)
    assert place in fault.place
    assert problem in fault.problem
    assert remedy in fault.remedy


@pytest.mark.parametrize("price", ["180", "EUR 180", "180,50 EUR", "-5 EUR", "180.123 EUR"])
def test_a_price_is_one_number_and_a_currency(tmp_path: Path, price: str) -> None:
    fault = only_fault(
        tmp_path, *PACK[:-1], ('# price = "180 EUR"', f'price = "{price}"'), cavities=False
    )
    assert "is no price" in fault.problem
    assert '"410 EUR"' in fault.remedy


def test_a_pack_with_nothing_in_it_is_refused(tmp_path: Path) -> None:
    fault = only_fault(tmp_path, *PACK[:2], cavities=False)
    assert "has neither mass_a nor mass_b" in fault.problem
