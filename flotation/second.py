"""A second process for work that need not wait: started early, so that it is ready when asked.

The answer is the same as without it; where there is one processor only, or the process cannot be
had, the work is done here when the answer is asked for.
"""

import atexit
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, ProcessPoolExecutor
from contextlib import contextmanager
from importlib import import_module
from multiprocessing import get_context
from typing import TypeVar, TypeVarTuple

Given = TypeVarTuple("Given")
Answer = TypeVar("Answer")


class Second:
    """Where work is handed over to; nowhere without a `pool`."""

    def __init__(self, pool: Executor | None) -> None:
        self._pool = pool

    def begin(self, work: Callable[[*Given], Answer], *given: *Given) -> Callable[[], Answer]:
        """Begin `work(*given)` there; what comes back waits for the answer, or raises its error.

        `work` and what it is given must pass from process to process: a function of a module,
        frozen values.
        """
        try:
            begun = None if self._pool is None else self._pool.submit(work, *given)
        except BrokenExecutor:
            begun = None

        def answer() -> Answer:
            if begun is not None:
                try:
                    return begun.result()
                except BrokenExecutor:
                    """It could not start, or was stopped from outside: then here."""
            return work(*given)

        return answer


NO_SECOND = Second(None)


@contextmanager
def second_process(*modules: str) -> Iterator[Second]:
    """A second process that reads these modules while the first still has other work."""
    if (os.cpu_count() or 1) < 2:
        yield NO_SECOND
        return
    with ProcessPoolExecutor(1, get_context("spawn"), _made_ready) as pool:
        second = Second(pool)
        second.begin(_read, modules)
        yield second


def _made_ready() -> None:
    """A key that stops the program stops the first process, which then ends this one.

    At its end there is nothing to put away: to take apart all that was read would make it wait.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    atexit.register(os._exit, 0)


def _read(modules: Sequence[str]) -> None:
    for name in modules:
        import_module(name)
