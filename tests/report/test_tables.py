"""JSON and CSV carry everything, with units in their names and only finite numbers."""

import csv
import io
import json
import math
import re
import typing
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import pytest
from boat_by_hand import box
from plan_by_hand import proposing

from flotation.boat import Boat, FoamInPlace
from flotation.pour.pourplan import PourPlan
from flotation.report import tables
from flotation.report.json_names import BESIDE_A_UNIT, json_name
from flotation.report.tables import holes_csv, holes_json
from flotation.swamped.assessment import Assessment, Trial
from flotation.swamped.trials.beyond import Beyond
from flotation.swamped.trials.swamp_test import SwampTest

UNIT_AT_THE_END = re.compile(
    r"_(kg|m|m2|m3|s|n|nm|k|pa|n_per_m|ratio|deg|kg_per_m3|nm_per_deg|share|unit_vector)$"
)


def dataclasses_in(hint: object) -> Iterator[type]:
    if isinstance(hint, type) and is_dataclass(hint):
        yield hint
    for part in typing.get_args(hint):
        yield from dataclasses_in(part)


def reached(root: type) -> set[type]:
    found: set[type] = set()
    todo = [root]
    while todo:
        owner = todo.pop()
        if owner not in found and owner.__name__ != "Solid":
            found.add(owner)
            hints = typing.get_type_hints(owner)
            todo += [one for hint in hints.values() for one in dataclasses_in(hint)]
    return found


def holds_a_number(hint: object) -> bool:
    return hint is float or any(holds_a_number(part) for part in typing.get_args(hint))


@pytest.mark.parametrize("root", [PourPlan, Assessment, Beyond, SwampTest])
def test_every_number_has_its_unit_in_its_name_or_beside_it(root: type) -> None:
    seen = 0
    for owner in reached(root):
        hints = typing.get_type_hints(owner)
        for field in fields(owner):
            name = json_name(owner.__name__, field.name)
            if not holds_a_number(hints[field.name]) or UNIT_AT_THE_END.search(name):
                continue
            seen += 1
            beside = "unit" in hints and field.name in BESIDE_A_UNIT
            assert beside or name == "shots", f"{owner.__name__}.{field.name} has no unit"
    assert seen > 3 or root in (Beyond, SwampTest)


def numbers(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for item in value.values():
            yield from numbers(item)
    elif isinstance(value, list):
        for item in value:
            yield from numbers(item)
    elif isinstance(value, int | float):
        yield value


def test_the_plan_is_whole(plan: PourPlan) -> None:
    found = json.loads(tables.pour_json(plan))
    assert (found["format"], found["kind"], found["boat"]) == (1, "pour plan", plan.boat)
    lift = found["pours"][1]["lifts"][0]
    assert lift["hole"] == "P1"
    assert lift["shots"][0]["weigh_a_kg"] == 1.045
    assert lift["dip_m"] == 0.19
    assert found["pours"][0]["ladder"][0]["shots"][0] == {
        "count": 2,
        "weigh_a_kg": 1.205,
        "weigh_b_kg": 0.8,
        "opening_s": None,
    }
    assert found["foam"][0]["volume_m3"] == pytest.approx(0.224)
    assert found["pours"][1]["lifts"][2]["by_dip"][0] == {
        "dip_m": 0.1,
        "mass_kg": 1.9,
        "shots": {"count": 1, "weigh_a_kg": 1.06, "weigh_b_kg": 0.94},
        "opening_s": None,
    }
    assert len(found["before"]) == len(plan.before)
    assert all(math.isfinite(number) for number in numbers(found))


def test_lines_carry_formula_terms_source_and_mark(assessment: Assessment) -> None:
    found = json.loads(tables.assessment_json(assessment))
    line = found["sections"][0]["lines"][0]
    assert line["formula"] == "0.5 * min(P, first) + 0.125 * max(P - first, 0)"
    assert line["terms"][1]["source"]["mark"] == "recalled"
    assert line["source"]["text"].endswith("(recalled, compare with the current text)")
    assert found["sections"][1]["lines"][0]["terms"][0]["of"] == "Submerged weight of the hull"
    assert found["meets"] is False
    assert found["verdicts"][1]["margin"] == -0.03


def test_angles_are_in_degrees(assessment: Assessment) -> None:
    trial = Trial("183.225", "port", math.radians(9.0), math.radians(-2.0), 0.1, -0.2, True)
    found = json.loads(tables.assessment_json(replace(assessment, trials=(trial,))))
    assert found["trials"][0]["heel_deg"] == 9.0
    assert found["trials"][0]["trim_deg"] == -2.0


def test_a_number_that_is_not_finite_is_refused(plan: PourPlan) -> None:
    foam = FoamInPlace("side port", "foam", math.nan, plan.foam[0].solid, 35.0, 20.0)
    with pytest.raises(ValueError, match="not JSON compliant"):
        tables.pour_json(replace(plan, foam=(foam,)))


def test_figures_have_few_digits_and_no_minus_zero(plan: PourPlan) -> None:
    foam = FoamInPlace("side port", "foam", 0.1 + 0.2, plan.foam[0].solid, 35.0, -0.0)
    text = tables.pour_json(replace(plan, foam=(foam,)))
    assert '"mass_kg": 0.3,' in text
    assert not re.search(r"-0\.0\b(?!\d)", text)


def test_the_same_values_give_the_same_text(plan: PourPlan, assessment: Assessment) -> None:
    assert tables.pour_json(plan) == tables.pour_json(plan)
    assert tables.assessment_json(assessment) == tables.assessment_json(assessment)


def test_the_csv_has_a_row_for_every_bucket_in_pouring_order(plan: PourPlan) -> None:
    rows = list(csv.DictReader(io.StringIO(tables.pour_csv(plan))))
    assert len(rows) == sum(len(lift.shots) for lift in plan.lifts)
    assert [int(row["order"]) for row in rows] == sorted(int(row["order"]) for row in rows)
    assert rows[0]["hole"] == "G1"
    assert float(rows[0]["weigh_a_kg"]) == 0.985
    assert rows[0]["opening_s"] == ""


def test_the_csv_of_a_stopped_plan_has_no_quantity(stopped: PourPlan) -> None:
    assert tables.pour_csv(stopped) == f"do_not_pour\n{stopped.stops[0]}\n"


def test_the_csv_has_every_limit_and_line(assessment: Assessment) -> None:
    rows = list(csv.DictReader(io.StringIO(tables.assessment_csv(assessment))))
    limits = [row for row in rows if row["part"] == "limit"]
    assert [row["meets"] for row in limits] == ["yes", "no"]
    assert len(rows) - len(limits) == len(assessment.lines)
    persons = next(row for row in rows if row["name"] == "Persons counted")
    assert (float(persons["value"]), persons["unit"], persons["mark"]) == (120.65, "kg", "recalled")


@pytest.mark.parametrize(
    "text",
    ['=HYPERLINK("x")', "+1", "-1+2", "@SUM(A1)", "\uff1d1+1", "\uff0b1", "\uff0d1", "\uff201"],
)
def test_a_spreadsheet_runs_no_text(plan: PourPlan, text: str) -> None:
    pours = (replace(plan.pours[0], cavity=text),)
    rows = list(csv.DictReader(io.StringIO(tables.pour_csv(replace(plan, pours=pours)))))
    assert rows[0]["cavity"] == f"'{text}"


def test_volumes_in_json() -> None:
    found = json.loads(tables.volume_json([("a.stl", box((0, 0, 0), (2, 1, 0.5)))]))
    assert found["solids"] == [
        {
            "file": "a.stl",
            "volume_m3": 1.0,
            "area_m2": 7.0,
            "centroid_m": [1.0, 0.5, 0.25],
            "low_m": [0.0, 0.0, 0.0],
            "high_m": [2.0, 1.0, 0.5],
            "triangles": 12,
        }
    ]


def test_files_written_in_json() -> None:
    assert json.loads(tables.written_json([Path("out/a.pdf")]))["files"] == ["out/a.pdf"]


def test_holes_come_with_place_steps_and_the_mass_of_the_plan(boat: Boat, plan: PourPlan) -> None:
    rows = list(csv.DictReader(io.StringIO(holes_csv(boat, plan))))
    again = json.loads(holes_json(boat, plan))["holes"]
    assert [row["hole"] for row in rows] == [row["hole"] for row in again]
    assert len(rows) == sum(len(cavity.holes) for cavity in boat.cavities)
    mixed = sum(shot.mass for lift in plan.lifts for shot in lift.shots)
    assert sum(float(row["mass_kg"]) for row in rows) == pytest.approx(mixed, abs=5e-4)
    (row,) = (row for row in rows if row["hole"] == "P2")
    assert (row["x_m"], row["y_m"], row["steps"]) == ("2.5", "0.74", "4 8")
    assert {row["state"] for row in rows} == {"stated"}
    assert {row["gains_m3"] for row in rows} == {""}


def test_proposed_holes_follow_with_their_state_and_no_diameter(boat: Boat, plan: PourPlan) -> None:
    rows = list(csv.DictReader(io.StringIO(holes_csv(boat, proposing(plan)))))
    again = json.loads(holes_json(boat, proposing(plan)))["holes"]
    stated = list(csv.DictReader(io.StringIO(holes_csv(boat, plan))))
    assert rows[: len(stated)] == stated
    first, second, third = rows[len(stated) :]
    assert [row["hole"] for row in (first, second, third)] == [f"proposed {i}" for i in (1, 2, 3)]
    assert {row["state"] for row in (first, second, third)} == {"proposed"}
    assert {row["diameter_m"] + row["steps"] + row["mass_kg"] for row in rows[-3:]} == {""}
    assert (first["cavity"], first["kind"], first["gains_m3"]) == ("side port", "fill", "0.00642")
    assert (second["x_m"], second["y_m"], second["z_m"]) == ("3.25", "-0.58", "0.68")
    assert (third["cavity"], third["kind"]) == ("stringer grid", "vent")
    assert again[-1]["diameter_m"] is None
    assert again[-1]["state"] == "proposed"
