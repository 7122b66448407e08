"""The spreadsheet for a check by hand: the general method with every formula live.

Formulas are those of the followed lines, with a cell for each symbol; nothing is typed twice. A
cell that may be changed has a thick frame. Numbers have nine digits, three more than in JSON, so
that differences come out alike: nothing in this method is searched for.
"""

import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from math import ceil

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from flotation.boat import Boat, Weight
from flotation.pour.pourplan import PourPlan
from flotation.report.hand_check_lines import (
    COMPUTED,
    MASS,
    SWAMPED,
    Chosen,
    Given,
    HandCheck,
    Key,
    hand_check,
)
from flotation.report.numbered import Numbered, Numbering, all_chapters
from flotation.report.printing import NOT_STATED, few_digits
from flotation.report.sheet_formulas import sheet_formula
from flotation.swamped.assessment import Assessment, Verdict
from flotation.units import System, shown
from flotation.units.scales import SCALES
from flotation.version import VERSION

_MADE = datetime(2000, 1, 1)  # a file that carries the time of its making is never the same twice
_LETTERS = 1.12  # of running text, in a column as wide as one digit
_ROW = 15.0  # points, a row of one line of text
_EARLIEST = (1980, 1, 1, 0, 0, 0)
_nine = partial(few_digits, digits=9)
_UNIX = 3  # what an archive says of the system that made it, whichever it was
_DECIMALS = {"kg": 3, "m": 4, "m3": 6, "kg/m3": 3, "1": 5, "": 5}
_KINDS = {
    "stated": "stated in the boat file",
    "published": "published",
    COMPUTED: "computed by the program; it does not follow other cells",
}
_SAYS = (
    "It calculates; it does not certify. The regulation's own text and a physical test decide.",
    "Cells with a thick frame may be changed: the weight list, and the numbers of the sheet "
    "Inputs. Every other number is a formula and follows.",
    "A line has the same number as in the calculation report. What the program computes from "
    "meshes and from the pour plan (volumes, masses of foam, tolerances under water) stands as a "
    "number: change the boat file and run the program where the boat's form changes.",
)


def hand_check_sheet(boat: Boat, plan: PourPlan, assessment: Assessment) -> bytes:
    """The spreadsheet (XLSX). The same values give the same bytes.

    Sheets: Answer, Weights, Inputs, Calculation, Units. Text from a boat file is written as text
    and never read as a formula.
    """
    check = hand_check(boat, assessment, Numbering(all_chapters(assessment, plan)))
    buffer = io.BytesIO()
    with Workbook(buffer, {"in_memory": True}) as book:
        book.set_properties({"title": boat.name, "created": _MADE})
        _Sheets(book, boat, check).write()
    return _stored(buffer.getvalue())


def _stored(made: bytes) -> bytes:
    """The same files without compression, whose bytes depend on the library that compresses."""
    packed = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(made)) as source,
        zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as target,
    ):
        for name in source.namelist():
            entry = zipfile.ZipInfo(name, _EARLIEST)
            entry.create_system = _UNIX
            target.writestr(entry, source.read(name))
    return packed.getvalue()


@dataclass
class _Sheets:
    """The workbook while it is written, and where each number came to stand."""

    book: Workbook
    boat: Boat
    check: HandCheck
    weights: dict[tuple[str, str], str] = field(default_factory=dict)
    givens: dict[Key, str] = field(default_factory=dict)
    lines: dict[tuple[str, float], str] = field(default_factory=dict)
    factors: dict[str, tuple[str, str]] = field(default_factory=dict)
    widths: dict[tuple[str, int], float] = field(default_factory=dict)

    def write(self) -> None:
        names = ("Answer", "Weights", "Inputs", "Calculation", "Units")
        self.formats = _Formats(self.book)
        answer, weights, inputs, calculation, units = (self._sheet(name) for name in names)
        self._units(units)
        self._weights(weights)
        self._inputs(inputs)
        self._calculation(calculation)
        self._answer(answer)

    def _sheet(self, name: str) -> Worksheet:
        sheet = self.book.add_worksheet(name)
        sheet.set_landscape()
        sheet.set_paper(9)
        sheet.fit_to_pages(1, 0)
        sheet.hide_gridlines(2)
        return sheet

    def _heads(self, sheet: Worksheet, row: int, heads: Sequence[tuple[str, float]]) -> None:
        for column, (head, width) in enumerate(heads):
            sheet.set_column(column, column, width)
            self.widths[sheet.name, column] = width
            sheet.write_string(row, column, head, self.formats.head)
        if row < 2:
            sheet.freeze_panes(row + 1, 0)
            sheet.repeat_rows(0, row)

    def _texts(self, sheet: Worksheet, row: int, texts: Mapping[int, str]) -> None:
        """Texts by column; the row grows to the longest, which not every program does by itself."""
        rows = 1
        for column, text in texts.items():
            sheet.write_string(row, column, text, self.formats.text)
            rows = max(rows, ceil(len(text) / (_LETTERS * self.widths[sheet.name, column])))
        sheet.set_row(row, _ROW * rows)

    def _units(self, sheet: Worksheet) -> None:
        heads = [("SI", 12.0), ("US customary", 16.0), ("US customary for 1 SI", 24.0)]
        self._heads(sheet, 0, heads)
        row = 1
        for unit, system in SCALES:
            if (
                system is System.SI
                or unit in ("K", "", "1")
                or SCALES[unit, System.SI][0] == (SCALES[unit, system][0])
            ):
                continue
            one = shown(1.0, unit, System.US, digits=12, coherent=True)
            sheet.write_string(row, 0, unit, self.formats.text)
            sheet.write_string(row, 1, one.unit, self.formats.text)
            sheet.write_number(row, 2, float(one.value), self.formats.factor)
            self.factors[unit] = (_cell("Units", row, 2), one.unit)
            row += 1

    def _us(self, sheet: Worksheet, place: tuple[int, int], value: float, unit: str) -> None:
        """The number two columns to the left in US customary units, and its unit."""
        row, column = place
        if unit not in self.factors:
            sheet.write_blank(row, column, None, self.formats.text)
            sheet.write_blank(row, column + 1, None, self.formats.text)
            return
        factor, label = self.factors[unit]
        formula = f"={xl_rowcol_to_cell(row, column - 2)}*{factor}"
        per_si = float(shown(1.0, unit, System.US, digits=12, coherent=True).value)
        number = self.formats.number(unit)
        sheet.write_formula(row, column, formula, number, _nine(value * per_si))
        sheet.write_string(row, column + 1, label, self.formats.text)

    def _weights(self, sheet: Worksheet) -> None:
        heads = [
            *(("No.", 6.0), ("Item", 34.0), ("Role", 16.0), ("Material", 24.0)),
            *(("Waterline", 10.0), ("Mass, dry", 12.0), ("", 5.0), ("", 12.0), ("", 5.0)),
            *(("Swamped, kg", 12.0), ("Tolerance, kg", 13.0), ("x, m", 9.0), ("y, m", 9.0)),
            *(("z, m", 9.0), ("Source", 44.0)),
        ]
        self._heads(sheet, 0, heads)
        for row, weight in enumerate(self.boat.weights, start=1):
            self._weight(sheet, row, weight)

    def _weight(self, sheet: Worksheet, row: int, weight: Weight) -> None:
        symbol = f"w{row}"
        texts = (symbol, weight.item, weight.role.value)
        material = weight.material.name if weight.material else NOT_STATED
        side = "below" if weight.below_water else "above"
        self._texts(sheet, row, {**dict(enumerate((*texts, material, side))), 14: weight.entry})
        self._weight_number(sheet, (row, 5), (MASS, symbol), weight.mass)
        sheet.write_string(row, 6, "kg", self.formats.text)
        self._us(sheet, (row, 7), weight.mass, "kg")
        self._weight_number(sheet, (row, 9), (SWAMPED, symbol), weight.swamped_mass)
        places = (weight.tolerance, *weight.at)
        for column, value in enumerate(places, start=10):
            self._plain(sheet, (row, column), value, "m" if column > 10 else "kg")

    def _weight_number(
        self, sheet: Worksheet, place: tuple[int, int], what: tuple[str, str], value: float | None
    ) -> None:
        """A mass; with a thick frame where a formula takes it."""
        if value is None or what not in self.check.weights:
            self._plain(sheet, place, value, "kg")
            return
        sheet.write_number(*place, _nine(value), self.formats.input("kg"))
        self.weights[what] = _cell("Weights", *place)
        self.book.define_name("_".join(what), f"={self.weights[what]}")

    def _plain(
        self, sheet: Worksheet, place: tuple[int, int], value: float | None, unit: str
    ) -> None:
        if value is None:
            sheet.write_string(*place, NOT_STATED, self.formats.text)
        else:
            sheet.write_number(*place, _nine(value), self.formats.number(unit))

    def _inputs(self, sheet: Worksheet) -> None:
        heads = [
            *(("Symbol", 14.0), ("Value", 14.0), ("", 8.0), ("", 14.0), ("", 8.0)),
            *(("For", 44.0), ("Kind", 54.0), ("Source", 84.0), ("Taken by lines", 26.0)),
        ]
        self._heads(sheet, 0, heads)
        for row, (key, given) in enumerate(self.check.givens.items(), start=1):
            self._given(sheet, row, given)
            self.givens[key] = _cell("Inputs", row, 1)

    def _given(self, sheet: Worksheet, row: int, given: Given) -> None:
        sheet.write_string(row, 0, given.symbol, self.formats.text)
        sheet.write_number(row, 1, _nine(given.value), self.formats.input(given.unit))
        sheet.write_string(row, 2, _unit(given.unit), self.formats.text)
        self._us(sheet, (row, 3), given.value, given.unit)
        texts = (given.first, _KINDS[given.kind], given.source, ", ".join(given.lines))
        self._texts(sheet, row, dict(enumerate(texts, start=5)))

    def _calculation(self, sheet: Worksheet) -> None:
        heads = [
            *(("Line", 7.0), ("What", 52.0), ("Formula", 46.0), ("Value", 14.0), ("", 8.0)),
            *(("", 14.0), ("", 8.0), ("Source", 80.0), ("Note", 50.0)),
        ]
        self._heads(sheet, 0, heads)
        placed, row = [], 1
        for chapter in self.check.chapters:
            placed.append((row, chapter))
            for place, numbered in enumerate(chapter.lines, start=row + 1):
                line = numbered.line
                self.lines[line.label, line.value] = _cell("Calculation", place, 3)
            row += 1 + len(chapter.lines)
        for row, chapter in placed:
            self._chapter(sheet, row, chapter)

    def _chapter(self, sheet: Worksheet, row: int, chapter: Chosen) -> None:
        sheet.write_string(row, 0, chapter.title, self.formats.title)
        for place, numbered in enumerate(chapter.lines, start=row + 1):
            self._line(sheet, place, numbered)

    def _line(self, sheet: Worksheet, row: int, numbered: Numbered) -> None:
        line = numbered.line
        cells = {
            term.symbol: self.lines[term.of, term.value]
            if term.of
            else self._given_cell(self.check.place_of(term))
            for term in line.terms
        }
        texts = {0: numbered.number, 1: line.label, 2: line.formula, 7: str(line.source)}
        self._texts(sheet, row, {**texts, 8: line.note})
        formula = sheet_formula(line.formula, cells).replace("Calculation!", "")
        value = _nine(line.value)
        sheet.write_formula(row, 3, formula, self.formats.number(line.unit), value)
        sheet.write_string(row, 4, _unit(line.unit), self.formats.text)
        self._us(sheet, (row, 5), line.value, line.unit)
        self.book.define_name(f"line_{numbered.number}", f"={_cell('Calculation', row, 3)}")

    def _given_cell(self, place: tuple[str, str] | Key) -> str:
        return self.weights[place] if len(place) == 2 else self.givens[place]

    def _answer(self, sheet: Worksheet) -> None:
        sheet.write_string(0, 0, self.boat.name, self.formats.title)
        for row, text in enumerate(_SAYS, start=1):
            sheet.merge_range(row, 0, row, 11, text, self.formats.text)
            sheet.set_row(row, _ROW * (1 + len(text) // 150))
        first = len(_SAYS) + 2
        heads = [
            *(("Limit", 44.0), ("Required", 13.0), ("Obtained", 13.0), ("Margin", 13.0)),
            *(("", 6.0), ("", 13.0), ("", 6.0), ("In words", 30.0)),
            *(("Margin in the report", 20.0), ("Moved since", 13.0)),
            *(("Stated tolerances", 17.0), ("Decided", 34.0)),
        ]
        self._heads(sheet, first, heads)
        for row, verdict in enumerate(self.check.verdicts, start=first + 1):
            self._verdict(sheet, row, verdict)
        end = first + len(self.check.verdicts) + 2
        rows = [("Files read", ""), *self.boat.files, ("flotation", VERSION)]
        for row, texts in enumerate(rows, start=end):
            for column, text in enumerate(texts):
                sheet.write_string(row, column, text, self.formats.bare)

    def _verdict(self, sheet: Worksheet, row: int, verdict: Verdict) -> None:
        number = self.formats.number(verdict.unit)
        required = self.lines[verdict.required_line, verdict.required]
        obtained = self.lines[verdict.obtained_line, verdict.obtained]
        sheet.write_string(row, 0, verdict.name, self.formats.text)
        sheet.write_formula(row, 1, f"={required}", number, _nine(verdict.required))
        sheet.write_formula(row, 2, f"={obtained}", number, _nine(verdict.obtained))
        b, c, d = (xl_rowcol_to_cell(row, column) for column in (1, 2, 3))
        difference = f"={b}-{c}" if verdict.at_most else f"={c}-{b}"
        margin = _nine(verdict.margin)
        sheet.write_formula(row, 3, difference, number, margin)
        sheet.write_string(row, 4, _unit(verdict.unit), self.formats.text)
        self._us(sheet, (row, 5), verdict.margin, verdict.unit)
        words = ("meets the calculated limit", "falls short")
        said = f'=IF({d}>=-0.00000001*ABS({b}),"{words[0]}","{words[1]}")'
        sheet.write_formula(row, 7, said, self.formats.text, words[not verdict.meets])
        sheet.write_number(row, 8, margin, number)
        moved = f"={d}-{xl_rowcol_to_cell(row, 8)}"
        sheet.write_formula(row, 9, moved, number, 0.0)
        self._spread(sheet, row, verdict)
        place = row - len(_SAYS) - 2
        for name, column in (("required", 1), ("obtained", 2), ("margin", 3)):
            self.book.define_name(f"{name}_{place}", f"={_cell('Answer', row, column)}")

    def _spread(self, sheet: Worksheet, row: int, verdict: Verdict) -> None:
        """What the stated tolerances add up to, and whether the margin lies beyond that."""
        cells = [cell for (_, value), cell in self.lines.items() if value == verdict.spread]
        if not cells:
            sheet.write_string(row, 10, "none stated", self.formats.text)
            sheet.write_blank(row, 11, None, self.formats.text)
            return
        value = _nine(verdict.spread or 0.0)
        sheet.write_formula(row, 10, f"={cells[-1]}", self.formats.number(verdict.unit), value)
        margin, spread = (xl_rowcol_to_cell(row, column) for column in (3, 10))
        words = ("no: within the stated tolerances", "yes")
        said = f'=IF(ABS({margin})<={spread},"{words[0]}","{words[1]}")'
        sheet.write_formula(row, 11, said, self.formats.text, words[verdict.decided])


class _Formats:
    """Cell formats, each made once."""

    def __init__(self, book: Workbook) -> None:
        around = {"border": 1, "border_color": "#C9CED2", "valign": "top"}
        self._made: dict[tuple[str, bool], Format] = {}
        self._make: Callable[[Mapping[str, object]], Format] = book.add_format
        self._around = around
        self.text = self._make({**around, "text_wrap": True})
        self.bare = self._make({})
        self.head = self._make({**around, "bold": True, "bottom": 2, "text_wrap": True})
        self.title = self._make({"bold": True, "font_size": 12})
        self.factor = self._make({**around, "num_format": "0.00000000000"})

    def number(self, unit: str) -> Format:
        return self._of(unit, changed=False)

    def input(self, unit: str) -> Format:
        return self._of(unit, changed=True)

    def _of(self, unit: str, *, changed: bool) -> Format:
        if (unit, changed) not in self._made:
            zeros = "0" * _DECIMALS.get(unit, 4)
            thick = {"border": 2, "border_color": "#14181C", "bg_color": "#FFF4C2"}
            style = {**self._around, "num_format": f"0.{zeros}", **(thick if changed else {})}
            self._made[unit, changed] = self._make(style)
        return self._made[unit, changed]


def _cell(sheet: str, row: int, column: int) -> str:
    return f"{sheet}!{xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True)}"


def _unit(unit: str) -> str:
    return "" if unit == "1" else unit.replace("m3", "m\u00b3").replace("m2", "m\u00b2")
