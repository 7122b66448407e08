"""The door to typst: a template of this room and data in, the bytes of a PDF out.

Data reaches the template as JSON and is laid out as text: a boat called "#panic()" or "$x$" is
printed under that name. The same data gives the same bytes: no clock is read, and only the
fonts that come with the package's own requirements are used.
"""

import json
from collections.abc import Mapping
from importlib.util import find_spec
from pathlib import Path
from typing import Any

ROOM = Path(__file__).parent
_FONTS = "font_source_sans_pro"


class TypesettingError(RuntimeError):
    """A page could not be set as drawn: a fault of this package or of its installation."""


def typeset(template: str, data: Mapping[str, object]) -> bytes:
    """The PDF of a template of this room with the data put in.

    template  file name, for example "pour_sheet.typ"
    data      JSON values only; the template reads them under the name `data`
    Returns the bytes of a PDF without a date. Raises TypesettingError where the template and
    the data do not fit or a font is missing. A character that no face has prints as an empty box.
    """
    # tags make a report five times as large; its JSON reads better
    return bytes(_compiled(template, data, {"format": "pdf", "pdf_tags": False}))


def typeset_page(
    template: str, data: Mapping[str, object], dots_per_inch: float, *, at: str = ""
) -> bytes:
    """One page of the same as PNG.

    at  the mark of a page, as the template sets it with `page-mark`; "" is the first page
    Returns the first page where the mark is missing. Raises as `typeset` does.
    """
    import typst  # noqa: PLC0415 - only who prints pays for the typesetter

    pages = _compiled(template, data, {"format": "png", "ppi": dots_per_inch})
    if isinstance(pages, bytes):
        return pages
    marks = json.loads(typst.query(**_sources(template, data), selector="<page-mark>"))
    number = next((mark["value"]["page"] for mark in marks if mark["value"]["name"] == at), 1)
    return bytes(pages[number - 1])


def _sources(template: str, data: Mapping[str, object]) -> dict[str, Any]:
    return {
        "input": str(ROOM / template),
        "root": str(ROOM),
        "font_paths": [str(_font_folder())],
        "ignore_system_fonts": True,
        "sys_inputs": {"data": json.dumps(data, allow_nan=False)},
    }


def _compiled(template: str, data: Mapping[str, object], output: dict[str, Any]) -> Any:
    """What the typesetter makes of it: bytes, or a list of bytes where there are more pages."""
    import typst  # noqa: PLC0415 - only who prints pays for the typesetter

    try:
        pages, warnings = typst.compile_with_warnings(**_sources(template, data), **output)
    except typst.TypstError as error:
        raise TypesettingError(f"{template}: {error.diagnostic}") from error
    if warnings:
        raise TypesettingError(f"{template}: {'; '.join(note.message for note in warnings)}")
    return pages


def _font_folder() -> Path:
    """Folder of the sans-serif faces, found without importing their package."""
    spec = find_spec(_FONTS)
    if spec is None or spec.origin is None:
        raise TypesettingError(f"the fonts are missing; install the package {_FONTS!r}")
    return Path(spec.origin).parent / "files"
