"""Lines from the keyboard or a pipe, and the signals that may come meanwhile."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType


class HeldSignals:
    """Waits for lines; no signal breaks off what is done between one line and the next.

    While waiting all is saved, so that a hang-up may end the process there and then; Ctrl-C ends
    the talk in good order, with the terminal as it was.
    """

    def __init__(self) -> None:
        names = ("SIGINT", "SIGTERM", "SIGHUP")  # Windows has no hang-up
        self.usual = {
            each: signal.getsignal(each)
            for each in (getattr(signal, name, None) for name in names)
            if each is not None
        }
        self.hung_up = self.is_waiting = False

    def hear(self, _signal: int, _frame: FrameType | None) -> None:
        """Take a signal."""
        self.hung_up = True
        if self.is_waiting:
            raise KeyboardInterrupt

    @contextmanager
    def listening(self) -> Iterator[None]:
        """Take signals until the talk is over."""
        for each in self.usual:
            signal.signal(each, self.hear)
        try:
            yield
        finally:
            for each, handler in self.usual.items():
                signal.signal(each, handler)

    @contextmanager
    def _waiting(self) -> Iterator[None]:
        deadly = {each: how for each, how in self.usual.items() if each != signal.SIGINT}
        for each, handler in deadly.items():
            signal.signal(each, handler)
        self.is_waiting = True
        try:
            yield
        finally:
            self.is_waiting = False
            for each in deadly:
                signal.signal(each, self.hear)

    def line(self, prompt: str) -> str | None:
        """Wait for a line; None when there will be no more."""
        try:
            with self._waiting():
                if self.hung_up:
                    return None
                if sys.stdin.isatty():
                    return input(prompt)
                return sys.stdin.readline() or None
        except (EOFError, KeyboardInterrupt, OSError):
            return None
