"""The published schemas follow from the code, explain every key, and every report keeps to them."""

import copy
import importlib.util
import json
from collections.abc import Iterator
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import pytest
from found_by_hand import found_by_hand
from jsonschema import Draft202012Validator
from plan_by_hand import proposing

from flotation.boat import Boat
from flotation.boat_entries import Entry
from flotation.pour.pourplan import PourPlan
from flotation.report.beside import Beside
from flotation.report.cavity_tables import cavities_json
from flotation.report.tables import assessment_json, holes_json, pour_json
from flotation.swamped.assessment import Assessment, Outcome
from flotation.swamped.trials.curves import ArmCurve
from flotation.swamped.trials.varied import Varied
from flotation.swamped.what_if import Reach, Supposed, Then, WhatIf

ROOT = Path(__file__).parent.parent.parent
REPORTS = ("assessment", "pour")
KINDS = (*REPORTS, "cavities", "holes")
COMMITTED = sorted(file for kind in KINDS for file in (ROOT / "reports").glob(f"*/{kind}.json"))
MAY_BE_NULL = ("what_if", "balance", "timetable", "attitudes")
TEST = Varied("motor", "20 kg heavier", "183.235", Outcome.FLOATS, 0.1, -0.2, 0.7, True)
SINKS = Varied("motor", "90 kg heavier", "183.235", Outcome.SINKS, None, None, -1.0, False)
LIMITS = (Then("Flotation by the general method", 12.0, "kg", True),)
BESIDE = Beside(
    (ArmCurve("183.225", (-0.1, 0.1), (-0.2, 0.2), (-9.0, 9.0), 0.17),),
    WhatIf(
        Supposed("as stated", "", LIMITS, None),
        (
            Supposed("motor", "20 kg heavier", LIMITS, TEST),
            Supposed("motor", "90 kg heavier", LIMITS, SINKS),
        ),
        (Reach("motor heavier by", None, "kg", "183.235"), Reach("structure", 0.2, "1", "")),
    ),
)


def published(kind: str) -> dict[str, object]:
    return json.loads(files("flotation").joinpath("data", f"{kind}.schema.json").read_text("utf-8"))


def faults(kind: str, document: object) -> list[str]:
    validator = Draft202012Validator(published(kind))
    return [f"{fault.json_path}: {fault.message}" for fault in validator.iter_errors(document)]


def script():
    spec = importlib.util.spec_from_file_location(
        "make_schemas", ROOT / "tests" / "schemas" / "make_schemas.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_published_schemas_are_those_that_follow_from_the_code() -> None:
    made = script().schemas()
    assert len(made) == len(KINDS)
    for file, text in made.items():
        assert file.read_text("utf-8") == text, f"run tests/schemas/make_schemas.py: {file.name}"


@pytest.mark.parametrize("kind", KINDS)
def test_a_schema_is_one_of_draft_2020_12(kind: str) -> None:
    schema = published(kind)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)


def objects(schema: object) -> Iterator[dict[str, object]]:
    if isinstance(schema, dict):
        if schema.get("type") == "object":
            yield schema
        for inner in schema.values():
            yield from objects(inner)
    elif isinstance(schema, list):
        for inner in schema:
            yield from objects(inner)


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_is_described_needed_and_alone(kind: str) -> None:
    found = list(objects(published(kind)))
    assert len(found) > {"cavities": 3, "holes": 1}.get(kind, 10)
    for schema in found:
        assert schema["additionalProperties"] is False
        assert schema["description"]
        assert schema["required"] == list(schema["properties"])
        for key, own in schema["properties"].items():
            assert len(own["description"]) > 3, key


@pytest.fixture
def documents(boat: Boat, plan: PourPlan, assessment: Assessment) -> dict[str, dict[str, object]]:
    entries = (
        Entry("boat.toml", "[boat] name", "A boat"),
        Entry("boat.toml", "[boat] length", "4 m", 4.0, "m"),
    )
    known = replace(boat, entries=entries)
    return {
        "assessment": json.loads(assessment_json(assessment, known, BESIDE)),
        "pour": json.loads(pour_json(plan, known)),
        "cavities": json.loads(cavities_json(found_by_hand())),
        "holes": json.loads(holes_json(boat, proposing(plan))),
    }


@pytest.mark.parametrize("kind", KINDS)
def test_reports_keep_to_their_schema(kind: str, documents) -> None:
    assert faults(kind, documents[kind]) == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_key_more_or_less_or_of_another_kind_is_found(kind: str, documents) -> None:
    document = documents[kind]
    for key in document:
        less = {name: value for name, value in document.items() if name != key}
        assert faults(kind, less), key
        if key not in MAY_BE_NULL:
            assert faults(kind, document | {key: None}), key
    assert faults(kind, document | {"approved": True})


@pytest.mark.parametrize("kind", REPORTS)
def test_an_entry_of_another_kind_is_found(kind: str, documents) -> None:
    document = documents[kind]
    deep = copy.deepcopy(document)
    deep["made_from"]["entries"][1]["value"] = "4 m"
    assert len(faults(kind, deep)) == 1


@pytest.mark.parametrize("file", COMMITTED, ids=lambda file: f"{file.parent.name} {file.stem}")
def test_the_example_reports_keep_to_their_schema(file: Path) -> None:
    assert faults(file.stem, json.loads(file.read_text("utf-8"))) == []


def test_there_are_example_reports() -> None:
    assert len(COMMITTED) == 10


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("cavities", 0, "volume_m3"), "0.18"),
        (("cavities", 0, "centroid_m"), [0.6, 0.2]),
        (("cavities", 0, "touching"), ["side"]),
        (("leaks", 0, "passage"), None),
        (("leaks", 0, "to"), "outside"),
        (("gaps", 0, "between"), [1.5]),
        (("gaps", 0, "width_m"), 0.002),
    ],
)
def test_a_wrong_value_deep_in_found_cavities_is_found(place, value, documents) -> None:
    document = copy.deepcopy(documents["cavities"])
    kind, number, key = place
    document[kind][number][key] = value
    assert len(faults("cavities", document)) >= 1


def test_a_hole_of_no_known_state_is_found(documents) -> None:
    document = copy.deepcopy(documents["holes"])
    assert {hole["state"] for hole in document["holes"]} == {"stated", "proposed"}
    document["holes"][-1]["state"] = "approved"
    assert len(faults("holes", document)) == 1
