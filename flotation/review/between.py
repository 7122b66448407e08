"""From one boat to another, one input at a time."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from flotation.review.sources import NAMED_BY, Content, Named, Table

Path = tuple[str, ...]


class Gone:
    """An entry that a boat file does not have."""


GONE = Gone()


@dataclass(frozen=True)
class Replacement:
    """One entry, list of numbers or whole named table that is not the same in two boat files."""

    path: Path
    one: object
    two: object


def replacements(one: Mapping[str, object], two: Mapping[str, object]) -> tuple[Replacement, ...]:
    """What turns the first source into the second, in the order of the files.

    The smallest things that make sense alone: a number, a word, a place with its x, y and z, a
    file's content; a named table that only one of the two has is one thing.
    """
    return tuple(_walk((), one, two))


def _walk(path: Path, one: object, two: object) -> Iterator[Replacement]:
    if isinstance(one, dict) and isinstance(two, dict) and type(one) is type(two):
        for key in dict.fromkeys((*one, *two)):
            yield from _walk((*path, key), one.get(key, GONE), two.get(key, GONE))
    elif type(one) is not type(two) or one != two:
        yield Replacement(path, one, two)


def replaced(source: Table, change: Replacement) -> Table:
    """A source with one thing as the second boat has it; the source itself stays as it is."""
    return _replaced(source, change.path, change.two)


def _replaced(table: Table, path: Path, value: object) -> Table:
    key, *rest = path
    copy = type(table)(table)
    if rest:
        inner = table.get(key)
        copy[key] = _replaced(inner if isinstance(inner, dict) else {}, tuple(rest), value)
    elif value is GONE:
        copy.pop(key, None)
    else:
        copy[key] = value
    return copy


def place(source: Mapping[str, object], path: Path) -> str:
    """A path as a person names it: `[[cavity]] "side port" laminate`."""
    named: list[bool] = []
    table: object = source
    for key in path:
        named.append(isinstance(table, Named))
        table = table.get(key) if isinstance(table, Mapping) else None
    words = [f'"{key}"' if is_name else key for key, is_name in zip(path, named, strict=True)]
    if True in named:
        first = named.index(True)
        return " ".join([f"[[{'.'.join(path[:first])}]]", *words[first:]])
    if isinstance(table, Named):
        return f"[[{'.'.join(path)}]]"
    return " ".join([f"[{path[0]}]", *words[1:]])


def shown(value: object) -> str:
    """What stands there, in short."""
    match value:
        case Gone():
            return "nothing"
        case Content():
            return f"{value.name} ({value.stored_as[:12]})"
        case list():
            return ", ".join(shown(one) for one in value)
        case bool():
            return str(value).lower()
        case dict():
            return _table_shown(value)
    return str(value)


def _table_shown(table: Mapping[str, object]) -> str:
    """The names of a list of tables; the name of a table, or all that is in it."""
    if isinstance(table, Named):
        return ", ".join(table)
    names = [str(table[key]) for key in NAMED_BY if key in table]
    return names[0] if names else ", ".join(f"{k} {shown(v)}" for k, v in table.items())
