"""Checks of the length to order, and of how the conduit lies by itself."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from math import degrees

import numpy as np

from cableroute.figures.cable import Figures
from cableroute.figures.lay import LONGEST_LAY
from cableroute.figures.order import Order
from cableroute.mechanics.capstan import capstan_ratio
from cableroute.verdict.check import OWN, PRACTICE, Check, finite
from cableroute.verdict.limits import Limits

#: Share of force added [-] beyond which it is only said to be beyond it.
HOPELESS = 9.0
#: Places along the natural lay that are looked at [-].
_LOOKED_AT = 2001

_LAW = partial(
    Check,
    unit="mm",
    formula="least ∫κ²/2 ds through the points, along the headings",
    source="Euler's elastica",
)


def order_checks(figures: Figures, limits: Limits) -> Iterator[Check]:
    """Yield what to order, and how the conduit lies by itself."""
    yield from _stock(figures)
    yield from _surplus(figures, limits)
    yield from _lay(figures)


def _stock(figures: Figures) -> Iterator[Check]:
    """Yield whether a stock length reaches, and whether it lets the conduit lie as it wants."""
    order, choice = figures.order, figures.order.choice
    if choice is None:
        return
    yield Check(
        code="stock-too-short",
        name="Stock length",
        where="length to order",
        value=choice.stock or choice.longest,
        marginal=order.advised + order.ends,
        failing=order.least + order.ends,
        at_least=True,
        unit="mm",
        formula="natural lay + ends + slack + doubt of the tape; fails below the tight run + the same",
        source=f"shortest run of bounded curvature, Dubins 1957 (from memory); slack: {PRACTICE}",
    ).saying(lambda check: _short(figures, check))


def _short(figures: Figures, check: Check) -> str:
    order, words = figures.order, figures.words
    length = words.length(check.value or 0.0)
    least, advised = (words.length(x + order.ends) for x in (order.least, order.advised))
    mend = "Have one made, shorten the run, or choose a family sold longer"
    if check.level == "fail":
        lacks = words.lacking(order.least + order.ends - (check.value or 0.0))
        return (
            f"No stock length reaches: {least} ({order.measure}) are needed drawn tight, {advised} to "
            f"lie as it wants; the longest is {length}, {lacks} short. {mend}."
        )
    cost = _harder(figures)
    return (
        f"The {length} stock length reaches ({least} drawn tight), but is shorter than the "
        f"{advised} with which the conduit lies as it wants: it is drawn into tighter bends and "
        f"presses on its clips, with {cost} more force than the tight run at most. {mend}."
    )


def _harder(figures: Figures) -> str:
    """Say how much more force the shape that turns most asks than the tight one."""
    more = figures.wraps[1] - float(figures.route.wrap)
    share = float(capstan_ratio(max(more, 0.0), friction=figures.friction[1])) - 1.0
    return f"{100.0 * share:.0f} %" if share <= HOPELESS else f"over {100.0 * HOPELESS:.0f} %"


def _surplus(figures: Figures, limits: Limits) -> Iterator[Check]:
    order, words = figures.order, figures.words
    if order.choice is None or order.choice.stock is None:
        return
    added = figures.shapes.surplus_wrap
    cost = float(capstan_ratio(added, friction=figures.friction[1])) - 1.0
    yield Check(
        code="stock-surplus",
        name="Wrap that the extra length adds",
        where="length to order",
        value=degrees(added),
        marginal=degrees(limits.surplus_wrap),
        unit="deg",
        formula="elastic curve of the length bought, shared out or in the longest span, the more of the "
        "two; where it does not settle 4·√(6·ΔL/L)",
        source=f"Euler's elastica; {OWN}; limit: {PRACTICE}",
        detail=f"{words.length(max(order.surplus, 0.0))} beyond the natural lay",
    ).saying(
        lambda c: (
            f"The stock length leaves {words.length(order.surplus)} beyond the natural lay. In "
            f"one span that is {_more_wrap(c.value or 0.0, cost)}. "
            "Share it out in one wide sweep, move an anchor, or have one cut to length."
        )
    )


def _more_wrap(wrap: float, cost: float) -> str:
    """Say what surplus adds; beyond what a core could be pulled through, a figure says nothing."""
    if cost > HOPELESS:
        return (
            f"more wrap than a core can be pulled through, over {1.0 + HOPELESS:g} times the force"
        )
    return f"about {wrap:.0f} degrees more wrap and {100 * cost:.0f} % more force"


def _lay(figures: Figures) -> Iterator[Check]:
    lay, radius, words = figures.lay, figures.cable.bend_radius, figures.words
    if lay.failure:
        free = not np.isfinite(figures.route.headings[[0, -1]]).all()
        heading = "give the heading of an end that turns freely, " if free else ""
        yield Check(
            code="lay-failed",
            name="Natural lays that did not settle",
            value=1.0,
            marginal=0.0,
            message=f"How the conduit lies by itself did not settle ({lay.failure}); taken is the shape "
            f"of at most {LONGEST_LAY:g} times the tight run that draws in least. Add a point where the "
            f"loop goes round, {heading}or buy with more to spare.",
        )
    yield _LAW(
        code="lay-too-tight",
        name="Tightest bend of the natural lay",
        where=_tightest(figures),
        value=finite(lay.min_radius),
        marginal=radius,
        at_least=True,
    ).saying(
        lambda _: (
            f"Left to itself, the conduit bends to {words.length(lay.min_radius)}; "
            f"{words.length(radius)} is the least. Move that bend wider, turn a bracket there nearer to the "
            "way the conduit comes, or hold it in line at both ends of the bend: long clips, with a heading."
        )
    )
    yield from _swallowed(figures, figures.order)


def _tightest(figures: Figures) -> str:
    """Name the point, or the span between two, at which the natural lay bends most."""
    run, names = figures.lay.run, [figures.cable.point_name(int(i)) for i in figures.route.kept]
    along = np.linspace(0.0, float(run.length), _LOOKED_AT)
    tightest = along[int(np.argmax(run.curvature(along)))]
    points = np.concatenate([[0.0], np.cumsum(figures.lay.spans)])
    nearest = int(np.argmin(np.abs(points - tightest)))
    if abs(points[nearest] - tightest) < 0.5 * figures.cable.bend_radius:
        return names[nearest]
    span = int(np.searchsorted(points, tightest)) - 1
    return f"{names[span]} to {names[span + 1]}"


def _swallowed(figures: Figures, order: Order) -> Iterator[Check]:
    """Yield how tightly one span bends if it swallows all the surplus."""
    found, radius, words = figures.shapes.swallowed, figures.cable.bend_radius, figures.words
    if found is None:
        return
    start, end = (figures.cable.point_name(int(figures.route.kept[found.span + i])) for i in (0, 1))
    yield _LAW(
        code="slack-too-tight",
        name="Tightest bend if one span takes all the extra length",
        where=f"{start} to {end}",
        value=finite(found.radius),
        marginal=radius,
        at_least=True,
        detail=f"{words.length(order.surplus)} of extra length",
    ).saying(
        lambda _: (
            f"If this span takes all the extra length it bends to {words.length(found.radius)}, "
            f"below {words.length(radius)}. Share it out over several spans, "
            "clip this one, or have one cut to length."
        )
    )
