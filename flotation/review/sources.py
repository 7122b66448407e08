"""A boat file and all it names as one value, so that boats between two boats can be made.

Tables of a list that have names of their own are kept by these names, a weight list in CSV as the
table that it stands for, and a file by its content: what two boats share is then equal, wherever
it stands and however its file is called.
"""

import hashlib
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from json import dumps
from pathlib import Path

from flotation.boat import Boat
from flotation.boatfile.document import csv_document, text_of
from flotation.boatfile.weights import like_an_item

NAMED_BY = ("name", "item", "foam")
_BARE = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-")

Table = dict[str, object]


class Named(dict[str, object]):
    """A list of tables by their names."""


@dataclass(frozen=True)
class Content:
    """A file that a boat file names: its name there, and what is in it."""

    name: str
    data: bytes

    @property
    def stored_as(self) -> str:
        """A name of its content alone."""
        return hashlib.sha256(self.data).hexdigest()[:24] + Path(self.name).suffix

    def __eq__(self, other: object) -> bool:
        """The content counts, whatever the file is called."""
        return isinstance(other, Content) and other.data == self.data

    def __hash__(self) -> int:
        return hash(self.data)


def source_of(file: Path, boat: Boat) -> Table:
    """A boat file that was read before as one nested table."""
    folder, (_, *beside) = file.parent, (name for name, _ in boat.files)
    data = tomllib.loads(text_of(file.read_bytes(), file.name))
    weights = data.get("weights", {})
    table = weights.get("file") if isinstance(weights, dict) else None
    if isinstance(table, str):
        rows = csv_document(text_of((folder / table).read_bytes(), table), table).data
        del weights["file"]
        weights["item"] = [*weights.get("item", []), *(dict(like_an_item(row)) for row in rows)]
    contents = {n: Content(n, (folder / n).read_bytes()) for n in beside if n != table}
    found = _kept(data, contents)
    assert isinstance(found, dict)  # a boat file is a table
    return found


def _kept(value: object, contents: Mapping[str, Content]) -> object:
    if isinstance(value, dict):
        return {key: _kept(inner, contents) for key, inner in value.items()}
    if isinstance(value, list):
        inner = [_kept(one, contents) for one in value]
        names = [_name(one) for one in inner]
        if inner and "" not in names and len(set(names)) == len(names):
            return Named(zip(names, inner, strict=True))
        return inner
    return contents.get(value, value) if isinstance(value, str) else value


def _name(value: object) -> str:
    if isinstance(value, dict) and not isinstance(value, Named):
        for key in NAMED_BY:
            if isinstance(value.get(key), str):
                return str(value[key])
    return ""


def write_source(source: Mapping[str, object], folder: Path) -> Path:
    """A boat file that says what the table says, with all it names beside it."""
    for content in _contents(source):
        file = folder / content.stored_as
        if not file.exists():
            file.write_bytes(content.data)
    boat_file = folder / "boat.toml"
    lines = [f"{_key(key)} = {_toml(value)}\n" for key, value in source.items()]
    boat_file.write_text("".join(lines), encoding="utf-8", newline="\n")
    return boat_file


def _contents(value: object) -> Iterator[Content]:
    if isinstance(value, Content):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _contents(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _contents(inner)


def _toml(value: object) -> str:
    """A value in one line, as TOML writes it."""
    match value:
        case Named():
            return _toml(list(value.values()))
        case dict():
            pairs = (f"{_key(key)} = {_toml(inner)}" for key, inner in value.items())
            return f"{{ {', '.join(pairs)} }}"
        case list():
            return f"[{', '.join(_toml(inner) for inner in value)}]"
    return _plain_toml(value)


def _plain_toml(value: object) -> str:
    match value:
        case Content():
            return _text(value.stored_as)
        case bool():
            return str(value).lower()
        case date():
            return value.isoformat()
        case str():
            return _text(value)
    return repr(value)


def _text(value: str) -> str:
    return dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _key(key: str) -> str:
    return key if key and set(key) <= _BARE else _text(key)
