"""A bare list of points as CSV: x, y, z, and perhaps label, radius, fix, move, cable."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from cableroute.errors import RouteFileError, TapeError
from cableroute.frozen import frozen
from cableroute.measure.csv_heads import (
    AXES,
    NAMING,
    Head,
    faults_of,
    has_axes,
    read_head,
    read_header,
    remarks_on,
    with_units,
)
from cableroute.measure.csv_numbers import Marks, marks_of
from cableroute.measure.csv_rows import BLANKS, MOST_ABOVE, Row, Rows, rows_of
from cableroute.measure.models import PointEntry
from cableroute.measure.point_list import Listed, PointList
from cableroute.measure.tables import FARTHEST
from cableroute.units import MM_PER_UNIT, PLAIN_NUMBER, Unit, parse_length, plain_number

_LENGTHS = (*AXES, "radius")
#: Columns of words that a spreadsheet may write with a capital.
_WORDS = ("fix", "move", "passes")
_WITHOUT_HEADER = tuple(map(read_head, (*AXES, "label", "radius", "fix")))
_NUMBERED = tuple(map(read_head, ("point", *AXES, "label")))
_NAMED = tuple(map(read_head, ("label", *AXES)))
#: A name, or the number of a point, before x in one cell.
_NAME_AND_X = re.compile(rf"([^\W\d_].*?|\d+[:.)])\s+({PLAIN_NUMBER})")
#: As many points are no list by hand but a scan [-].
MANY = 500
_QUICK = {*AXES, "label"}
_ALL_PLAIN = re.compile(rf"(?:{PLAIN_NUMBER}\n)*+{PLAIN_NUMBER}")


@frozen
class _Table:
    """Rows of points, what their columns hold, what was taken for what, and what is wrong so far."""

    columns: Sequence[Head]
    rows: list[Row]
    notes: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()


def read_points(text: str, *, source: str, unit: Unit | None) -> PointList:
    """Return the points of a CSV text in the form that a route file gives them."""
    found = rows_of(text, source=source)
    if not found.rows:
        raise RouteFileError([f"{source}: expected rows of x, y, z; got an empty file"])
    table = _with_header(found, source) or _without_header(found, source)
    faults, marks = list(table.faults), Marks()
    cables = _quickly(table.rows, table.columns, unit or "mm")
    if cables is None:
        lengths = [i for i, head in enumerate(table.columns) if head.name in _LENGTHS]
        cells = [cells[i] for _, cells in table.rows for i in lengths if i < len(cells)]
        marks = marks_of(cells, parted_by_commas=found.delimiter == ",")
        cables = _by_cable(table.rows, _Reader(table.columns, unit or "mm", marks), source, faults)
    own = {head.name: head.unit for head in table.columns}
    notes = [*table.notes, *marks.notes]
    return PointList(
        cables=cables,
        unit=own["x"] if all(own.get(axis) for axis in AXES) else unit,
        notes=("; ".join(notes),) if notes else (),
        faults=tuple(faults),
    )


def _with_header(found: Rows, source: str) -> _Table | None:
    """Read the names of the columns, and what stands above and below them; None where there are none."""
    rows, above = found.rows, _rows_above(found.rows)
    line, cells = rows[above]
    heads, notes, below = read_header(cells), [], above + 1
    if heads is None:
        line, heads, below = *_said_in(found.comment, len(cells), found.delimiter), above
        if heads is None:
            return None
        notes.append(f"the comment in line {line} names the columns")
    if above:
        notes.append(f"what stands above line {line} is passed over")
    faults = tuple(f"{source}:{line}: {fault}" for fault in faults_of(heads))
    if faults and not has_axes(heads):
        raise RouteFileError(faults)
    units = with_units(heads, rows[below][1]) if below < len(rows) else None
    if units:
        notes.append(f"units are those of line {rows[below][0]}")
    rows = rows[below + bool(units) :]
    heads = _labelled(units or heads, rows)
    if found.delimiter == BLANKS:
        rows = [(line, _last_joined(cells, len(heads))) for line, cells in rows]
    return _Table(heads, rows, (*remarks_on(heads), *notes), faults)


def _labelled(heads: tuple[Head, ...], rows: Sequence[Row]) -> tuple[Head, ...]:
    """Take labels from what tells points apart: a column Name that is one word throughout does not."""

    def cells(at: int) -> set[str]:
        return {row[at] for _, row in rows if at < len(row)}

    found = list(heads)
    for at, head in enumerate(heads):
        if head.name == "label" and not head.is_plain and len(rows) > 1 and len(cells(at)) == 1:
            found[at] = replace(head, name="one word")
    if "label" in {head.name for head in found}:
        return tuple(found)
    for at, head in enumerate(heads):
        names = cells(at) if head.name in NAMING else ()
        if len(names) == len(rows) and all(name[:1].isalpha() for name in names):
            found[at] = replace(head, name="label", is_plain=False)
            break
    return tuple(found)


def _rows_above(rows: Sequence[Row]) -> int:
    """Count the rows above a header, as a title; none where no row near the top names x, y and z."""
    for above, (_, cells) in enumerate(rows[:MOST_ABOVE]):
        if _are_numbers(cells[:3]):
            break
        if has_axes(read_header(cells)):
            return above
    return 0


def _said_in(
    comment: Row | None, width: int, delimiter: str
) -> tuple[int, tuple[Head, ...] | None]:
    """Read the header that stands in a comment, as "# x y z"; None where there is none."""
    if comment is None:
        return 0, None
    line, cells = comment
    first = cells[0].lstrip("#/% ")
    alone = not first and (delimiter == BLANKS or len(cells) > width)
    heads = read_header(cells[1:] if alone else [first or cells[0], *cells[1:]])
    return line, heads if has_axes(heads) else None


def _without_header(found: Rows, source: str) -> _Table:
    """Tell by the rows what their columns hold: x, y, z; perhaps a number or a name before them."""
    rows = _names_apart(found.rows)
    if faults := _several_points_a_row(rows, found.delimiter, source):
        raise RouteFileError(faults)
    columns, notes = _by_looks(rows, source)
    if found.delimiter == BLANKS:
        count = len(AXES) + 1 + (columns is _NUMBERED)
        rows = [(line, _last_joined(cells, count)) for line, cells in rows]
    return _Table(columns, rows, notes)


def _names_apart(rows: list[Row]) -> list[Row]:
    """Part a name from the x that follows it in one cell, as in "sill 400, 0, 0"."""
    parted = [_NAME_AND_X.fullmatch(cells[0]) for _, cells in rows]
    return (
        [
            (line, [*found.groups(), *cells[1:]])
            for (line, cells), found in zip(rows, parted, strict=True)
            if found
        ]
        if all(parted)
        else rows
    )


def _by_looks(rows: Sequence[Row], source: str) -> tuple[Sequence[Head], tuple[str, ...]]:
    """Tell which columns there are; of four numbers in every row the first or the last must count."""
    first, fourth = ([cells[at] for _, cells in rows if at < len(cells)] for at in (0, 3))
    if len(fourth) < len(rows) or not all(_are_numbers(cells[1:4]) for _, cells in rows):
        return _WITHOUT_HEADER, ()
    if all(cell[:1].isalpha() for cell in first):
        return (_NAMED if max(len(cells) for _, cells in rows) == 4 else _NUMBERED), (
            "x, y, z are read from columns 2 to 4, after a name",
        )
    if _count(first) and not _count(fourth):
        return _NUMBERED, ("x, y, z are read from columns 2 to 4, as the first counts the points",)
    if _are_numbers(first) and not (_count(fourth) and not _count(first)):
        told = "expected three numbers in each row, got four, and any three may be x, y, z"
        asked = "name them in a first line, as number,x,y,z or x,y,z,label"
        raise RouteFileError([f"{source}:{rows[0][0]}: {told}; {asked}"])
    return _WITHOUT_HEADER, ()


def _are_numbers(cells: Sequence[str]) -> bool:
    return bool(cells) and all(plain_number(cell.replace(",", ".")) is not None for cell in cells)


def _count(cells: Sequence[str]) -> bool:
    """Whether cells are whole numbers, each one more than the one before, as 1. or 1: too."""
    cells = [cell.rstrip(".:)") for cell in cells]
    if not all(cell.isascii() and cell.isdigit() and len(cell) < 10 for cell in cells):
        return False
    return all(int(cell) == int(cells[0]) + i for i, cell in enumerate(cells))


def _several_points_a_row(rows: Sequence[Row], delimiter: str, source: str) -> list[str]:
    """Find a row of many numbers, such as both ends of a line: no label is made of numbers."""
    most = len(AXES) + 1 + (delimiter != BLANKS)  # a label and a radius may both be numbers
    return [
        f"{source}:{line}: expected {len(AXES)} numbers and perhaps a label, got {len(cells)} numbers; "
        "put each point on a line of its own"
        for line, cells in rows
        if len(cells) > most and _are_numbers(cells)
    ][:1]


def _last_joined(cells: list[str], count: int) -> list[str]:
    """Put words together that follow the last column: a label may be several."""
    return [*cells[: count - 1], " ".join(cells[count - 1 :])] if len(cells) > count else cells


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


def _by_cable(
    rows: Sequence[Row], reader: _Reader, source: str, faults: list[str]
) -> tuple[Listed, ...]:
    """Read every row, and give each cable those that name it, in their order."""
    cables: dict[str, Listed] = {}
    name = ""
    for line, cells in rows:
        point, complaints = reader.point(cells)
        faults += [f"{source}:{line}: {complaint}" for complaint in complaints]
        name = point.pop("cable", name)  # a point without one is a complaint already
        cable = cables.setdefault(name, Listed(name, [], []))
        cable.points.append(point)
        cable.lines.append(line)
    return tuple(cables.values()) or (Listed("", [], []),)


@frozen
class _Reader:
    """Reads one row after the other, by the same columns."""

    columns: Sequence[Head]
    unit: Unit
    marks: Marks

    def point(self, cells: Sequence[str]) -> tuple[dict[str, Any], list[str]]:
        """Return a point, and what is wrong with it; a length that cannot be read is 0 for now."""
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
                row[head.name] = cell.lower() if head.name in _WORDS else cell
        if len(cells) < len(AXES):
            got = "1 column" if len(cells) == 1 else f"{len(cells)} columns"
            complaints.append(f"expected x, y and z, got {got}")
        if not row.get("cable") and any(head.name == "cable" for head in self.columns):
            told = "cable: expected the name of the cable in every row, got none"
            complaints.append(told)
        extras = {key: value for key, value in row.items() if key not in AXES}
        if any(head.name == "along" for head in self.columns):
            extras.pop("radius", None)  # points along a run, with the radius it has there
        return {"at": [row.get(axis, 0.0) for axis in AXES], **extras}, complaints

    def _length(self, cell: str, head: Head) -> float:
        """Read plain numbers quickly (a survey may have many), the rest as tape notation."""
        cell = self.marks.plain(cell)
        value, unit = plain_number(cell), head.unit or self.unit
        if value is None or abs(value) == float("inf"):
            return parse_length(cell, unit=unit)  # type: ignore[arg-type]
        factor = MM_PER_UNIT[unit]
        return value * factor.numerator / factor.denominator
