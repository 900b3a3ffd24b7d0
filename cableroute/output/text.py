"""The verdict as text, for a terminal of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator
from math import degrees, isfinite
from typing import TYPE_CHECKING

import numpy as np

from cableroute.assess import Assessment, CableAssessment
from cableroute.output.cautions import cautions_for
from cableroute.output.columns import WIDTH, wrapped
from cableroute.verdict.figures import Figures, NaturalLay, Transmission
from cableroute.verdict.lasting import Lasting

if TYPE_CHECKING:
    from cableroute.pairs import PairFigures

#: Findings shown for one cable; the rest are counted.
MOST_FINDINGS = 12
#: Drag without load is told from this share of the pull at the hand on.
_DRAG_SHOWN = 0.02


def report_lines(assessment: Assessment, *, full: bool = False) -> Iterator[tuple[str, str]]:
    """Yield the report line by line, each after the verdict or level that may colour it.

    Parameters
    ----------
    assessment : Assessment
        What was found.
    full : bool
        Whether to add every bend, clip and check of each cable.

    Yields
    ------
    tuple of (str, str)
        ``pass``, ``marginal``, ``fail``, ``note`` or nothing, and the line.
    """
    title = assessment.job.title or "Control cables"
    yield from (("", line) for line in textwrap.wrap(title, WIDTH))
    for cable in assessment.cables:
        yield "", ""
        yield from _cable(cable)
        if full:
            from cableroute.output.full_text import full_lines  # seldom asked for

            yield from (("", line) for line in full_lines(cable, unit=assessment.job.unit))
    if assessment.linkages:
        yield from _linkages(assessment)
    yield "", ""
    for caution in cautions_for(assessment.job):
        yield from (("", line) for line in wrapped("Caution: " + caution, indent=9))


def _linkages(assessment: Assessment) -> Iterator[tuple[str, str]]:
    """Yield linkages and selectors, with modules that a file without any does not wait for."""
    from cableroute.output.linkage_text import linkage_lines, selector_lines

    for linkage in assessment.linkages:
        yield "", ""
        yield from linkage_lines(linkage)
    for selector in assessment.selectors:
        yield "", ""
        yield from selector_lines(selector)


def _cable(cable: CableAssessment) -> Iterator[tuple[str, str]]:
    figures = cable.figures
    family = figures.cable.family
    what = f"{figures.cable.kind}, {family.name}" if family else figures.cable.kind
    head = f"{cable.verdict.upper():9}{figures.cable.name} ({what})"
    yield from ((cable.verdict, line) for line in wrapped(head, indent=9))
    rows = (*_rows(figures), *_pair(cable.pair), *_lasting(cable.lasting))
    for name, value in rows:
        yield from (("", line) for line in wrapped(f"  {name:14}{value}", indent=16))
    for finding in cable.findings[:MOST_FINDINGS]:
        text = f"  {finding.level:9} {finding.where}: {finding.message}"
        if finding.code == "assumed":
            text = f"  {finding.level:9} {finding.message}"
        yield from ((finding.level, line) for line in wrapped(text, indent=12))
    more = len(cable.findings) - MOST_FINDINGS
    if more > 0:
        yield "note", f"  and {more} more; --json lists them all"


def _rows(figures: Figures) -> Iterator[tuple[str, str]]:
    route, order, length = figures.route, figures.order, figures.words.length
    wrap = f"{degrees(float(route.wrap)):.0f} deg of bends"
    if figures.survey.moves.any():
        wrap += f" ({degrees(figures.survey.wrap_as_measured):.0f} as measured)"
    yield "run", f"{length(order.conduit)} between anchors, {wrap}"
    if isfinite(float(route.min_radius)):
        yield "tightest bend", f"{length(float(route.min_radius))} radius"
    leg = int(np.argmin(route.slacks))
    slack = float(route.slacks[leg])
    ends = f"{figures.vertex_name(leg)} to {figures.vertex_name(leg + 1)}"
    verb = "to spare" if slack >= 0 else "SHORT"
    yield "tightest leg", f"{ends}, {length(abs(slack))} {verb}"
    if figures.lay and not figures.lay.failure:
        yield "natural lay", _natural(figures.lay, length)
    low, high = figures.friction
    yield "friction", f"{low:g}" if low == high else f"{low:g} to {high:g}"
    yield "pull at hand", _hand(figures.pull)
    if figures.push:
        yield "push at hand", _hand(figures.push.through)
        yield "folding", _folding(figures)
    if figures.drag and figures.drag >= _DRAG_SHOWN * figures.pull.inputs[1]:
        said = f"up to {figures.drag:.0f} N more, from stiffness alone (upper estimate)"
        if figures.cable.drag is not None:
            said = f"{figures.drag:.1f} N as measured, in the forces above"
        yield "unloaded drag", said
    if figures.lost:
        yield "lost motion", _lost(figures)
    yield "order", _order(figures)


def _lost(figures: Figures) -> str:
    """Travel lost, and what of it arrives."""
    assert figures.lost is not None
    words = figures.words
    lost = f"{words.fine(figures.lost.total)} at most"
    pulling, pushing = figures.arrives
    if pulling is None or figures.travel is None:
        return lost
    arrives = pulling if pushing is None else min(pulling, pushing)
    return f"{lost}: of {words.length(figures.travel)} travel {words.length(arrives)} arrives"


def _pair(pair: PairFigures | None) -> Iterator[tuple[str, str]]:
    """Yield what is peculiar to a pull pair."""
    if pair is None:
        return
    yield "other way", _hand(pair.ways[1])
    yield "preload", f"{pair.preload:.0f} N in both cores; {pair.least:.0f} N keep both taut"
    yield "buy", "two of that length, and two conduits to run"


def _lasting(lasting: Lasting) -> Iterator[tuple[str, str]]:
    """Yield what brings a pull cable back, where that is known."""
    if lasting.returning:
        warm, cold = lasting.returning.warm, lasting.returning.cold
        yield (
            "return spring",
            f"{float(warm.available):.0f} N where weakest; {float(warm.required):.0f} N bring it "
            f"back, {float(cold.required):.0f} N cold",
        )


def _natural(lay: NaturalLay, length: Callable[[float], str]) -> str:
    """Say what the conduit does of itself when held at its points only."""
    slack = f"; what is spare adds {degrees(lay.slack_wrap):.0f} deg in the longest span"
    tightest = f", tightest {length(lay.min_radius)}" if isfinite(lay.min_radius) else ""
    return (
        f"{length(lay.length)}, {degrees(lay.wrap):.0f} deg{tightest} if held at its points only"
        f"{slack if lay.slack_wrap else ''}"
    )


def _hand(through: Transmission) -> str:
    """Hand force over the friction range."""
    low, high = through.inputs
    if not isfinite(low):
        return f"LOCKS UP: no force at the hand moves {through.load:.0f} N"
    if not isfinite(high):
        return f"{low:.0f} N at best, LOCKS UP at high friction, for {through.load:.0f} N"
    force = f"{low:.0f} N" if round(low) == round(high) else f"{low:.0f} to {high:.0f} N"
    worst, best = (100 * share for share in through.efficiencies)
    if through.load == 0.0:
        return f"{force} with no load at the far end"
    share = f"{best:.0f} %" if round(worst) == round(best) else f"{worst:.0f} to {best:.0f} %"
    return f"{force} for {through.load:.0f} N at the far end ({share} arrives)"


def _folding(figures: Figures) -> str:
    push = figures.push
    assert push is not None
    onset = f"snaking from {push.snaking_onset:.0f} N" if isfinite(push.snaking_onset) else ""
    rod = ""
    if push.rod_buckling is not None:
        rod = f"exposed rod folds at {push.rod_buckling:.0f} N"
        if push.rod_safety is not None:
            rod += f" ({push.rod_safety:.1f} times the push, {figures.cable.rod_end})"
    return "; ".join(filter(None, (onset, rod))) or "not judged: no cable data"


def _order(figures: Figures) -> str:
    order, length = figures.order, figures.words.length
    extra = f" + {length(figures.cable.slack)} slack" if figures.cable.slack else ""
    doubt = f" +/- {length(order.doubt)} of tape" if order.doubt else ""
    need = f"{length(order.need)} {order.measure}{extra}{doubt}"
    if extra or doubt:
        least = order.need + figures.cable.slack + order.doubt
        need += f" = {length(least)} at least"
    choice = order.choice
    if choice is None:
        return f"{need}; no stock list"
    if choice.stock is None or choice.slack is None:
        return f"{need}; NO STOCK LENGTH FITS"
    return f"{length(choice.stock)} stock, for {need}; leaves {length(choice.slack)}"
