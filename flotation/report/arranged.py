"""Lines that are worked out alike, side by side, so that one table can show them."""

import re
from collections.abc import Iterable, Sequence
from itertools import groupby

from flotation.workings import Line

_NUMBERED = re.compile(r"[a-z]\d+ ")


def split_label(label: str) -> tuple[str, str]:
    """What a line is for, and what it is.

    >>> split_label("side port, lift 1 of 2: mass to mix")
    ('side port, lift 1 of 2', 'mass to mix')
    >>> split_label("c1 tank bay, lift, aft")
    ('c1 tank bay', 'lift, aft')
    >>> split_label("Lift left over")
    ('', 'Lift left over')
    """
    head, colon, tail = label.rpartition(": ")
    if colon:
        return head, tail
    head, comma, tail = label.partition(", ")
    if comma and _NUMBERED.match(label):
        return head, tail
    return "", label


def way(line: Line) -> tuple[object, ...]:
    """How a line is worked out; lines of one way differ in their numbers only."""
    symbols = tuple((term.symbol, term.unit) for term in line.terms)
    return line.formula, symbols, line.unit, line.source


def arranged(lines: Sequence[Line], *, throughout: bool) -> tuple[Line, ...]:
    """The lines with those that say the same of several things brought together.

    throughout  True: from anywhere; False: only from among neighbours of one way, so that the
                steps of a calculation keep their order
    """
    if throughout:
        return _by_first(lines)
    return tuple(line for _, run in groupby(lines, key=way) for line in _by_first(list(run)))


def _by_first(lines: Iterable[Line]) -> tuple[Line, ...]:
    found: dict[tuple[object, ...], list[Line]] = {}
    for line in lines:
        found.setdefault((split_label(line.label)[1], way(line)), []).append(line)
    return tuple(line for group in found.values() for line in group)


def axis_of(line: Line) -> str:
    """The axis that the label of a centre ends in: "x", "y", "z", or "" for another line."""
    stem, _, axis = line.label.rpartition(", ")
    return axis if stem and axis in ("x", "y", "z") else ""


def without_axis(line: Line) -> tuple[object, ...]:
    """What the x, y and z of one centre have in common; nothing for another line."""
    axis = axis_of(line)
    formula = re.sub(rf"\b{axis}_", "_", line.formula) if axis else ""
    return (line.label.rpartition(", ")[0], formula, line.unit) if axis else (id(line),)
