"""Loads of the tests in the water: weights under water and where they lie."""

from dataclasses import replace

from afloat_boats import afloat_skiff, basin
from pytest import approx
from small_boats import LB, skiff_foam

from flotation.boat import Capacity, Chamber, PassengerArea, Propulsion
from flotation.swamped.trials.condition import Choice

AREA = PassengerArea(aft=1.0, forward=3.0, half_breadth=0.6, sole=0.30, side=0.8)
STATED = Choice()


def loads(persons: float, maximum: float, **changes):
    plate = Capacity(persons * LB, maximum * LB, None, None)
    boat = replace(afloat_skiff(), capacity=plate, passenger_area=AREA, **changes)
    return basin(boat, skiff_foam()).loads


def test_half_of_the_first_550_lb_and_an_eighth_of_the_rest() -> None:
    for persons, submerged in ((300.0, 150.0), (550.0, 275.0), (750.0, 300.0), (1000.0, 331.25)):
        assert loads(persons, 2000.0).persons.value / LB == approx(submerged)


def test_dead_weight_is_never_below_zero() -> None:
    equipment = (72.0 + 20.0) / LB
    assert loads(900.0, 1400.0).dead.value / LB == approx(0.25 * (500.0 - equipment))
    assert loads(700.0, 800.0).dead.value == 0.0


def test_all_of_it_lies_in_the_middle_four_inches_above_the_sole() -> None:
    persons, dead = loads(550.0, 1400.0).aboard(1.0, "", STATED)
    assert persons.body.at == approx((2.0, 0.0, 0.30 + 0.1016))
    assert persons.body.mass / LB == approx(275.0)
    assert dead.body.at == persons.body.at
    assert persons.body.displaces is None


def test_half_of_it_lies_on_one_side_and_the_dead_weight_stays_in_the_middle() -> None:
    aboard = loads(550.0, 1400.0)
    port, dead = aboard.aboard(0.5, "port", STATED)
    assert port.body.mass == approx(0.5 * aboard.persons.value)
    assert port.body.mass == approx(aboard.half.value)
    assert port.body.at[1] == approx(0.3)
    assert dead.body.at[1] == 0.0
    (edge,) = aboard.aboard(0.5, "starboard", Choice(at_edge=True, dead_weight=False))
    assert edge.body.at[1] == approx(-0.6)


def test_the_empty_boat_has_no_load_and_no_dead_weight() -> None:
    assert loads(550.0, 1400.0).aboard(0.0, "", STATED) == ()


def test_basic_flotation_takes_two_fifteenths_a_quarter_and_the_chambers() -> None:
    locker = Chamber("locker", 0.05, (3.0, 0.0, 0.4), False, True, (0.5, 0.5, 0.4))
    aboard = loads(750.0, 1000.0, propulsion=Propulsion.INBOARD, chambers=(locker,))
    persons, dead, chambers = aboard.aboard(1.0, "", STATED)
    assert (persons.body.mass + dead.body.mass) / LB == approx(162.5)
    assert chambers.body.mass == approx(0.05 * 999.552, rel=1e-5)


def test_every_number_is_followed_to_its_source() -> None:
    section = loads(550.0, 1400.0).section
    marks = {line.label: str(line.source) for line in section.lines}
    assert "recalled" in marks["Load, z"]
    assert marks["Persons on one side"].startswith("33 CFR Part 183, 183.230")
    assert "common practice" in marks["Load on one side, at the edge of the passenger area"]
