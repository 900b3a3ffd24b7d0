"""A sweep as text, as plain data and as CSV."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from cableroute.output.as_dict import SCHEMA
from cableroute.output.check_words import quantity
from cableroute.output.columns import wrapped
from cableroute.output.plain import number
from cableroute.output.spreadsheet import csv_text
from cableroute.study.sweep import Sweep, Tried

#: How a verdict is marked in the map.
MARKS = {"pass": "+", "marginal": "~", "fail": ".", "none": " "}
#: Columns of the map at most; a wider one is for the picture.
_WIDEST = 60
#: Limits told of the best, the nearest first.
_NEAREST = 6
#: What is nearer than this share of its limit stands on it, as it was asked to [-].
_NOTHING = 1e-6

Lines = Iterator[tuple[str, str]]


def sweep_lines(found: Sweep) -> Lines:
    """Yield the map of verdicts, what is best, and how far it is from each limit."""
    counts = Counter(each.verdict for each in found.tried)
    heard = ", ".join(f"{counts[word]} {word}" for word in MARKS if counts[word] and word != "none")
    heard += f", {counts['none']} impossible" * bool(counts["none"])
    yield "", f"{found.cable}: {len(found.tried)} machines judged: {heard}"
    yield from _map(found)
    best = found.best
    if best is None:
        yield "fail", "None is feasible: every one fails or cannot be made."
        codes = Counter(code for each in found.tried for code in set(each.findings))
        most = ", ".join(f"{code} ({count})" for code, count in codes.most_common(3))
        if most:
            yield "", f"Found most: {most}."
        return
    places = ", ".join(
        f"{axis.key} = {value:.6g}" for axis, value in zip(found.axes, best.at, strict=True)
    )
    pull = found.words.force(best.pull or 0.0)
    yield from _indented_lines(
        best.verdict, f"Best: {places} ({best.verdict}), {pull} at the hand."
    )
    told = [each for each in best.margins if abs(each.margin) > _NOTHING * abs(each.limit)]
    for each in sorted(told, key=_share)[:_NEAREST]:
        beyond = " beyond it" if each.margin < 0.0 else " left"
        left, limit = (
            quantity(each, value, found.words) for value in (abs(each.margin), each.limit)
        )
        yield from _indented_lines("", f"  {each.name}: {left}{beyond}, limit {limit}")


def _share(each: Any) -> float:
    return float(each.margin / max(abs(each.limit), 1e-9))


def _indented_lines(mood: str, text: str) -> Lines:
    indent = len(text) - len(text.lstrip())
    yield from ((mood, line) for line in wrapped(text.strip(), indent=indent + 2, first=indent))


def _map(found: Sweep) -> Lines:
    """Yield a letter a machine: the first axis down, the second across."""
    across = found.axes[-1].values
    if len(across) > _WIDEST:
        return
    rows = len(found.tried) // len(across)
    if len(found.axes) == 2:
        yield "", f"  down: {_ends(found, 0)}; across: {_ends(found, 1)}"
    else:
        yield "", f"  across: {_ends(found, 0)}"
    for i in range(rows):
        line = found.tried[i * len(across) : (i + 1) * len(across)]
        yield "", "  " + "".join(MARKS[each.verdict] for each in line).rstrip()
    yield "", "  + pass, ~ marginal, . fail"


def _ends(found: Sweep, axis: int) -> str:
    each = found.axes[axis]
    return f"{each.key} {each.values[0]:.6g} to {each.values[-1]:.6g}"


def sweep_dict(found: Sweep) -> dict[str, Any]:
    """Return a sweep as plain data."""
    return {
        "schema": SCHEMA,
        "cable": found.cable,
        "axes": [{"key": axis.key, "values": list(axis.values)} for axis in found.axes],
        "best": _row(found.best) if found.best else None,
        "grid": [_row(each) for each in found.tried],
    }


def _row(each: Tried) -> dict[str, Any]:
    return {
        "at": list(each.at),
        "verdict": each.verdict,
        "pull_n": number(each.pull),
        "push_n": number(each.push),
        "conduit_mm": number(each.length),
        "wrap_deg": number(each.wrap),
        "margins": [asdict(margin) for margin in each.margins],
        "findings": list(each.findings),
        "error": each.error,
    }


def sweep_csv(found: Sweep) -> str:
    """Return a row a machine."""
    keys = [axis.key for axis in found.axes]
    columns = [*keys, "verdict", "pull_n", "push_n", "conduit_mm", "wrap_deg", "findings", "error"]
    rows = [
        {
            **dict(zip(keys, each.at, strict=True)),
            **{key: value for key, value in _row(each).items() if key in columns},
            "findings": " ".join(each.findings),
        }
        for each in found.tried
    ]
    return csv_text(columns, rows)
