"""The samples of a study as CSV: a row a machine, inputs first, then figures, then what is in hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from cableroute.output.spreadsheet import csv_text
from cableroute.study.model import TOLD
from cableroute.study.run import Study
from cableroute.study.tally import Rows


def samples_csv(found: Sequence[Study]) -> Iterator[str]:
    """Yield the text block by block, so that memory stays small."""
    columns = list(dict.fromkeys(key for study in found for key in _columns(study)))
    yield csv_text(columns, [])
    for study in found:
        for rows in study.rows():
            yield _text(study, columns, rows)


def _columns(study: Study) -> list[str]:
    figures = [f"{key}_{unit.lower()}" for key, _, unit in TOLD if key in study.samples]
    margins = [f"in_hand_{code}" for code in study.margins]
    return ["cable", *(each.key for each in study.inputs), *figures, *margins]


def _text(study: Study, columns: list[str], rows: Rows) -> str:
    values = study.doubts.values(rows.shares)
    arrays = {each.key: values[each.key] for each in study.inputs}
    for key, _, unit in TOLD:
        if key in rows.figures:
            arrays[f"{key}_{unit.lower()}"] = rows.figures[key]
    arrays |= {f"in_hand_{code}": margin for code, margin in rows.margins.items()}
    table = np.stack(list(arrays.values()), axis=1)
    cells = table.astype(object)
    cells[~np.isfinite(table)] = None  # a straight run has no tightest bend
    told = [{"cable": study.name, **dict(zip(arrays, row, strict=True))} for row in cells.tolist()]
    return csv_text(columns, told).partition("\r\n")[2]
