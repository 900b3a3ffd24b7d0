"""Rows of a fleet in a CSV that grows row by row, and is taken up again where it was left."""

from __future__ import annotations

import csv
import os
from collections.abc import Mapping
from dataclasses import fields
from hashlib import sha256
from io import StringIO
from pathlib import Path
from typing import Any

from cableroute.errors import CableRouteError
from cableroute.output.files import write_text
from cableroute.output.spreadsheet import cell, csv_text
from cableroute.study.many import FleetRow, worst_first

#: What a row was worked out from, and the columns of what was found.
_ASKED = ("file", "cable", "asked")
_FOUND = {
    "chance": "chance_of_failing",
    "rule": "likeliest",
    "pull": "pull_p95_n",
    "push": "push_p95_n",
    "length": "length_p95_mm",
    "stock": "stock_95_mm",
    "error": "error",
}
COLUMNS = (*_ASKED, *_FOUND.values())
#: Digits of the mark that says what a row was asked.
_MARK = 16


def mark_of(content: bytes, asked: Mapping[str, Any]) -> str:
    """Return a mark that is the same for the same file asked in the same way, and no other."""
    words = repr(sorted(asked.items())).encode()
    return sha256(content + b"\0" + words).hexdigest()[:_MARK]


class RowFile:
    """The file of rows: what stands in it, and what is added.

    Parameters
    ----------
    path : Path
        The file; it may be there already if it is one of ours.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.rows: dict[tuple[str, ...], FleetRow] = {}
        if path.exists():
            self._take_up()

    def _take_up(self) -> None:
        """Read what is done; a last line that was broken off is as good as none."""
        try:
            text = self.path.read_bytes().decode()
        except (OSError, UnicodeDecodeError) as error:
            raise CableRouteError(f"{self.path}: cannot read what is done: {error}") from error
        whole = text[: text.rfind("\n") + 1]
        rows = csv.DictReader(StringIO(whole))
        if tuple(rows.fieldnames or ()) != COLUMNS:
            raise CableRouteError(
                f"{self.path}: exists already and holds no rows of a fleet; give another name"
            )
        for line, row in enumerate(rows, start=2):
            try:
                self.rows[row["file"], row["cable"], row["asked"]] = _read(row)
            except ValueError as error:
                raise CableRouteError(
                    f"{self.path}:{line}: expected numbers of a fleet's row, got others; "
                    "delete the line or give another name"
                ) from error
        if whole != text:
            write_text(self.path, whole, force=True)

    def add(self, row: FleetRow, mark: str) -> None:
        """Write a row at once, so that it is kept whatever happens."""
        first = not self.path.exists()
        line = csv_text(COLUMNS, [_cells(row, mark)])
        try:
            with self.path.open("a", newline="", encoding="utf-8") as file:
                file.write(line if first else line.partition("\r\n")[2])
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            raise CableRouteError(
                f"{self.path}: cannot write a row: {error.strerror}; the rows before it are kept"
            ) from error
        self.rows[_key(row.source, row.cable, mark)] = row

    def done(self, source: str, cable: str, mark: str) -> FleetRow | None:
        """Return the row of a cable, if it stands there and was asked in the same way."""
        return self.rows.get(_key(source, cable, mark))

    def finish(self) -> None:
        """Put the worst first."""
        marks = {id(row): key[2] for key, row in self.rows.items()}
        ordered = worst_first(self.rows.values())
        cells = [_cells(row, marks[id(row)]) for row in ordered]
        if cells:
            write_text(self.path, csv_text(COLUMNS, cells), force=True)


def _key(*names: str) -> tuple[str, ...]:
    """Return names as they are written, which a file that is read again has them by."""
    return tuple(map(cell, names))


def _cells(row: FleetRow, mark: str) -> dict[str, Any]:
    found = {column: getattr(row, name) for name, column in _FOUND.items()}
    return {"file": row.source, "cable": row.cable, "asked": mark, **found}


def _read(row: Mapping[str, str]) -> FleetRow:
    numbers = {each.name for each in fields(FleetRow) if "float" in str(each.type)}
    found: dict[str, Any] = {}
    for name, column in _FOUND.items():
        told = row[column] or ""
        found[name] = (float(told) if told else None) if name in numbers else told
    return FleetRow(row["file"], row["cable"], **found)
