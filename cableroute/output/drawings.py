"""Everything that can be drawn, the one-page sheet of a cable included."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from dataclasses import replace
from textwrap import wrap
from types import MappingProxyType
from typing import TYPE_CHECKING

from cableroute.assess import Assessment, CableAssessment, LinkageAssessment, SelectorAssessment
from cableroute.measure.job import Job
from cableroute.output.cautions import IN_SHORT
from cableroute.output.pictures.charts import draw_forces, draw_radius, draw_stock
from cableroute.output.pictures.linkage_pictures import draw_linkage
from cableroute.output.pictures.lost_chart import draw_lost
from cableroute.output.pictures.machine_picture import draw_machine
from cableroute.output.pictures.projection import ISOMETRIC, PLAN, SIDE
from cableroute.output.pictures.selector_picture import draw_selector
from cableroute.output.pictures.style import (
    GREY,
    INK,
    LETTERS,
    SMALL,
    WIDTH,
    any_letters,
    new_figure,
    plain,
)
from cableroute.output.pictures.views import (
    draw_front,
    draw_isometric,
    draw_plan,
    draw_side,
    draw_view,
    view_height,
)
from cableroute.shown import one_line
from cableroute.table.whole_cable import cable_facts, kind_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from cableroute.study.run import Study

#: Views of a cable by the word that asks for them; each takes the job too, to show the machine.
VIEWS: Mapping[str, Callable[..., Axes]] = MappingProxyType(
    {
        "plan": draw_plan,
        "side": draw_side,
        "front": draw_front,
        "isometric": draw_isometric,
    }
)


def draw_lever_feel(result: CableAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw what the hand feels of a cable over a full cycle, as worked out for it."""
    from cableroute.figures.feel import work_out_feel
    from cableroute.output.pictures.feel_chart import draw_feel

    return draw_feel(work_out_feel(result.figures), unit=unit, ax=ax)


#: Charts of a cable by the word that asks for them.
CHARTS: Mapping[str, Callable[..., Axes]] = MappingProxyType(
    {
        "forces": draw_forces,
        "radius": draw_radius,
        "stock": draw_stock,
        "lost": draw_lost,
        "feel": draw_lever_feel,
    }
)
#: Single drawings of a cable.
DRAWINGS: Mapping[str, Callable[..., Axes]] = MappingProxyType({**VIEWS, **CHARTS})
#: Drawings of what cables join, by what it is.
JOINED: Mapping[str, Callable[..., Axes]] = MappingProxyType(
    {
        "linkage": draw_linkage,
        "selector": draw_selector,
    }
)


def _draw_spread(result: Study, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    from cableroute.output.pictures.study_picture import draw_spreads

    return draw_spreads(result, unit=unit, ax=ax)


def _draw_deciders(result: Study, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    from cableroute.output.pictures.study_picture import draw_deciders

    return draw_deciders(result, unit=unit, ax=ax)


#: Drawings of a study.
STUDIED: Mapping[str, Callable[..., Axes]] = MappingProxyType(
    {
        "spread": _draw_spread,
        "deciders": _draw_deciders,
    }
)
#: File name endings that a drawing can be written with.
SUFFIXES = (".png", ".svg", ".pdf")
#: Left and right margin, and the space above, between and below the drawings [in].
_LEFT, _RIGHT, _ABOVE, _GAP, _FOOT = 0.72, 0.15, 0.68, 0.95, 0.85
#: Least and greatest height of a view, and height of the last row [in].
_LEAST, _MOST, _LAST = 1.3, 3.2, 2.3
#: Letters in a line of the sheet's gravest finding, and lines of it at most.
_LINE, _MOST_TOLD = 84, 4


def draw_sheet(result: CableAssessment, *, unit: str = "mm", job: Job | None = None) -> Figure:
    """Draw plan, side, isometric view and forces on one sheet under the verdict."""
    width = WIDTH - _LEFT - _RIGHT
    plan, side = (
        min(max(view_height(result, view, width=width, job=job), _LEAST), _MOST)
        for view in (PLAN, SIDE)
    )
    rows = _head_rows(result, unit=unit)
    head = _ABOVE + sum(_row_height(size) for _, size in rows)
    gap = _GAP - 0.2  # the side view has no key
    total = head + plan + gap + side + _GAP + _LAST + _FOOT
    figure = new_figure(total)

    def place(left: float, bottom: float, width: float, height: float) -> Axes:
        return figure.add_axes((left / WIDTH, bottom / total, width / WIDTH, height / total))

    above = place(_LEFT, total - head - plan, width, plan)
    beside = place(_LEFT, _FOOT + _LAST + _GAP, width, side)
    corner = place(0.15, _FOOT - 0.4, 0.45 * WIDTH - 0.15, _LAST + 0.62)
    chart = place(0.45 * WIDTH + _LEFT, _FOOT, 0.55 * WIDTH - _LEFT - _RIGHT, _LAST)
    draw_view(above, result, PLAN, unit=unit, job=job, bends=False)
    draw_view(beside, result, SIDE, unit=unit, job=job, names=False, keyed=False)
    draw_view(corner, result, ISOMETRIC, unit=unit, job=job, bends=False, keyed=False)
    draw_forces(result, unit=unit, ax=chart)
    _write_words(figure, rows, total)
    return figure


def draw(
    result: Assessment | CableAssessment | LinkageAssessment | SelectorAssessment | Study,
    what: str,
    *,
    unit: str = "mm",
    job: Job | None = None,
) -> Figure:
    """Draw what is asked for on a figure of its own."""
    if isinstance(result, Assessment):
        return draw_machine(result, unit=unit)
    if what == "sheet" and isinstance(result, CableAssessment):
        return draw_sheet(result, unit=unit, job=job)
    figure = draw_axes(result, what, unit=unit, job=job).get_figure(root=True)
    assert figure is not None
    return figure


def draw_axes(
    result: CableAssessment | LinkageAssessment | SelectorAssessment | Study,
    what: str,
    *,
    unit: str,
    job: Job | None,
    ax: Axes | None = None,
) -> Axes:
    """Draw one drawing in axes, on a page with others or alone."""
    machine = {"job": job} if what in VIEWS else {}
    return {**DRAWINGS, **JOINED, **STUDIED}[what](result, unit=unit, ax=ax, **machine)


def picture(figure: Figure, suffix: str) -> bytes:
    """Return a figure as the bytes of a file, the same for the same figure."""
    from matplotlib import rc_context

    undated = {".png": {}, ".svg": {"Date": None}, ".pdf": {"CreationDate": None}}
    file = io.BytesIO()
    with rc_context({"svg.hashsalt": "cableroute"}), any_letters():
        figure.savefig(file, format=suffix.lstrip("."), metadata=undated[suffix])
    return file.getvalue()


def _head_rows(result: CableAssessment, *, unit: str) -> list[tuple[str, float]]:
    """Lines of the sheet's head, each with the size of its letters [pt]."""
    cable = result.figures.cable
    facts = dict(cable_facts(result, replace(result.figures.words, unit=unit)))
    rows = [f"{plain(kind_of(result))}: {facts['run']}"]
    rows += [f"{name}: {facts[name]}" for name in ("pull at hand", "push at hand") if name in facts]
    title = f"{plain(cable.name)}: {result.verdict.upper()}"
    grave = next((finding for finding in result.findings if finding.level != "note"), None)
    told = wrap(f"{plain(grave.where)}: {one_line(grave.message)}", _LINE) if grave else []
    return [
        (title, 15.0),
        *((row, LETTERS + 2.0) for row in told[:_MOST_TOLD]),
        *((part, LETTERS + 1.0) for row in rows for part in wrap(row, _LINE + 6)),
    ]


def _row_height(size: float) -> float:
    """Height that a row of letters takes [in]."""
    return 1.45 * size / 72.0


def _write_words(figure: Figure, rows: list[tuple[str, float]], total: float) -> None:
    height = total - 0.12
    for i, (text, size) in enumerate(rows):
        weight = "normal" if i else "bold"
        line = figure.text(0.02, height / total, text, va="top", fontsize=size, fontweight=weight)
        line.set(color=INK, parse_math=False)
        height -= _row_height(size)
    figure.text(0.02, 0.1 / total, IN_SHORT, fontsize=SMALL, color=GREY, va="bottom")
