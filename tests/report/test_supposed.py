"""What if stands on the page after the one that decides, and no page is left half empty."""

import io
import re
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.report.beside import Beside
from flotation.report.calculation import calculation_report
from flotation.report.supposed import what_if_data
from flotation.swamped.assessment import Assessment, Outcome
from flotation.swamped.trials.varied import Varied
from flotation.swamped.what_if import Reach, Supposed, Then, WhatIf

ROOT = Path(__file__).parent.parent.parent
REPORTS = sorted((ROOT / "reports").glob("*/assessment.pdf"))
HELD = Varied("motor", "20 kg heavier", "183.235", Outcome.FLOATS, 0.1, -0.2, 0.42, True)
OVER = Varied("motor", "60 kg heavier", "183.225", Outcome.TURTLE, 3.1, 0.6, -1.0, False)


def then(margin: float) -> tuple[Then, ...]:
    return (Then("Plate: persons weight", margin, "kg", margin >= 0.0),)


FOUND = WhatIf(
    Supposed("as stated", "", then(10.7), HELD),
    (
        Supposed("motor", "20 kg heavier", then(-9.33), HELD),
        Supposed("motor", "60 kg heavier", then(-49.3), OVER),
    ),
    (
        Reach("motor heavier by", 10.5, "kg", "Plate: persons weight"),
        Reach("all structure heavier by", 0.175, "1", ""),
        Reach("water in a share of all foam", None, "1", "183.225"),
    ),
)


@pytest.fixture(scope="module")
def pages(boat: Boat, plan: PourPlan, assessment: Assessment) -> list[str]:
    pdf = calculation_report(boat, plan, assessment, beside=Beside((), FOUND))
    return [" ".join(p.extract_text().split()) for p in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def test_what_if_is_answered_by_turning_one_page(pages: list[str]) -> None:
    assert "What if" not in pages[0]
    assert "motor 20 kg heavier" in pages[1]
    assert "−9.33 kg" in pages[1]
    assert "−20.6 lb" in pages[1]
    assert "183.235: heel 5.73°, deeper end −200 mm (−7.87 in), 42 % left" in pages[1]
    assert "183.225: floats bottom up" in pages[1]


def test_how_far_each_may_grow_is_said_with_the_limit_that_ends_it(pages: list[str]) -> None:
    assert "met up to 10.5 kg (23.1 lb); beyond it Plate: persons weight is not met" in pages[1]
    assert "heavier by: as stated, every limit is met up to 17.5 %, as far as was" in pages[1]
    assert "water in a share of all foam: a limit is not met as stated (183.225)" in pages[1]


def test_without_the_question_there_is_no_table(
    boat: Boat, plan: PourPlan, assessment: Assessment, text_of: Callable[[bytes], str]
) -> None:
    assert what_if_data(None) is None
    assert "What if" not in text_of(calculation_report(boat, plan, assessment))


def test_a_boat_that_is_lost_as_stated_is_not_told_to_hold() -> None:
    lost = WhatIf(
        Supposed("as stated", "", then(10.7), OVER),
        (Supposed("motor", "20 kg heavier", then(1.0), None),),
        (),
    )
    data = what_if_data(lost)
    assert data is not None
    assert data["lost"] is True
    assert data["rows"][1]["test"] == "—"
    assert data["rows"][1]["meets"] is None


def lowest(page: pypdf.PageObject) -> float:
    """Height of the lowest text above the footer, as a share of the page."""
    heights: list[float] = []

    def visit(text: str, page_at: list[float], text_at: list[float], *_: object) -> None:
        if text.strip():
            height = text_at[4] * page_at[1] + text_at[5] * page_at[3] + page_at[5]
            heights.append(height / float(page.mediabox.height))

    page.extract_text(visitor_text=visit)
    return min(height for height in heights if height > 0.07)


@pytest.mark.parametrize("file", REPORTS, ids=lambda file: file.parent.name)
def test_no_page_of_an_example_report_is_half_empty(file: Path) -> None:
    pages = pypdf.PdfReader(file).pages
    assert len(pages) > 8
    for number, page in enumerate(pages[:-1], start=1):
        assert lowest(page) < 0.45, f"page {number}"


@pytest.mark.parametrize("file", REPORTS, ids=lambda file: file.parent.name)
def test_the_first_page_of_an_example_says_all_that_decides(file: Path) -> None:
    first, second = (
        " ".join(page.extract_text().split()) for page in pypdf.PdfReader(file).pages[:2]
    )
    for words in (
        "Weakest link.",
        "Recalled, not compared with the current text",
        "What was assumed",
        "test can show",
        "Tests in the water, by calculation",
    ):
        assert words in first
    assert re.search(r"motor 20 kg heavier", second)


def test_there_are_example_reports() -> None:
    assert len(REPORTS) == 3
