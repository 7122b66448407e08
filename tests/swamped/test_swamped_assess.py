"""The whole assessment of a boat: laws, options, refusals, and what it says of itself."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from many_assessments import (
    EVERY,
    basic_with_chambers,
    level,
    level_with_everything,
    outside_the_scope,
    two_horsepower,
)
from small_boats import FRESH, HULL, MOTOR, RAIL, cavity, poured, skiff, skiff_foam, weight

from flotation.boat import Boat, Chamber, Propulsion, Role
from flotation.errors import InputError
from flotation.geometry.shapes import box
from flotation.swamped.assess import assess
from flotation.swamped.assessment import Assessment, Verdict
from flotation.workings import Mark

FORBIDDEN = ("approved", "compliant", "certif", "guarantee")


def total(result: Assessment) -> Verdict:
    (verdict,) = (v for v in result.verdicts if v.name == "Flotation by the general method")
    return verdict


def required(boat: Boat) -> float:
    return total(assess(boat, skiff_foam())).required


# ---- laws


@given(st.integers(0, 5), st.floats(0.0, 100.0))
def test_more_weight_never_asks_for_less(index: int, more: float) -> None:
    """With no gear on the plate: heavier equipment leaves less of a maximum weight for gear."""
    heavier = list(skiff().weights)
    heavier[index] = replace(heavier[index], mass=heavier[index].mass + more)
    plate = replace(skiff().capacity, maximum_weight=skiff().capacity.persons)
    boat = replace(skiff(), capacity=plate)
    assert required(replace(boat, weights=tuple(heavier))) >= required(boat) - 1e-9


@given(st.permutations(list(skiff().weights)))
def test_the_order_of_the_weight_list_does_not_matter(weights: list) -> None:
    assert required(replace(skiff(), weights=tuple(weights))) == pytest.approx(
        required(skiff()), rel=1e-12
    )


@given(st.permutations(list(skiff_foam())))
def test_the_order_of_the_cavities_does_not_matter(foam: list) -> None:
    assert total(assess(skiff(), foam)).obtained == pytest.approx(
        total(assess(skiff(), skiff_foam())).obtained, rel=1e-12
    )


@given(st.floats(0.5, 20.0))
def test_flotation_is_met_exactly_from_the_volume_that_is_required(share: float) -> None:
    """Foam of the required volume meets the limit with nothing left over; a hair less fails."""
    (line,) = (x for x in level().lines if x.label == "Volume of this foam that is required")
    for part, meets in ((1.0, True), (1.0 + share / 100.0, True), (1.0 - share / 100.0, False)):
        solid = box((0.5, -0.5, 0.1), (1.0, 1.0, part * line.value))
        boat = replace(skiff(), cavities=(cavity("grid", solid),))
        assert total(assess(boat, (poured("grid", solid),))).meets is meets


# ---- options and their safe side


def test_wood_lift_and_the_handbooks_factor_only_ever_lower_what_is_asked() -> None:
    safe = required(skiff())
    wood = replace(skiff(), method=replace(skiff().method, wood_lifts=True))
    handbook = replace(skiff(), method=replace(skiff().method, material_factor="handbook"))
    assert safe - required(wood) == pytest.approx(24.0 * 0.81)
    assert safe - required(handbook) == pytest.approx(180.0 * (0.375 - 0.33))


def test_salt_water_is_not_credited_and_warm_fresh_water_is_not_overlooked() -> None:
    def obtained(water: float) -> float:
        boat = replace(skiff(), water=water, water_name="stated")
        return total(assess(boat, skiff_foam())).obtained

    assert obtained(1025.0) == obtained(FRESH)
    assert obtained(997.0) < obtained(FRESH)


# ---- scope and verdicts


def test_inside_the_scope_verdicts_decide_and_outside_they_are_shown() -> None:
    assert all(verdict.decides for verdict in level().verdicts)
    outside = outside_the_scope()
    assert outside.verdicts
    assert not any(verdict.decides for verdict in outside.verdicts)
    assert "shown for information" in outside.scope.sentence


def test_basic_and_modified_level_also_answer_the_regulations_own_load() -> None:
    for result in (basic_with_chambers(), two_horsepower()):
        assert "Flotation for the regulation's own load" in [v.name for v in result.verdicts]


def test_chambers_add_to_what_basic_flotation_asks_for() -> None:
    boat = replace(skiff(), propulsion=Propulsion.INBOARD)
    chambers = tuple(Chamber(f"chamber {i}", 0.05, (2.0, 0.0, 0.4), False, True) for i in range(3))
    more = total(assess(replace(boat, chambers=chambers), skiff_foam()))
    assert more.required - required(boat) == pytest.approx(0.10 * FRESH)
    assert more.obtained - total(assess(boat, skiff_foam())).obtained == pytest.approx(0.15 * FRESH)


def test_stated_tolerances_add_up_against_the_boat() -> None:
    hull, rail = replace(HULL, tolerance=8.0), replace(RAIL, tolerance=2.0)
    result = assess(replace(skiff(), weights=(hull, rail, MOTOR)), skiff_foam())
    assert total(result).spread == pytest.approx(8.0 * 0.375 + 2.0)
    assert any("for want of a stated tolerance: outboard" in text for text in result.assumptions)
    assert any("cavity volumes and foam densities" in text for text in result.assumptions)


def test_without_any_tolerance_the_first_page_can_say_so() -> None:
    assert total(level()).spread is None
    assert any("the margins carry no spread" in text for text in level().assumptions)


def test_a_verdict_leads_to_the_lines_behind_it() -> None:
    for assessed in EVERY:
        result = assessed()
        lines = {line.label: line.value for line in result.lines}
        for verdict in result.verdicts:
            assert lines[verdict.required_line] == verdict.required
            if verdict.obtained_line:
                assert lines[verdict.obtained_line] == verdict.obtained


# ---- what it says of itself


@pytest.mark.parametrize("assessed", EVERY, ids=lambda made: made.__name__)
def test_it_calculates_and_does_not_certify(assessed) -> None:
    result = assessed()
    texts = [
        result.scope.sentence,
        *(verdict.sentence for verdict in result.verdicts),
        *(finding.found for finding in result.findings),
        *result.assumptions,
        *result.open_points,
    ]
    for text in texts:
        assert not any(word in text.lower() for word in FORBIDDEN), text
    assert any("physical test" in point for point in result.open_points)
    for verdict in result.verdicts:
        words = "meets the calculated limit by" if verdict.meets else "falls short by"
        assert verdict.sentence.startswith(words)


@pytest.mark.parametrize("assessed", EVERY, ids=lambda made: made.__name__)
def test_every_recalled_number_is_named_among_the_open_points(assessed) -> None:
    result = assessed()
    (told,) = [p for p in result.open_points if p.startswith("Recalled")] or [""]
    for line in result.lines:
        for source in (line.source, *(term.source for term in line.terms)):
            if source is not None and source.mark is Mark.RECALLED:
                assert source.section in told


@pytest.mark.parametrize("assessed", EVERY, ids=lambda made: made.__name__)
def test_every_number_is_finite(assessed) -> None:
    assert all(math.isfinite(line.value) for line in assessed().lines)


def test_sections_come_in_the_order_a_reviewer_reads_them() -> None:
    titles = [section.title for section in level_with_everything().sections]
    assert titles[0] == "Weighing"
    asked = ["The boat itself", "Machinery", "Persons and gear", "What the foam lifts"]
    places = [titles.index(title) for title in (*asked, "Flotation required and obtained")]
    assert places == sorted(places)
    assert all(section.lines for section in level_with_everything().sections)


def test_cavities_without_foam_are_told_to_be_flooded() -> None:
    result = assess(skiff(), skiff_foam()[:1])
    (told,) = (text for text in result.assumptions if "flooded" in text)
    assert "side starboard, grid" in told


def test_the_second_method_is_shown_and_is_no_verdict() -> None:
    section = next(s for s in level().sections if s.title == "Victoria's formula")
    lines = {line.label: line.value for line in section.lines}
    hull = 180.0 * 0.375 + 12.0 * 0.62  # the wooden sole counts with nothing
    fittings = 72.0 + 20.0
    asked = 1.2 * (hull + fittings) / (1000.0 - 36.96)
    assert lines["Foam that Victoria's formula asks for"] == pytest.approx(asked)
    assert "for information" in section.note
    assert not any("Victoria" in verdict.name for verdict in level().verdicts)


# ---- refusals


@pytest.mark.parametrize("propulsion", [p for p in Propulsion if p is not Propulsion.MANUAL])
def test_a_motor_that_the_weight_list_lacks_is_asked_for(propulsion: Propulsion) -> None:
    boat = replace(skiff(), propulsion=propulsion, weights=(HULL,))
    with pytest.raises(InputError, match="weight list lacks"):
        assess(boat, skiff_foam())


def test_everything_wrong_with_the_weights_is_told_at_once() -> None:
    boat = replace(skiff(), weights=(weight("anchor", 9.0, role=Role.EQUIPMENT),))
    with pytest.raises(InputError) as refused:
        assess(boat, skiff_foam())
    assert len(refused.value.faults) == 2


# ---- choices are told


def test_a_choice_between_editions_is_told() -> None:
    def told(basic_persons: str) -> str:
        method = replace(skiff().method, basic_persons=basic_persons)
        boat = replace(skiff(), propulsion=Propulsion.INBOARD, method=method)
        (text,) = (t for t in assess(boat, skiff_foam()).assumptions if "Editions" in t)
        return text

    assert told("maximum weight").endswith("here: maximum weight.")
    assert told("persons").endswith("here: persons capacity, an option.")


def test_a_capped_credit_is_told() -> None:
    boat = replace(skiff(), method=replace(skiff().method, credit_cap=True))
    assert any("capped, an option" in text for text in assess(boat, skiff_foam()).assumptions)
    assert not any("capped" in text for text in level().assumptions)


def test_a_motor_on_the_list_of_a_manual_boat_is_refused() -> None:
    boat = replace(skiff(), propulsion=Propulsion.MANUAL, rated_power=0.0)
    with pytest.raises(InputError, match="the boat is manual and the weight list has a motor"):
        assess(boat, skiff_foam())
    rowed = replace(boat, weights=tuple(w for w in boat.weights if w.role is not Role.MOTOR))
    assert not any("motor" in text for text in assess(rowed, skiff_foam()).assumptions)


def test_the_regulations_own_load_cites_the_regulation() -> None:
    boat = replace(skiff(), propulsion=Propulsion.INBOARD)
    guidance, law = assess(boat, skiff_foam()).verdicts
    assert "handbook" in guidance.criterion.source.publication
    assert law.criterion.source.publication == "33 CFR Part 183"
    assert law.criterion.source.section == "183.105"


def test_foam_under_water_is_told_to_be_the_favourable_side() -> None:
    (told,) = (t for t in assess(skiff(), skiff_foam()).assumptions if t.startswith("All foam"))
    assert "favourable" in told


def test_two_flooded_chambers_of_a_small_boat_are_told_to_be_the_safe_side() -> None:
    chamber = Chamber("bow locker", 0.04, (4.0, 0.0, 0.4), integral=True, counted=True)
    level = replace(skiff(), chambers=(replace(chamber, integral=False),))
    small = replace(skiff(), rated_power=1000.0, chambers=(chamber,))
    for boat, safe in ((level, False), (small, True)):
        (told,) = (t for t in assess(boat, skiff_foam()).assumptions if "bow locker" in t)
        assert ("was not read" in told) is safe
