"""Which lines and inputs stand in the spreadsheet for a check by hand.

The limits of the general method, every line that they rest on, and every number that these take
from a boat file, a publication or the geometry: each once, wherever formulas use it.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat import Boat
from flotation.report.numbered import Numbered, Numbering
from flotation.swamped.assessment import Assessment, Verdict
from flotation.workings import Line, Mark, Term

STATED, PUBLISHED, COMPUTED = "stated", "published", "computed"
MASS, SWAMPED = "mass", "swamped"

_COUNTED = re.compile(r"[wf]\d+")
_SAME_NUMBER = {"v": "volume"}

Key = tuple[str, str, str, float]


@dataclass(frozen=True)
class Given:
    """A number that formulas take and no line gives.

    kind  "stated" in the boat file, "published", or "computed" by the program
    lines numbers of the lines that take it; first: what the first of them is
    """

    symbol: str
    value: float
    unit: str
    source: str
    kind: str
    lines: tuple[str, ...]
    first: str


@dataclass(frozen=True)
class Chosen:
    """A chapter of the report that stands in the spreadsheet."""

    title: str
    lines: tuple[Numbered, ...]


@dataclass(frozen=True)
class HandCheck:
    """What the spreadsheet holds.

    verdicts  limits whose two sides are both followed
    weights   "mass" or "swamped" and a symbol of the weight list -> its value, where a line uses it
    """

    verdicts: tuple[Verdict, ...]
    chapters: tuple[Chosen, ...]
    givens: dict[Key, Given]
    weights: dict[tuple[str, str], float]
    listed: dict[str, str]

    def place_of(self, term: Term) -> tuple[str, str] | Key:
        """Where an input of a line stands: in the weight list, or among the other inputs."""
        found = _weight_place(term, self.listed)
        return found if found and self.weights.get(found) == term.value else key_of(term)


def hand_check(boat: Boat, assessment: Assessment, numbering: Numbering) -> HandCheck:
    """Choose the lines of the limits that rest on followed numbers alone.

    numbering  of the report, so that a line has the same number in both
    """
    verdicts = tuple(v for v in assessment.verdicts if v.required_line and v.obtained_line)
    labels = {label for v in verdicts for label in (v.required_line, v.obtained_line)}
    chapters = _resting_on(labels, numbering)
    entries = {weight.entry: f"w{place}" for place, weight in enumerate(boat.weights, start=1)}
    used = {place for line in _lines(chapters) for place in _places(line, entries)}
    stated = {
        (what, f"w{place}"): value
        for place, weight in enumerate(boat.weights, start=1)
        for what, value in ((MASS, weight.mass), (SWAMPED, weight.swamped_mass))
        if value is not None
    }
    weights = {place: value for place, value in stated.items() if place in used}
    check = HandCheck(verdicts, chapters, {}, weights, entries)
    return HandCheck(verdicts, chapters, _givens(check), weights, entries)


def _lines(chapters: Sequence[Chosen]) -> list[Line]:
    return [numbered.line for chapter in chapters for numbered in chapter.lines]


def _resting_on(labels: set[str], numbering: Numbering) -> tuple[Chosen, ...]:
    """The chapters with these lines, and those with lines that these take their numbers of."""
    own = [
        Chosen(chapter.title, lines)
        for chapter, lines in zip(numbering.chapters, numbering.lines, strict=True)
        if not chapter.pours
    ]
    chosen: list[Chosen] = []
    while True:
        more = [
            chapter
            for chapter in own
            if chapter not in chosen and any(n.line.label in labels for n in chapter.lines)
        ]
        if not more:
            return tuple(chapter for chapter in own if chapter in chosen)
        chosen += more
        labels = {term.of for line in _lines(chosen) for term in line.terms if term.of}


def _places(line: Line, listed: dict[str, str]) -> list[tuple[str, str]]:
    found = [_weight_place(term, listed) for term in line.terms if not term.of]
    return [place for place in found if place]


def _weight_place(term: Term, listed: dict[str, str]) -> tuple[str, str] | None:
    """The entry of the weight list whose mass, dry or swamped, a term is."""
    entry = listed.get(str(term.source)) if term.source else None
    what = _quantity(term)
    return (what, entry) if entry and what in (MASS, SWAMPED) else None


def _quantity(term: Term) -> str:
    """What a term is, whichever line it stands in: w3, f3 and mass are a mass, v3 is a volume."""
    if _COUNTED.fullmatch(term.symbol):
        return MASS
    return _SAME_NUMBER.get(term.symbol.rstrip("0123456789"), term.symbol)


def key_of(term: Term) -> Key:
    """What makes two terms of two lines the same input."""
    return (_quantity(term), term.unit, str(term.source or ""), term.value)


def _givens(check: HandCheck) -> dict[Key, Given]:
    taken: dict[Key, tuple[Term, list[Numbered]]] = {}
    for chapter in check.chapters:
        for numbered in chapter.lines:
            for term in numbered.line.terms:
                if not term.of and check.place_of(term) == key_of(term):
                    taken.setdefault(key_of(term), (term, []))[1].append(numbered)
    return {
        key: Given(
            symbol=term.symbol,
            value=term.value,
            unit=term.unit,
            source=str(term.source or ""),
            kind=_kind(term, check.listed),
            lines=tuple(dict.fromkeys(numbered.number for numbered in lines)),
            first=lines[0].line.label,
        )
        for key, (term, lines) in taken.items()
    }


def _kind(term: Term, listed: dict[str, str]) -> str:
    """A mass of the weight list that is not the stated one was put right by the program."""
    mark = term.source.mark if term.source else Mark.COMPUTED
    if mark is Mark.COMPUTED or (_weight_place(term, listed) and _quantity(term) == MASS):
        return COMPUTED
    return STATED if mark in (Mark.STATED, Mark.MEASURED) else PUBLISHED
