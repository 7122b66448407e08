"""Plain text for a terminal of 80 columns: headings, lists, tables."""

from collections.abc import Sequence
from itertools import zip_longest
from textwrap import fill, wrap

WIDTH = 80

_NARROWEST = 8


def heading(text: str) -> str:
    """A line, underlined."""
    line = cut(text, WIDTH)
    return f"{line}\n{'=' * len(line)}"


def wrapped(text: str) -> str:
    """A paragraph."""
    return fill(text, WIDTH)


def item(text: str) -> str:
    """An entry of a list."""
    return fill(text, WIDTH, initial_indent="- ", subsequent_indent="  ")


def cut(text: str, width: int) -> str:
    """As much as fits."""
    return text if len(text) <= width else text[: width - 3] + "..."


def joined(parts: Sequence[str]) -> str:
    """One text of all parts, with one line end."""
    return "\n".join(parts).rstrip() + "\n"


def under(text: str) -> str:
    """A line more about the list within a list above it."""
    return fill(text, WIDTH, initial_indent="  ", subsequent_indent="  ")


def subitem(text: str) -> str:
    """An entry of a list within a list."""
    return fill(text, WIDTH, initial_indent="  - ", subsequent_indent="    ")


def bar(share: float, text: str) -> str:
    """How far a piece of work is, in one line of a terminal, padded to wipe the one before.

    >>> bar(0.5, "sealing").rstrip()
    '[##########..........]  50 %  sealing'
    """
    done = min(max(share, 0.0), 1.0)
    marks = ("#" * round(20 * done)).ljust(20, ".")
    return cut(f"[{marks}] {100 * done:3.0f} %  {text}", WIDTH - 1).ljust(WIDTH - 1)


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], *, right: Sequence[int], stretch: int
) -> str:
    """Columns two blanks apart; where a line is too long the column `stretch` is broken up."""
    columns = list(zip(head, *rows, strict=True))
    widths = [max(1, *(len(cell) for cell in column)) for column in columns]
    left = widths[stretch] - max(0, sum(widths) + 2 * (len(widths) - 1) - WIDTH)
    widths[stretch] = max(left, _NARROWEST)
    top, *lines = [line for row in (head, *rows) for line in _lines(row, widths, right)]
    return "\n".join((top, "-" * max(len(line) for line in (top, *lines)), *lines))


def _lines(row: Sequence[str], widths: Sequence[int], right: Sequence[int]) -> list[str]:
    """A row of a table: one line, or more where a cell is wider than its column."""
    broken = [wrap(cell, width) or [""] for cell, width in zip(row, widths, strict=True)]
    found = []
    for cells in zip_longest(*broken, fillvalue=""):
        placed = [
            cell.rjust(width) if place in right else cell.ljust(width)
            for place, (cell, width) in enumerate(zip(cells, widths, strict=True))
        ]
        found.append("  ".join(placed).rstrip())
    return found
