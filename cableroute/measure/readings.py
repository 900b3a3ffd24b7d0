"""Spring-scale readings as CSV: wrap_deg, load_n, hand_n, and perhaps a label."""

from __future__ import annotations

from dataclasses import dataclass
from math import isnan, nan

import numpy as np
from numpy.typing import NDArray

from cableroute.errors import RouteFileError, TapeError
from cableroute.measure.csv_points import read_rows
from cableroute.units import parse_angle, parse_force

_NEEDED = ("load_n", "hand_n")
_COLUMNS = ("wrap_deg", *_NEEDED, "label")


@dataclass(frozen=True, slots=True, eq=False)
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
    """

    wrap: NDArray[np.float64]
    load: NDArray[np.float64]
    hand: NDArray[np.float64]
    labels: tuple[str, ...]


def read_readings(text: str, *, source: str, route_wrap: float | None = None) -> Readings:
    r"""Return the spring-scale readings of a CSV text.

    Parameters
    ----------
    text : str
        The file's text, with a header that names ``load_n``, ``hand_n`` and perhaps
        ``wrap_deg`` and ``label``. A cell may name another unit: ``27 lbf``, ``3.5 kg``.
    source : str
        The file's name, for messages.
    route_wrap : float, optional
        Wrap of the mock-up the readings were taken on, where the file does not say [rad].

    Returns
    -------
    Readings
        Everything in rad and N.

    Raises
    ------
    RouteFileError
        With one line for every fault: columns that cannot be told, cells that cannot be read,
        negative values, a wrap that is given neither here nor by a route.

    Examples
    --------
    >>> found = read_readings("wrap_deg;load_n;hand_n\n180;10 kg;135\n", source="bench.csv")
    >>> found.load.round(2).tolist(), found.labels
    ([98.07], ('line 2',))
    """
    rows = read_rows(text, source=source)
    columns = _header(rows, source)
    faults: list[str] = []
    values, labels = [], []
    for line, cells in rows[1:]:
        found, complaints = _reading(dict(zip(columns, cells, strict=False)), route_wrap)
        if len(cells) > len(columns):
            complaints.append(f"expected {len(columns)} columns, got {len(cells)}")
        faults += [f"{source}:{line}: {complaint}" for complaint in complaints]
        values.append(found)
        label = dict(zip(columns, cells, strict=False)).get("label")
        labels.append(label or f"line {line}")
    if faults:
        raise RouteFileError(faults)
    wrap, load, hand = np.array(values, dtype=np.float64).reshape(-1, 3).T
    return Readings(wrap, load, hand, tuple(labels))


def _header(rows: list[tuple[int, list[str]]], source: str) -> list[str]:
    """Column names, or every fault in them at once."""
    line, cells = rows[0] if rows else (1, [])
    names = [cell.lower().replace(" ", "_") for cell in cells]
    faults = [f"expected a column {name}, got none" for name in _NEEDED if name not in names]
    for name, cell in zip(names, cells, strict=True):
        if name not in _COLUMNS:
            faults.append(f"unknown column {cell!r}; known: {', '.join(_COLUMNS)}")
        elif names.count(name) > 1:
            faults.append(f"column {name} stands twice")
    if faults:
        raise RouteFileError(f"{source}:{line}: {fault}" for fault in dict.fromkeys(faults))
    return names


def _reading(
    row: dict[str, str], route_wrap: float | None
) -> tuple[tuple[float, float, float], list[str]]:
    """Read one row: wrap, load and hand force, and what is wrong with them."""
    complaints: list[str] = []
    wrap = nan if route_wrap is None else route_wrap
    if row.get("wrap_deg"):
        wrap = _value("wrap_deg", row["wrap_deg"], complaints)
    elif route_wrap is None:
        complaints.append("wrap_deg: expected an angle here, or --route with a mock-up's route")
    load, hand = (_value(name, row.get(name, ""), complaints) for name in _NEEDED)
    return (wrap, load, hand), complaints


def _value(name: str, cell: str, complaints: list[str]) -> float:
    try:
        value = parse_angle(cell) if name == "wrap_deg" else parse_force(cell)
    except TapeError as error:
        complaints.append(f"{name}: {error}")
        return nan
    if not (value >= 0.0 or isnan(value)):
        complaints.append(f"{name}: expected 0 or more, got {cell}")
    return value
