"""Whether the text of a PDF stands on its paper, read back with its places."""

import io

import pypdf

_MARGIN = 15.0  # points; printers leave about 12


def inside_the_paper(pdf: bytes) -> None:
    """Every piece of text begins within the margins, and no page is without text."""
    for page in pypdf.PdfReader(io.BytesIO(pdf)).pages:
        wide, high = float(page.mediabox.width), float(page.mediabox.height)
        found: list[tuple[float, float, str]] = []

        def keep(text: str, cm, tm, _font, _size, found=found) -> None:  # type: ignore[no-untyped-def]  # pypdf's visitor
            if text.strip():
                across = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
                up = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
                found.append((across, up, text))

        page.extract_text(visitor_text=keep)
        assert found
        for x, y, text in found:
            assert _MARGIN <= x <= wide - _MARGIN, text
            assert _MARGIN <= y <= high - _MARGIN, text
