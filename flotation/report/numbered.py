"""Followed numbers with their place in the report, so that each can be referred to.

Chapters are numbered through the report, lines through their chapter: "4.3". A term that is the
result of an earlier line refers to it; a verdict refers to the lines it rests on.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flotation.pour.pourplan import PourPlan
from flotation.report.arranged import arranged
from flotation.swamped.assessment import Assessment
from flotation.workings import Line, Mark, Source, Term


@dataclass(frozen=True)
class Chapter:
    """Lines under one title.

    pours  True: about the foam that is poured, False: about the boat that it keeps afloat
    """

    title: str
    note: str
    lines: tuple[Line, ...]
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

    def reference(self, term: Term) -> str:
        """Number of the line whose result a term is; "" for an input."""
        return self.of(term.of, term.value) if term.of else ""


def all_chapters(assessment: Assessment, plan: PourPlan) -> list[Chapter]:
    """The assessment's sections, then the pour's: for all foam, for each hole, for each cavity."""
    found = [
        Chapter(section.title, section.note, arranged(section.lines, throughout=False))
        for section in assessment.sections
    ]
    own = [line for pour in plan.pours for lift in pour.lifts for line in lift.lines]
    known = {id(line) for line in own}
    whole = [line for pour in plan.pours for line in pour.lines if id(line) not in known]
    pours = (
        ("Foam: densities, shares and limits of a batch", plan.lines),
        ("Foam through each hole", own),
        ("Foam into each cavity", whole),
    )
    found += [
        Chapter(title, "", arranged(lines, throughout=True), pours=True) for title, lines in pours
    ]
    return [chapter for chapter in found if chapter.lines]
