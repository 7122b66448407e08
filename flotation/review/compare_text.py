"""What a comparison found, for a terminal of 80 columns and as JSON."""

import json
import re
from collections import Counter
from collections.abc import Sequence

from flotation.boat_entries import Entry
from flotation.report.printing import few_digits, si, us
from flotation.report.terminal import heading, item, joined, table, wrapped
from flotation.review.changes import Change
from flotation.review.compared import MOST_STEPS, Comparison, Effect, Side, Step
from flotation.version import VERSION

_NONE = "-"
_SHOWN_ENTRIES = MOST_STEPS
"""A longer list would push limits and effects out of sight."""


def comparison_text(found: Comparison) -> str:
    """Each limit, then the inputs in both systems of units and what each does to the margins.

    Of many inputs the first are shown, and how many more there are in which table.
    """
    same = found.one.boat == found.two.boat
    name = found.one.boat if same else f"{found.one.boat} and {found.two.boat}"
    parts = [heading(f"Compare: {name}"), _named("One", found.one), _named("two", found.two), ""]
    parts += [*_limits(found), *_entries(found.changes), "", *_files(found)]
    if found.undivided:
        parts += [wrapped(found.undivided), ""]
    if found.steps:
        words = "One input at a time, each on top of those before it; the effects add up."
        parts += [wrapped(words), ""]
    for number, step in enumerate(found.steps, start=1):
        parts += [*_step(number, step), ""]
    if found.steps and found.remainder:
        parts += ["What none of these inputs does:"]
        parts += [*(item(_effect(effect)) for effect in found.remainder), ""]
    elif found.steps:
        parts += ["Nothing is left over."]
    return joined(parts)


def _named(word: str, side: Side) -> str:
    limits = "every calculated limit is met" if side.meets else "a calculated limit is not met"
    return wrapped(f"{word[:1].upper()}{word[1:]}: {side.name}, {side.boat}: {limits}.")


def _files(found: Comparison) -> list[str]:
    """Files of one name with another content; the boat files themselves are told by entry."""
    one, two = dict(found.one.files[1:]), dict(found.two.files[1:])
    names = [name for name in one if name in two and one[name] != two[name]]
    told = [item(f"{name}: {one[name][:12]}... and {two[name][:12]}...") for name in names]
    return ["Files of one name that differ, by SHA-256:", *told, ""] if told else []


def _entries(changes: Sequence[Change]) -> list[str]:
    """The first entries that differ, and a count of the others."""
    told = [item(_entry(change)) for change in changes[:_SHOWN_ENTRIES]]
    others = Counter(_table(change.entry) for change in changes[_SHOWN_ENTRIES:])
    if others:
        where = ", ".join(f"{count} in {name}" for name, count in others.items())
        told += [wrapped(f"and {others.total()} more; --json has all: {where}.")]
    return [f"Entries that differ: {len(changes)}", *told]


def _table(entry: Entry) -> str:
    """The table of the boat file that an entry stands in: "[[cavity]]"."""
    found = re.match(r"\[+[^\]]*\]+", entry.place)
    return found[0] if found else entry.file


def _entry(change: Change) -> str:
    entry = change.entry
    return f"{entry.file} {entry.place}: {_value(change.one)} -> {_value(change.two)}"


def _value(entry: Entry | None) -> str:
    """As it was written, then in the systems of units that it was not written in."""
    if entry is None:
        return "nothing"
    if entry.value is None or entry.unit in ("", "1"):
        return entry.text
    shown = si(entry.value, entry.unit), us(entry.value, entry.unit)
    others = [text for text in shown if text and text != entry.text]
    return entry.text + (f" ({', '.join(others)})" if others else "")


def _limits(found: Comparison) -> list[str]:
    rows = []
    for effect in found.effects:
        one, two = found.one.limits.get(effect.limit), found.two.limits.get(effect.limit)
        change = effect.change
        rows.append(
            (
                effect.limit,
                _NONE if one is None else si(one.margin, one.unit, 3),
                _NONE if two is None else si(two.margin, two.unit, 3),
                _NONE if change is None else _signed(change, effect.unit),
                "" if two is None else "meets" if two.meets else "SHORT",
            )
        )
    head = ("margin to the limit", "one", "two", "change", "two")
    return [table(head, rows, right=(1, 2, 3), stretch=0), ""]


def _both(value: float, unit: str) -> str:
    other = us(value, unit, 3)
    return si(value, unit, 3) + (f" ({other})" if other else "")


def _signed(value: float, unit: str) -> str:
    text = si(value, unit, 3)
    return f"+{text}" if value > 0.0 else text


def _step(number: int, step: Step) -> list[str]:
    lead = "together: " if len(step.says) > 1 else ""
    says = "; ".join(f"{place}: {one} -> {two}" for place, one, two in step.says)
    told = [item(_effect(effect)) for effect in step.effects] or [item("no margin moves")]
    return [wrapped(f"{number}. {lead}{says}"), *told]


def _effect(effect: Effect) -> str:
    if effect.change is None:
        before, after = (
            _NONE if value is None else _both(value, effect.unit)
            for value in (effect.before, effect.after)
        )
        return f"{effect.limit}: margin {before} -> {after}"
    assert effect.after is not None  # a change has both ends
    moved = _signed(effect.change, effect.unit)
    other = us(effect.change, effect.unit, 3)
    both = f"{moved} ({other})" if other else moved
    return f"{effect.limit}: {both}, to {_both(effect.after, effect.unit)}"


def comparison_json(found: Comparison) -> str:
    """The same for machines; figures have six significant digits."""
    content = {
        "format": 1,
        "kind": "comparison",
        "version": VERSION,
        "one": _side(found.one),
        "two": _side(found.two),
        "entries": [
            {"one": _entry_row(change.one), "two": _entry_row(change.two)}
            for change in found.changes
        ],
        "margins": [_effect_row(effect) for effect in found.effects],
        "steps": [
            {
                "inputs": [{"place": p, "one": a, "two": b} for p, a, b in step.says],
                "margins": [_effect_row(effect) for effect in step.effects],
            }
            for step in found.steps
        ],
        "remainder": [_effect_row(effect) for effect in found.remainder],
        "undivided": found.undivided,
    }
    return json.dumps(content, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _side(side: Side) -> dict[str, object]:
    return {
        "file": side.name,
        "boat": side.boat,
        "meets": side.meets,
        "files": [{"file": name, "sha256": digest} for name, digest in side.files],
    }


def _entry_row(entry: Entry | None) -> dict[str, object] | None:
    if entry is None:
        return None
    value = None if entry.value is None else few_digits(entry.value)
    return {
        "file": entry.file,
        "place": entry.place,
        "text": entry.text,
        "value": value,
        "unit": entry.unit,
    }


def _effect_row(effect: Effect) -> dict[str, object]:
    numbers = {"before": effect.before, "after": effect.after, "change": effect.change}
    rounded = {k: None if v is None else few_digits(v) for k, v in numbers.items()}
    return {"limit": effect.limit, "unit": effect.unit, **rounded}
