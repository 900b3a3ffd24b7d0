"""The run of a cable: length, bends, room between them, the natural lay, what to order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import degrees, isfinite
from typing import Any

import numpy as np

from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.figures.lay import NaturalLay
from cableroute.figures.order import Order
from cableroute.measure.wording import Words
from cableroute.route.pieces import STRAIGHT
from cableroute.table.figure import Figure, Group, Row

# -- the route as fitted -------------------------------------------------------------------------


def _bends(figures: Figures) -> list[dict[str, Any]]:
    """Return every bend as plain data, from the hand end on."""
    route, fits = figures.route, figures.route.corner_fits
    radii, turns, tangents = route.radii, route.turns, route.tangents
    return [
        {
            "at": figures.corner_name(i),
            "turn_deg": degrees(float(turns[i])),
            "radius_mm": float(radii[i]),
            "arc_length_mm": float(radii[i] * turns[i]),
            "tangent_mm": float(tangents[i]),
            "fits": bool(fits[i]),
        }
        for i in np.flatnonzero(turns > STRAIGHT).tolist()
    ]


def _tightest_leg(figures: Figures) -> tuple[str, str]:
    """Return the names of the two ends of the leg with least to spare."""
    leg = int(np.argmin(figures.route.slacks))
    return figures.vertex_name(leg), figures.vertex_name(leg + 1)


def _leg_dict(figures: Figures) -> dict[str, Any]:
    start, end = _tightest_leg(figures)
    return {"from": start, "to": end, LEG_SLACK.key: LEG_SLACK.plain(figures)}


LENGTH = Figure[Figures]("length_mm", "run", "mm", lambda of: float(of.route.length))
WRAP = Figure[Figures]("wrap_deg", "bends in all", "deg", lambda of: degrees(float(of.route.wrap)))
WRAP_MEASURED = Figure[Figures](
    "wrap_as_measured_deg", "as measured", "deg", lambda of: degrees(of.wrap_as_measured)
)
WRAP_RANGE = Figure[Figures](
    "wrap_range_deg", "", "deg", lambda of: [degrees(wrap) for wrap in of.wraps]
)
MIN_RADIUS = Figure[Figures](
    "min_bend_radius_mm", "tightest bend", "mm", lambda of: float(of.route.min_radius)
)
LEG_SLACK = Figure[Figures](
    "slack_mm", "tightest leg", "mm", lambda of: float(of.route.slacks.min())
)

ROUTE = Group[Any, Figures](
    "route",
    lambda cable: cable.figures,
    (
        LENGTH,
        Figure("polyline_length_mm", "", "mm", lambda of: float(of.route.legs.sum())),
        WRAP,
        WRAP_MEASURED,
        MIN_RADIUS,
        Figure("fits", "", "", lambda of: bool(of.route.fits)),
        Figure("tightest_leg", "", "", _leg_dict),
        Figure("bends", "", "", _bends),
        WRAP_RANGE,
        Figure("moved_mm", "", "mm", lambda of: float(of.survey.moves.max())),
    ),
)

#: A leg that lacks less is one that fits to rounding [mm].
FITTING = 1e-6


def leg_slack_told(slack: float, words: Words) -> str:
    """Say what a leg has to spare, or is short of."""
    if slack < -FITTING:
        return f"{words.lacking(-slack)} SHORT"
    return f"{LEG_SLACK.word(max(slack, 0.0), words)} to spare"


def points_dict(figures: Figures) -> list[dict[str, Any]]:
    """Return each point that the run was fitted to as plain data, and how the tight run meets it."""
    cable, route = figures.cable, figures.route
    through, off, along = cable.through, route.off, route.stations
    return [
        {
            "label": cable.point_name(int(point)),
            "at_mm": route.points[i].tolist(),
            "along_mm": float(along[i]),
            "passes": "through" if through[point] else "inside",
            "off_mm": float(off[i]),
            "heading": _heading(cable.headings, point),
        }
        for i, point in enumerate(route.kept.tolist())
    ]


def _heading(headings: Sequence[Any], point: int) -> list[float] | None:
    heading = headings[point] if point < len(headings) else None
    return None if heading is None else [float(part) for part in heading]


def _run(cable: CableAssessment, words: Words) -> str:
    figures = cable.figures
    wrap = f"{WRAP.told(figures, words)} of bends"
    if figures.survey.moves.any():
        wrap += f" ({WRAP_MEASURED.told(figures, words).removesuffix(' deg')} as measured)"
    return f"{LENGTH.told(figures, words)} drawn tight between anchors, {wrap}"


def _tightest_bend(cable: CableAssessment, words: Words) -> str | None:
    bent = isfinite(MIN_RADIUS.value(cable.figures))
    return f"{MIN_RADIUS.told(cable.figures, words)} radius" if bent else None


def _tightest(cable: CableAssessment, words: Words) -> str:
    ends = " to ".join(_tightest_leg(cable.figures))
    return f"{ends}, {leg_slack_told(LEG_SLACK.value(cable.figures), words)}"


# -- left to itself ------------------------------------------------------------------------------

LAY_LENGTH = Figure[NaturalLay]("length_mm", "left to itself", "mm", lambda lay: lay.length)
LAY_WRAP = Figure[NaturalLay]("wrap_deg", "", "deg", lambda lay: degrees(lay.wrap))
LAY_RADIUS = Figure[NaturalLay]("min_bend_radius_mm", "", "mm", lambda lay: lay.min_radius)


def _spare(figures: Figures) -> float | None:
    """Return what is bought beyond the natural lay, negative where it is shorter [mm]."""
    bought = figures.order.bought
    return None if bought is None else bought - figures.lay.length


LAY = Group[CableAssessment, Figures](
    "lay",
    lambda cable: cable.figures,
    (
        *(figure.within(lambda of: of.lay) for figure in (LAY_LENGTH, LAY_WRAP, LAY_RADIUS)),
        Figure("settled", "", "", lambda of: not of.lay.failure),
        Figure("spare_mm", "", "mm", _spare),
        Figure("slack_wrap_deg", "", "deg", lambda of: _swallowed(of, "wrap", degrees)),
        Figure("slack_min_bend_radius_mm", "", "mm", lambda of: _swallowed(of, "radius", float)),
    ),
)


def _swallowed(figures: Figures, name: str, shown: Callable[[float], float]) -> float | None:
    """Return what the longest span does if it swallows all the surplus."""
    swallowed = figures.shapes.swallowed
    return None if swallowed is None else shown(getattr(swallowed, name))


def _natural_lay(cable: CableAssessment, words: Words) -> str:
    lay = cable.figures.lay
    tight = f", tightest {LAY_RADIUS.told(lay, words)}" if isfinite(lay.min_radius) else ""
    doubt = "; it did not settle" if lay.failure else ""
    return f"{LAY_LENGTH.told(lay, words)}, {LAY_WRAP.told(lay, words)}{tight}{doubt}"


# -- what to order -------------------------------------------------------------------------------

NEED = Figure[Order]("need_mm", "need", "mm", lambda order: order.need)
DOUBT = Figure[Order]("doubt_mm", "doubt of the tape", "mm", lambda order: order.doubt)
STOCK = Figure[Order](
    "stock_mm", "stock", "mm", lambda order: order.choice.stock if order.choice else None
)
SLACK_LEFT = Figure[Order](
    "slack_mm", "slack left", "mm", lambda order: order.choice.slack if order.choice else None
)

LEAST = Figure[Order]("least_mm", "least", "mm", lambda order: order.least)
ADVISED = Figure[Order]("advised_mm", "comfortable", "mm", lambda order: order.advised)
CORE = Figure[Order]("core_mm", "core", "mm", lambda order: order.core)

_LENGTHS = (
    Figure[Order]("conduit_mm", "", "mm", lambda order: order.conduit),
    CORE,
    NEED,
    Figure[Order]("measured_by", "", "", lambda order: order.measure),
    DOUBT,
    LEAST,
    ADVISED,
    STOCK,
    SLACK_LEFT,
    Figure[Order]("surplus_mm", "", "mm", lambda o: None if o.bought is None else o.surplus),
    Figure[Order]("cut_conduit_mm", "", "mm", lambda o: o.advised if o.cut else None),
    Figure[Order]("cut_core_mm", "", "mm", lambda o: o.core if o.cut else None),
)

ORDER = Group[CableAssessment, Figures](
    "order",
    lambda cable: cable.figures,
    (
        *(figure.within(lambda of: of.order) for figure in _LENGTHS),
        Figure("surplus_wrap_deg", "", "deg", lambda of: degrees(of.shapes.surplus_wrap)),
    ),
)


def order_told(cable: CableAssessment, words: Words) -> str:
    """Say which length to order: the least, the comfortable one, and the stock length."""
    order = cable.figures.order
    least, advised = (words.length(x + order.ends) for x in (order.least, order.advised))
    what = "overall" if order.measure == "overall" else "of conduit"
    need = f"{least} {what} at least, {advised} to lie easy"
    rods = " with its rods" if cable.figures.cable.kind == "push-pull" else ""
    core = f"; core{rods} {CORE.told(order, words)}" if order.measure == "conduit" else ""
    if order.cut:
        conduit = f"{ADVISED.told(order, words)} (least {LEAST.told(order, words)})"
        return f"cut conduit to {conduit}{core}"
    if order.choice is None:
        return f"{need}; no stock list{core}"
    if order.choice.stock is None:
        return f"NO STOCK LENGTH REACHES: {need}"
    left = f"leaves {words.length(order.surplus)}" if order.surplus >= 0.0 else "drawn tighter"
    return f"{STOCK.told(order, words)} stock, {left}: {need}{core}"


def _counted(cable: CableAssessment, words: Words) -> str | None:
    """Say what is counted in both lengths besides the run."""
    order = cable.figures.order
    parts = [
        f"{words.length(part)} {name}"
        for part, name in ((order.ends, "ends"), (order.slack, "slack"), (order.doubt, "of tape"))
        if part
    ]
    return " + ".join(parts) if parts else None


RUN_ROWS = (
    Row("run", _run),
    Row("tightest bend", _tightest_bend),
    Row("tightest leg", _tightest),
    Row("left alone", _natural_lay),
)
ORDER_ROWS = (Row("order", order_told), Row("counted in", _counted))
