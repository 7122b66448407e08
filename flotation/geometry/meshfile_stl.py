"""The bytes of an STL file -> its triangles, or a refusal that says where the file is wrong.

STL has a fixed layout, so it is read here and in numpy: a mesh library reads a damaged binary
file as an empty mesh of volume 0 without a word.
"""

import re
from collections.abc import Iterator
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from flotation.errors import Fault, MeshError

_HEADER = 80
_TRIANGLE = np.dtype(
    [("normal", "<f4", (3,)), ("corners", "<f4", (3, 3)), ("attribute", "<u2")], align=False
)
_VERTEX = rb"vertex\s+(\S+)\s+(\S+)\s+(\S+)\s+"
_FACET = re.compile(
    rb"\s*facet\b[^\n]*\n\s*outer\s+loop\s+" + _VERTEX * 3 + rb"endloop\s+endfacet\b",
    re.IGNORECASE,
)
_SOLID = re.compile(rb"\s*solid\b[^\n]*(?:\n|$)", re.IGNORECASE)
_ENDSOLID = re.compile(rb"\s*endsolid\b[^\n]*(?:\n|$)", re.IGNORECASE)
_FACETS_AT_ONCE = 20_000
_AGAIN = "Export the mesh again from the drawing; the file was cut off or damaged."


def read_stl(data: bytes, place: str) -> NDArray[np.float64]:
    """Which triangles does an STL file hold?

    data   the whole file
    place  how messages call the file
    Returns the corners (n, 3, 3) in the file's own unit. Raises MeshError for a file that is
    empty, holds no triangle, is cut off, has bytes too many, or is no STL at all.

    Binary layout: 80 bytes of header, a count n of 4 bytes, then 50 bytes a triangle; so the
    file has 84 + 50 n bytes, or it is damaged. The text layout must end with "endsolid".
    """
    if not data.strip():
        raise MeshError(Fault(place, "the file is empty", _AGAIN))
    if len(data) == _binary_size(data):
        triangles = np.frombuffer(data, dtype=_TRIANGLE, offset=_HEADER + 4)
        corners = triangles["corners"].astype(np.float64)
    elif _SOLID.match(data) and b"\0" not in data:
        corners = _read_text(data, place)
    else:
        raise MeshError(_damaged(data, place))
    if len(corners) == 0:
        raise MeshError(Fault(place, "the file holds no triangle", "Export a mesh of the solid."))
    return corners


def _binary_size(data: bytes) -> int | None:
    """Bytes that a binary file with this header has; None for a file without a whole header."""
    if len(data) < _HEADER + 4:
        return None
    count = int.from_bytes(data[_HEADER : _HEADER + 4], "little")
    return _HEADER + 4 + _TRIANGLE.itemsize * count


def _damaged(data: bytes, place: str) -> Fault:
    expected = _binary_size(data)
    if expected is None or b"\0" not in data[: _HEADER + 4]:
        problem = "this is neither a binary STL file nor a text one, which begins with 'solid'"
        return Fault(place, problem, "Export the mesh of the solid as STL and name that file.")
    count = (expected - _HEADER - 4) // _TRIANGLE.itemsize
    problem = (
        f"its header counts {count} triangles, which take {expected} bytes, "
        f"but the file has {len(data)} bytes"
    )
    return Fault(place, problem, _AGAIN)


def _read_text(data: bytes, place: str) -> NDArray[np.float64]:
    """Corners of a text STL; one `solid` after another is allowed."""
    blocks: list[NDArray[np.float64]] = []
    at = 0
    while at < len(data) and data[at:].strip():
        opening = _SOLID.match(data, at)
        if opening is None:
            raise MeshError(_unexpected(data, at, place, "solid"))
        at = _read_facets(data, opening.end(), place, blocks)
        closing = _ENDSOLID.match(data, at)
        if closing is None:
            raise MeshError(_unexpected(data, at, place, "facet' or 'endsolid"))
        at = closing.end()
    return np.concatenate(blocks) if blocks else np.empty((0, 3, 3))


def _read_facets(data: bytes, at: int, place: str, blocks: list[NDArray[np.float64]]) -> int:
    """Append the facets that follow one another from `at`; return where they end."""
    facets = _consecutive(data, at)
    while chunk := list(islice(facets, _FACETS_AT_ONCE)):
        numbers = [match.groups() for match in chunk]
        try:
            blocks.append(np.array(numbers, dtype=np.bytes_).astype(np.float64).reshape(-1, 3, 3))
        except ValueError:
            raise MeshError(_no_number(data, chunk, place)) from None
        at = chunk[-1].end()
    return at


def _consecutive(data: bytes, at: int) -> Iterator[re.Match[bytes]]:
    while match := _FACET.match(data, at):
        yield match
        at = match.end()


def _unexpected(data: bytes, at: int, place: str, wanted: str) -> Fault:
    rest = data[at:].lstrip()
    line = data.count(b"\n", 0, len(data) - len(rest)) + 1
    found = rest.split(b"\n", 1)[0][:40].decode("ascii", "replace").strip()
    seen = f"'{found}' stands" if found else "the file ends"
    problem = f"{seen} where '{wanted}' with three whole vertices belongs"
    return Fault(place, problem, _AGAIN, line)


def _no_number(data: bytes, chunk: list[re.Match[bytes]], place: str) -> Fault:
    for match in chunk:
        for group, text in enumerate(match.groups(), start=1):
            try:
                float(text)
            except ValueError:
                line = data.count(b"\n", 0, match.start(group)) + 1
                shown = text[:40].decode("ascii", "replace")
                return Fault(place, f"'{shown}' is not a number", _AGAIN, line)
    raise AssertionError("called for a chunk in which one text is not a number")
