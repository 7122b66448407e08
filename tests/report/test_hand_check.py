"""The spreadsheet gives the report's numbers by its own formulas, and follows its inputs."""

import io
import re
import zipfile
from dataclasses import replace

import openpyxl
import pour_boats
import pytest
import small_boats
from many_assessments import EVERY
from sheet_values import Worked

from flotation.boat import Boat, Role, Scale, Weighing, Weight
from flotation.pour.plan import plan_pours
from flotation.pour.pourplan import PourPlan
from flotation.report.hand_check import hand_check_sheet
from flotation.report.hand_check_lines import hand_check
from flotation.report.numbered import Numbering, all_chapters
from flotation.report.sheet_formulas import sheet_formula
from flotation.swamped.assess import assess
from flotation.swamped.assessment import Assessment

CLOSE = 2e-8  # nine digits of each input
ROUNDED = 5e-6  # kg: differences of sums of some hundred kilograms, each rounded to nine digits
# The tests in the water rest on the same lines of the general method and take long.
ASHORE = [made for made in EVERY if not made.__name__.startswith("afloat")]


@pytest.fixture(scope="module")
def skiff_plan() -> PourPlan:
    """Any plan will do: the sheet takes its foam from the assessment."""
    return plan_pours(pour_boats.boat(pour_boats.side()))


def sheet_of(boat: Boat, plan: PourPlan) -> tuple[Worked, Assessment]:
    found = assess(boat, small_boats.skiff_foam())
    return Worked(hand_check_sheet(boat, plan, found)), found


def holds(worked: Worked, boat: Boat, found: Assessment, plan: PourPlan) -> int:
    """Compare every line of the sheet with the assessment's; how many there are."""
    numbering = Numbering(all_chapters(found, plan))
    check = hand_check(boat, found, numbering)
    lines = [numbered for chapter in check.chapters for numbered in chapter.lines]
    for numbered in lines:
        value = worked.named(f"line_{numbered.number}")
        assert value == pytest.approx(numbered.line.value, rel=CLOSE, abs=CLOSE), numbered.line
    for place, verdict in enumerate(check.verdicts, start=1):
        scale = CLOSE * max(1.0, abs(verdict.required))
        for name in ("required", "obtained", "margin"):
            value = worked.named(f"{name}_{place}")
            assert value == pytest.approx(getattr(verdict, name), rel=CLOSE, abs=scale)
    return len(lines)


@pytest.mark.parametrize("made", ASHORE, ids=lambda made: made.__name__)
def test_every_formula_gives_the_number_of_the_report(made, skiff_plan: PourPlan) -> None:
    found = made()
    boat = small_boats.skiff()
    worked = Worked(hand_check_sheet(boat, skiff_plan, found))
    assert holds(worked, boat, found, skiff_plan) > 15
    assert len(worked.formulas) > 30
    for place in worked.formulas:
        value, cached = worked.value(*place), worked.cached[place]
        if isinstance(value, str):
            assert value == cached
        else:
            assert value == pytest.approx(cached, rel=CLOSE, abs=ROUNDED), place


def changed(boat: Boat, role: Role, by: float) -> tuple[Boat, str, Weight]:
    """The boat with one weight changed, its symbol, and the weight as it is then."""
    (place,) = [i for i, weight in enumerate(boat.weights) if weight.role is role][:1]
    weight = replace(boat.weights[place], mass=boat.weights[place].mass + by)
    weights = (*boat.weights[:place], weight, *boat.weights[place + 1 :])
    return replace(boat, weights=weights), f"w{place + 1}", weight


@pytest.mark.parametrize("by", [20.0, -5.0, 200.0])
@pytest.mark.parametrize("role", [Role.MOTOR, Role.STRUCTURE, Role.BATTERY])
def test_a_changed_weight_moves_the_sheet_as_it_moves_the_assessment(
    role: Role, by: float, skiff_plan: PourPlan
) -> None:
    boat = small_boats.skiff()
    worked, before = sheet_of(boat, skiff_plan)
    other, symbol, weight = changed(boat, role, by)
    _, after = sheet_of(other, skiff_plan)
    worked.cells[worked.names[f"mass_{symbol}"]] = weight.mass
    moved = after.verdicts[0].margin - before.verdicts[0].margin
    assert abs(moved) > 0.5
    assert worked.named("margin_1") == pytest.approx(after.verdicts[0].margin, abs=1e-5)
    assert worked.named("required_1") == pytest.approx(after.verdicts[0].required, abs=1e-5)
    answer = worked.names["margin_1"][1].replace("D", "J")
    assert worked.value("Answer", answer) == pytest.approx(moved, abs=1e-5)


def test_formulas_end_in_cells_with_a_thick_frame_and_only_those_have_one(
    skiff_plan: PourPlan,
) -> None:
    boat = small_boats.skiff()
    xlsx = hand_check_sheet(boat, skiff_plan, assess(boat, small_boats.skiff_foam()))
    worked = Worked(xlsx)
    taken: set[tuple[str, str]] = set()
    for sheet, cell in worked.formulas:
        found = re.findall(r"(?:(\w+)!)?\$?([A-Z])\$?(\d+)", worked.cells[sheet, cell])
        taken |= {(where or sheet, column + row) for where, column, row in found}
    ends = {place for place in taken if place not in worked.formulas}
    book = openpyxl.load_workbook(io.BytesIO(xlsx))
    framed = {
        (sheet.title, cell.coordinate)
        for sheet in book
        for row in sheet
        for cell in row
        if cell.border.left.style == "medium"
    }
    assert {sheet for sheet, _ in framed} == {"Weights", "Inputs"}
    assert {place for place in ends if place[0] not in ("Units", "Answer")} == framed


def test_the_words_turn_when_the_limit_is_no_longer_met(skiff_plan: PourPlan) -> None:
    worked, found = sheet_of(small_boats.skiff(), skiff_plan)
    words = worked.names["margin_1"][1].replace("D", "H")
    assert found.verdicts[0].meets
    assert worked.value("Answer", words) == "meets the calculated limit"
    worked.cells[worked.names["mass_w1"]] = 5000.0
    assert worked.value("Answer", words) == "falls short"


def test_a_margin_within_the_stated_tolerances_is_not_decided(skiff_plan: PourPlan) -> None:
    boat = small_boats.skiff()
    (place,) = [i for i, weight in enumerate(boat.weights) if weight.item == "rail"]
    weights = list(boat.weights)
    weights[place] = replace(weights[place], tolerance=3.0)  # counted in full
    worked, found = sheet_of(replace(boat, weights=tuple(weights)), skiff_plan)
    cell = worked.names["margin_1"][1]
    spread, decided = (cell.replace("D", column) for column in "KL")
    assert found.verdicts[0].spread == 3.0
    assert worked.value("Answer", spread) == 3.0
    assert worked.value("Answer", decided) == "yes"
    worked.cells[worked.names[f"mass_w{place + 1}"]] += worked.named("margin_1") - 2.5
    assert worked.named("margin_1") == pytest.approx(2.5)
    assert worked.value("Answer", decided) == "no: within the stated tolerances"


def test_text_from_a_boat_file_is_never_a_formula(skiff_plan: PourPlan) -> None:
    boat = small_boats.skiff()
    first = replace(boat.weights[0], item="=1+1", entry="@SUM(A1)")
    boat = replace(boat, name="=HYPERLINK(A1)", weights=(first, *boat.weights[1:]))
    xlsx = hand_check_sheet(boat, skiff_plan, assess(boat, small_boats.skiff_foam()))
    book = openpyxl.load_workbook(io.BytesIO(xlsx))
    for sheet in book:
        for row in sheet:
            for cell in row:
                nasty = ("=1+1", "=HYPERLINK", "@SUM")
                if isinstance(cell.value, str) and cell.value.startswith(nasty):
                    assert cell.data_type == "s" or cell.value.startswith("@")
    sheets = "".join(text for name, text in parts(xlsx).items() if "worksheets" in name)
    assert "HYPERLINK" not in sheets  # it stands among the texts alone
    assert "HYPERLINK" in parts(xlsx)["xl/sharedStrings.xml"]


def parts(xlsx: bytes) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(xlsx)) as packed:
        return {name: packed.read(name).decode() for name in packed.namelist()}


def test_the_same_values_give_the_same_bytes(skiff_plan: PourPlan) -> None:
    boat = small_boats.skiff()
    found = assess(boat, small_boats.skiff_foam())
    first, second = (hand_check_sheet(boat, skiff_plan, found) for _ in range(2))
    assert first == second
    with zipfile.ZipFile(io.BytesIO(first)) as packed:
        assert {info.compress_type for info in packed.infolist()} == {zipfile.ZIP_STORED}
        assert {info.date_time[0] for info in packed.infolist()} == {1980}
    assert "2000-01-01" in parts(first)["docProps/core.xml"]


def test_an_input_stands_once_however_many_lines_take_it(skiff_plan: PourPlan) -> None:
    boat = small_boats.skiff()
    found = assess(boat, small_boats.skiff_foam())
    check = hand_check(boat, found, Numbering(all_chapters(found, skiff_plan)))
    (persons,) = [given for given in check.givens.values() if given.symbol == "P"]
    assert len(persons.lines) > 1
    assert persons.kind == "stated"
    volumes = [given for given in check.givens.values() if given.symbol.startswith("v")]
    assert len(volumes) == len(small_boats.skiff_foam())
    assert {given.kind for given in volumes} == {"computed"}
    assert all(given.source for given in check.givens.values())


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        ("a + b * c", "=A1+B1*C1"),
        ("a - (b - c)", "=A1-(B1-C1)"),
        ("a / (b * c)", "=A1/(B1*C1)"),
        ("(a + b) * c", "=(A1+B1)*C1"),
        ("-a ** 2", "=(-POWER(A1,2))"),
        ("min(a, max(b, 0))", "=MIN(A1,MAX(B1,0))"),
        ("floor(a + 0.5)", "=INT(A1+0.5)"),
        ("ceil(a / b)", "=(-INT(-(A1/B1)))"),
        ("sqrt(a)", "=SQRT(A1)"),
    ],
)
def test_a_followed_formula_becomes_one_of_a_spreadsheet(formula: str, expected: str) -> None:
    assert sheet_formula(formula, {"a": "A1", "b": "B1", "c": "C1"}) == expected


@pytest.mark.parametrize("formula", ["a if b else c", "a.b", "a and b", "open(a)", "a % b"])
def test_what_is_no_followed_formula_is_refused(formula: str) -> None:
    with pytest.raises(ValueError, match="no part of a followed formula"):
        sheet_formula(formula, {"a": "A1", "b": "B1", "c": "C1"})


def put_right() -> dict[str, Boat]:
    """Boats whose list the program puts right: foam weighed with the hull, a weighing adopted."""
    boat = small_boats.skiff()
    scales = Weighing(Scale(0.3, 150.0), Scale(3.4, 150.0), frozenset({Role.STRUCTURE}), True)
    return {
        "foam in the hull": replace(boat, hull_has_foam=True),
        "weighing adopted": replace(boat, weighing=scales),
    }


@pytest.mark.parametrize("case", put_right())
def test_a_list_that_was_put_right_follows_its_inputs(case: str, skiff_plan: PourPlan) -> None:
    boat = put_right()[case]
    worked, before = sheet_of(boat, skiff_plan)
    assert before.sections[0].title in ("Weighing", "Foam that is already in the hull's weight")
    other, symbol, weight = changed(boat, Role.STRUCTURE, 7.0)
    _, after = sheet_of(other, skiff_plan)
    worked.cells[worked.names[f"mass_{symbol}"]] = weight.mass
    moved = after.verdicts[0].margin - before.verdicts[0].margin
    assert abs(moved) > 0.5
    assert worked.named("margin_1") == pytest.approx(after.verdicts[0].margin, abs=1e-5)
