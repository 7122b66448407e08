"""A report for machines, read back: refused with one clear message unless it is whole."""

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from flotation.boat_entries import Entry
from flotation.errors import Fault, InputError
from flotation.report.tables import ASSESSMENT, FORMAT, POUR_PLAN

_MOST_BYTES = 50_000_000
_SHOWN = 20  # characters of a number that is too long to be told whole
_NAMES = {"assessment.json": ASSESSMENT, "pour.json": POUR_PLAN}
_KINDS = tuple(_NAMES.values())
_AGAIN = "Take the file that `flotation report` wrote, or write it again."

Json = Mapping[str, object]


@dataclass(frozen=True)
class ReportFile:
    """A report as it was read.

    name     as it is named to the reader
    kind     "assessment" or "pour plan"
    version  of the program that wrote it
    """

    name: str
    kind: str
    version: str
    boat: str
    content: Json

    @property
    def made_from(self) -> Json:
        """Files, rules and entries that it says it was made from."""
        found = self.content["made_from"]
        assert isinstance(found, Mapping)  # checked when it was read
        return found

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Every entry of the boat file that it says it was made from."""
        return tuple(
            Entry(
                str(row["file"]),
                str(row["place"]),
                str(row["text"]),
                _number(row["value"]),
                str(row["unit"]),
            )
            for row in tables_in(self.made_from, "entries")
        )

    @property
    def files(self) -> tuple[tuple[str, str], ...]:
        """Every file that it says it was made from, with its SHA-256."""
        rows = tables_in(self.made_from, "files")
        return tuple((str(row["file"]), str(row["sha256"])) for row in rows)


def tables_in(content: Json, key: str) -> list[Json]:
    """The tables of a list in a report; none where it has no such list."""
    found = content.get(key)
    return [row for row in found if isinstance(row, dict)] if isinstance(found, list) else []


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


def read_reports(path: str | Path) -> tuple[ReportFile, ...]:
    """The report in a file, or those in a folder that `flotation report` wrote.

    Raises InputError: no such file, not JSON, cut short, a key twice, a number that is none or is
    too large, half a character, another format or kind, or a report that does not say what it was
    made from.
    """
    place = Path(path)
    if not place.is_dir():
        return (_read(place),)
    found = [place / name for name in _NAMES if (place / name).is_file()]
    if not found:
        problem = f"there is no {' and no '.join(_NAMES)} in this folder"
        raise InputError(Fault(str(path), problem, "Name the folder of a report."))
    return tuple(_read(file) for file in found)


def _read(file: Path) -> ReportFile:
    content = _parsed(file, _text(file))
    if not isinstance(content, dict):
        raise _refused(file, "is JSON, and no report", _AGAIN)
    given = content.get("format")
    if given != FORMAT or isinstance(given, bool):
        problem = f"has format {given!r}; this version reads format {FORMAT}"
        raise _refused(file, problem, "Take the version of flotation that wrote it.")
    kind = content.get("kind")
    if kind not in _KINDS:
        problem = f'is "{kind}"; only these can be read back: {" and ".join(_KINDS)}'
        raise _refused(file, problem, "Name assessment.json or pour.json.")
    _check_made_from(file, content)
    version, boat = (str(content.get(key, "")) for key in ("version", "boat"))
    return ReportFile(str(file), str(kind), version, boat, content)


def _check_made_from(file: Path, content: Json) -> None:
    """A report without its inputs cannot be repeated, so it is not taken."""
    made = content.get("made_from")
    if not isinstance(made, dict):
        problem = "does not say which files it was made from"
        raise _refused(file, problem, _AGAIN)
    needed = {
        "files": {"file", "sha256"},
        "rules": {"file", "sha256"},
        "entries": {"file", "place", "text", "value", "unit"},
    }
    for key, fields in needed.items():
        rows = made.get(key)
        if not isinstance(rows, list) or not all(
            isinstance(row, dict) and fields <= set(row) for row in rows
        ):
            raise _refused(file, f'lacks what belongs under "made_from" "{key}"', _AGAIN)
    for row in made["entries"]:
        if isinstance(row["value"], bool) or not isinstance(row["value"], int | float | None):
            raise _refused(file, f'has {row["value"]!r} as the value of "{row["place"]}"', _AGAIN)


def _text(file: Path) -> str:
    try:
        if not file.exists():
            raise _refused(file, "there is no such file", "Name a report, or the folder of one.")
        data = file.read_bytes()
    except OSError as error:
        raise _refused(file, f"cannot be read: {error.strerror}", "Look at the file.") from None
    if len(data) > _MOST_BYTES:
        raise _refused(file, f"has more than {_MOST_BYTES // 10**6} MB", "Name a report.")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise _refused(file, "is not text in UTF-8", _AGAIN) from None


def _parsed(file: Path, text: str) -> object:
    if not text.strip():
        raise _refused(file, "is empty", _AGAIN)
    try:
        return _printable(
            json.loads(
                text,
                object_pairs_hook=_once_each,
                parse_constant=_no_number,
                parse_float=_finite,
                parse_int=_whole,
            )
        )
    except json.JSONDecodeError as error:
        cut = error.pos >= len(text.rstrip()) or error.msg.startswith("Unterminated")
        problem = "is cut short" if cut else f"is not JSON: {error.msg}, column {error.colno}"
        raise _refused(file, problem, _AGAIN, error.lineno) from None
    except RecursionError:
        raise _refused(file, "nests brackets too deeply", _AGAIN) from None
    except _NotOursError as error:
        raise _refused(file, str(error), _AGAIN) from None
    except ValueError:  # Python's limit on the digits of a whole number
        raise _refused(file, "has a number of thousands of digits", _AGAIN) from None


class _NotOursError(Exception):
    """JSON that this program does not write."""


def _once_each(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise _NotOursError(f'has the key "{twice}" twice in one place')
    return found


def _no_number(constant: str) -> object:
    raise _NotOursError(f"has {constant} in place of a number")


def _finite(text: str) -> float:
    value = float(text)
    if math.isinf(value):
        told = text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."
        raise _NotOursError(f"has the number {told}, which is too large")
    return value


def _whole(text: str) -> int:
    value = int(text)
    _finite(text)
    return value


def _printable(content: object) -> object:
    """The content itself; refused where UTF-8 cannot hold one of its texts, nor a terminal."""
    try:
        json.dumps(content, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        raise _NotOursError("has half a character, a lone surrogate") from None
    return content


def _refused(file: Path, problem: str, remedy: str, line: int | None = None) -> InputError:
    name = str(file)
    return InputError(Fault(f"{name}:{line}" if line else name, problem, remedy))
