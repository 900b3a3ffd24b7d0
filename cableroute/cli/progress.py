"""A line on the terminal that says what is being done, while somebody waits for it."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from threading import Lock, Timer
from typing import TextIO
from unicodedata import combining, east_asian_width

from cableroute.interrupts import taken_away_by
from cableroute.output.telling import Announce, silent

#: Nothing is shown of what is done sooner than this [s].
DELAY = 0.7


@contextmanager
def progress(doing: str) -> Iterator[Announce]:
    """Show on stderr what is being done, and take the line away again, whatever happens.

    Nothing is shown of quick work, nor in a pipe, a file or a dumb terminal. Print nothing else
    meanwhile: the line is not in anybody's way once the block is left.
    """
    stream = sys.stderr
    if not _is_watched(stream):
        yield silent
        return
    line = _Line(stream, doing)
    try:
        with taken_away_by(line.wipe):
            yield line.tell
    finally:
        line.end()


def _is_watched(stream: TextIO | None) -> bool:
    return stream is not None and stream.isatty() and os.environ.get("TERM") != "dumb"


class _Line:
    """One line of a terminal, drawn over and over again.

    A timer shows it first, as most waits are for one long step that says nothing on its way.
    """

    def __init__(self, stream: TextIO, text: str) -> None:
        self._stream, self._text = stream, text
        self._is_shown = False
        self._lock = Lock()
        self._timer = Timer(DELAY, self._show)
        self._timer.daemon = True
        self._timer.start()

    def tell(self, text: str) -> None:
        """Show another text, now or when it is time to."""
        with self._lock:
            self._text = text
            if self._is_shown:
                self._draw(text)

    def end(self) -> None:
        """Leave an empty line, with the cursor at its start."""
        self._timer.cancel()
        self._timer.join()
        self.wipe()

    def wipe(self) -> None:
        """Take away what is shown."""
        if self._is_shown:
            self._draw("")

    def _show(self) -> None:
        with self._lock:
            self._is_shown = True
            self._draw(self._text)

    def _draw(self, text: str) -> None:
        """Write over the whole line but its last place, and go back, so that ^C does not wrap."""
        with suppress(OSError, ValueError):  # a terminal that has gone must not stop the work
            room = max(_columns(self._stream) - 1, 1)
            shown = fitted(text, room=room, encoding=self._stream.encoding or "ascii")
            self._stream.write(f"\r{shown}{' ' * (room - _width(shown))}\r")
            self._stream.flush()


def _columns(stream: TextIO) -> int:
    """Width of the terminal that the line is on, which need not be that of stdout."""
    return os.get_terminal_size(stream.fileno()).columns or shutil.get_terminal_size().columns


def fitted(text: str, *, room: int, encoding: str = "utf-8") -> str:
    """Return words that stay on one line: cut to its width, and nothing that moves the cursor."""
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    line = line.encode(encoding, "replace").decode(encoding)
    kept = line[: 2 * room]  # accents of their own take no place
    while _width(kept) > room - (kept != line):
        kept = kept[:-1]
    mark = "…".encode(encoding, "replace").decode(encoding) if kept != line else ""
    return kept + mark


def _width(text: str) -> int:
    """Places that a text takes on a terminal: two for a letter of the Far East."""
    return sum(0 if combining(c) else 2 if east_asian_width(c) in "WF" else 1 for c in text)
