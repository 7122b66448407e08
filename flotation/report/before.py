"""What is ticked off before the first batch: a row for each cavity, a list for the whole boat."""

import re
from collections import Counter
from collections.abc import Sequence
from itertools import takewhile

from flotation.boat import Boat
from flotation.pour.pourplan import Check, CheckKind

Row = dict[str, object]

_COLUMNS = (CheckKind.PLUG, CheckKind.OPEN, CheckKind.BRACE)
_LIMITS_SAID = "; otherwise no foam is poured."


def has_limit(check: Check) -> bool:
    """True for a measurement with go limits, which have a table of their own."""
    return check.low is not None or check.high is not None


def beside_limits(check: Check) -> str:
    """What a measurement's sentence says beyond the limits that stand beside it."""
    if not check.quantity:
        return ""
    _, limits, rest = check.text.partition(_LIMITS_SAID)
    return rest.strip() if limits else check.text


def for_the_boat(checks: Sequence[Check]) -> list[str]:
    """Checks without limits that are about no single cavity, in their order."""
    return [check.text for check in checks if not has_limit(check) and not _in_table(check)]


def by_cavity(boat: Boat, checks: Sequence[Check]) -> Row:
    """Plug, keep open and brace as a table with a row for each cavity.

    What most cavities of a column have in common is said once at its head; a cell has a box for
    each check and only what differs: words, or the holes it names.
    """
    found = [check for check in checks if not has_limit(check) and _in_table(check)]
    shared = {kind: _shared([c for c in found if c.kind is kind], boat) for kind in _COLUMNS}
    names = dict.fromkeys(check.cavity for check in found)
    return {
        "heads": [{"kind": kind.value, "text": _sentence(shared[kind])} for kind in _COLUMNS],
        "rows": [
            {
                "cavity": name,
                "cells": [
                    [
                        _cell(check, shared[kind], boat)
                        for check in found
                        if check.cavity == name and check.kind is kind
                    ]
                    for kind in _COLUMNS
                ],
            }
            for name in names
        ],
    }


def _in_table(check: Check) -> bool:
    return bool(check.cavity) and check.kind in _COLUMNS


def _shared(checks: Sequence[Check], boat: Boat) -> str:
    """The words that most checks of a column consist of; "" if no two agree."""
    said = Counter(_words(check, boat)[1] for check in checks)
    text, count = said.most_common(1)[0] if said else ("", 0)
    return text if count > 1 else ""


def _words(check: Check, boat: Boat) -> tuple[list[Row], str]:
    """The holes that a check names, and its words without the cavity and without these holes."""
    text = check.text.removeprefix(f"{check.cavity}: ")
    cavity = next((one for one in boat.cavities if one.name == check.cavity), None)
    if check.kind is not CheckKind.OPEN or cavity is None:
        return [], text
    kinds = {hole.name: hole.kind.value for hole in cavity.holes}
    names = "|".join(re.escape(name) for name in sorted(kinds, key=len, reverse=True))
    one = rf"(?:fill|vent) hole ({names})"
    listed = re.match(rf"{one}(?:(?:, | and ){one})*", text) if names else None
    if listed is None:
        return [], text
    holes = re.findall(one, listed.group())
    return [{"name": hole, "kind": kinds[hole]} for hole in holes], text[listed.end() :].strip()


def _cell(check: Check, shared: str, boat: Boat) -> Row:
    holes, text = _words(check, boat)
    return {"holes": holes, "text": _difference(text, shared)}


def _difference(text: str, shared: str) -> str:
    """What `text` says beyond `shared`: "" if nothing, all of it if they have little in common.

    >>> _difference("plug holes, and the tube. Note it.", "plug holes. Note it.")
    'and the tube'
    """
    if text == shared:
        return ""
    ahead = _alike(text, shared)
    behind = _alike(text[ahead:][::-1], shared[ahead:][::-1])
    if not shared or ahead + behind < len(shared):
        return text
    return text[ahead : len(text) - behind].strip(" ,;.")


def _alike(one: str, other: str) -> int:
    """How many letters both begin with."""
    pairs = zip(one, other, strict=False)
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], pairs))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
