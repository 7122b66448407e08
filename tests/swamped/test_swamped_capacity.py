"""The capacity plate against its rules, and rules that nobody read."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_boats import HP, LB, skiff

from flotation.boat import Boat, Capacity, Propulsion
from flotation.errors import RuleNotRead
from flotation.rulebook import load_rulebook
from flotation.swamped.capacity import (
    Capacities,
    Mass,
    capacities,
    maximum_weight,
    persons_number,
)
from flotation.workings import COMPUTED, Line, Mark, Term, work_out

LAW = load_rulebook("us_33cfr183")


def kilograms(label: str, value: float) -> Line:
    return work_out(label, "m", [Term("m", value, "kg")], unit="kg", source=COMPUTED)


HULL = kilograms("Boat with foam, dry", 250.0)
GEAR = kilograms("Equipment", 100.0)


def plated(persons: float, maximum: float, displacement: float | None, side: float | None) -> Boat:
    return replace(skiff(), capacity=Capacity(persons, maximum, displacement, side))


def checked(boat: Boat) -> Capacities:
    return capacities(boat, Mass(HULL, None), Mass(GEAR, None), LAW, True)


def with_tolerances(boat: Boat, hull: float, gear: float) -> Capacities:
    loose = Mass(HULL, kilograms("Hull, tolerances", hull))
    return capacities(boat, loose, Mass(GEAR, kilograms("Gear, tolerances", gear)), LAW, True)


@given(st.integers(1, 30))
def test_half_a_person_rounds_up(whole: int) -> None:
    exact = ((whole - 0.5) * 141.0 - 32.0) * LB
    for persons, number in ((exact, whole), (exact - 1e-4, whole - 1), (exact + 1e-4, whole)):
        assert persons_number(Term("P", persons, "kg", COMPUTED), LAW).value == number


def test_without_a_displacement_the_plate_stands_unchecked_and_that_is_said() -> None:
    found = checked(skiff())
    assert found.verdicts == ()
    assert "not checked" in found.open_points[0]
    assert [line.label for line in found.section.lines] == ["Number of persons"]


@pytest.mark.parametrize(
    "propulsion", [Propulsion.INBOARD, Propulsion.STERNDRIVE, Propulsion.AIRBOAT]
)
def test_an_inboards_maximum_weight_is_refused_and_not_guessed(propulsion: Propulsion) -> None:
    boat = replace(plated(240.0, 400.0, 2000.0, 200.0), propulsion=propulsion)
    with pytest.raises(RuleNotRead, match=r"183\.33"):
        maximum_weight(boat, HULL, LAW)
    found = checked(boat)
    assert found.verdicts == ()
    assert "183.33" in found.open_points[0]
    assert not any("Maximum weight" in line.label for line in found.section.lines)


def test_an_outboard_plate_is_held_against_a_fifth_of_what_the_hull_displaces() -> None:
    maximum, persons = checked(plated(220.0, 340.0, 2000.0, 180.0)).verdicts
    assert maximum.required == pytest.approx(350.0)
    assert maximum.meets
    assert persons.required == pytest.approx(250.0)  # 550 lb is 249.5 kg: no side load
    assert persons.meets


def test_the_side_load_counts_below_550_pounds() -> None:
    _, persons = checked(plated(200.0, 300.0, 1900.0, 105.0)).verdicts
    assert persons.required == pytest.approx(105.0 / 0.6)
    assert not persons.meets
    assert persons.sentence.startswith("falls short by 25 kg")


def test_a_missing_side_load_gives_no_verdict_on_persons() -> None:
    found = checked(plated(200.0, 300.0, 1900.0, None))
    assert [verdict.name for verdict in found.verdicts] == ["Plate: maximum weight"]
    assert "183.41" in found.open_points[0]


def test_a_plate_above_its_rule_falls_short() -> None:
    maximum, _ = checked(plated(220.0, 351.0, 2000.0, 180.0)).verdicts
    assert not maximum.meets
    assert maximum.margin == pytest.approx(-1.0)


@pytest.mark.parametrize(
    ("propulsion", "power", "persons"),
    [(Propulsion.MANUAL, 0.0, 0.9 * 165.0), (Propulsion.OUTBOARD, 2.0, 0.9 * 165.0 - 25.0 * LB)],
)
def test_manual_boats_and_small_motors(
    propulsion: Propulsion, power: float, persons: float
) -> None:
    boat = replace(plated(100.0, 150.0, 800.0, None), propulsion=propulsion, rated_power=power * HP)
    maximum, found = checked(boat).verdicts
    assert maximum.required == pytest.approx(0.3 * (800.0 - 250.0))
    assert maximum.criterion.source.mark is Mark.RECALLED
    assert found.required == pytest.approx(persons)


def test_outside_the_scope_the_plate_is_compared_and_does_not_decide() -> None:
    boat = plated(220.0, 340.0, 2000.0, 180.0)
    masses = Mass(HULL, None), Mass(GEAR, None)
    assert not any(v.decides for v in capacities(boat, *masses, LAW, False).verdicts)


def test_an_inboard_is_told_that_its_rule_was_not_read_also_without_a_displacement() -> None:
    (point,) = checked(replace(skiff(), propulsion=Propulsion.INBOARD)).open_points
    assert "183.33" in point
    assert "displacement" not in point


def test_tolerances_of_the_weights_spread_the_plates_limits() -> None:
    found = with_tolerances(plated(220.0, 345.0, 2000.0, 180.0), hull=20.0, gear=3.0)
    maximum, persons = found.verdicts
    assert maximum.spread == pytest.approx(20.0 / 5.0)
    assert maximum.decided  # 5 kg of margin
    assert persons.spread == pytest.approx(20.0 / 5.0 + 3.0)
    maximum, _ = with_tolerances(plated(220.0, 345.0, 2000.0, 180.0), hull=26.0, gear=3.0).verdicts
    assert not maximum.decided
    assert maximum.sentence.endswith(
        "not decided, the stated tolerances add up to 5.2 kg (11.5 lb)"
    )


def test_what_the_side_load_decides_does_not_move_with_the_weights() -> None:
    boat = plated(150.0, 300.0, 1900.0, 105.0)  # W - E = 230 kg, side load 175 kg
    _, persons = with_tolerances(boat, hull=20.0, gear=3.0).verdicts
    assert persons.spread == 0.0
    boat = plated(150.0, 300.0, 1900.0, 0.6 * 229.0)  # a side load that only just decides
    _, persons = with_tolerances(boat, hull=20.0, gear=3.0).verdicts
    assert persons.spread == pytest.approx(20.0 / 5.0 + 3.0 - 1.0)


def test_a_line_without_the_side_load_says_when_it_would_count() -> None:
    side = "the side load counts only where this is under 249 kg (550 lb)"
    for displacement, note in ((2000.0, side), (1900.0, "")):
        found = with_tolerances(plated(150.0, 300.0, displacement, 105.0), hull=20.0, gear=3.0)
        (line,) = [one for one in found.section.lines if one.label == "Persons weight by the rule"]
        assert line.note == note


def test_tolerances_that_let_the_side_load_count_are_told_with_all_that_it_takes_off() -> None:
    """W - E = 252 kg (555.6 lb) and 245 kg with the tolerances; 105 kg over 0.6 are 175 kg."""
    boat = plated(240.0, 340.0, 2010.0, 105.0)
    _, persons = with_tolerances(boat, hull=20.0, gear=3.0).verdicts
    assert persons.margin == pytest.approx(12.0)
    assert persons.spread == pytest.approx(252.0 - 175.0)
    assert persons.meets
    assert not persons.decided
    _, persons = with_tolerances(boat, hull=2.0, gear=1.0).verdicts  # 250.6 kg at the least
    assert persons.spread == pytest.approx(1.4)
    assert persons.decided


def test_tolerances_that_ask_for_a_side_load_that_is_not_stated_say_so() -> None:
    boat = plated(240.0, 340.0, 2010.0, None)
    (point,) = with_tolerances(boat, hull=20.0, gear=3.0).open_points
    assert "With the stated tolerances" in point
    assert with_tolerances(boat, hull=2.0, gear=1.0).open_points == ()


def test_a_manual_boats_limits_move_with_the_weight_of_the_boat_alone() -> None:
    boat = replace(plated(100.0, 150.0, 800.0, None), propulsion=Propulsion.MANUAL, rated_power=0.0)
    maximum, persons = with_tolerances(boat, hull=10.0, gear=3.0).verdicts
    assert maximum.spread == pytest.approx(3.0)
    assert persons.spread == pytest.approx(2.7)


def test_a_plate_above_its_rule_says_which_way_it_misses() -> None:
    maximum, _ = checked(plated(220.0, 351.0, 2000.0, 180.0)).verdicts
    assert maximum.sentence.startswith("falls short by 1 kg")
    assert maximum.sentence.endswith("; the plate states more than the rule gives")


def test_a_maximum_weight_without_a_displacement_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="no maximum displacement"):
        maximum_weight(skiff(), HULL, LAW)
