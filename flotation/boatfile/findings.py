"""What is wrong with a boat file, gathered while it is read, each with file, line and entry."""

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from itertools import takewhile
from typing import Any, Literal, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from flotation.boatfile.entries import EntryError, Example
from flotation.boatfile.lines import Path
from flotation.errors import Fault

Model = TypeVar("Model", bound=BaseModel)


@dataclass(frozen=True)
class Document:
    """A file that is being read: its name, its data and the lines of its entries."""

    file: str
    data: Any
    lines: Mapping[Path, int]

    def place(self, path: Path) -> str:
        """File and entry, as a person names it: `skiff.toml [[cavity]] "side" hole "P1" at`."""
        return f"{self.file} {_entry(self.data, path)}".rstrip()

    def line(self, path: Path) -> int | None:
        """The line of an entry, or of the nearest table around it that has one."""
        for length in range(len(path), -1, -1):
            if path[:length] in self.lines:
                return self.lines[path[:length]]
        return None


_LONGEST_NAME = 80
_POINTS = ("at", "corner", "size", "along", "centre", "start", "end", "path", "outline")
_TOPS = ("forward", "aft", "openings")
_AXES = {"points": "yz", **dict.fromkeys((*_POINTS, *_TOPS), "xyz")}


def _entry(data: object, path: Path) -> str:
    """Tables in brackets, elements of arrays by their names, then the entry."""
    head = [str(key) for key in takewhile(lambda key: isinstance(key, str), path)]
    for name in head:
        data = _item(data, name)
    rest = path[len(head) :]
    words = list(head)
    if rest and head and isinstance(_item(data, rest[0]), dict):
        words = [f"[[{'.'.join(head)}]]"]
    elif len(head) > 1 or isinstance(data, dict):
        words[:1] = [f"[{head[0]}]"] if head else []
    of = head[-1] if head else ""
    for key in rest:
        data = _item(data, key)
        if isinstance(key, int):
            words.append(_label(data, key, of))
        else:
            words.append(key)
            of = key
    return " ".join(words)


def _label(element: object, number: int, of: str) -> str:
    """An element of an array: its name, its axis, or its number."""
    axes = _AXES.get(of, "")
    if isinstance(element, str) and number < len(axes):
        return axes[number]
    name = _name(element)
    return f'"{name}"' if name else f"({number + 1})"


def _item(data: object, key: str | int) -> object:
    if isinstance(data, dict):
        return data.get(key)
    if isinstance(data, list) and isinstance(key, int) and key < len(data):
        return data[key]
    return None


def _name(element: object) -> str:
    if isinstance(element, dict):
        for key in ("name", "item", "foam"):
            if isinstance(element.get(key), str):
                return " ".join(str(element[key]).split())[:_LONGEST_NAME]
    return ""


@dataclass
class Findings:
    """The faults found so far; reading goes on as far as it can."""

    faults: list[Fault] = field(default_factory=list)

    def add(self, document: Document, path: Path, problem: str, remedy: str) -> None:
        """Something is wrong with this entry."""
        self.faults.append(Fault(document.place(path), problem, remedy, document.line(path)))

    def check(
        self, model: type[Model], document: Document, path: Path, raw: object
    ) -> Model | None:
        """The entries of a table, or None after its faults were added."""
        try:
            return model.model_validate(raw)
        except ValidationError as error:
            for details in error.errors(include_url=False):
                at, problem, remedy = _explained(details, model)
                self.add(document, (*path, *at), problem, remedy)
            return None

    def in_order(self, first: str) -> tuple[Fault, ...]:
        """All faults, those of the file `first` before the others, each file's by line."""

        def order(fault: Fault) -> tuple[bool, str, int]:
            file = fault.place.partition(" ")[0]
            return not fault.place.startswith(first), file, fault.line or 0

        return tuple(sorted(self.faults, key=order))


def nearest(word: str, known: Sequence[str]) -> str:
    """Advice for a word that is not known: the nearest one that is, or all of them."""
    near = difflib.get_close_matches(word, known, n=1)
    if near:
        return f'Is "{near[0]}" meant?'
    listed = ", ".join(f'"{one}"' for one in known)
    return f"Write one of: {listed}." if known else "Add it to the file."


_WRONG_TYPE = {
    "bool_type": ("is neither true nor false", "Write true or false, without quotes."),
    "list_type": ("is not a list", "Write a list in brackets."),
    "tuple_type": ("is not a list", "Write a list in brackets."),
    "model_type": ("is not a table", "Write entries in braces or under a heading of its own."),
    "dict_type": ("is not a table", "Write entries in braces or under a heading of its own."),
    "string_type": ("is not text", "Put it in quotes."),
}


def _explained(details: Mapping[str, Any], model: type[BaseModel]) -> tuple[Path, str, str]:
    """Which entry, what is wrong with it, and what to write instead."""
    path: Path = details["loc"]
    kind, given = details["type"], details["input"]
    error = details.get("ctx", {}).get("error")
    if isinstance(error, EntryError):
        return path, error.problem, error.remedy
    table = _table(model, path[:-1])
    key = path[-1] if path else ""
    if kind == "missing":
        example = _example(table.model_fields[str(key)])
        return path[:-1], f'"{key}" is missing', f"Write {key} = {example}."
    if kind == "extra_forbidden":
        return path, f'"{key}" is not known here', nearest(str(key), list(table.model_fields))
    if kind in ("enum", "literal_error"):
        choices = _choices(table.model_fields[str(key)].annotation)
        return path, f"{_shown(given)} is not one of the choices", nearest(str(given), choices)
    problem, remedy = _WRONG_TYPE.get(kind, (f"cannot be read: {details['msg']}", "Correct it."))
    return path, f"{_shown(given)} {problem}", remedy


def _shown(given: object) -> str:
    shown = f'"{given}"' if isinstance(given, str) else f"{given!r}"
    return shown if len(shown) <= _LONGEST_NAME else f"{shown[:_LONGEST_NAME]}..."


def _table(model: type[BaseModel], path: Path) -> type[BaseModel]:
    """The model of the table in which an entry stands."""
    for key in path:
        if isinstance(key, int):
            continue
        inner = [
            part
            for part in _parts(model.model_fields[key].annotation)
            if isinstance(part, type) and issubclass(part, BaseModel)
        ]
        if not inner:
            break
        model = inner[0]
    return model


def _parts(annotation: Any) -> list[Any]:
    """A type and the types that it is put together from."""
    return [annotation, *(part for inner in get_args(annotation) for part in _parts(inner))]


def _choices(annotation: Any) -> list[str]:
    for part in _parts(annotation):
        if isinstance(part, type) and issubclass(part, Enum):
            return [str(member.value) for member in part]
        if get_origin(part) is Literal:
            return [str(choice) for choice in get_args(part)]
    return []


def _example(entry: FieldInfo) -> str:
    for mark in entry.metadata:
        if isinstance(mark, Example):
            return mark.text
    if choices := _choices(entry.annotation):
        return " or ".join(f'"{choice}"' for choice in choices)
    return "{ ... }"
