"""What a verification found, for a terminal of 80 columns and as JSON."""

import json

from flotation.report.terminal import heading, item, joined, wrapped
from flotation.review.differences import ABSENT, Difference
from flotation.review.verified import Verification, Verified, computed_with
from flotation.version import VERSION

_LONGEST = 200
_OF_ANOTHER = 12
"""Differences of a kind that are shown where boat and report have different names: enough to see
whether the boat was renamed, and not the thousands that two boats differ by."""


def verification_text(found: Verification) -> str:
    """What differs, inputs first; one sentence where nothing does."""
    parts = [heading(f"Verify: {found.boat}")]
    versions = ", ".join(f"{name} {number}" for name, number in computed_with().items())
    parts += [wrapped(f"Recomputed with {versions}."), ""]
    for one in found.reports:
        parts += _report(one, found.boat)
    if found.handouts:
        parts += ["Not the same bytes when they are made again:"]
        parts += [*(item(name) for name in found.handouts), ""]
    if found.missing:
        parts += ["Not in the folder, so nothing is said of them:"]
        parts += [*(item(name) for name in found.missing), ""]
    if found.aside:
        parts += ["Not compared, because `flotation report` does not write them:"]
        parts += [*(item(name) for name in found.aside), ""]
    return joined(parts)


def _report(one: Verified, boat: str) -> list[str]:
    name = f"{one.report.name}, {one.report.kind}, written by flotation {one.report.version}"
    if one.same:
        return [wrapped(f"{name}: no value differs."), ""]
    parts = [wrapped(f"{name}: differs."), ""]
    another = one.report.boat != boat
    if another:
        said = f'It is the report of "{one.report.boat}", and the boat file is of "{boat}".'
        parts += [
            wrapped(f"{said} Of each kind the first {_OF_ANOTHER} differences are shown."),
            "",
        ]
    for title, told in (
        ("Input files that differ:", [_plain(row, "the report", "now") for row in one.files]),
        ("Rules of this program that differ:", [_plain(r, "then", "now") for r in one.rules]),
        ("Entries of the input files that differ:", _entries(one.entries)),
        ("Numbers that differ:", [_plain(row) for row in one.numbers]),
        ("Words that differ:", [_plain(row) for row in one.words]),
    ):
        if told:
            few = told[:_OF_ANOTHER] if another else told
            rest = len(told) - len(few)
            more = [f"and {rest} more; --json has all."] if rest else []
            parts += [f"{title} {len(told)}", *(item(text) for text in few), *more, ""]
    return parts


def _plain(row: Difference, one: str = "reported", two: str = "recomputed") -> str:
    named = f" ({'; '.join(row.names)})" if row.names else ""
    return f"{row.path}{named}: {one} {shown(row.reported)}, {two} {shown(row.recomputed)}"


def _entries(rows: tuple[Difference, ...]) -> list[str]:
    """One sentence for each value of an entry; numbers of quantities in both systems of units."""
    return [_plain(row, "in the report", "in the file") for row in rows]


def shown(value: object) -> str:
    """A JSON value for a sentence."""
    if value is ABSENT:
        return "nothing"
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]}..."


def verification_json(found: Verification) -> str:
    """The same for machines."""
    content = {
        "format": 1,
        "kind": "verification",
        "version": VERSION,
        "boat": found.boat,
        "same": found.same,
        "computed_with": computed_with(),
        "reports": [
            {
                "file": one.report.name,
                "kind": one.report.kind,
                "version": one.report.version,
                "same": one.same,
                "files": [_row(row) for row in one.files],
                "rules": [_row(row) for row in one.rules],
                "entries": [_row(row) for row in one.entries],
                "numbers": [_row(row) for row in one.numbers],
                "words": [_row(row) for row in one.words],
            }
            for one in found.reports
        ],
        "handouts": list(found.handouts),
        "not_compared": list(found.aside),
        "missing": list(found.missing),
    }
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def _row(row: Difference) -> dict[str, object]:
    """A side that has no such value has no key for it."""
    sides = {"reported": row.reported, "recomputed": row.recomputed}
    known = {key: value for key, value in sides.items() if value is not ABSENT}
    return {"path": row.path, "names": list(row.names), **known}
