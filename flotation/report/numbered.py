"""Followed numbers with their place in the report, so that each can be referred to.

Chapters are numbered through the report, lines through their chapter: "4.3". A term that is the
result of an earlier line refers to it; a verdict refers to the lines it rests on.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flotation.pour.pourplan import PourPlan
from flotation.report.formulas import formula_tree, put_in_tree
from flotation.report.printing import put_in, si, us
from flotation.swamped.assessment import Assessment
from flotation.workings import COMPUTED, Line, Mark, Source, Term

_ONE_ROW = 34  # letters of a formula that still has its numbers beside it


@dataclass(frozen=True)
class Chapter:
    """Lines under one title.

    about  None: laid out at leisure. Else laid out densely, and the subject that its labels need
           not repeat
    pours  True: about the foam that is poured, False: about the boat that it keeps afloat
    """

    title: str
    note: str
    lines: tuple[Line, ...]
    about: str | None = None
    pours: bool = False


@dataclass(frozen=True)
class Numbered:
    """A line and its number, "4.3"."""

    number: str
    line: Line


class Numbering:
    """The lines of a report in order, and the way from a label to a number."""

    def __init__(self, chapters: Sequence[Chapter]) -> None:
        self.chapters = tuple(chapters)
        self.lines = tuple(
            tuple(
                Numbered(f"{number}.{place}", line)
                for place, line in enumerate(chapter.lines, start=1)
            )
            for number, chapter in enumerate(chapters, start=1)
        )
        self._by_label: dict[str, list[Numbered]] = {}
        for numbered in self.all():
            self._by_label.setdefault(numbered.line.label, []).append(numbered)

    def all(self) -> Iterator[Numbered]:
        """Every line in the order of the report."""
        return (numbered for chapter in self.lines for numbered in chapter)

    def of(self, label: str, value: float | None = None) -> str:
        """Number of the last line of that label (and value, if one is given); "" without one."""
        for numbered in reversed(self._by_label.get(label, ())):
            if value in (None, numbered.line.value):
                return numbered.number
        return ""

    def recalled(self, *, pours: bool) -> dict[Source, list[str]]:
        """Every recalled source and the lines that rest on it: of the pours, or of all else."""
        found: dict[Source, list[str]] = {}
        chapters = zip(self.chapters, self.lines, strict=True)
        for numbered in (
            numbered for chapter, lines in chapters if chapter.pours is pours for numbered in lines
        ):
            sources = [numbered.line.source]
            sources += [term.source for term in numbered.line.terms if term.source and not term.of]
            for source in dict.fromkeys(sources):
                if source.mark is Mark.RECALLED:
                    found.setdefault(source, []).append(numbered.number)
        return found

    def data(self) -> list[dict[str, object]]:
        """The chapters for the page."""
        return [
            {
                "number": str(number),
                "title": chapter.title,
                "note": chapter.note,
                "dense": chapter.about is not None,
                "lines": self._chapter(chapter, self.lines[number - 1]),
            }
            for number, chapter in enumerate(self.chapters, start=1)
        ]

    def _chapter(self, chapter: Chapter, lines: Sequence[Numbered]) -> list[dict[str, object]]:
        """Lines of a chapter; a dense one says once what its lines of one name have in common."""
        found = [self._line(numbered, chapter.about) for numbered in lines]
        said: set[str] = set()
        for entry in found if chapter.about is not None else ():
            common = f"{entry['label']} {entry['note']} {entry['sources']}"
            if common in said:
                entry.update(note="", sources=[])
            said.add(common)
        return found

    def _line(self, numbered: Numbered, about: str | None) -> dict[str, object]:
        line = numbered.line
        single = len(line.terms) == 1 and line.formula == line.terms[0].symbol
        values = {term.symbol: put_in(term.value, term.unit) for term in line.terms}
        shown, tall = values and not single, about is None
        references = {term.symbol: self._reference(term) for term in line.terms}
        return {
            "number": numbered.number,
            **_heading(line.label, about),
            "formula": formula_tree(line.formula, tall=tall),
            "numbers": (
                put_in_tree(line.formula, values, references, tall=tall) if shown else None
            ),
            "reference": references[line.terms[0].symbol] if single else "",
            "si": si(line.value, line.unit),
            "us": us(line.value, line.unit),
            "note": line.note,
            "long": len(line.formula) > _ONE_ROW,
            "sources": _sources(line),
        }

    def _reference(self, term: Term) -> str:
        return self.of(term.of, term.value) if term.of else ""


def all_chapters(assessment: Assessment, plan: PourPlan) -> list[Chapter]:
    """The assessment's sections, then the pour's: for all foam, then for each cavity."""
    found = [
        Chapter(section.title, section.note, section.lines)
        for section in assessment.sections
        if section.lines
    ]
    if plan.lines:
        title = "Foam: densities, shares and limits of a batch"
        found.append(Chapter(title, "", plan.lines, pours=True))
    for pour in plan.pours:
        own = {id(line) for lift in pour.lifts for line in lift.lines}
        lines = [line for line in pour.lines if id(line) not in own]
        lines += [line for lift in pour.lifts for line in lift.lines]
        if lines:
            found.append(
                Chapter(f"Foam into {pour.cavity}", "", tuple(lines), pour.cavity, pours=True)
            )
    return found


def _heading(label: str, about: str | None) -> dict[str, str]:
    """A label without its chapter's subject: "side port, lift 1 of 2: mass" has a group of its own.

    >>> _heading("side port, lift 1 of 2: mass", "side port")
    {'group': 'lift 1 of 2', 'label': 'mass'}
    """
    head, _, tail = label.rpartition(": ")
    if about is None or not head.startswith(about):
        return {"group": "", "label": label}
    return {"group": head.removeprefix(about).lstrip(", "), "label": tail}


_MANY_SOURCES = 4


def _sources(line: Line) -> list[str]:
    """The line's own source, then where terms come from that are no results of lines.

    Sums over many inputs name the file once, and the geometry of the cavities in one phrase.
    """
    given = [term for term in line.terms if term.source and not term.of]
    given = [term for term in given if term.source not in (COMPUTED, line.source)]
    many = len({term.source for term in given}) > _MANY_SOURCES
    by_source: dict[str, list[str]] = {}
    for term in given:
        by_source.setdefault(_where(term, many), []).append(term.symbol.replace("_", " "))
    own = [] if line.source == COMPUTED else [str(line.source)]
    return own + [f"{_run(symbols)}: {source}" for source, symbols in by_source.items()]


def _where(term: Term, many: bool) -> str:
    source = term.source or COMPUTED
    if not many or source.mark is Mark.RECALLED:
        return str(source)
    if source.mark is Mark.COMPUTED:
        return "the inputs (computed)"
    file = source.publication.partition(" ")[0]
    return file if "." in file else source.publication


def _run(symbols: list[str]) -> str:
    """All symbols, or the first and the last of many."""
    if len(symbols) <= _MANY_SOURCES:
        return ", ".join(symbols)
    return f"{symbols[0]} \u2026 {symbols[-1]}"
