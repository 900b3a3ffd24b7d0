"""A bare list of points as CSV: x, y, z, and perhaps label, radius, fix."""

from __future__ import annotations

import csv
import re
from math import isfinite
from typing import Any

from cableroute.errors import RouteFileError, TapeError
from cableroute.units import MM_PER_UNIT, parse_length

_LENGTHS = ("x", "y", "z", "radius")
_COLUMNS = (*_LENGTHS, "label", "fix")
_QUOTED = re.compile(r'"[^"]*"')
_HEAD = re.compile(r"(?P<name>[a-z]+)(?:[_ ]*[(\[]?(?P<unit>mm|cm|m|in|ft)[)\]]?)?")


def read_points(
    text: str, *, source: str, unit: str | None
) -> tuple[list[Any], list[int], str | None]:
    """Return the points of a CSV text in the form that a route file gives them.

    Parameters
    ----------
    text : str
        The file's text.
    source : str
        Its name, for messages.
    unit : str or None
        Unit of bare numbers in columns whose header names none; None means mm.

    Returns
    -------
    points : list of dict
        ``{"at": [x, y, z], ...}``, bare numbers in mm.
    lines : list of int
        The line each stands on.
    unit : str or None
        Unit the tape was read in, that of x; None where mm had to be assumed.

    Raises
    ------
    RouteFileError
        For columns that cannot be told, rows that are too short, lengths that cannot be read.
    """
    rows = read_rows(text, source=source)
    if not rows:
        raise RouteFileError([f"{source}: expected rows of x, y, z; got an empty file"])
    columns = _header(rows[0][1])
    shown = unit
    if columns is None:
        columns = list(zip(("x", "y", "z", "label", "radius", "fix"), [None] * 6, strict=True))
    else:
        own = dict(columns)
        if all(own.get(axis) for axis in "xyz"):
            shown = own["x"]
        _check_header(columns, rows[0], source)
        rows = rows[1:]
    faults: list[str] = []
    points = []
    for line, cells in rows:
        found, complaints = _point(cells, columns, unit or "mm")
        faults += [f"{source}:{line}: {complaint}" for complaint in complaints]
        points.append(found)
    if faults:
        raise RouteFileError(faults)
    return points, [line for line, _ in rows], shown


def read_rows(text: str, *, source: str) -> list[tuple[int, list[str]]]:
    """Return the rows of a CSV text that hold something; its first row shows the delimiter.

    Parameters
    ----------
    text : str
        The file's text.
    source : str
        Its name, for messages.

    Returns
    -------
    list of (int, list of str)
        The line each ends on, and its cells without the blanks around them.

    Raises
    ------
    RouteFileError
        For a quotation mark that is not closed.
    """
    lines = text.splitlines()
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    first = _QUOTED.sub("", first)
    delimiter = next((mark for mark in ";\t," if mark in first), ",")
    reader = csv.reader(lines, delimiter=delimiter, skipinitialspace=True, strict=True)
    rows, line = [], 1
    try:
        for cells in reader:
            line = reader.line_num + 1
            if any(cell.strip() for cell in cells) and not cells[0].startswith("#"):
                rows.append((reader.line_num, [cell.strip() for cell in cells]))
    except csv.Error as error:
        msg = f"{source}:{line}: expected a closed quotation mark and a comma after it, got neither"
        raise RouteFileError([msg]) from error
    return rows


def _header(cells: list[str]) -> list[tuple[str, str | None]] | None:
    """Column names and units, or None when the first row is a point already."""
    heads = [_HEAD.fullmatch(cell.lower()) for cell in cells]
    if not any(head and head["name"] in _COLUMNS for head in heads[:3]):  # a label may say "fix"
        return None
    return [
        (head["name"], head["unit"]) if head else (cell, None)
        for head, cell in zip(heads, cells, strict=True)
    ]


def _check_header(
    columns: list[tuple[str, str | None]], row: tuple[int, list[str]], source: str
) -> None:
    names = [name for name, _ in columns]
    faults = [f"expected a column {axis}, got none" for axis in "xyz" if axis not in names]
    for name, cell in zip(names, row[1], strict=True):
        if name not in _COLUMNS:
            faults.append(f"unknown column {cell!r}; known: {', '.join(_COLUMNS)}")
        elif names.count(name) > 1:
            faults.append(f"column {name} stands twice")
    if faults:
        raise RouteFileError(f"{source}:{row[0]}: {fault}" for fault in dict.fromkeys(faults))


def _point(
    cells: list[str], columns: list[tuple[str, str | None]], unit: str
) -> tuple[dict[str, Any], list[str]]:
    complaints = []
    if len(cells) > len(columns):
        complaints.append(f"expected {len(columns)} columns, got {len(cells)}")
    row: dict[str, Any] = {}
    for (name, own_unit), cell in zip(columns, cells, strict=False):
        if name in _LENGTHS and (cell or name in "xyz"):
            try:
                row[name] = _length(cell, own_unit or unit)
            except TapeError as error:
                complaints.append(f"{name}: {error}")
        elif cell:
            row[name] = cell
    if len(cells) < 3:
        complaints.append(f"expected x, y and z, got {len(cells)} column")
    extras = {key: value for key, value in row.items() if key not in "xyz"}
    return {"at": [row.get(axis) for axis in "xyz"], **extras}, complaints


def _length(cell: str, unit: str) -> float:
    """Read plain numbers quickly (a survey may have many), the rest as tape notation."""
    try:
        value = float(cell)
    except ValueError:
        return parse_length(cell, unit=unit)  # type: ignore[arg-type]
    if not isfinite(value):
        return parse_length(cell, unit=unit)  # type: ignore[arg-type]
    factor = MM_PER_UNIT[unit]
    return value * factor.numerator / factor.denominator
