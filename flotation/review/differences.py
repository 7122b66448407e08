"""Where two JSON documents differ, value by value, each with its path and the name of its place."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import zip_longest


class Absent(Enum):
    """A value that one of the two documents does not have."""

    ABSENT = "absent"


ABSENT = Absent.ABSENT

_NAMES = (
    "section", "side", "name", "label", "title", "group", "change", "cavity", "hole", "item",
    "file", "place", "symbol", "trial", "words", "what", "advice", "subject", "number",
)  # fmt: skip
"""Keys whose text tells an element of a list from the others."""


@dataclass(frozen=True)
class Difference:
    """One value that is not the same in both.

    path      `verdicts[1].margin`, counted from 0
    names     of the elements on the way: ("Plate: maximum weight",)
    reported, recomputed   JSON values; ABSENT where a document has none
    """

    path: str
    names: tuple[str, ...]
    reported: object
    recomputed: object

    @property
    def numeric(self) -> bool:
        """True if either side is a number."""
        return _is_number(self.reported) or _is_number(self.recomputed)


def differences(reported: object, recomputed: object) -> tuple[Difference, ...]:
    """Every value that differs, in the order of the documents.

    Numbers are compared as they stand: both documents have them rounded. Elements of lists of
    one length are compared place by place; of lists of different lengths, by their names where
    these tell them apart. What only one of the two has is one difference for each of its values.
    """
    return tuple(_walk("", (), reported, recomputed))


def _walk(path: str, names: tuple[str, ...], one: object, two: object) -> Iterator[Difference]:
    if isinstance(one, Mapping) and isinstance(two, Mapping):
        for key in dict.fromkeys((*one, *two)):
            at = f"{path}.{key}" if path else str(key)
            yield from _walk(at, names, one.get(key, ABSENT), two.get(key, ABSENT))
    elif isinstance(one, list) and isinstance(two, list):
        for place, mine, other in _paired(one, two):
            named = _name(mine if mine is not ABSENT else other)
            inner = (*names, named) if named else names
            yield from _walk(f"{path}[{place}]", inner, mine, other)
    elif one is ABSENT or two is ABSENT:
        present = two if one is ABSENT else one
        for at, within, value in _leaves(path, names, present):
            yield Difference(at, within, *((ABSENT, value) if one is ABSENT else (value, ABSENT)))
    elif not _same(one, two):
        yield Difference(path, names, one, two)


def _same(one: object, two: object) -> bool:
    """Equal, and of one kind: true is not 1."""
    return one == two and isinstance(one, bool) is isinstance(two, bool)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _paired(one: list[object], two: list[object]) -> Iterator[tuple[int, object, object]]:
    """Elements that belong together, each with its place in the first list, or in the second."""
    if len(one) != len(two):
        mine, other = _by_name(one), _by_name(two)
        if mine is not None and other is not None:
            for key in dict.fromkeys((*mine, *other)):
                place = mine[key] if key in mine else other[key]
                yield (
                    place,
                    one[mine[key]] if key in mine else ABSENT,
                    two[other[key]] if key in other else ABSENT,
                )
            return
    pairs = zip_longest(one, two, fillvalue=ABSENT)
    yield from ((place, *pair) for place, pair in enumerate(pairs))


def _by_name(elements: Sequence[object]) -> dict[object, int] | None:
    """Place of each element by what tells it apart; None where nothing does."""
    keys = [_key(element) for element in elements]
    found = {key: place for place, key in enumerate(keys)}
    return found if len(found) == len(keys) and None not in found else None


def _key(element: object) -> object:
    if isinstance(element, Mapping):
        own = tuple((k, element[k]) for k in _NAMES if isinstance(element.get(k), str | int))
        return own or None
    return element if isinstance(element, str) else None


def _name(element: object) -> str:
    """What a reader calls an element: its names, as far as they are texts."""
    if not isinstance(element, Mapping):
        return ""
    found = [element[key] for key in _NAMES if isinstance(element.get(key), str)]
    return ", ".join(text for text in found if text)[:80]


def _leaves(
    path: str, names: tuple[str, ...], value: object
) -> Iterator[tuple[str, tuple[str, ...], object]]:
    """Every single value within one; an empty list or object is a value itself."""
    if isinstance(value, Mapping) and value:
        for key, inner in value.items():
            yield from _leaves(f"{path}.{key}", names, inner)
    elif isinstance(value, list) and value:
        for place, inner in enumerate(value):
            named = _name(inner)
            yield from _leaves(f"{path}[{place}]", (*names, named) if named else names, inner)
    else:
        yield path, names, value
