"""Pages of paper that fill from the top, with a head and a foot on each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cableroute.output.cautions import IN_SHORT
from cableroute.output.paper import PAPER
from cableroute.output.pictures.style import GREY, INK
from cableroute.output.report.blocks import Report
from cableroute.output.report.typeset import FACE, Letters, Style
from cableroute.shown import one_line

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Margins [pt].
SIDE_MARGIN, TOP, BOTTOM = 45.0, 52.0, 48.0
#: Colours of verdicts and levels, dark enough on white; the word is always there.
LEVEL_COLOURS = {
    "pass": "#00664a",
    "marginal": "#7a4a00",
    "fail": "#a3200d",
    "note": "#4a4a4a",
}
_HEAD = Letters(7.5)


class Pages:
    """Pages being filled: a place on the last of them, moved down as things are set.

    Parameters
    ----------
    paper : str
        A key of ``PAPER``.
    style : Style
        Its letters.
    """

    def __init__(self, paper: str, style: Style) -> None:
        self.style = style
        self.wide, self.high = (72.0 / 25.4 * side for side in PAPER[paper])
        self.done: list[Figure] = []
        self._down = 0.0  # from the top of the text [pt]
        self.turn()

    @property
    def column(self) -> float:
        """Width of the text [pt]."""
        return self.wide - 2.0 * SIDE_MARGIN

    @property
    def room(self) -> float:
        """What is left of the page [pt]."""
        return self.high - TOP - BOTTOM - self._down

    def turn(self) -> None:
        """Go on at the top of a new page."""
        from matplotlib.backend_bases import FigureCanvasBase
        from matplotlib.figure import Figure

        if self.done:  # what words were measured on holds a picture of the whole page
            FigureCanvasBase(self.done[-1])
        size = (self.wide / 72.0, self.high / 72.0)
        self.done.append(Figure(figsize=size, dpi=160, facecolor="white"))
        self._down = 0.0

    def need(self, height: float) -> None:
        """Turn the page if it has less room than this."""
        if height > self.room and self._down > 0.0:
            self.turn()

    def gap(self, height: float) -> None:
        """Leave some air, but none at the top of a page."""
        if self._down > 0.0:
            self._down += height

    def down(self, height: float) -> None:
        """Move down."""
        self._down += height

    def line(self, text: str, letters: Letters, *, colour: str = INK, indent: float = 0.0) -> None:
        """Set a line and move below it, to a new page where there is no room."""
        self.need(letters.line)
        self.word(indent, text, letters, colour=colour)
        self._down += letters.line

    def word(self, left: float, text: str, letters: Letters, *, colour: str = INK) -> None:
        """Set words where the page is, and stay there."""
        if text:
            base = self.high - TOP - self._down - letters.size
            _set(self.done[-1], SIDE_MARGIN + left, base, text, letters, colour)

    def rule(self, colour: str, *, width: float = 1.2) -> None:
        """Draw a line across the text."""
        _rule(self.done[-1], self.high - TOP - self._down, colour, width)

    def axes(self, left: float, below: float, wide: float, high: float) -> Axes:
        """Return axes on the page."""
        bottom = self.high - TOP - self._down - below - high
        box = (
            (SIDE_MARGIN + left) / self.wide,
            bottom / self.high,
            wide / self.wide,
            high / self.high,
        )
        return self.done[-1].add_axes(box)


def headed(pages: list[Figure], report: Report) -> list[Figure]:
    """Return pages with heads and numbers: the verdict beside the title, the day on a sheet."""
    told, colour = report.verdict.upper(), LEVEL_COLOURS[report.verdict]
    if report.sheets:
        told, colour = report.byline, GREY
    for number, page in enumerate(pages, start=1):
        wide, high = (72.0 * side for side in page.get_size_inches())
        right = wide - SIDE_MARGIN
        title = _shortened(report.title, right - SIDE_MARGIN - _HEAD.width(told) - 20.0)
        _set(page, SIDE_MARGIN, high - 38.0, title, _HEAD, GREY)
        _set(page, right - _HEAD.width(told), high - 38.0, told, _HEAD, colour)
        _rule(page, high - 44.0, GREY, 0.4)
        count = f"{number} of {len(pages)}"
        _set(page, SIDE_MARGIN, 34.0, IN_SHORT, _HEAD, GREY)
        _set(page, right - _HEAD.width(count), 34.0, count, _HEAD, GREY)
    return pages


def _set(page: Figure, x: float, y: float, text: str, letters: Letters, colour: str) -> None:
    wide, high = (72.0 * side for side in page.get_size_inches())
    page.text(
        x / wide,
        y / high,
        text,
        fontsize=letters.size,
        fontweight=letters.weight,
        fontfamily=FACE,
        color=colour,
        va="baseline",
        parse_math=False,
    )


def _rule(page: Figure, y: float, colour: str, width: float) -> None:
    from matplotlib.lines import Line2D

    wide, high = (72.0 * side for side in page.get_size_inches())
    ends = (SIDE_MARGIN / wide, 1.0 - SIDE_MARGIN / wide)
    page.add_artist(Line2D(ends, (y / high, y / high), color=colour, linewidth=width))


def _shortened(text: str, width: float) -> str:
    """Cut a text with an ellipsis to a width."""
    shown = one_line(text)
    if _HEAD.width(shown) <= width:
        return shown
    while shown and _HEAD.width(f"{shown}…") > width:
        shown = shown[: -max(1, len(shown) // 20)]
    return f"{shown}…"
