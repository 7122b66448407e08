"""Tables for a terminal: 80 columns, plain text."""

from dataclasses import replace
from pathlib import Path

import pytest
from boat_by_hand import box

from flotation.pour.pourplan import PourPlan
from flotation.report.text_tables import assessment_text, pour_text, volume_text, written_text
from flotation.swamped.assessment import Assessment


def widest(text: str) -> int:
    return max(len(line) for line in text.splitlines())


def test_the_plan_stands_in_pouring_order_within_80_columns(plan: PourPlan) -> None:
    text = pour_text(plan)
    assert widest(text) <= 80
    places = [text.index(f"{lift.order:2d}  {lift.hole}") for lift in by_order(plan)]
    assert places == sorted(places)
    assert " 1  G1    stringer grid   1/1       2  0.985 kg  0.872 kg     rim" in text
    assert "A 13.44 kg (29.64 lb, 10.93 L, 2.888 US gal)" in " ".join(text.split())
    assert plan.cautions[0] in " ".join(text.split())


def by_order(plan: PourPlan) -> list:
    return sorted(plan.lifts, key=lambda lift: lift.order)


def test_buckets_that_differ_have_a_line_each(plan: PourPlan) -> None:
    pour = plan.pours[0]
    lift = pour.lifts[0]
    lift = replace(lift, shots=(lift.shots[0], replace(lift.shots[1], weigh_a=0.990)))
    text = pour_text(replace(plan, pours=(replace(pour, lifts=(lift,)),)))
    assert "1  0.985 kg  0.872 kg" in text
    assert "1  0.990 kg  0.872 kg" in text


def test_a_machine_is_told_seconds(plan: PourPlan) -> None:
    pour = plan.pours[0]
    lift = pour.lifts[0]
    shots = tuple(replace(shot, seconds=12.5) for shot in lift.shots)
    text = pour_text(replace(plan, pours=(replace(pour, lifts=(replace(lift, shots=shots),)),)))
    assert "2 x 12.5 s" in text


@pytest.mark.parametrize("dip", [0.0, -0.06])
def test_foam_that_comes_up_to_the_rim_has_no_depth(plan: PourPlan, dip: float) -> None:
    pour = plan.pours[0]
    lifts = tuple(replace(lift, dip=dip, dip_least=dip) for lift in pour.lifts)
    text = pour_text(replace(plan, pours=(replace(pour, lifts=lifts),)))
    assert text.count("  rim\n") == len(lifts)
    assert " mm" not in text


def test_a_long_name_gives_way_and_the_numbers_do_not(plan: PourPlan) -> None:
    pour = replace(plan.pours[0], cavity="x" * 120)
    text = pour_text(replace(plan, boat="y" * 120, pours=(pour,)))
    assert widest(text) <= 80
    assert "..." in text
    assert "0.985 kg" in text


def test_a_stopped_plan_has_reasons_and_no_quantity(stopped: PourPlan) -> None:
    text = pour_text(stopped)
    assert "DO NOT POUR" in text
    assert stopped.stops[0] in text
    assert "0.985" not in text
    assert "bring out" not in text


def test_limits_stand_with_what_is_required_obtained_and_missing(assessment: Assessment) -> None:
    text = assessment_text(assessment)
    assert widest(text) <= 80
    assert "meets  Foam volume: required 213.5 L, obtained 716 L" in text
    assert "SHORT  Height of the lift: required 350 mm, obtained 320 mm" in text
    assert "falls short by 0.030 m (1.2 in)" in text
    assert "(recalled, compare with the current text)" in " ".join(text.split())
    assert "stringer grid: as high as may be. Found: top at 0.12 m" in text
    for sentence in (*assessment.assumptions, *assessment.open_points):
        assert sentence in " ".join(text.split())


def test_a_margin_within_the_tolerances_is_not_decided(assessment: Assessment) -> None:
    close = replace(assessment.verdicts[0], spread=10.0)
    assert "not decided" in assessment_text(replace(assessment, verdicts=(close,)))


def test_a_limit_outside_the_scope_is_for_information(assessment: Assessment) -> None:
    aside = replace(assessment.verdicts[0], decides=False)
    assert "(for information)" in assessment_text(replace(assessment, verdicts=(aside,)))


@pytest.mark.parametrize("name", ["a.stl", "a/very/long/path/" * 8 + "grid_port.stl"])
def test_volumes_fit_80_columns(name: str) -> None:
    text = volume_text([(name, box((0, 0, 0), (2, 1, 0.5)))])
    assert widest(text) <= 80
    assert "1 m³" in text
    assert "35.315 ft³" in text
    assert "1.000, 0.500, 0.250" in text


def test_files_written_stand_one_a_line() -> None:
    assert written_text([Path("out/a.pdf"), Path("out/b.csv")]) == "out/a.pdf\nout/b.csv\n"


def test_a_long_path_keeps_the_name_of_its_file() -> None:
    solid = box((0, 0, 0), (2, 1, 0.5))
    deep = "/yard/" + "drawings/" * 12 + "skiff/tank_bay.stl"
    text = volume_text([(deep, solid), ("side.stl", solid), ("x" * 120 + ".stl", solid)])
    assert widest(text) <= 80
    first, second, third = text.splitlines()[2:]
    assert first.split()[0].startswith("…/drawings/")
    assert first.split()[0].endswith("/skiff/tank_bay.stl")
    assert second.startswith("side.stl ")
    assert third.split()[0].startswith("…xxx")
    assert third.split()[0].endswith("xxx.stl")
