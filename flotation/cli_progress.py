"""What the command line says on stderr while it works."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from flotation.report.terminal import bar

Progress = Callable[[float, str], None]


@contextmanager
def doing(what: str) -> Iterator[Progress | None]:
    """Say on stderr what is going on, and how long it took once that is over a second.

    Gives what draws how far it is, on a terminal; None elsewhere.
    """
    start = time.perf_counter()
    terminal = sys.stderr.isatty()
    if terminal:
        _told(f"{what} ...")
    try:
        yield _bar if terminal else None
    finally:
        spent = time.perf_counter() - start
        if terminal:
            _told(f"\r{' ' * max(len(what) + 4, 79)}\r")
        if spent > 1.0:
            _told(f"{what}: {spent:.1f} s\n")


def _bar(share: float, text: str) -> None:
    """Draw how far the work is over the line that says what it is."""
    _told(f"\r{bar(share, text)}")


def _told(text: str) -> None:
    sys.stderr.write(text)
    sys.stderr.flush()
