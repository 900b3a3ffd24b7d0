"""Several files at once: the reports one after the other, and one table at the end."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from cableroute.assess import Assessment
from cableroute.figures.cable import Figures
from cableroute.output.as_dict import assessment_dict
from cableroute.output.columns import WIDTH
from cableroute.shown import one_line
from cableroute.table.forces import HAND
from cableroute.table.run import LENGTH, WRAP
from cableroute.verdict.check import verdict_of

_HEAD = ("verdict", "file", "what", "run", "bends", "at hand")
#: Widths of all columns but those of names, which share what is left.
_VERDICT, _FIGURES = 9, (13, 8, 9)
_NAMES = WIDTH - _VERDICT - sum(_FIGURES)
_LONGEST_NAME = 20


def summary_lines(
    found: Mapping[str, Assessment], unread: Sequence[str]
) -> Iterator[tuple[str, str]]:
    """Yield one table of every cable, linkage and selector of several files, and what it sums up to."""
    rows = [("", _HEAD)]
    for file, assessment in found.items():
        for verdict, what, figures in _judged(assessment):
            rows.append((verdict, (verdict.upper(), file, what, *_cells(figures))))
    counts = Counter(mood for mood, _ in rows)
    rows += [("fail", ("NOT READ", file, "", "", "", "")) for file in unread]
    wide = min(max(len(one_line(cells[2])) for _, cells in rows), _LONGEST_NAME) + 1
    lines = [(mood, _row(cells, wide)) for mood, cells in rows]
    yield from (lines[0], ("", "-" * WIDTH), *lines[1:])
    yield "", ""
    told = [
        f"{counts[verdict]} {verdict}"
        for verdict in ("pass", "marginal", "fail")
        if counts[verdict]
    ]
    told += [f"{len(unread)} not read"] * bool(unread)
    yield overall(found), ", ".join(told) or "nothing read"


def overall(found: Mapping[str, Assessment]) -> Any:
    """Return the gravest verdict of several files."""
    return verdict_of(each.verdict for each in found.values())


def many_dict(found: Mapping[str, Assessment], faults: Sequence[str]) -> dict[str, Any]:
    """Return several files as plain data: each as alone, with its name, and what was not read."""
    files = [{"file": name, **assessment_dict(each)} for name, each in found.items()]
    verdict = overall(found) if found else None
    return {"schema": 1, "verdict": verdict, "files": files, "faults": list(faults)}


def _judged(found: Assessment) -> Iterator[tuple[str, str, Figures | None]]:
    for cable in found.cables:
        yield cable.verdict, cable.figures.cable.name, cable.figures
    for linkage in found.linkages:
        yield linkage.verdict, f"linkage {linkage.figures.name}", None
    for selector in found.selectors:
        yield selector.verdict, f"selector {selector.figures.entry.name}", None


def _cells(figures: Figures | None) -> tuple[str, str, str]:
    if figures is None:
        return "", "", ""
    return (
        LENGTH.told(figures, figures.words),
        WRAP.told(figures, figures.words),
        HAND.told(figures.pull, figures.words),
    )


def _row(cells: Sequence[str], what: int) -> str:
    """Set cells in columns; of a name too long its end is kept, where files mostly differ."""
    verdict, file, name, *figures = cells
    right = "".join(f"{cell:>{width}}" for cell, width in zip(figures, _FIGURES, strict=True))
    left = f"{verdict:{_VERDICT}}{_ended(file, _NAMES - what)}{_ended(name, what)}"
    return f"{left}{right}".rstrip()


def _ended(name: str, width: int) -> str:
    line = one_line(name)
    line = line if len(line) < width else "..." + line[4 - width :]
    return f"{line:{width}}"
