"""The report shows every line, its numbers, its source and its mark; no word approves."""

import io
import re
from collections.abc import Callable
from dataclasses import replace

import pypdf
import pytest
from assessment_by_hand import FILE, HANDBOOK

from flotation.boat import Boat
from flotation.pour.pourplan import PourPlan
from flotation.report.arranged import split_label
from flotation.report.calculation import calculation_report, weakest_link
from flotation.report.numbered import Numbering, all_chapters
from flotation.report.printing import put_in, si, us
from flotation.swamped.assessment import Assessment, Section, Trial
from flotation.workings import COMPUTED, Line, Term, work_out

Read = Callable[[bytes], str]


@pytest.fixture(scope="module")
def report(boat: Boat, plan: PourPlan, assessment: Assessment) -> bytes:
    return calculation_report(boat, plan, assessment)


@pytest.fixture(scope="module")
def words(report: bytes, text_of: Read) -> str:
    return text_of(report)


def pages_of(report: bytes) -> list[str]:
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(report)).pages]


def squeezed(text: str) -> str:
    """Without blanks: where a page breaks its lines says nothing."""
    return re.sub(r"\s", "", text)


def test_every_line_is_in_it_with_value_and_numbers(
    words: str, assessment: Assessment, plan: PourPlan
) -> None:
    page = squeezed(words).lower()
    lines = [*assessment.lines, *plan.lines]
    lines += [line for pour in plan.pours for line in pour.lines]
    numbers = [numbered.number for numbered in Numbering(all_chapters(assessment, plan)).all()]
    assert len(numbers) == len(set(numbers)) == len(lines)
    for number in numbers:
        assert number in words
    for line in lines:
        assert squeezed(split_label(line.label)[1]).lower() in page
        assert squeezed(si(line.value, line.unit)).lower() in page
        assert squeezed(us(line.value, line.unit)).lower() in page
        for term in line.terms:
            assert squeezed(put_in(term.value, term.unit)).lower() in page


def test_a_line_reads_as_formula_numbers_value_and_source(words: str) -> None:
    assert squeezed(
        "1.1 Persons counted 120.7 kg 266.0 lb = 0.5 × min(P, first) + 0.125 × max(P − first, 0)"
        "= 0.5 × min(241.3 kg, 249.48 kg) + 0.125 × max(241.3 kg − 249.48 kg, 0)"
        "33 CFR 183.220, (b), 2018 recalled"
    ) in squeezed(words)


def part(number: int, mass: float, k: Line) -> Line:
    return work_out(
        f"w{number} part {number}, under water",
        "mass * K",
        [Term("mass", mass, "kg", FILE), k.term("K")],
        unit="kg",
        source=HANDBOOK,
    )


def centre(axis: str, place: float, parts: list[Line]) -> Line:
    terms = [line.term(f"w{number}") for number, line in enumerate(parts, start=1)]
    terms += [Term(f"{axis}_w{number}", number * place, "m", FILE) for number in (1, 2)]
    terms.append(Term("total", 46.5, "kg", COMPUTED))
    formula = f"(w1 * {axis}_w1 + w2 * {axis}_w2) / total"
    return work_out(f"What lifts, {axis}", formula, terms, unit="m", source=COMPUTED)


def test_lines_of_one_formula_share_a_table_that_keeps_every_number(
    boat: Boat, plan: PourPlan, assessment: Assessment, text_of: Read
) -> None:
    terms = [Term("w", 1000.0, "kg/m3", COMPUTED), Term("d", 1600.0, "kg/m3", FILE)]
    k = work_out("K of laminate", "1 - w / d", terms, unit="1", source=COMPUTED)
    parts = [part(1, 91.0, k), part(2, 33.0, k)]
    places = (("x", 1.5), ("y", 0.25), ("z", 0.3))
    centres = tuple(centre(axis, place, parts) for axis, place in places)
    sections = (Section("Boat", (k, *parts)), Section("Centres", centres))
    words = text_of(
        calculation_report(boat, plan, replace(assessment, verdicts=(), sections=sections))
    )
    assert words.count("= mass × K") == 1
    assert "in each row: K 0.375[1.1]" in words
    assert "1.2 w1 part 1 91 kg 34.12 kg 75.23 lb" in words
    assert "1.3 w2 part 2 33 kg 12.38 kg 27.28 lb" in words
    assert words.count("Boatbuilder's handbook, flotation part, formula 2 · mass: boat.toml") == 1
    assert "w2 12.375 kg[1.3] 3 m 0.5 m 0.6 m" in words
    assert "2.1 x = 1.899 m 6.231 ft 2.2 y = 316.5 mm 12.46 in 2.3 z = 379.8 mm" in words


def test_a_table_that_goes_on_has_its_heads_on_each_page(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    given = [Term("water", 1000.0, "kg/m3", HANDBOOK), Term("density", 1600.0, "kg/m3", FILE)]
    k = work_out("K of laminate", "1 - water / density", given, unit="1", source=HANDBOOK)
    parts = [part(number, 10.0 + number, k) for number in range(1, 400)]
    sections = (Section("The boat", (k, *parts)),)
    report = calculation_report(boat, plan, replace(assessment, sections=sections))
    pages = [" ".join(text.split()) for text in pages_of(report)]
    with_rows = [text for text in pages if re.search(r"w\d+ part \d+ ", text)]
    assert len(with_rows) >= 3
    for text in with_rows:
        assert text.index("line for mass result line for mass result") < text.index(" part ")


def test_a_table_of_pours_names_cavity_lift_and_hole(words: str) -> None:
    assert "4.5 c1, lift 2, P1 4.275 kg 9.426 lb" in words
    assert "in each row: volume 0.123 m³, density 34.76 kg/m³" in words


def test_a_result_used_later_refers_to_its_line(words: str) -> None:
    assert squeezed("80.99 kg[1.2]") in squeezed(words)
    assert squeezed("120.65 kg[1.1]") in squeezed(words)


def test_the_first_page_decides(report: bytes, assessment: Assessment) -> None:
    first = " ".join(pypdf.PdfReader(io.BytesIO(report)).pages[0].extract_text().split())
    assert assessment.scope.sentence in first
    for verdict in assessment.verdicts:
        assert verdict.name in first
        assert verdict.sentence in first
        assert si(verdict.required, verdict.unit) in first
        assert si(verdict.obtained, verdict.unit) in first
    for sentence in (*assessment.assumptions, *assessment.open_points):
        assert sentence in first
    assert "Weakest link. Height of the lift: falls short" in first
    assert "Recalled, not compared with the current text – 33 CFR 183.220, (b), 2018: line 1.1" in (
        first
    )


@pytest.mark.parametrize(
    ("heeded", "said"),
    [
        ((False, None), "1 kind of advice is not followed everywhere and 1 kind of advice is open"),
        ((False, False), "2 kinds of advice are not followed everywhere: page"),
        ((None, True), "Beside the limits, 1 kind of advice is open: page"),
    ],
)
def test_the_first_page_counts_what_is_beside_the_limits(
    boat: Boat,
    plan: PourPlan,
    assessment: Assessment,
    heeded: tuple[bool | None, ...],
    said: str,
) -> None:
    notes = assessment.findings[1:]
    findings = tuple(replace(n, heeded=one) for n, one in zip(notes, heeded, strict=True))
    report = calculation_report(boat, plan, replace(assessment, findings=findings))
    assert said in " ".join(pages_of(report)[0].split())


@pytest.mark.parametrize("count", [12, 48, 56])
def test_the_first_page_holds_all_that_was_assumed(
    boat: Boat, plan: PourPlan, assessment: Assessment, count: int
) -> None:
    says = (
        "what was taken for granted where the boat file says nothing, in a sentence of two lines "
        "or three."
    )
    assumed = tuple(f"Number {number}: {says}" for number in range(1, count + 1))
    pages = pages_of(calculation_report(boat, plan, replace(assessment, assumptions=assumed)))
    assert all(f"Number {number}:" in pages[0] for number in range(1, count + 1))
    assert "Number" not in pages[1]


def test_more_than_the_first_page_holds_is_printed_on_the_next(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    assumed = tuple(f"Number {number}: taken for granted." for number in range(1, 401))
    pages = pages_of(calculation_report(boat, plan, replace(assessment, assumptions=assumed)))
    found = " ".join(pages)
    assert all(f"Number {number}:" in found for number in range(1, 401))


def test_the_first_page_refers_to_lines_by_number_and_page(
    report: bytes, assessment: Assessment
) -> None:
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(report)).pages]
    found = re.search(r"line\s+2\.1,\s+p\.\s*(\d+)", pages[0])
    assert found
    assert assessment.verdicts[0].required_line in pages[int(found.group(1)) - 1]


def test_the_weakest_link_is_the_least_margin_for_what_is_required(assessment: Assessment) -> None:
    volume, height = assessment.verdicts
    assert weakest_link((volume, height)) is height
    assert weakest_link((volume, replace(height, decides=False))) is volume
    assert weakest_link(()) is None


def test_a_margin_within_the_tolerances_is_not_decided(
    boat: Boat, plan: PourPlan, assessment: Assessment, text_of: Read
) -> None:
    close = replace(assessment.verdicts[0], spread=10.0)
    words = text_of(calculation_report(boat, plan, replace(assessment, verdicts=(close,))))
    assert "not decided" in words


def test_inputs_are_printed(words: str, boat: Boat) -> None:
    for item in boat.weights:
        assert item.item in words
        assert si(item.mass, "kg") in words
    for cavity in boat.cavities:
        assert cavity.name in words
        assert si(cavity.solid.volume, "m3", 5) in words
        for hole in cavity.holes:
            assert f"{hole.name} {hole.kind.value}, {si(hole.diameter, 'm')} at" in words
    for name, digest in boat.files:
        assert name in words
        assert digest in words.replace(" ", "")
    assert "113 : 100 by mass" in words
    assert boat.notes[0] in words
    assert boat.chambers[0].name in words


def test_findings_are_printed(words: str, assessment: Assessment) -> None:
    for finding in assessment.findings:
        assert finding.advice in words
        assert finding.found in words


def test_no_word_sounds_like_approval(words: str) -> None:
    assert not re.search(r"approv|complian|certif|guarant|\bpass(es|ed)\b|legal", words, re.I)


def test_trials_are_printed_once_there_are_some(
    boat: Boat, plan: PourPlan, assessment: Assessment, text_of: Read
) -> None:
    trial = Trial("183.230", "port", 0.1745, 0.0349, -0.1, 0.2, True)
    words = text_of(calculation_report(boat, plan, replace(assessment, trials=(trial,))))
    assert "Tests in the water, simulated" in words
    assert "183.230, port" in words
    assert "heel 10.0°, trim 2.00°" in words


def test_a_test_within_the_tolerances_says_so_on_the_first_page(
    boat: Boat, plan: PourPlan, assessment: Assessment
) -> None:
    near = replace(
        assessment.verdicts[0], name="183.235: heel", margin=-0.05, spread=0.1, meets=False
    )
    sure = replace(near, name="183.235, deeper end", spread=0.01)
    for verdicts, said in (((near, sure), "not decided: heel"), ((sure,), "")):
        trial = Trial("183.235", "", 0.2, 0.03, -0.1, 0.2, False, verdicts=verdicts)
        report = calculation_report(boat, plan, replace(assessment, trials=(trial,), verdicts=()))
        first = " ".join(pages_of(report)[0].split())
        assert said in first
        assert ("not decided" in first) is bool(said)


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_both_papers(
    boat: Boat, plan: PourPlan, assessment: Assessment, paper: str, size: tuple[int, int]
) -> None:
    pdf = calculation_report(boat, plan, assessment, paper)
    for page in pypdf.PdfReader(io.BytesIO(pdf)).pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == size


def test_the_same_values_give_the_same_bytes(
    boat: Boat, plan: PourPlan, assessment: Assessment, report: bytes
) -> None:
    assert calculation_report(boat, plan, assessment) == report


@pytest.mark.parametrize("name", ["#panic()", "$x$", "<b>bow</b>", "= head", '"] + panic("'])
def test_markup_in_names_stays_text(
    boat: Boat, plan: PourPlan, assessment: Assessment, name: str, text_of: Read
) -> None:
    strange = replace(
        boat, name=name, notes=(name,), weights=(replace(boat.weights[0], item=name),)
    )
    words = text_of(calculation_report(strange, plan, replace(assessment, assumptions=(name,))))
    assert words.count(name) >= 4


def test_a_boat_without_foam_or_limits_has_a_report(
    boat: Boat, plan: PourPlan, assessment: Assessment, text_of: Read
) -> None:
    empty = replace(assessment, verdicts=(), cavities=(), balance=None, findings=(), sections=())
    bare = replace(boat, cavities=(), chambers=(), weighing=None, foams=(), weights=())
    nothing = replace(plan, pours=(), totals=(), cups=(), lines=(), foam=())
    assert "Weakest link" not in text_of(calculation_report(bare, nothing, empty))
