"""Tables as CSV, for a spreadsheet."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from io import StringIO
from typing import Any

from cableroute.shown import shown

#: What makes a spreadsheet take a cell for a formula.
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_text(columns: Sequence[str], rows: Sequence[Mapping[str, Any]]) -> str:
    """Return rows of one kind as CSV; no cell of it is a formula, and none acts on a terminal."""
    text = StringIO()
    writer = csv.DictWriter(text, columns)
    writer.writeheader()
    writer.writerows({key: cell(value) for key, value in row.items()} for row in rows)
    return text.getvalue()


def cell(value: Any) -> Any:
    """Return what is written for a value: words on one line, controls written out; plain numbers."""
    if isinstance(value, str):
        is_formula = value.startswith(FORMULA) or value.lstrip().startswith(FORMULA)
        return "'" * is_formula + shown(value)
    return round(value, 6) + 0.0 if isinstance(value, float) else value
