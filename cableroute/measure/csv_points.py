"""A bare list of points as CSV: x, y, z, and perhaps label, radius, fix, move, cable."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import numpy as np

from cableroute.errors import RouteFileError, TapeError
from cableroute.frozen import frozen
from cableroute.measure.csv_heads import (
    AXES,
    Head,
    faults_of,
    read_head,
    read_header,
    remarks_on,
)
from cableroute.measure.csv_rows import BLANKS, rows_and_delimiter
from cableroute.measure.models import PointEntry
from cableroute.measure.point_list import Listed, PointList
from cableroute.measure.tables import FARTHEST
from cableroute.units import MM_PER_UNIT, PLAIN_NUMBER, Unit, parse_length, plain_number

_LENGTHS = (*AXES, "radius")
_WITHOUT_HEADER = tuple(map(read_head, (*AXES, "label", "radius", "fix")))
_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]+")
_MAYBE_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
#: As many points are no list by hand but a scan [-].
MANY = 500
_QUICK = {*AXES, "label"}
_ALL_PLAIN = re.compile(rf"(?:{PLAIN_NUMBER}\n)*+{PLAIN_NUMBER}")
_COMMA_NOTE = "commas are read as the decimal mark"

Row = tuple[int, list[str]]


def read_points(text: str, *, source: str, unit: Unit | None) -> PointList:
    """Return the points of a CSV text in the form that a route file gives them."""
    rows, delimiter = rows_and_delimiter(text, source=source)
    if not rows:
        raise RouteFileError([f"{source}: expected rows of x, y, z; got an empty file"])
    heads = read_header(rows[0][1])
    if heads is not None:
        if faults := faults_of(heads):
            raise RouteFileError(f"{source}:{rows[0][0]}: {fault}" for fault in faults)
        rows = rows[1:]
    columns = heads or _WITHOUT_HEADER
    if delimiter == BLANKS:
        _check_one_point_a_row(rows, len(heads or AXES), source)
        rows = [
            (line, _last_joined(cells, len(heads or AXES) + (not heads))) for line, cells in rows
        ]
    has_commas = delimiter != "," and _commas_are_decimal(rows, columns)
    cables = _quickly(rows, columns, unit or "mm")
    if cables is None:
        cables = _by_cable(rows, _Reader(columns, unit or "mm", has_commas), source)
    own = {head.name: head.unit for head in columns}
    notes = [*remarks_on(heads or ()), *([_COMMA_NOTE] if has_commas else [])]
    return PointList(
        cables=cables,
        unit=own["x"] if all(own.get(axis) for axis in AXES) else unit,
        notes=("; ".join(notes),) if notes else (),
    )


def _check_one_point_a_row(rows: Sequence[Row], count: int, source: str) -> None:
    """Refuse rows of many numbers, such as both ends of a line: no label is made of numbers."""
    for line, cells in rows:
        left = cells[count:]
        if len(left) > 1 and all(plain_number(cell) is not None for cell in left):
            msg = f"expected {count} numbers and perhaps a label, got {len(cells)} numbers"
            raise RouteFileError([f"{source}:{line}: {msg}; put each point on a line of its own"])


def _last_joined(cells: list[str], count: int) -> list[str]:
    """Put words together that follow the last column: a label may be several."""
    return [*cells[: count - 1], " ".join(cells[count - 1 :])] if len(cells) > count else cells


def _commas_are_decimal(rows: Sequence[Row], columns: Sequence[Head]) -> bool:
    """Tell by the whole file what one cell leaves open: 1,205 is a decimal where 12,5 is one."""
    at = [i for i, head in enumerate(columns) if head.name in _LENGTHS]
    cells = [cells[i] for _, cells in rows for i in at if i < len(cells) and "," in cells[i]]
    clear = [cell for cell in cells if _COMMA.fullmatch(cell)]
    return any(not _MAYBE_THOUSANDS.fullmatch(cell) for cell in clear)


def _quickly(rows: Sequence[Row], columns: Sequence[Head], unit: Unit) -> tuple[Listed, ...] | None:
    """Read a scan of plain numbers column by column; None for what needs a look at every cell."""
    width = len(rows[0][1]) if rows else 0
    names = [head.name for head in columns[:width]]
    known = {head.name for head in columns[:width] if head.is_known}
    if len(rows) < MANY or not set(AXES) <= known <= _QUICK or width > len(columns):
        return None
    if any(len(cells) != width for _, cells in rows):
        return None
    places = []
    for axis in AXES:
        at = names.index(axis)
        cells = [cells[at] for _, cells in rows]
        if not _ALL_PLAIN.fullmatch("\n".join(cells)):
            return None
        factor = MM_PER_UNIT[columns[at].unit or unit]
        values = np.array(cells).astype(np.float64)
        places.append(values * factor.numerator / factor.denominator)
    if not (np.abs(places) <= FARTHEST).all():
        return None
    labels = (
        [row[names.index("label")] for _, row in rows] if "label" in known else [""] * len(rows)
    )
    points = zip(np.transpose(places).tolist(), labels, strict=True)
    entries = PointEntry.many(points)
    return (Listed("", entries, [line for line, _ in rows]),)


def _by_cable(rows: Sequence[Row], reader: _Reader, source: str) -> tuple[Listed, ...]:
    """Read every row, and give each cable those that name it, in their order."""
    faults: list[str] = []
    cables: dict[str, Listed] = {}
    for line, cells in rows:
        point, complaints = reader.point(cells)
        faults += [f"{source}:{line}: {complaint}" for complaint in complaints]
        name = point.pop("cable", "")
        cable = cables.setdefault(name, Listed(name, [], []))
        cable.points.append(point)
        cable.lines.append(line)
    if faults:
        raise RouteFileError(faults)
    return tuple(cables.values()) or (Listed("", [], []),)


@frozen
class _Reader:
    """Reads one row after the other, by the same columns."""

    columns: Sequence[Head]
    unit: Unit
    has_commas: bool

    def point(self, cells: Sequence[str]) -> tuple[dict[str, Any], list[str]]:
        """Return a point, and what is wrong with it."""
        complaints = []
        if len(cells) > len(self.columns):
            complaints.append(f"expected {len(self.columns)} columns, got {len(cells)}")
        row: dict[str, Any] = {}
        for head, cell in zip(self.columns, cells, strict=False):
            if head.name in _LENGTHS and (cell or head.name in AXES):
                try:
                    row[head.name] = self._length(cell, head)
                except TapeError as error:
                    complaints.append(f"{head.name}: {error}")
            elif cell and head.is_known:
                row[head.name] = cell
        if len(cells) < len(AXES):
            complaints.append(f"expected x, y and z, got {len(cells)} column")
        if not row.get("cable") and any(head.name == "cable" for head in self.columns):
            complaints.append("cable: expected the name of the cable, got none")
        extras = {key: value for key, value in row.items() if key not in AXES}
        if any(head.name == "along" for head in self.columns):
            extras.pop("radius", None)  # points along a run, with the radius it has there
        return {"at": [row.get(axis) for axis in AXES], **extras}, complaints

    def _length(self, cell: str, head: Head) -> float:
        """Read plain numbers quickly (a survey may have many), the rest as tape notation."""
        if self.has_commas and _MAYBE_THOUSANDS.fullmatch(cell.replace(".", ",")) and "." in cell:
            why = "where commas are decimal marks, its point may mark thousands"
            plain = f"`{cell.replace('.', '')}` or `{cell.replace('.', ',')}`"
            raise TapeError(f"cannot read `{cell}` as a length: {why}; type {plain}")
        if self.has_commas and _COMMA.fullmatch(cell):
            cell = cell.replace(",", ".")
        value, unit = plain_number(cell), head.unit or self.unit
        if value is None or abs(value) == float("inf"):
            return parse_length(cell, unit=unit)  # type: ignore[arg-type]
        factor = MM_PER_UNIT[unit]
        return value * factor.numerator / factor.denominator
