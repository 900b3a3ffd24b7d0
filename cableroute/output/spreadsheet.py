"""Tables as CSV, for a spreadsheet."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from io import StringIO
from typing import Any

#: What makes a spreadsheet take a cell for a formula.
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_text(columns: Sequence[str], rows: Sequence[Mapping[str, Any]]) -> str:
    """Return rows of one kind as CSV; no cell of it is taken for a formula.

    Parameters
    ----------
    columns : sequence of str
        Their names.
    rows : sequence of mapping
        Values by the names of the columns.

    Returns
    -------
    str
        Numbers to a millionth; empty where a value is None.
    """
    text = StringIO()
    writer = csv.DictWriter(text, columns)
    writer.writeheader()
    writer.writerows({key: _cell(value) for key, value in row.items()} for row in rows)
    return text.getvalue()


def _cell(value: Any) -> Any:
    if isinstance(value, str) and (value.startswith(FORMULA) or value.lstrip().startswith(FORMULA)):
        return "'" + value
    return round(value, 6) + 0.0 if isinstance(value, float) else value
