"""Plan and assessment for machines: JSON and CSV.

The name of a number ends in its unit ("mass_kg"); a number whose unit differs from case to case
stands beside a "unit". Figures have six significant digits and are 0 below 1e-9, because the last
digits of a binary number may differ from machine to machine. The same value gives the same bytes.
"""

import csv
import io
import json
import math
from collections.abc import Iterable, Sequence
from dataclasses import astuple, fields, is_dataclass
from enum import Enum
from pathlib import Path

from flotation.boat import Boat, FoamInPlace
from flotation.geometry.solid import Solid
from flotation.pour.pourplan import CavityPour, DipRung, Lift, PourPlan, Rung
from flotation.report.beside import NOTHING_BESIDE, Beside
from flotation.report.holes import HoleRow, HolesDocument, hole_rows
from flotation.report.json_names import IN_DEGREES, json_name
from flotation.report.printing import DIGITS, NOTHING, decimal_text, few_digits
from flotation.report.text_tables import assessment_text, pour_text, volume_text, written_text
from flotation.report.trials_text import beyond_text, swamp_tests_text
from flotation.rulebook import editions
from flotation.swamped.assessment import Assessment
from flotation.swamped.trials.beyond import Beyond
from flotation.swamped.trials.swamp_test import SwampTest
from flotation.version import VERSION
from flotation.workings import Line, Source

__all__ = [
    "assessment_csv",
    "assessment_json",
    "assessment_text",
    "beyond_json",
    "beyond_text",
    "holes_csv",
    "holes_json",
    "pour_csv",
    "pour_json",
    "pour_text",
    "swamp_tests_json",
    "swamp_tests_text",
    "volume_json",
    "volume_text",
    "written_json",
    "written_text",
]

FORMAT = 1
POUR_PLAN, ASSESSMENT, CAVITIES, HOLES = "pour plan", "assessment", "cavities", "holes"
_SHOT_COLUMNS = (
    "order", "group", "cavity", "lift", "lifts", "hole", "shot", "weigh_a_kg", "weigh_b_kg",
    "volume_a_m3", "volume_b_m3", "mass_kg", "opening_s", "dip_m", "dip_least_m", "wait_s", "foam",
    "batch", "start_s", "end_s", "next_after_s",
)  # fmt: skip
_LINE_COLUMNS = (
    "part", "name", "formula", "value", "required", "margin", "unit", "meets", "decides", "source",
    "mark", "note",
)  # fmt: skip


def pour_json(plan: PourPlan, boat: Boat | None = None) -> str:
    """The whole plan.

    boat  that it was made for; None: the text does not say what it was made from
    """
    return document(POUR_PLAN, {"made_from": _made_from(boat), **plain(plan)})


def assessment_json(
    assessment: Assessment, boat: Boat | None = None, beside: Beside = NOTHING_BESIDE
) -> str:
    """The whole assessment, and whether every calculated limit is met.

    boat    that was assessed; None: the text does not say what it was made from
    beside  what the printed report has beside the assessment
    """
    content = {"meets": assessment.meets, **plain(assessment), **plain(beside)}
    return document(ASSESSMENT, {"made_from": _made_from(boat), **content})


def _made_from(boat: Boat | None) -> dict[str, object] | None:
    """Files and rules with their hashes, every entry of the files, and how figures are rounded."""
    if boat is None:
        return None
    return {
        "digits": DIGITS,
        "zero_below": NOTHING,
        "files": [{"file": name, "sha256": digest} for name, digest in boat.files],
        "rules": [plain(edition) for edition in editions()],
        "entries": [plain(entry) for entry in boat.entries],
        "notes": list(boat.notes),
    }


def beyond_json(name: str, found: Beyond | None) -> str:
    """What lies beyond the regulation; null where nothing was run."""
    return document("beyond the regulation", {"boat": name, "found": _json(found)})


def swamp_tests_json(name: str, sheets: Sequence[SwampTest]) -> str:
    """The sheets of the tests in real water."""
    return document("tests in real water", {"boat": name, "sheets": _json(tuple(sheets))})


def volume_json(solids: Sequence[tuple[str, Solid]]) -> str:
    """Volume, area, centroid and size of solids, each with the name it is asked for by."""
    rows = [
        {
            "file": name,
            "volume_m3": few_digits(solid.volume),
            "area_m2": few_digits(solid.area),
            "centroid_m": [few_digits(x) for x in solid.centroid],
            "low_m": [few_digits(x) for x in solid.bounds[0]],
            "high_m": [few_digits(x) for x in solid.bounds[1]],
            "triangles": len(solid.faces),
        }
        for name, solid in solids
    ]
    return document("volumes", {"solids": rows})


def written_json(files: Iterable[Path]) -> str:
    """Names of the files that were written."""
    return document("files written", {"files": [str(file) for file in files]})


def pour_csv(plan: PourPlan) -> str:
    """A row for every bucket or shot, in pouring order; only the stops while there is one."""
    if not plan.go:
        return _csv(("do_not_pour",), [(reason,) for reason in plan.stops])
    rows = [row for pour in plan.pours for lift in pour.lifts for row in _shot_rows(pour, lift)]
    return _csv(_SHOT_COLUMNS, sorted(rows, key=lambda row: (row[0], row[6])))


def holes_csv(boat: Boat, plan: PourPlan) -> str:
    """A row for every hole of the boat: where it is, its steps, and what is weighed for it.

    Then the holes that the plan proposes, with what each gains. They are no holes yet: their state
    says so, and they have no diameter.
    """
    rows = [astuple(row) for row in hole_rows(boat, plan)]
    return _csv([field.name for field in fields(HoleRow)], rows)


def holes_json(boat: Boat, plan: PourPlan) -> str:
    """The same as a list of holes."""
    return document(HOLES, plain(HolesDocument(boat.name, hole_rows(boat, plan))))


def assessment_csv(assessment: Assessment) -> str:
    """A row for every limit, then a row for every followed number."""
    limits = [
        (
            "limit", limit.name, "", limit.obtained, limit.required, limit.margin, limit.unit,
            limit.meets, limit.decides, limit.criterion.source, limit.criterion.source.mark,
            limit.sentence,
        )
        for limit in assessment.limits
    ]  # fmt: skip
    lines = [
        (section.title, *_line_row(line))
        for section in assessment.sections
        for line in section.lines
    ]
    return _csv(_LINE_COLUMNS, [*limits, *lines])


def _shot_rows(pour: CavityPour, lift: Lift) -> list[tuple[object, ...]]:
    return [
        (
            lift.order, pour.group, pour.cavity, lift.number, lift.of, lift.hole, shot.number,
            shot.weigh_a, shot.weigh_b, shot.volume_a, shot.volume_b, shot.mass, shot.seconds,
            lift.dip, lift.dip_least, lift.wait, pour.foam, shot.batch, shot.start, shot.end,
            lift.next_after,
        )
        for shot in lift.shots
    ]  # fmt: skip


def _line_row(line: Line) -> tuple[object, ...]:
    return (
        line.label, line.formula, line.value, "", "", line.unit, "", "", line.source,
        line.source.mark, line.note,
    )  # fmt: skip


def _csv(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Comma-separated, a header, one line end; text that a spreadsheet would run is quoted."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


_RUN_BY_SPREADSHEETS = (
    "=",
    "+",
    "-",
    "@",
    "\t",
    "\r",
    "\n",
    "\uff1d",
    "\uff0b",
    "\uff0d",
    "\uff20",
)
"""With their wide forms, which some spreadsheets read alike."""


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return decimal_text(value)
    text = str(value)
    return f"'{text}" if text.startswith(_RUN_BY_SPREADSHEETS) else text


def document(kind: str, content: dict[str, object]) -> str:
    """JSON with format, kind and version at its head."""
    head = {"format": FORMAT, "kind": kind, "version": VERSION}
    return json.dumps({**head, **content}, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def plain(value: object) -> dict[str, object]:
    """A dataclass as JSON names and values, its fields in their own order."""
    assert is_dataclass(value)
    found: dict[str, object] = {}
    for field in fields(value):
        item = getattr(value, field.name)
        if {field.name, f"{type(value).__name__}.{field.name}"} & IN_DEGREES:
            item = _degrees(item)
        found[json_name(type(value).__name__, field.name)] = _json(item)
    match value:
        case FoamInPlace(solid=solid):
            found["centroid_m"] = [few_digits(x) for x in solid.centroid]
            found["volume_m3"] = few_digits(solid.volume)
            del found["solid"]
        case Source():
            found["text"] = str(value)
        case DipRung(shots=shots):
            found["shots"] = _batch(shots)
        case Rung(shots=lifts, seconds=openings):
            del found["opening_s"]
            found["shots"] = [
                {**_batch(shots), "opening_s": _json(opening)}
                for shots, opening in zip(lifts, openings, strict=True)
            ]
    return found


def _degrees(angle: object) -> object:
    if isinstance(angle, tuple):
        return tuple(_degrees(one) for one in angle)
    return math.degrees(angle) if isinstance(angle, float) else angle


def _batch(shots: tuple[int, float, float]) -> dict[str, object]:
    count, weigh_a, weigh_b = shots
    return {"count": count, "weigh_a_kg": few_digits(weigh_a), "weigh_b_kg": few_digits(weigh_b)}


def _json(value: object) -> object:
    match value:
        case Solid():
            return None
        case Enum():
            return value.value
        case bool() | int() | str() | None:
            return value
        case float():
            return few_digits(value)
        case tuple() | list():
            return [_json(item) for item in value]
    return plain(value)
