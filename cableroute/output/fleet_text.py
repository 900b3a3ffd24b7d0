"""A fleet as text and as plain data: a row for each cable, worst first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from cableroute.measure.wording import Words
from cableroute.output.as_dict import SCHEMA
from cableroute.output.columns import WIDTH
from cableroute.output.plain import number
from cableroute.shown import one_line
from cableroute.study.many import FleetRow

#: Rows that a terminal is told; the file has them all.
MOST = 40
_HEAD = ("fails", "file", "cable", "likeliest", "pull", "length")
_WIDTHS = (8, 22, 12, 18, 9, 11)


def fleet_lines(rows: Sequence[FleetRow]) -> Iterator[tuple[str, str]]:
    """Yield a table of rows that are in order."""
    yield "", _line(_HEAD)
    yield "", "-" * WIDTH
    for row in rows[:MOST]:
        yield _mood(row), _line(_cells(row))
    if len(rows) > MOST:
        yield "", f"and {len(rows) - MOST} more"
    yield "", ""
    yield "", "Pull and length to order, in N and mm: at most this in 95 of 100 machines."


def fleet_dict(rows: Sequence[FleetRow], *, n: int, seed: int) -> dict[str, Any]:
    """Return the rows as plain data."""
    told = [
        {
            key: number(value) if isinstance(value, float) else value
            for key, value in asdict(row).items()
        }
        for row in rows
    ]
    return {"schema": SCHEMA, "n": n, "seed": seed, "rows": told}


def _mood(row: FleetRow) -> str:
    if row.chance is None or row.chance > 0.5:
        return "fail"
    return "marginal" if row.chance > 0.0 else "pass"


def _cells(row: FleetRow) -> tuple[str, ...]:
    if row.chance is None:
        return "NO", row.source, row.cable, "not studied", "", ""
    pull = Words().force(row.pull or 0.0)
    return (
        f"{100.0 * row.chance:.{0 if row.chance >= 0.1 else 2}{'f' if row.chance >= 0.1 else 'g'}} %",
        row.source,
        row.cable,
        row.rule or "none",
        pull,
        f"{row.length or 0.0:.0f} mm",
    )


def _line(cells: Sequence[str]) -> str:
    """Set cells in columns; of a file's name the end is kept, of others the beginning."""
    told = []
    for i, (cell, width) in enumerate(zip(cells, _WIDTHS, strict=True)):
        word = one_line(cell)
        if len(word) >= width:
            word = f"..{word[3 - width :]}" if i == 1 else f"{word[: width - 3]}.."
        told.append(f"{word:>{width}}" if i > 3 else f"{word:{width}}")
    return "".join(told).rstrip()
