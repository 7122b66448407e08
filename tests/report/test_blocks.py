"""The columns of the tables of lines are as wide as their type, so that no cell is set twice."""

import io
import json
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
import typst

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.report.blocks import _GAP, _widths
from flotation.report.calculation import calculation_report
from flotation.report.typesetting import _font_folder
from flotation.swamped.assessment import Assessment, Section
from flotation.workings import COMPUTED, Mark, Source, Term, work_out

INSET = 1.4  # mm, of both sides of a cell together, as calculation_lines.typ has it
CELLS = [
    ("0.0007069 m³", ""),
    ("0.0001998 m3/s", ""),
    ("12127 N", ""),
    ("16092 Pa", "20.1"),
    ("36.729 kg/m³", "18.56"),
    ("−0.00024129 m3/s", "20.54"),
    ("0.014", ""),
]
SAID = ["c1", "c12, lift 2, S10", "w14 floor boards and battens", "c1, panel sole over the tank"]


def measured(words: list[str], folder: Path, size: float, weight: str = "regular") -> list[float]:
    """How wide the typesetter sets each text, mm."""
    page = folder / "measure.typ"
    page.write_text(
        '#set text(font: "Source Sans Pro", number-width: "tabular")\n#context [#metadata('
        f"json(bytes(sys.inputs.words)).map(words => measure(text(size: {size}pt, "
        f'weight: "{weight}", words)).width.mm()))<widths>]',
        encoding="utf-8",
    )
    found = typst.query(
        str(page), "<widths>", font_paths=[str(_font_folder())], ignore_system_fonts=True,
        sys_inputs={"words": json.dumps(words)},
    )  # fmt: skip
    return [float(width) for width in json.loads(found)[0]["value"]]


def row(number: str, subject: str, cell: tuple[str, str], si: str, us: str) -> dict[str, object]:
    return {
        "number": number, "subject": subject, "note": "", "cells": [list(cell)], "si": si, "us": us,
    }  # fmt: skip


def test_a_column_has_room_for_its_widest_cell_and_little_more(tmp_path: Path) -> None:
    texts = [text for text, _ in CELLS]
    plain, bold = measured(texts, tmp_path, 7.9), measured(texts, tmp_path, 7.9, "bold")
    references = measured([f"[{number}]" for _, number in CELLS], tmp_path, 6.5)
    said = measured(SAID, tmp_path, 7.9)
    for place, cell in enumerate(CELLS):
        line, subject, term, si, us = _widths([""], [row("20.10", SAID[0], cell, cell[0], cell[0])])
        needed = plain[place] + (references[place] if cell[1] else 0.0)
        for width, least in ((term, needed), (us, plain[place]), (si, bold[place])):
            assert width >= least + INSET, cell
            assert width <= 1.25 * least + _GAP or width <= 7.0 + _GAP, cell
        assert line >= measured(["20.10"], tmp_path, 7.9, "bold")[0] + INSET
        assert subject >= said[0] + INSET
    for text, least in zip(SAID, said, strict=True):
        assert _widths([], [{**row("1.1", text, ("", ""), "1 kg", ""), "cells": []}])[1] >= least


@pytest.fixture(scope="module")
def report(boat: Boat, plan: PourPlan, assessment: Assessment) -> bytes:
    """A calculation with twelve small areas, the first five and the last of a recalled source."""
    hand = Source("a handbook", mark=Mark.RECALLED)
    lines = tuple(
        work_out(
            f"c{number}: open area",
            "a",
            [Term("a", 0.0007069 + 1e-6 * number, "m2")],
            unit="m2",
            source=hand if number <= 5 or number == 12 else COMPUTED,
        )
        for number in range(1, 13)
    )
    more = (*assessment.sections, Section("Small areas", lines))
    return calculation_report(boat, plan, replace(assessment, sections=more))


def words_of(pdf: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_lines_that_follow_one_another_are_told_as_a_range(
    report: bytes, assessment: Assessment
) -> None:
    chapter = len(assessment.sections) + 1
    told = f"a handbook: lines {chapter}.1 to {chapter}.5, {chapter}.12"
    assert told.replace(" ", "") in words_of(report).replace(" ", "")


@pytest.mark.parametrize("files", range(1, 50, 8))  # a page has some fifty rows
def test_the_last_page_has_the_rules_in_one_piece(
    files: int, boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    many = replace(boat, files=tuple((f"part_{number}.stl", "ab" * 32) for number in range(files)))
    pdf = calculation_report(many, plan, assessment)
    last = pypdf.PdfReader(io.BytesIO(pdf)).pages[-1].extract_text()
    for told in ("Rules and data of this program", "blowing_agents.toml", "waters.toml", "byte"):
        assert told in last
