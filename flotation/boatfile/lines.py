"""On which line of a TOML text does each entry stand?

The standard library's reader gives values without lines. This scanner walks a text that it has
already accepted, so it need not look for mistakes; it only follows brackets, quotes and line
ends, and notes for each entry the line on which its key (or its value within an array) begins.
"""

import re
import tomllib
from collections.abc import Mapping

Path = tuple[str | int, ...]

_BLANK = re.compile(r"[ \t]*")
_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}(?!")'
    r"|'''.*?'{3,5}(?!')"
    r'|"(?:\\.|[^"\\])*"'
    r"|'[^']*'",
    re.DOTALL,
)
_PLAIN_VALUE = re.compile(r"[^,\]}#\r\n]*")


def entry_lines(text: str) -> Mapping[Path, int]:
    """Lines, counted from 1, of every table, entry and array element of a TOML text.

    text  TOML that `tomllib` has accepted; behaviour on other text is not defined
    Returns a mapping from the path of an entry, such as ("cavity", 2, "hole", 0, "at"), to its
    line. The whole file, path (), is line 1.
    """
    return _Scanner(text).scan()


class _Scanner:
    """A place in the text, and the lines found so far."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._line = 1
        self._counted = 0
        self._lines: dict[Path, int] = {(): 1}
        self._last_of_array: dict[Path, int] = {}

    def scan(self) -> Mapping[Path, int]:
        table: Path = ()
        self._skip(_GAP)
        while self._at < len(self._text):
            table = self._header() if self._text[self._at] == "[" else self._pair(table)
            self._skip(_GAP)
        return self._lines

    def _skip(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self._text, self._at)
        self._at = match.end() if match else self._at
        return match[0] if match else ""

    def _note(self, path: Path, at: int) -> None:
        """Keep the first line of an entry, and of the tables that a dotted key makes."""
        self._line += self._text.count("\n", self._counted, at)
        self._counted = at
        for length in range(1, len(path) + 1):
            self._lines.setdefault(path[:length], self._line)

    def _header(self) -> Path:
        """A [table] or [[table of an array]]: its path, arrays with the number of the element."""
        start = self._at
        array = self._text.startswith("[[", start)
        self._at += 2 if array else 1
        *parents, name = self._key()
        self._at += 2 if array else 1
        path: Path = ()
        for key in parents:
            path = self._inside((*path, key))
        path = (*path, name)
        if array:
            self._last_of_array[path] = self._last_of_array.get(path, -1) + 1
        path = self._inside(path)
        self._note(path, start)
        return path

    def _inside(self, path: Path) -> Path:
        return (*path, self._last_of_array[path]) if path in self._last_of_array else path

    def _key(self) -> list[str]:
        parts = []
        while True:
            self._skip(_BLANK)
            if self._text[self._at] in "\"'":
                parts.append(tomllib.loads(f"key = {self._skip(_STRING)}")["key"])
            else:
                parts.append(self._skip(_BARE_KEY))
            self._skip(_BLANK)
            if self._text[self._at] != ".":
                return parts
            self._at += 1

    def _pair(self, table: Path) -> Path:
        start = self._at
        path = (*table, *self._key())
        self._note(path, start)
        self._at += 1
        self._skip(_BLANK)
        self._value(path)
        return table

    def _value(self, path: Path) -> None:
        first = self._text[self._at]
        if first == "[":
            self._array(path)
        elif first == "{":
            self._inline_table(path)
        elif first in "\"'":
            self._skip(_STRING)
        else:
            self._skip(_PLAIN_VALUE)

    def _array(self, path: Path) -> None:
        self._at += 1
        self._skip(_GAP)
        number = 0
        while self._text[self._at] != "]":
            self._note((*path, number), self._at)
            self._value((*path, number))
            self._next()
            number += 1
        self._at += 1

    def _inline_table(self, path: Path) -> None:
        self._at += 1
        self._skip(_GAP)
        while self._text[self._at] != "}":
            self._pair(path)
            self._next()
        self._at += 1

    def _next(self) -> None:
        """Past the comma, if there is one, to the next element or the closing bracket."""
        self._skip(_GAP)
        if self._text[self._at] == ",":
            self._at += 1
            self._skip(_GAP)
