"""Plain text for a terminal of 80 columns: headings, lists, tables."""

from collections.abc import Sequence
from textwrap import fill

WIDTH = 80


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
    """Columns two blanks apart; the column `stretch` gives way where the line is too long."""
    columns = list(zip(head, *rows, strict=True))
    widths = [max(len(cell) for cell in column) for column in columns]
    widths[stretch] -= max(0, sum(widths) + 2 * (len(widths) - 1) - WIDTH)
    lines = []
    for row in (head, *rows):
        cells = [
            cut(cell, width).rjust(width) if place in right else cut(cell, width).ljust(width)
            for place, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append("  ".join(cells).rstrip())
    return "\n".join((lines[0], "-" * max(len(line) for line in lines), *lines[1:]))
