"""The door to typst: a template of this room and data in, the bytes of a PDF out.

Data reaches the template as JSON and is laid out as text: a boat called "#panic()" or "$x$" is
printed under that name. The same data gives the same bytes: no clock is read, and only the
fonts that come with the package's own requirements are used.
"""

import json
from collections.abc import Mapping
from importlib.util import find_spec
from pathlib import Path

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
    import typst  # noqa: PLC0415 - only who prints pays for the typesetter

    try:
        pages, warnings = typst.compile_with_warnings(
            str(ROOM / template),
            root=str(ROOM),
            font_paths=[str(_font_folder())],
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps(data, allow_nan=False)},
            pdf_tags=False,  # tags make a report five times as large; its JSON reads better
        )
    except typst.TypstError as error:
        raise TypesettingError(f"{template}: {error.diagnostic}") from error
    if warnings:
        raise TypesettingError(f"{template}: {'; '.join(note.message for note in warnings)}")
    return bytes(pages)


def _font_folder() -> Path:
    """Folder of the sans-serif faces, found without importing their package."""
    spec = find_spec(_FONTS)
    if spec is None or spec.origin is None:
        raise TypesettingError(f"the fonts are missing; install the package {_FONTS!r}")
    return Path(spec.origin).parent / "files"
