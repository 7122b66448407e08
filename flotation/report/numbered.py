"""Followed numbers with their place in the report, so that each can be referred to.

Sections are numbered through the report, lines through their section: "4.3". A term that is the
result of an earlier line refers to it; a verdict refers to the lines it rests on.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from flotation.pour.pourplan import PourPlan
from flotation.report.formulas import formula_tree, put_in_tree
from flotation.report.printing import put_in, si, us
from flotation.swamped.assessment import Assessment, Section
from flotation.workings import COMPUTED, Line, Mark, Source, Term

_ONE_ROW = 34  # letters of a formula that still has its numbers beside it


@dataclass(frozen=True)
class Numbered:
    """A line and its number, "4.3"."""

    number: str
    line: Line


class Numbering:
    """The lines of a report in order, and the way from a label to a number."""

    def __init__(self, sections: Sequence[Section]) -> None:
        self.sections = tuple(sections)
        self.lines = tuple(
            tuple(
                Numbered(f"{chapter}.{place}", line)
                for place, line in enumerate(section.lines, start=1)
            )
            for chapter, section in enumerate(sections, start=1)
        )

    def all(self) -> Iterator[Numbered]:
        """Every line in the order of the report."""
        return (numbered for chapter in self.lines for numbered in chapter)

    def of(self, label: str, value: float | None = None) -> str:
        """Number of the last line of that label (and value, if one is given); "" without one."""
        found = ""
        for numbered in self.all():
            if numbered.line.label == label and value in (None, numbered.line.value):
                found = numbered.number
        return found

    def recalled(self) -> dict[Source, list[str]]:
        """Every recalled source and the numbers of the lines that rest on it."""
        found: dict[Source, list[str]] = {}
        for numbered in self.all():
            sources = [numbered.line.source]
            sources += [term.source for term in numbered.line.terms if term.source and not term.of]
            for source in dict.fromkeys(sources):
                if source.mark is Mark.RECALLED:
                    found.setdefault(source, []).append(numbered.number)
        return found

    def data(self) -> list[dict[str, object]]:
        """The sections for the page."""
        return [
            {
                "number": str(chapter),
                "title": section.title,
                "note": section.note,
                "lines": [self._line(numbered) for numbered in self.lines[chapter - 1]],
            }
            for chapter, section in enumerate(self.sections, start=1)
        ]

    def _line(self, numbered: Numbered) -> dict[str, object]:
        line = numbered.line
        single = len(line.terms) == 1 and line.formula == line.terms[0].symbol
        values = {term.symbol: put_in(term.value, term.unit) for term in line.terms}
        shown = values and not single
        references = {term.symbol: self._reference(term) for term in line.terms}
        return {
            "number": numbered.number,
            "label": line.label,
            "formula": formula_tree(line.formula),
            "numbers": put_in_tree(line.formula, values, references) if shown else None,
            "reference": references[line.terms[0].symbol] if single else "",
            "si": si(line.value, line.unit),
            "us": us(line.value, line.unit),
            "note": line.note,
            "long": len(line.formula) > _ONE_ROW,
            "sources": list(_sources(line)),
        }

    def _reference(self, term: Term) -> str:
        return self.of(term.of, term.value) if term.of else ""


def all_sections(assessment: Assessment, plan: PourPlan) -> list[Section]:
    """The assessment's sections, then the pour's: for each foam, each cavity, each lift."""
    found = [section for section in assessment.sections if section.lines]
    if plan.lines:
        found.append(Section("Foam: densities, shares and limits of a batch", plan.lines))
    for pour in plan.pours:
        own = {id(line) for lift in pour.lifts for line in lift.lines}
        lines = [line for line in pour.lines if id(line) not in own]
        lines += [line for lift in pour.lifts for line in lift.lines]
        if lines:
            found.append(Section(f"Foam into {pour.cavity}", tuple(lines)))
    return found


def _sources(line: Line) -> Iterable[str]:
    """The line's own source, then where terms come from that are no results of lines."""
    if line.source != COMPUTED:
        yield str(line.source)
    by_source: dict[str, list[str]] = {}
    for term in line.terms:
        if term.source and not term.of and term.source != COMPUTED:
            by_source.setdefault(str(term.source), []).append(term.symbol.replace("_", " "))
    for source, symbols in by_source.items():
        if source != str(line.source):
            yield f"{', '.join(symbols)}: {source}"
