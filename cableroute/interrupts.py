"""Ctrl-C on the command line: what is half done is taken away, and the process ends there and then.

Nothing is raised for it: an exception may come up amid others' code that is loading, building or
tidying up, which swallows it, prints it or takes it for a fault of its own.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import FrameType

#: Exit status after Ctrl-C: 128 and the number of the signal.
INTERRUPTED = 130
_half_done: list[Callable[[], None]] = []


def end_at_ctrl_c() -> None:
    """From now on Ctrl-C ends the process, unless whoever started us ignores or handles it."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, _end)


@contextmanager
def taken_away_by(tidy: Callable[[], None]) -> Iterator[None]:
    """Have what is half done here taken away, should Ctrl-C end the process meanwhile."""
    _half_done.append(tidy)
    try:
        yield
    finally:
        _half_done.remove(tidy)


def _end(_signal: int, _frame: FrameType | None) -> None:
    for tidy in reversed(_half_done):
        with suppress(Exception):  # of what is not there yet, or was being written to
            tidy()
    os._exit(INTERRUPTED)
