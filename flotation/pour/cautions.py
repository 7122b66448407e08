"""Cautions, checks, responses and last steps: data/cautions.toml with the plan's words put in.

Only what matters for the plan is shown: each entry says when.
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files

from flotation.pour.pourplan import Caution, Check, CheckKind, Response, ShownAt, Step
from flotation.workings import Mark, Source

_USUALLY = {"response": ShownAt.WHEN}


class Fact(StrEnum):
    """What may be true of a plan or of a cavity."""

    ALWAYS = "always"
    HAND = "hand"
    MACHINE = "machine"
    SEVERAL_LIFTS = "several lifts"
    PRESSES = "presses"
    METAL_TANK = "metal tank"
    OTHER_TANK = "other tank"
    TANK = "tank"
    HOLES = "holes"


@dataclass(frozen=True)
class Situation:
    """What is true, and the words that go into the texts.

    cavity  name of the cavity; "" for the whole boat
    """

    cavity: str
    facts: frozenset[Fact]
    words: Mapping[str, str]


@dataclass(frozen=True)
class Entry:
    """One entry of the file, as written.

    table   "caution", "check", "response" or "step"
    texts   the text, or the sign and its steps
    at      where a caution or a response is printed
    kind    of a check; per_cavity: shown for each cavity that it is true of
    """

    table: str
    when: frozenset[Fact]
    texts: tuple[str, ...]
    kind: CheckKind | None
    per_cavity: bool
    source: Source
    at: tuple[ShownAt, ...]


def safety(situation: Situation) -> tuple[Caution, ...]:
    """The dangers that matter in this situation."""
    return tuple(
        Caution(_filled(entry, situation)[0], entry.source, entry.at)
        for entry in _applying("caution", situation)
    )


def responses(situation: Situation) -> tuple[Response, ...]:
    """What to do when something goes otherwise."""
    made = []
    for entry in _applying("response", situation):
        sign, *steps = _filled(entry, situation)
        made.append(Response(sign, tuple(steps), entry.source, entry.at))
    return tuple(made)


def last_steps(situation: Situation) -> tuple[Step, ...]:
    """What to do after the last batch."""
    return tuple(
        Step(_filled(entry, situation)[0], entry.source) for entry in _applying("step", situation)
    )


def checks(boat: Situation, cavities: Sequence[Situation]) -> tuple[Check, ...]:
    """What to see to before the first batch, in the order of the file, cavity by cavity."""
    made = []
    for entry in _entries():
        if entry.table != "check" or entry.kind is None:
            continue
        for situation in cavities if entry.per_cavity else (boat,):
            if entry.when <= situation.facts:
                text = _filled(entry, situation)[0]
                made.append(Check(entry.kind, text, entry.source, cavity=situation.cavity))
    return tuple(made)


def _applying(table: str, situation: Situation) -> tuple[Entry, ...]:
    return tuple(
        entry for entry in _entries() if entry.table == table and entry.when <= situation.facts
    )


def _filled(entry: Entry, situation: Situation) -> tuple[str, ...]:
    return tuple(text.format_map(situation.words) for text in entry.texts)


@cache
def _entries() -> tuple[Entry, ...]:
    text = files("flotation").joinpath("data", "cautions.toml").read_text(encoding="utf-8")
    return tuple(
        Entry(
            table,
            frozenset(Fact(when) for when in row["when"]),
            (row["sign"], *row["steps"]) if "sign" in row else (row["text"],),
            CheckKind(row["kind"]) if "kind" in row else None,
            row.get("per") == "cavity",
            Source(row["publication"], row.get("section", ""), "", Mark(row["mark"])),
            tuple(ShownAt(at) for at in row.get("at", [_USUALLY.get(table, ShownAt.START)])),
        )
        for table, rows in tomllib.loads(text).items()
        for row in rows
    )
