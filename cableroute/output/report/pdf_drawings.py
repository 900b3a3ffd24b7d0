"""Drawings of a typeset report: views over the whole measure, charts two in a row."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import ceil

from cableroute.assess import CableAssessment, LinkageAssessment
from cableroute.output.drawings import draw_axes
from cableroute.output.pictures.linkage_pictures import members_seen
from cableroute.output.pictures.projection import FRONT, ISOMETRIC, PLAN, SIDE
from cableroute.output.pictures.style import GREY
from cableroute.output.pictures.views import view_height
from cableroute.output.report.blocks import Block, Drawing
from cableroute.output.report.pages import Pages
from cableroute.output.report.typeset import wrap
from cableroute.output.telling import Begin

#: Least and greatest height of a view, and height of charts [pt].
_VIEW_HEIGHTS = (94.0, 142.0)
_HEIGHTS = {"forces": 120.0, "radius": 120.0, "stock": 100.0, "lost": 135.0, "selector": 240.0}
_HEIGHTS |= {"spread": 250.0, "deciders": 180.0}
#: Height of a row of a linkage's members, and of all of them at most [pt].
_MEMBERS, _MOST = 195.0, 420.0
#: What a drawing needs left and right, above and below its axes [pt].
_LEFT, _RIGHT, _ABOVE, _BELOW = 52.0, 11.0, 41.0, 33.0
#: The same left of drawings with words there, or with axes of their own [pt].
_LEFT_OF = {"stock": 150.0, "lost": 18.0, "linkage": 10.0, "selector": 10.0}
_LEFT_OF |= {"spread": 10.0, "deciders": 130.0}
_PROJECTIONS = {"plan": PLAN, "side": SIDE, "front": FRONT, "isometric": ISOMETRIC}
#: Drawings of which two stand side by side.
_NARROW = ("forces", "radius")


def in_rows(blocks: Iterable[Block]) -> Iterator[Block | tuple[Drawing, Drawing]]:
    """Yield blocks, two narrow drawings in a row as a pair."""
    held: Drawing | None = None
    for block in blocks:
        narrow = isinstance(block, Drawing) and block.what in _NARROW
        if held is not None and narrow:
            assert isinstance(block, Drawing)
            yield held, block
            held = None
            continue
        if held is not None:
            yield held
            held = None
        if narrow:
            assert isinstance(block, Drawing)
            held = block
        else:
            yield block
    if held is not None:
        yield held


def set_drawings(pages: Pages, row: Sequence[Drawing], begin: Begin) -> None:
    """Set drawings side by side, each with its caption."""
    column = pages.column / len(row)
    wides = [_wide(drawing.what, column) for drawing in row]
    high = max(_high(drawing, wide) for drawing, wide in zip(row, wides, strict=True))
    small = pages.style.small
    pages.need(_ABOVE + high + _BELOW + small.line)
    for place, (drawing, wide) in enumerate(zip(row, wides, strict=True)):
        begin(drawing)
        ax = pages.axes((place + 1) * column - _RIGHT - wide, _ABOVE, wide, high)
        draw_axes(drawing.result, drawing.what, unit=drawing.job.unit, job=drawing.job, ax=ax)
    pages.down(_ABOVE + high + _BELOW)
    captions = [wrap(drawing.caption, small, column - _RIGHT) for drawing in row]
    for n in range(max(map(len, captions))):
        for place, lines in enumerate(captions):
            if n < len(lines):
                pages.word(place * column, lines[n], small, colour=GREY)
        pages.down(small.line)


def drawing_height(pages: Pages, drawing: Drawing) -> float:
    """Height of a drawing over the whole measure, its caption left out [pt]."""
    return _ABOVE + _high(drawing, _wide(drawing.what, pages.column)) + _BELOW


def _wide(what: str, column: float) -> float:
    """Width of a drawing's axes [pt]."""
    return column - _LEFT_OF.get(what, _LEFT) - _RIGHT


def _high(drawing: Drawing, wide: float) -> float:
    """Height of a drawing's axes: a view's by its width, a linkage's by its members [pt]."""
    result, what = drawing.result, drawing.what
    if isinstance(result, CableAssessment) and what in _PROJECTIONS:
        view, job = _PROJECTIONS[what], drawing.job
        high = 72.0 * view_height(result, view, width=wide / 72.0, job=job)
        return min(max(high, _VIEW_HEIGHTS[0]), _VIEW_HEIGHTS[1])
    if isinstance(result, LinkageAssessment):
        rows = ceil(sum(map(len, members_seen(result))) / 2)
        return min(_MEMBERS * rows, _MOST)
    return _HEIGHTS[what]
