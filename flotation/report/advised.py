"""Findings beside the limits, each piece of advice once with what was found of each subject."""

from collections.abc import Iterable
from dataclasses import dataclass

from flotation.swamped.assessment import Finding


@dataclass(frozen=True)
class Advised:
    """A piece of advice, and what was found.

    rows    subjects of which the same was found, and what
    shared  what was found of all of them alike; "" for nothing
    heeded  False: not as advised; None: open
    """

    advice: str
    rows: tuple[tuple[str, str], ...]
    shared: str
    heeded: bool | None


def not_heeded(findings: Iterable[Finding], *, open_too: bool) -> tuple[Advised, ...]:
    """What is not as advised and, where asked for, what is open, in the order of the findings.

    A finding is cut at its first semicolon. Where several have the same end, it is told once.
    """
    asked = [note for note in findings if note.heeded is False or (open_too and not note.heeded)]
    groups: dict[tuple[bool | None, str], list[Finding]] = {}
    for note in sorted(asked, key=lambda one: one.heeded is None):
        groups.setdefault((note.heeded, note.advice), []).append(note)
    return tuple(_advised(advice, heeded, notes) for (heeded, advice), notes in groups.items())


def _advised(advice: str, heeded: bool | None, notes: list[Finding]) -> Advised:
    ends = {note.found.partition("; ")[2] for note in notes}
    shared = ends.pop() if len(notes) > 1 and len(ends) == 1 else ""
    rows: dict[str, list[str]] = {}
    for note in notes:
        found = note.found.partition("; ")[0] if shared else note.found
        rows.setdefault(found, []).append(note.subject or "whole boat")
    told = tuple((", ".join(subjects), found) for found, subjects in rows.items())
    return Advised(advice, told, shared, heeded)
