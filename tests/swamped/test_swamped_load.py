"""Persons and gear: never less for more, and where the load acts."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_boats import LB, skiff, weight

from flotation.boat import Boat, Capacity, Propulsion, Role
from flotation.rulebook import load_rulebook
from flotation.swamped.burdens import number_weights
from flotation.swamped.load import Load, load
from flotation.swamped.scope import BASIC, LEVEL, MODIFIED

LAW = load_rulebook("us_33cfr183")
GUIDE = load_rulebook("us_boatbuilders_handbook")
POUNDS = st.floats(0.0, 3000.0)


def boat(persons: float, gear: float = 0.0) -> Boat:
    """Plate in pounds: persons, and what the maximum weight has beyond them."""
    return replace(skiff(), capacity=Capacity(persons * LB, (persons + gear) * LB, None, None))


def worked(of: Boat, flotation: str, equipment: float = 0.0) -> Load:
    listed = number_weights([weight("motor", equipment * LB, role=Role.MOTOR)])
    return load(of, listed, flotation, LAW, GUIDE)


@given(POUNDS, POUNDS, st.floats(0.0, 100.0))
def test_more_persons_or_more_gear_never_ask_for_less(p: float, g: float, more: float) -> None:
    for flotation in (BASIC, LEVEL, MODIFIED):
        now = worked(boat(p, g), flotation, 200.0).total.value
        slack = 1e-9 * now
        assert worked(boat(p + more, g), flotation, 200.0).total.value >= now - slack
        assert worked(boat(p, g + more), flotation, 200.0).total.value >= now - slack


@given(POUNDS, POUNDS, POUNDS)
def test_equipment_within_the_capacity_leaves_less_for_gear_and_never_less_than_none(
    p: float, g: float, equipment: float
) -> None:
    alone = worked(boat(p), LEVEL).total.value
    assert worked(boat(p, g), LEVEL, equipment).total.value >= alone - 1e-9
    if equipment >= g:
        assert worked(boat(p, g), LEVEL, equipment).total.value == pytest.approx(alone)


@given(POUNDS, POUNDS)
def test_the_default_of_the_guidance_asks_for_no_less_than_the_regulation(
    p: float, g: float
) -> None:
    for flotation in (BASIC, MODIFIED):
        found = worked(boat(p, g), flotation)
        assert found.own_law is not None
        assert found.total.value >= found.own_law.value - 1e-9


def test_by_persons_alone_the_regulation_can_ask_for_more() -> None:
    of = boat(500.0, 500.0)
    by_persons = replace(of, method=replace(of.method, basic_persons="persons"))
    found = worked(by_persons, BASIC)
    assert found.own_law is not None
    assert found.total.value / LB == pytest.approx(125.0)
    assert found.own_law.value / LB == pytest.approx(2.0 / 15.0 * 500.0 + 125.0)


def test_level_flotation_is_the_regulations_own_load() -> None:
    assert worked(boat(500.0), LEVEL).own_law is None


def test_everything_the_rule_names_is_taken_off_and_nothing_else() -> None:
    roles = (Role.MOTOR, Role.CONTROLS, Role.BATTERY, Role.PORTABLE_TANK)
    others = (Role.STRUCTURE, Role.EQUIPMENT, Role.PERMANENT_TANK)
    listed = number_weights([weight(str(role), 10.0, role=role) for role in (*roles, *others)])
    found = load(boat(500.0, 500.0), listed, LEVEL, LAW, GUIDE)
    assert found.equipment.value == 40.0


def test_the_load_acts_in_the_middle_of_the_passenger_area_4_in_above_its_sole() -> None:
    assert worked(boat(500.0), LEVEL).burden.at == pytest.approx((1.9, 0.0, 0.30 + 4.0 * 0.0254))


def test_a_manual_boat_has_no_equipment_to_take_off() -> None:
    manual = replace(boat(360.0, 40.0), propulsion=Propulsion.MANUAL)
    assert worked(manual, MODIFIED, 30.0).total.value / LB == pytest.approx(100.0)
