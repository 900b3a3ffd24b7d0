"""Everything that can be drawn, the one-page sheet of a cable included."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from math import degrees, isfinite
from types import MappingProxyType
from typing import TYPE_CHECKING

from cableroute.assess import CableAssessment, LinkageAssessment, SelectorAssessment
from cableroute.measure.job import Job
from cableroute.output.cautions import IN_SHORT
from cableroute.output.pictures.charts import draw_curvature, draw_forces, draw_stock
from cableroute.output.pictures.linkage_pictures import draw_linkage
from cableroute.output.pictures.lost_chart import draw_lost
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
    shown_unit,
)
from cableroute.output.pictures.views import (
    draw_front,
    draw_isometric,
    draw_plan,
    draw_side,
    draw_view,
    view_height,
)
from cableroute.verdict.figures import Transmission

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

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
    """Draw what the hand feels of a cable over a full cycle, as worked out for it.

    Parameters
    ----------
    result : CableAssessment
        The cable.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.
    ax : Axes, optional
        Where to draw; a new figure if not given.

    Returns
    -------
    Axes
        With the travel of the hand across and its force up.

    Raises
    ------
    CableRouteError
        For a cable whose data do not say how much its core stretches.
    """
    from cableroute.output.pictures.feel_chart import draw_feel
    from cableroute.workings.feel import work_out_feel

    return draw_feel(work_out_feel(result.figures), unit=unit, ax=ax)


#: Charts of a cable by the word that asks for them.
CHARTS: Mapping[str, Callable[..., Axes]] = MappingProxyType(
    {
        "forces": draw_forces,
        "curvature": draw_curvature,
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
#: File name endings that a drawing can be written with.
SUFFIXES = (".png", ".svg", ".pdf")
#: Left and right margin, and the space above, between and below the drawings [in].
_LEFT, _RIGHT, _ABOVE, _GAP, _FOOT = 0.72, 0.15, 0.68, 0.95, 0.85
#: Least and greatest height of a view, and height of the last row [in].
_LEAST, _MOST, _LAST = 1.3, 3.2, 2.3


def draw_sheet(result: CableAssessment, *, unit: str = "mm", job: Job | None = None) -> Figure:
    """Draw plan, side, isometric view and forces on one sheet under the verdict.

    Parameters
    ----------
    result : CableAssessment
        The cable.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.
    job : Job, optional
        The machine, to be shown round the cable.

    Returns
    -------
    Figure
        As wide as a printed page, and at most about as tall.
    """
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
    result: CableAssessment | LinkageAssessment | SelectorAssessment,
    what: str,
    *,
    unit: str = "mm",
    job: Job | None = None,
) -> Figure:
    """Draw what is asked for on a figure of its own.

    Parameters
    ----------
    result : CableAssessment, LinkageAssessment or SelectorAssessment
        The cable; or the linkage or selector, for a key of :data:`JOINED`.
    what : str
        ``sheet``, or a key of :data:`DRAWINGS` or :data:`JOINED`.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.
    job : Job, optional
        The machine, to be shown round a cable.

    Returns
    -------
    Figure
        Ready for :func:`picture`.
    """
    if what == "sheet" and isinstance(result, CableAssessment):
        return draw_sheet(result, unit=unit, job=job)
    figure = draw_axes(result, what, unit=unit, job=job).get_figure(root=True)
    assert figure is not None
    return figure


def draw_axes(
    result: CableAssessment | LinkageAssessment | SelectorAssessment,
    what: str,
    *,
    unit: str,
    job: Job | None,
    ax: Axes | None = None,
) -> Axes:
    """Draw one drawing in axes, on a page with others or alone.

    Parameters
    ----------
    result : CableAssessment, LinkageAssessment or SelectorAssessment
        The cable; or the linkage or selector, for a key of :data:`JOINED`.
    what : str
        A key of :data:`DRAWINGS` or :data:`JOINED`.
    unit : str
        Unit of the tape; inches for inches and feet, else mm.
    job : Job or None
        The machine, which the views show round a cable.
    ax : Axes, optional
        Where to draw; a new figure if not given.

    Returns
    -------
    Axes
        What was drawn in.
    """
    machine = {"job": job} if what in VIEWS else {}
    return {**DRAWINGS, **JOINED}[what](result, unit=unit, ax=ax, **machine)


def picture(figure: Figure, suffix: str) -> bytes:
    """Return a figure as the bytes of a file, the same for the same figure.

    Parameters
    ----------
    figure : Figure
        What to write.
    suffix : str
        One of :data:`SUFFIXES`.

    Returns
    -------
    bytes
        What the file is to hold.
    """
    from matplotlib import rc_context

    undated = {".png": {}, ".svg": {"Date": None}, ".pdf": {"CreationDate": None}}
    file = io.BytesIO()
    with rc_context({"svg.hashsalt": "cableroute"}), any_letters():
        figure.savefig(file, format=suffix.lstrip("."), metadata=undated[suffix])
    return file.getvalue()


def _head_rows(result: CableAssessment, *, unit: str) -> list[tuple[str, float]]:
    """Lines of the sheet's head, each with the size of its letters [pt]."""
    figures = result.figures
    cable, route = figures.cable, figures.route
    family = f", {plain(cable.family.name)}" if cable.family else ""
    scale, name = shown_unit(unit)
    run = f"{float(route.length) / scale:.0f} {name}, {degrees(float(route.wrap)):.0f}° of bends"
    force = f"pull {_hand(figures.pull)}"
    if figures.push:
        force += f"; push {_hand(figures.push.through)}"
    rows = [f"{cable.kind}{family}: {run}", force]
    grave = next((finding for finding in result.findings if finding.level != "note"), None)
    if grave:
        code = grave.code.replace("-", " ")
        rows.append(f"{grave.level}: {plain(grave.where)}: {code}")
    title = f"{plain(cable.name)}: {result.verdict.upper()}"
    return [(title, 15.0), *((row, LETTERS + 1.0) for row in rows)]


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


def _hand(through: Transmission) -> str:
    low, high = through.inputs
    hand = f"{low:.0f} to {high:.0f} N" if isfinite(high) else "LOCKS UP"
    return f"{hand} at the hand for {through.load:.0f} N"
