"""The route file that a page is about: its text, its history, and what else changes it."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from typing import Literal

from cableroute.errors import CableRouteError
from cableroute.measure.route_text import parse_toml, read_text
from cableroute.output.files import write_bytes

_MARK = "\ufeff"


class Document:
    """A route file on disk; every text it takes is saved whole and at once.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    CableRouteError
        For a file that cannot be read as TOML.
    """

    def __init__(self, path: Path) -> None:
        self.path = path.resolve()
        parse_toml(read_text(self.path), self.path)
        self._disk = self.path.read_bytes()
        self.text = self._disk.decode()
        self._past: list[str] = []
        self._future: list[str] = []
        self._seen = self._stamp()

    @property
    def version(self) -> str:
        """Name of the text, and of the other one where something else has changed the file."""
        outside = self.outside()
        return version_of(self.text) + (f"~{version_of(outside)}" if outside is not None else "")

    @property
    def body(self) -> str:
        """The text without a byte order mark."""
        return self.text.removeprefix(_MARK)

    @property
    def undoable(self) -> int:
        """How many steps can be undone [-]."""
        return len(self._past)

    @property
    def redoable(self) -> int:
        """How many steps can be done again [-]."""
        return len(self._future)

    def outside(self) -> str | None:
        """Return the text on disk if something else has put it there; empty if it is gone."""
        stamp = self._stamp()
        if stamp != self._seen:
            self._seen = stamp
            try:
                self._disk = self.path.read_bytes()
            except OSError:
                self._disk = b""
        disk = self._disk.decode(errors="replace")
        return None if disk == self.text else disk

    def change(self, body: str) -> None:
        """Save another text, as a step that can be undone."""
        mark = _MARK if self.text.startswith(_MARK) else ""
        self._step(mark + body, self._past, [])

    def undo(self) -> None:
        """Save the text before the last step."""
        if self._past:
            self._step(self._past[-1], self._future, self._past)

    def redo(self) -> None:
        """Save the text that was undone last."""
        if self._future:
            self._step(self._future[-1], self._past, self._future)

    def take(self, which: Literal["disk", "page"]) -> None:
        """Go on with the text on disk or with the page's; the other can be had by an undo."""
        outside = self.outside()
        if outside is None:
            return
        if which == "disk":
            read_text(self.path)
            parse_toml(outside.removeprefix(_MARK), self.path)
            self._past.append(self.text)
            self.text = outside
        else:
            self._save(self.text)
            self._past.append(outside if outside.strip() else self.text)
        self._future.clear()

    def _step(self, text: str, kept: list[str], taken: list[str]) -> None:
        """Save a text; only then is the history another."""
        if self.outside() is not None:
            raise CableRouteError(f"{self.path.name}: something else has changed it meanwhile")
        if text == self.text:
            return
        self._save(text)
        old, self.text = self.text, text
        kept.append(old)
        if taken:
            taken.pop()
        else:
            self._future.clear()

    def _save(self, text: str) -> None:
        data = text.encode()
        write_bytes(self.path, data, force=True)
        self._disk, self._seen = data, self._stamp()

    def _stamp(self) -> tuple[int, ...]:
        try:
            found = self.path.stat()
        except OSError:
            return ()
        return found.st_mtime_ns, found.st_size, found.st_ino


def version_of(text: str) -> str:
    """Return a short name of a text."""
    return sha256(text.encode()).hexdigest()[:16]
