"""What foam and chambers lift."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from many_assessments import CHAMBERS
from small_boats import FRESH, SIDE, SIDE_STARBOARD, cavity, poured, skiff, skiff_foam

from flotation.boat import Chamber
from flotation.errors import InputError
from flotation.geometry.shapes import box
from flotation.rulebook import load_rulebook
from flotation.swamped.chambers import ChamberLift, chamber_lift
from flotation.swamped.lift import foam_lift
from flotation.swamped.scope import BASIC, LEVEL, MODIFIED
from flotation.workings import COMPUTED, Mark, Term

LAW = load_rulebook("us_33cfr183")
GUIDE = load_rulebook("us_boatbuilders_handbook")
WATER = Term("water", FRESH, "kg/m3", COMPUTED)
DENSITIES = st.floats(20.0, 300.0)


def lifted(*foam) -> float:
    return foam_lift(skiff(), foam, WATER, GUIDE, None).total.value


def sealed(flotation: str, chambers: tuple[Chamber, ...] = CHAMBERS) -> ChamberLift:
    return chamber_lift(replace(skiff(), chambers=chambers), flotation, WATER, LAW)


def test_foam_lifts_the_water_it_displaces_less_itself_and_what_it_took_up() -> None:
    foam = poured("side port", SIDE, density=40.0, uptake=15.0)
    assert lifted(foam) == pytest.approx(SIDE.volume * (FRESH - 40.0 - 15.0))


@given(DENSITIES, DENSITIES, st.floats(0.0, 50.0))
def test_lift_is_the_sum_over_the_cavities(one: float, other: float, uptake: float) -> None:
    port = poured("side port", SIDE, one, uptake)
    starboard = poured("side starboard", SIDE_STARBOARD, other, uptake)
    both = lifted(port, starboard)
    assert both == pytest.approx(lifted(port) + lifted(starboard), rel=1e-12)
    assert both == pytest.approx(lifted(starboard, port), rel=1e-12)


@given(DENSITIES, st.floats(0.1, 50.0))
def test_heavier_or_wetter_foam_lifts_less(density: float, more: float) -> None:
    dry = lifted(poured("grid", SIDE, density, 0.0))
    assert lifted(poured("grid", SIDE, density + more, 0.0)) < dry
    assert lifted(poured("grid", SIDE, density, more)) < dry


@given(st.floats(0.1, 2.0), st.floats(0.1, 2.0))
def test_a_cut_cavity_lifts_as_much_as_its_parts(length: float, more: float) -> None:
    whole = box((0.0, 0.0, 0.0), (length + more, 0.3, 0.2))
    aft = box((0.0, 0.0, 0.0), (length, 0.3, 0.2))
    forward = box((length, 0.0, 0.0), (more, 0.3, 0.2))
    parts = lifted(poured("side port", aft)) + lifted(poured("side starboard", forward))
    assert lifted(poured("grid", whole)) == pytest.approx(parts, rel=1e-9)


def test_mass_is_the_truth_where_a_record_says_less_went_in() -> None:
    foam = replace(poured("grid", SIDE, 36.96, 0.0), mass=5.0)
    assert lifted(foam) == pytest.approx(SIDE.volume * FRESH - 5.0)


def test_a_hand_out_finds_volume_mass_place_and_hold_down_beside_the_lift() -> None:
    boat = replace(skiff(), cavities=(replace(cavity("side port", SIDE), hold_down=4000.0),))
    (found,) = foam_lift(boat, (poured("side port", SIDE),), WATER, GUIDE, None).cavities
    assert found.volume == SIDE.volume
    assert found.foam_mass == pytest.approx(36.96 * SIDE.volume)
    assert found.centre == pytest.approx((1.9, 0.75, 0.5))
    assert found.hold_down == 4000.0


def test_foam_in_a_strange_cavity_and_foam_given_twice_are_refused_together() -> None:
    foam = (*skiff_foam(), poured("grid", SIDE), poured("bow", SIDE))
    with pytest.raises(InputError) as refused:
        foam_lift(skiff(), foam, WATER, GUIDE, None)
    told = [fault.problem for fault in refused.value.faults]
    assert told == [
        'foam stands in "bow", a cavity that the boat does not have',
        'the foam of "grid" is given twice',
    ]


# ---- chambers: 60, 30, 30 L; 50 L integral; 20 L that the builder does not count


def test_level_floods_the_two_largest_and_every_integral_one() -> None:
    found = sealed(LEVEL)
    assert found.total.value == pytest.approx(0.030 * FRESH)
    assert found.asked.value == 0.0
    assert [finding.subject for finding in found.findings] == ["side deck"]
    assert found.findings[0].heeded is False
    assert "bow locker, seat port" in found.assumptions[0]


def test_modified_level_lets_integral_chambers_count() -> None:
    found = sealed(MODIFIED)
    assert found.total.value == pytest.approx(0.060 * FRESH)  # 60 and 50 L flooded
    assert found.findings == ()


def test_basic_counts_what_is_not_integral_and_asks_for_the_two_largest() -> None:
    found = sealed(BASIC)
    assert found.total.value == pytest.approx(0.120 * FRESH)
    assert found.asked.value == pytest.approx(0.090 * FRESH)
    assert [finding.subject for finding in found.findings] == ["side deck"]


@pytest.mark.parametrize("flotation", [BASIC, LEVEL, MODIFIED])
def test_chambers_that_nobody_counts_on_change_nothing(flotation: str) -> None:
    uncounted = tuple(replace(chamber, counted=False) for chamber in CHAMBERS)
    found = sealed(flotation, uncounted)
    assert found.total.value == found.asked.value == 0.0
    assert found.findings == found.assumptions == ()


def test_one_or_two_chambers_never_help() -> None:
    for chambers in (CHAMBERS[:1], CHAMBERS[:2]):
        assert sealed(LEVEL, chambers).total.value == 0.0
        basic = sealed(BASIC, chambers)
        assert basic.total.value == pytest.approx(basic.asked.value)


def test_taking_off_what_foam_takes_up_is_recalled_and_marked_so() -> None:
    for uptake, mark in ((20.0, Mark.RECALLED), (0.0, Mark.READ)):
        found = foam_lift(skiff(), (poured("side port", SIDE, 40.0, uptake),), WATER, GUIDE, None)
        (line,) = (line for line in found.section.lines if line.label == "c1 side port, lift")
        assert line.source.mark is mark
