"""Numbered lines as blocks for the page: a formula and its source once, a row for each line."""

import re
from collections.abc import Mapping, Sequence
from itertools import groupby

from flotation.report.arranged import axis_of, split_label, way, without_axis
from flotation.report.formulas import formula_tree, put_in_tree
from flotation.report.line_sources import sources
from flotation.report.numbered import Numbered, Numbering
from flotation.report.printing import put_in, si, us
from flotation.workings import Term

Row = dict[str, object]

_TALK = re.compile(r"(?<=, lift \d) of \d+|(?<=, lift \d\d) of \d+")
_ONE_ROW = 115  # letters of a formula that still has its numbers beside it
_BRIEF = 78  # letters of label, formula and numbers that stand in one row
_MOST_COLUMNS = 6  # terms that a table has columns for; more are put into the formula instead
_HALF = 87.0  # mm, half of the page
_TYPE, _SMALL, _GAP = 2.79, 2.3, 1.7  # mm: size of the type, of small type, between columns
_BOLD = 1.08  # how much wider bold letters are
_NARROW, _WIDE = frozenset(" .,:;'!|()[]ijlIt\u00b7"), frozenset("mwMW%@")
_WIDEST, _RESULT = 80.0, 7.0  # mm, the widest column of words, the head of the results


def chapters_data(numbering: Numbering, names: Mapping[str, str]) -> list[Row]:
    """The chapters for the page.

    names  cavity -> its number in the lists, which stands for it in the tables of the pours
    """
    layout = _Layout(numbering, names)
    return [
        {
            "number": str(number),
            "title": chapter.title,
            "note": chapter.note,
            "blocks": [layout.block(lines) for lines in blocks_of(numbering.lines[number - 1])],
        }
        for number, chapter in enumerate(numbering.chapters, start=1)
    ]


def blocks_of(lines: Sequence[Numbered]) -> list[list[Numbered]]:
    """Neighbours that one table shows: of one way, or x, y and z of one centre."""
    found: list[list[Numbered]] = []
    for _, centre in groupby(lines, key=lambda numbered: without_axis(numbered.line)):
        run = list(centre)
        if len(run) == 1 and found and way(found[-1][-1].line) == way(run[0].line):
            found[-1] += run
        else:
            found.append(run)
    return [block for run in found for block in _by_title(run)]


def _by_title(run: list[Numbered]) -> list[list[Numbered]]:
    """Lines of one way apart by what they are, unless each of them is something else."""
    titles = [split_label(numbered.line.label)[1] for numbered in run]
    if len(set(titles)) in (1, len(run)):
        return [run]
    parts = groupby(run, key=lambda numbered: split_label(numbered.line.label)[1])
    return [list(part) for _, part in parts]


class _Layout:
    """Blocks with the numbers of the lines that they refer to."""

    def __init__(self, numbering: Numbering, names: Mapping[str, str]) -> None:
        self.numbering = numbering
        self.names = sorted(names.items(), key=lambda item: -len(item[0]))

    def block(self, lines: list[Numbered]) -> Row:
        if len(lines) == 1:
            return self._single(lines[0])
        if axis_of(lines[0].line) and way(lines[0].line) != way(lines[1].line):
            return self._centre(lines)
        if len(lines[0].line.terms) > _MOST_COLUMNS:
            return self._listing(lines)
        return self._table(lines)

    def _single(self, numbered: Numbered) -> Row:
        line = numbered.line
        alone = len(line.terms) == 1 and line.formula == line.terms[0].symbol
        brief = len(line.label) + len(line.note) + self._length(numbered) <= _BRIEF
        return {
            "kind": "single",
            **_result(numbered),
            "title": line.label,
            "note": line.note,
            "brief": brief,
            "formula": formula_tree(line.formula, tall=not brief),
            "numbers": self._put_in(numbered, tall=not brief) if line.terms and not alone else None,
            "reference": self.numbering.reference(line.terms[0]) if alone else "",
            "long": self._length(numbered) > _ONE_ROW,
            "sources": sources([line]),
        }

    def _table(self, lines: list[Numbered]) -> Row:
        """A column for each term that differs from row to row; the others once above."""
        columns = list(zip(*(numbered.line.terms for numbered in lines), strict=True))
        cells = [[self._cell(term) for term in column] for column in columns]
        differ = [place for place, column in enumerate(cells) if len(set(map(tuple, column))) > 1]
        block = self._common("table", lines)
        rows = [
            {**row, "cells": [cells[place][index] for place in differ]}
            for index, row in enumerate(self._rows(lines))
        ]
        heads = [columns[place][0].symbol.replace("_", " ") for place in differ]
        widths = _widths(heads, rows)
        return {
            **block,
            "constants": [
                [columns[place][0].symbol.replace("_", " "), *column[0]]
                for place, column in enumerate(cells)
                if place not in differ
            ],
            "heads": heads,
            "rows": rows,
            "widths": widths,
            "halves": len(rows) > 2 and sum(widths) <= _HALF,
        }

    def _listing(self, lines: list[Numbered]) -> Row:
        rows = self._rows(lines)
        numbers = [self._put_in(numbered, tall=False) for numbered in lines]
        return {
            **self._common("listing", lines),
            "rows": [{**row, "numbers": tree} for row, tree in zip(rows, numbers, strict=True)],
        }

    def _centre(self, lines: list[Numbered]) -> Row:
        """Moments: a row for each thing with its amount and its places along the axes."""
        axes = [axis_of(numbered.line) for numbered in lines]
        terms = [{term.symbol: term for term in numbered.line.terms} for numbered in lines]
        places = {f"{axis}_" for axis in axes}
        things = [symbol for symbol in terms[0] if symbol[:2] not in places]
        return {
            **self._common("centre", lines),
            "title": f"{lines[0].line.label.rpartition(', ')[0]}, {', '.join(axes)}",
            "axes": axes,
            "things": [
                [
                    [symbol.replace("_", " "), ""],
                    self._cell(terms[0][symbol]),
                    *(
                        self._cell(own[f"{axis}_{symbol}"])
                        if f"{axis}_{symbol}" in own
                        else ["", ""]
                        for axis, own in zip(axes, terms, strict=True)
                    ),
                ]
                for symbol in things
            ],
            "rows": [
                {**_result(numbered), "subject": axis}
                for axis, numbered in zip(axes, lines, strict=True)
            ],
        }

    def _common(self, kind: str, lines: list[Numbered]) -> Row:
        notes = {numbered.line.note for numbered in lines}
        titles = {split_label(numbered.line.label)[1] for numbered in lines}
        heads = {split_label(numbered.line.label)[0] for numbered in lines}
        title = titles.pop() if len(titles) == 1 else heads.pop() if len(heads) == 1 else ""
        return {
            "kind": kind,
            "title": title[:1].upper() + title[1:],
            "note": notes.pop() if len(notes) == 1 else "",
            "formula": formula_tree(lines[0].line.formula, tall=False),
            "sources": sources([numbered.line for numbered in lines]),
        }

    def _rows(self, lines: list[Numbered]) -> list[Row]:
        """Number, what it is for, result; its note where the notes differ."""
        titles = {split_label(numbered.line.label)[1] for numbered in lines}
        notes = {numbered.line.note for numbered in lines}
        return [
            {
                **_result(numbered),
                "subject": self._subject(numbered, alike=len(titles) == 1),
                "note": numbered.line.note if len(notes) > 1 else "",
            }
            for numbered in lines
        ]

    def _subject(self, numbered: Numbered, *, alike: bool) -> str:
        head, tail = split_label(numbered.line.label)
        if not alike:
            return tail
        for name, short in self.names:
            if head == name or head.startswith(f"{name}, "):
                return short + _TALK.sub("", head.removeprefix(name)).replace(", hole ", ", ")
        return head or tail

    def _put_in(self, numbered: Numbered, *, tall: bool) -> object:
        terms = numbered.line.terms
        values = {term.symbol: put_in(term.value, term.unit) for term in terms}
        references = {term.symbol: self.numbering.reference(term) for term in terms}
        return put_in_tree(numbered.line.formula, values, references, tall=tall)

    def _length(self, numbered: Numbered) -> int:
        """About how many letters the formula takes, once with its symbols, once with numbers."""
        line = numbered.line
        values = sum(
            len(put_in(term.value, term.unit))
            + len(self.numbering.reference(term))
            - len(term.symbol)
            for term in line.terms
        )
        return 2 * len(line.formula) + values + 6

    def _cell(self, term: Term) -> list[str]:
        return [put_in(term.value, term.unit), self.numbering.reference(term)]


def _result(numbered: Numbered) -> Row:
    line = numbered.line
    return {
        "number": numbered.number,
        "si": si(line.value, line.unit),
        "us": us(line.value, line.unit),
    }


def _widths(heads: Sequence[str], rows: Sequence[Row]) -> list[float]:
    """How wide the columns must be, mm: line, what it is for, each term, SI, US.

    Reckoned from the letters, so that the typesetter need not set every cell twice to find out.
    """
    cells = [_cells(row) for row in rows]
    terms = [
        max(
            _TYPE * _letters(head),
            *(_TYPE * _letters(row[at][0]) + _reference(row[at][1]) for row in cells),
        )
        for at, head in enumerate(heads)
    ]
    said = max(_TYPE * (_letters(str(row["subject"])) + _letters(str(row["note"]))) for row in rows)
    number, si_wide, us_wide = (
        max(_TYPE * _letters(str(row[key])) for row in rows) for key in ("number", "si", "us")
    )
    result = max(_BOLD * si_wide, _RESULT)
    wide = [_BOLD * number, min(said, _WIDEST), *terms, result, us_wide]
    return [round(width + _GAP, 1) for width in wide]


def _letters(text: str) -> float:
    """How wide a text is in its own size: narrow and wide letters, and all others as a digit."""
    return sum(0.29 if one in _NARROW else 0.86 if one in _WIDE else 0.51 for one in text)


def _reference(number: str) -> float:
    """How wide the number of another line is, in its brackets; mm."""
    return _SMALL * _letters(f"[{number}]") if number else 0.0


def _cells(row: Row) -> list[list[str]]:
    cells = row["cells"]
    return cells if isinstance(cells, list) else []
