"""33 CFR Part 183 (United States), "Boats and associated equipment"; undated copy.

Loads of 183.105 and 183.220(b), capacities of 183.35 to 183.43, limits of 183.225 to 183.235.
The results are computed by hand from the section's own numbers, in pounds. A printed decimal is
held to half its last digit.
"""

import math
from dataclasses import replace

import pytest
from small_boats import HP, HULL, IN, LB, PCF, box, material, poured, skiff, weight

from flotation.boat import Boat, Capacity, Propulsion, Role, Weight
from flotation.rulebook import load_rulebook
from flotation.swamped.assess import assess
from flotation.swamped.burdens import number_weights
from flotation.swamped.capacity import manual_persons, outboard_persons, persons_number
from flotation.swamped.limits import Limit, at_most
from flotation.swamped.load import Load, load
from flotation.swamped.scope import BASIC, LEVEL, MODIFIED, find_scope
from flotation.swamped.trials.reference import Area, Areas, area_verdicts
from flotation.workings import COMPUTED, Term

LAW = load_rulebook("us_33cfr183")
GUIDE = load_rulebook("us_boatbuilders_handbook")


def ends(forward: float, aft: float) -> Areas:
    """Reference areas without camber: the highest point lies as deep as the middle, m."""
    return Areas(Area(forward, forward), Area(aft, aft))


def plated(persons: float, maximum: float) -> Boat:
    """A boat with this plate, in pounds."""
    return replace(skiff(), capacity=Capacity(persons * LB, maximum * LB, None, None))


def equipment(pounds: float) -> list[Weight]:
    return [weight("motor", pounds * LB, role=Role.MOTOR)]


def loaded(boat: Boat, pounds_of_equipment: float, flotation: str) -> Load:
    listed = number_weights(equipment(pounds_of_equipment))
    return load(boat, listed, flotation, LAW, GUIDE)


# ---- 183.220(b): persons and dead weight in level flotation


def test_level_load_term_by_term() -> None:
    lines = loaded(plated(900.0, 1400.0), 459.0, LEVEL).section.lines
    pounds = {line.label: line.value / LB for line in lines}
    assert pounds["Persons, first part"] == pytest.approx(275.0)
    assert pounds["Persons, rest"] == pytest.approx(43.75)
    assert pounds["Dead weight"] == pytest.approx(0.25 * 41.0)
    assert pounds["Persons and gear, weight under water"] == pytest.approx(329.0)


def test_level_load_as_volume_of_two_pound_foam() -> None:
    whole = loaded(plated(900.0, 1400.0), 459.0, LEVEL).total.value
    assert whole / (60.4 * LB) == pytest.approx(5.447, abs=0.0005)


@pytest.mark.parametrize(
    ("persons", "asked"), [(300.0, 150.0), (550.0, 275.0), (750.0, 300.0), (1000.0, 331.25)]
)
def test_level_load_of_persons_alone(persons: float, asked: float) -> None:
    whole = loaded(plated(persons, persons), 0.0, LEVEL).total.value
    assert whole / LB == pytest.approx(asked)


def test_level_load_never_counts_dead_weight_below_zero() -> None:
    whole = loaded(plated(700.0, 900.0), 459.0, LEVEL).total.value
    assert whole / LB == pytest.approx(293.75)


# ---- 183.105: basic flotation


def test_basic_load_of_the_law_and_of_the_guidance() -> None:
    found = loaded(plated(750.0, 1000.0), 0.0, BASIC)
    assert found.own_law is not None
    assert found.own_law.value / LB == pytest.approx(162.5)
    assert found.total.value / LB == pytest.approx(250.0)


def test_manual_boat_takes_its_whole_maximum_weight() -> None:
    boat = replace(plated(360.0, 400.0), propulsion=Propulsion.MANUAL)
    assert loaded(boat, 0.0, MODIFIED).total.value / LB == pytest.approx(100.0)


def test_two_horsepower_boat_takes_a_quarter_of_persons_and_of_dead_weight() -> None:
    boat = replace(plated(335.0, 400.0), rated_power=2.0 * HP)
    found = loaded(boat, 25.0, MODIFIED)
    assert found.total.value / LB == pytest.approx(0.25 * 335.0 + 0.25 * 40.0)
    assert found.own_law is not None
    assert found.own_law.value / LB == pytest.approx(2.0 / 15.0 * 335.0 + 0.25 * 40.0)


# ---- 183.35 to 183.43: capacity


def pounds(symbol: str, value: float) -> Term:
    return Term(symbol, value * LB, "kg", COMPUTED)


@pytest.mark.parametrize(("small_motor", "persons"), [(False, 360.0), (True, 335.0)])
def test_persons_weight_of_a_manual_boat_and_of_two_horsepower(
    small_motor: bool, persons: float
) -> None:
    line = manual_persons(pounds("W", 400.0), small_motor, LAW)
    assert line.value / LB == pytest.approx(persons)
    assert persons_number(line.term("P"), LAW).value == 3.0


def test_outboard_takes_a_fifth_of_the_load_the_hull_displaces() -> None:
    hull = weight("hull", 800.0 * LB, material("aluminium"))
    motor = replace(weight("motor", 200.0 * LB, role=Role.MOTOR), swamped_mass=170.0 * LB)
    capacity = Capacity(1000.0 * LB, 1240.0 * LB, 7000.0 * LB, None)
    boat = replace(skiff(), weights=(hull, motor), capacity=capacity)
    result = assess(boat, ())
    lines = {line.label: line.value / LB for line in result.lines}
    assert lines["Maximum weight by the rule"] == pytest.approx((7000.0 - 800.0) / 5.0)
    assert lines["Persons weight by the rule"] == pytest.approx(1240.0 - 200.0)
    verdicts = {verdict.name: verdict for verdict in result.verdicts}
    assert verdicts["Plate: maximum weight"].meets
    assert verdicts["Plate: persons weight"].margin / LB == pytest.approx(40.0)


def test_side_load_does_not_count_from_550_pounds_up() -> None:
    line = outboard_persons(pounds("W", 1000.0), pounds("E", 450.0), None, LAW)
    assert line.value / LB == pytest.approx(550.0)
    with pytest.raises(ValueError, match="side load"):
        outboard_persons(pounds("W", 1000.0), pounds("E", 451.0), None, LAW)


# ---- 183.220 and the handbook together


def test_flotation_volume_of_an_aluminium_boat_with_a_plywood_deck() -> None:
    """(0.63 x 160 - 0.81 x 50 + 105 + 25 + 100) / 60.3 = 4.814 ft3."""
    motor = replace(weight("motor", 120.0 * LB, role=Role.MOTOR), swamped_mass=105.0 * LB)
    battery = replace(weight("battery", 45.0 * LB, role=Role.BATTERY), swamped_mass=25.0 * LB)
    boat = replace(
        plated(200.0, 365.0),  # 50 % of 200 lb, and no dead weight: 100 lb of persons and gear
        weights=(
            weight("hull", 160.0 * LB, material("aluminium")),
            weight("deck", 50.0 * LB, material("fir plywood")),
            motor,
            battery,
        ),
        method=replace(skiff().method, wood_lifts=True, material_factor="handbook"),
    )
    foam = poured("grid", box((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)), 2.1 * PCF, 0.0)
    lines = {line.label: line for line in assess(boat, (foam,)).lines}
    volume = lines["Volume of this foam that is required"].value / 0.3048**3
    assert volume == pytest.approx(4.814, abs=0.0005)


# ---- 183.225 to 183.235: inclusive limits


@pytest.mark.parametrize(
    ("entry", "degrees", "meets"),
    [
        ("level_heel", 10.00, True),
        ("level_heel", 10.01, False),
        ("one_side_heel", 30.00, True),
        ("one_side_heel", 30.01, False),
    ],
)
def test_heel_limit_is_inclusive(entry: str, degrees: float, meets: bool) -> None:
    limit = Limit("heel", LAW.number(entry), True)
    assert at_most(limit, math.radians(degrees)).meets is meets


@pytest.mark.parametrize(
    ("entry", "inches", "meets"),
    [
        ("level_depth", 6.00, True),
        ("level_depth", 6.01, False),
        ("one_side_depth", 12.00, True),
        ("one_side_depth", 12.01, False),
    ],
)
def test_depth_limit_is_inclusive(entry: str, inches: float, meets: bool) -> None:
    limit = Limit("depth", LAW.number(entry), True)
    for forward, aft in ((inches * IN, -0.1), (-0.1, inches * IN)):
        other, deeper = area_verdicts(limit, ends(forward, aft), None)
        assert deeper.meets is meets
        assert other.meets


@pytest.mark.parametrize("inches", [0.0, 0.01, 1.0, 5.99])
def test_both_ends_under_water_fail_at_any_depth(inches: float) -> None:
    limit = Limit("depth", LAW.number("level_depth"), True)
    other, deeper = area_verdicts(limit, ends(inches * IN, 3.0 * IN), None)
    assert deeper.meets
    assert not other.meets


# ---- 183.101, 183.201, 183.301: scope


@pytest.mark.parametrize(
    ("length", "inside"), [(6.0959, True), (20.0 * 0.3048, False), (6.096, False), (6.8, False)]
)
def test_twenty_feet_is_not_under_twenty_feet(length: float, inside: bool) -> None:
    assert find_scope(replace(skiff(), length=length), LAW).inside is inside


@pytest.mark.parametrize(
    ("propulsion", "power", "subpart"),
    [
        (Propulsion.OUTBOARD, 2.1 * HP, "G"),
        (Propulsion.OUTBOARD, 2.0 * HP, "H"),
        (Propulsion.MANUAL, 0.0, "H"),
        (Propulsion.INBOARD, 30.0 * HP, "F"),
        (Propulsion.STERNDRIVE, 30.0 * HP, "F"),
        (Propulsion.AIRBOAT, 30.0 * HP, "F"),
    ],
)
def test_subpart_of_each_propulsion(propulsion: Propulsion, power: float, subpart: str) -> None:
    boat = replace(skiff(), propulsion=propulsion, rated_power=power)
    assert find_scope(boat, LAW).subpart == subpart


# ---- Table 4 (copies before 1 June 2018): swamped motor and submerged battery


def test_table_4_estimates_from_dry_weights() -> None:
    motor = weight("motor", 100.0 * LB, role=Role.MOTOR)
    battery = weight("battery", 45.0 * LB, role=Role.BATTERY)
    result = assess(replace(skiff(), weights=(HULL, motor, battery)), ())
    lines = {line.label: line for line in result.lines}
    assert lines["w2 motor, swamped"].value / LB == pytest.approx(100.0 * 1.05 * 0.85)
    assert lines["w3 battery, swamped"].value / LB == pytest.approx(25.0)
    assert any("estimated" in text for text in result.assumptions)
