"""Readings as CSV: of a spring scale (wrap, load, hand force), of a core that sags."""

from __future__ import annotations

import re
from math import isnan, nan
from typing import get_args

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import RouteFileError, TapeError
from cableroute.frozen import frozen
from cableroute.measure.csv_rows import read_rows
from cableroute.shown import LONGEST_NAME, shown
from cableroute.units import (
    ForceUnit,
    force_unit_typed,
    most_typed,
    parse_angle,
    parse_force,
    parse_length,
)

_APART = re.compile(r"[^a-z0-9]+")
_NEEDED = ("load_n", "hand_n")
#: Columns of readings by a spring scale; the bench sheet has the same.
COLUMNS = ("wrap_deg", *_NEEDED, "label")
#: What stands in a reading that is still to be taken: nothing, or the unit of the scale.
_BLANK = ("", *get_args(ForceUnit))
#: What is wrong where nothing says how far a cable was turned.
_NO_WRAP = "wrap_deg: expected an angle here, or the route of a mock-up"
_SAG_NEEDED = ("length_mm", "sag_mm")
_SAG_COLUMNS = (*_SAG_NEEDED, "tip_n", "label")
_PARSERS = {"wrap_deg": parse_angle, "length_mm": parse_length, "sag_mm": parse_length}


@frozen(eq=False)
class Readings:
    """What a spring scale showed, reading by reading.

    Parameters
    ----------
    wrap : ndarray, shape (n,)
        Sum of the unsigned turns between load and hand [rad]; nan where the file does not say.
    load : ndarray, shape (n,)
        Force at the far end [N].
    hand : ndarray, shape (n,)
        Force at the hand, with the core sliding towards it [N].
    labels : tuple of str
        What each is called: its own label, else the line it stands on.
    force_unit : str
        Unit that most forces were typed with.
    """

    wrap: Array
    load: Array
    hand: Array
    labels: tuple[str, ...]
    force_unit: ForceUnit = "N"


def read_readings(text: str, *, source: str, route_wrap: float | None = None) -> Readings:
    r"""Return the spring-scale readings of a CSV text; a line without a hand force is still to take.

    Examples
    --------
    >>> found = read_readings("wrap_deg;load_n;hand_n\n180;10 kg;135\n", source="bench.csv")
    >>> found.load.round(2).tolist(), found.labels
    ([98.07], ('line 2',))
    """
    rows = read_rows(text, source=source)
    columns, faults = _header(rows, source, needed=_NEEDED, known=COLUMNS)
    values, labels, typed = [], [], []
    taken = [
        row
        for row in rows[1:]
        if dict(zip(columns, row[1], strict=False)).get("hand_n") not in _BLANK
    ]
    if rows[1:] and not taken:
        faults.append(f"{source}: expected a reading in hand_n, got none filled in")
    for line, cells in taken:
        row = dict(zip(columns, cells, strict=False))
        found, complaints = _reading(row, route_wrap)
        typed += [] if complaints else [force_unit_typed(row[name]) for name in _NEEDED]
        if len(cells) > len(columns):
            complaints.append(f"expected {len(columns)} columns, got {len(cells)}")
        faults += [f"{source}:{line}: {complaint}" for complaint in complaints]
        values.append(found)
        labels.append(row.get("label") or f"line {line}")
    if faults:
        no_wrap = any(_NO_WRAP in fault for fault in faults)
        raise RouteFileError(faults, argument="route" if no_wrap else "")
    wrap, load, hand = np.array(values, dtype=np.float64).reshape(-1, 3).T
    return Readings(wrap, load, hand, tuple(labels), most_typed(typed))


@frozen(eq=False)
class SagReadings:
    """How far clamped lengths of a core sagged, reading by reading.

    Parameters
    ----------
    length : ndarray, shape (n,)
        Free length, from the clamp to the end [mm].
    sag : ndarray, shape (n,)
        How far the end is below the clamp [mm].
    tip_load : ndarray, shape (n,)
        Load hung on the end [N].
    labels : tuple of str
        What each is called: its own label, else the line it stands on.
    """

    length: Array
    sag: Array
    tip_load: Array
    labels: tuple[str, ...]


def read_sags(text: str, *, source: str) -> SagReadings:
    r"""Return the sags of clamped lengths of a core in a CSV text.

    Parameters
    ----------
    text : str
        The file's text, with a header that names ``length_mm``, ``sag_mm`` and perhaps ``tip_n``
        and ``label``. A cell may name another unit: ``12 in``, ``20 gf``.
    source : str
        The file's name, for messages.

    Returns
    -------
    SagReadings
        Everything in mm and N.

    Raises
    ------
    RouteFileError
        With one line for every fault.

    Examples
    --------
    >>> read_sags("length_mm,sag_mm\n250,30\n12 in,61\n", source="sag.csv").length.tolist()
    [250.0, 304.8]
    """
    rows = read_rows(text, source=source)
    columns, faults = _header(rows, source, needed=_SAG_NEEDED, known=_SAG_COLUMNS)
    faults += [] if rows[1:] else [f"{source}: expected at least one reading, got none"]
    values, labels = [], []
    for line, cells in rows[1:]:
        row = dict(zip(columns, cells, strict=False))
        wrong: list[str] = []
        if len(cells) > len(columns):
            wrong.append(f"expected {len(columns)} columns, got {len(cells)}")
        values.append([_value(name, row.get(name, ""), wrong) for name in _SAG_NEEDED])
        values[-1].append(_value("tip_n", row.get("tip_n") or "0", wrong))
        faults += [f"{source}:{line}: {each}" for each in wrong]
        labels.append(row.get("label") or f"line {line}")
    if faults:
        raise RouteFileError(faults)
    length, sag, tip = np.array(values, dtype=np.float64).T
    return SagReadings(length, sag, tip, tuple(labels))


def _header(
    rows: list[tuple[int, list[str]]],
    source: str,
    *,
    needed: tuple[str, ...],
    known: tuple[str, ...],
) -> tuple[list[str], list[str]]:
    """Column names and every fault in them; raised at once where a needed one lacks."""
    line, cells = rows[0] if rows else (1, [])
    names = [_APART.sub("_", cell.lower()).strip("_") for cell in cells]
    faults = [f"expected a column {name}, got none" for name in needed if name not in names]
    lacks = bool(faults)
    for name, cell in zip(names, cells, strict=True):
        if name not in known:
            told = shown(cell, most=LONGEST_NAME)
            faults.append(f'unknown column "{told}"; known: {", ".join(known)}')
        elif names.count(name) > 1:
            faults.append(f"column {name} stands twice")
    faults = [f"{source}:{line}: {fault}" for fault in dict.fromkeys(faults)]
    if lacks:
        raise RouteFileError(faults)
    return names, faults


def _reading(
    row: dict[str, str], route_wrap: float | None
) -> tuple[tuple[float, float, float], list[str]]:
    """Read one row: wrap, load and hand force, and what is wrong with them."""
    complaints: list[str] = []
    wrap = nan if route_wrap is None else route_wrap
    if row.get("wrap_deg"):
        wrap = _value("wrap_deg", row["wrap_deg"], complaints)
    elif route_wrap is None:
        complaints.append(_NO_WRAP)
    load, hand = (_value(name, row.get(name, ""), complaints) for name in _NEEDED)
    return (wrap, load, hand), complaints


def _value(name: str, cell: str, complaints: list[str]) -> float:
    try:
        value = _PARSERS.get(name, parse_force)(cell)
    except TapeError as error:
        complaints.append(f"{name}: {error}")
        return nan
    if not (value >= 0.0 or isnan(value)):
        complaints.append(f"{name}: expected 0 or more, got {cell}")
    return value
