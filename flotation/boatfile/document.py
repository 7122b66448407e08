"""The files that make up a boat file: the file itself, and what it names beside it."""

import csv
import hashlib
import io
import re
import tomllib
from pathlib import Path as FilePath
from pathlib import PurePosixPath

from flotation.boatfile.findings import Document
from flotation.boatfile.lines import Path, entry_lines
from flotation.errors import BoatFileError, Fault

MAX_BYTES = 10_000_000
_AT_LINE = re.compile(r"\s*\(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)")


class Folder:
    """The folder of a boat file: files are named from there, and every one read is noted."""

    def __init__(self, boat_file: FilePath) -> None:
        self._folder = boat_file.parent
        self._read: dict[str, str] = {}

    @property
    def files(self) -> tuple[tuple[str, str], ...]:
        """Every file that was read, in order, with its SHA-256."""
        return tuple(self._read.items())

    def find(self, name: str) -> FilePath:
        """The file of that name; BoatFileError if it is not in the folder or not there."""
        pure = PurePosixPath(name)
        if "\\" in name or ":" in name or pure.is_absolute() or ".." in pure.parts:
            raise _fault(
                f'"{name}" does not stay inside the folder of the boat file',
                'Put the file there and name it from there, with "/": "meshes/side_port.stl".',
            )
        path = self._folder / pure
        try:
            there, leads_to = path.is_file(), path.resolve()
        except (OSError, RuntimeError) as error:
            raise unreadable("", f'"{name}"', error) from None
        if path.is_dir():
            raise _fault(f'"{name}" is a folder', "Name a file.")
        if not there:
            raise _fault(f'there is no file "{name}"', "Correct the name, or put the file there.")
        if not leads_to.is_relative_to(self._folder.resolve()):
            raise _fault(
                f'"{name}" is a link that leads out of the folder of the boat file',
                "Put the file itself there.",
            )
        return path

    def note(self, name: str, data: bytes) -> None:
        """Keep the SHA-256 of a file that was read."""
        self._read[name] = hashlib.sha256(data).hexdigest()

    def read(self, name: str) -> bytes:
        """The bytes of a file in the folder; they are noted."""
        path = self.find(name)
        try:
            data = path.read_bytes()
        except OSError as error:
            raise unreadable("", f'"{name}"', error) from None
        if len(data) > MAX_BYTES:
            raise _fault(f'"{name}" has more than {MAX_BYTES // 10**6} MB', "Make it smaller.")
        self.note(name, data)
        return data


def _fault(problem: str, remedy: str) -> BoatFileError:
    return BoatFileError(Fault("", problem, remedy))


def unreadable(place: str, what: str, error: OSError | RuntimeError) -> BoatFileError:
    """A file that the system does not hand out, told in its words."""
    why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    remedy = "Look at its name, at where it leads, and at who may read it."
    return BoatFileError(Fault(place, f"{what} cannot be read: {why}", remedy))


def text_of(data: bytes, name: str) -> str:
    """Text in UTF-8; BoatFileError with the line where it is not."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise BoatFileError(
            Fault(
                name,
                "is not text in UTF-8",
                "Save it as plain text in UTF-8, not as a workbook or a document.",
                line,
            )
        ) from None


def toml_document(text: str, name: str) -> Document:
    """A boat file's entries with their lines; BoatFileError for a slip in its syntax."""
    try:
        data = tomllib.loads(text)
        return Document(name, data, entry_lines(text))
    except tomllib.TOMLDecodeError as error:
        match = _AT_LINE.search(str(error))
        found = match["line"] if match else None
        line = int(found) if found else text.count("\n") + 1
        problem = _AT_LINE.sub("", str(error))
        remedy = "Correct the line: key = value, text in quotes, lists in brackets, no key twice."
        raise BoatFileError(Fault(name, f"is not TOML: {problem}", remedy, line)) from None
    except ValueError:  # Python's limit on the digits of a whole number
        raise BoatFileError(
            Fault(name, "has a number of thousands of digits", "Write it shorter.")
        ) from None
    except RecursionError:
        raise BoatFileError(
            Fault(name, "nests brackets too deeply", "Close the brackets that were left open.")
        ) from None


def csv_document(text: str, name: str) -> Document:
    """The rows of a CSV file, as tables of its headings, each with its line.

    The first row gives the headings; empty rows and empty cells are left out. BoatFileError for
    a file without rows, rows with more cells than headings, or a heading that stands twice.
    """
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[dict[str, str]] = []
    lines: dict[Path, int] = {(): 1}
    faults = []
    start = 1
    try:
        headings = [cell.strip() for cell in next(reader, [])]
        _check_headings(headings, name)
        start = reader.line_num + 1
        for cells in reader:
            if len(cells) > len(headings):
                problem = f"has {len(cells)} cells below {len(headings)} headings"
                remedy = "Put text that has commas in double quotes, or add the heading."
                faults.append(Fault(name, problem, remedy, start))
            pairs = zip(headings, cells, strict=False)
            row = {heading: cell.strip() for heading, cell in pairs if cell.strip()}
            if row:
                lines[len(rows),] = start
                rows.append(row)
            start = reader.line_num + 1
    except csv.Error as error:
        faults.append(Fault(name, f"is not CSV: {error}", "Save it as CSV with commas.", start))
    if faults:
        raise BoatFileError(faults)
    if not rows:
        raise BoatFileError(Fault(name, "has no rows", "Write one row for each weight.", 1))
    return Document(name, rows, lines)


def _check_headings(headings: list[str], name: str) -> None:
    if len(headings) == 1 and ";" in headings[0]:
        problem = "has its cells separated by semicolons"
        raise BoatFileError(Fault(name, problem, "Save it as CSV with commas.", 1))
    twice = {heading for heading in headings if headings.count(heading) > 1}
    if twice or not any(headings):
        problem = f'has the heading "{min(twice)}" twice' if twice else "has no headings"
        remedy = "Write each heading once: item, mass, material, x, y, z, waterline, role."
        raise BoatFileError(Fault(name, problem, remedy, 1))
