"""The single texts and numbers of a table that was read, each with its SI value."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from pydantic import BaseModel

from flotation.boatfile.entries import Tolerance
from flotation.boatfile.lines import Path
from flotation.units import unit_of

Read = object
"""What the checked table makes of an entry."""


@dataclass(frozen=True)
class Leaf:
    """One text or number of a file.

    value  in SI, None for words; unit "" for words, "1" for a plain number
    """

    path: Path
    text: str
    value: float | None
    unit: str


def leaves_of(path: Path, raw: object, read: Read) -> Iterator[Leaf]:
    """Every text and number within an entry that is not checked as a table of its own.

    path  of the entry in its file
    raw   as the file has it
    read  what the check made of it: a table, a tuple, a number or words
    """
    if isinstance(raw, Mapping):
        if isinstance(read, BaseModel):  # else a shape, which is checked as its own table
            for key, value in raw.items():
                yield from leaves_of((*path, key), value, getattr(read, key))
    elif isinstance(raw, list):
        for place, (value, made) in enumerate(zip(raw, _elements(read), strict=True)):
            yield from leaves_of((*path, place), value, made)
    else:
        yield _leaf(path, raw, read)


def _elements(read: Read) -> Sequence[object]:
    """What a list became: a tuple, or a table whose entries stand in the list's order."""
    if isinstance(read, BaseModel):
        return [getattr(read, name) for name in type(read).model_fields]
    return list(read) if isinstance(read, tuple) else []


def _leaf(path: Path, raw: object, read: Read) -> Leaf:
    text = str(raw).lower() if isinstance(raw, bool) else str(raw)
    if isinstance(read, Tolerance):
        return Leaf(path, text, read.amount, unit_of(text))
    if isinstance(read, bool) or not isinstance(read, float | int):
        return Leaf(path, text, None, "")
    # a count in a CSV cell is text without a unit
    counted = isinstance(read, int) or not isinstance(raw, str)
    return Leaf(path, text, float(read), "1" if counted else unit_of(text))
