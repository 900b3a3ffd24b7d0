"""Pages of A4 that fill from the top, with a head and a foot on each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cableroute.output.cautions import IN_SHORT
from cableroute.output.pictures.style import GREY, INK
from cableroute.output.report.blocks import Report, one_line
from cableroute.output.report.typeset import FACE, Letters

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Width and height of the paper, and its margins [pt].
WIDE, HIGH = 595.28, 841.89
SIDE_MARGIN, TOP, BOTTOM = 51.0, 62.0, 56.0
#: Width of the text [pt].
COLUMN = WIDE - 2.0 * SIDE_MARGIN
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
    report : Report
        What stands in their heads.
    """

    def __init__(self, report: Report) -> None:
        self._report = report
        self._pages: list[Figure] = []
        self._down = 0.0  # from the top of the text [pt]
        self.turn()

    @property
    def room(self) -> float:
        """What is left of the page [pt]."""
        return HIGH - TOP - BOTTOM - self._down

    def turn(self) -> None:
        """Go on at the top of a new page."""
        from matplotlib.figure import Figure

        self._pages.append(Figure(figsize=(WIDE / 72.0, HIGH / 72.0), dpi=160, facecolor="white"))
        self._down = 0.0

    def need(self, height: float) -> None:
        """Turn the page if it has less room than this.

        Parameters
        ----------
        height : float
            Room that is needed, a whole page at most [pt].
        """
        if height > self.room and self._down > 0.0:
            self.turn()

    def gap(self, height: float) -> None:
        """Leave some air, but none at the top of a page.

        Parameters
        ----------
        height : float
            How much [pt].
        """
        if self._down > 0.0:
            self._down += height

    def down(self, height: float) -> None:
        """Move down.

        Parameters
        ----------
        height : float
            How far [pt].
        """
        self._down += height

    def line(self, text: str, letters: Letters, *, colour: str = INK, indent: float = 0.0) -> None:
        """Set a line and move below it, to a new page where there is no room.

        Parameters
        ----------
        text : str
            What it says.
        letters : Letters
            What it is set in.
        colour : str
            Its colour.
        indent : float
            From the left of the text [pt].
        """
        self.need(letters.line)
        self.word(indent, text, letters, colour=colour)
        self._down += letters.line

    def word(self, left: float, text: str, letters: Letters, *, colour: str = INK) -> None:
        """Set words where the page is, and stay there.

        Parameters
        ----------
        left : float
            From the left of the text [pt].
        text : str
            What they say.
        letters : Letters
            What they are set in.
        colour : str
            Their colour.
        """
        if not text:
            return
        base = HIGH - TOP - self._down - letters.size
        _set(self._pages[-1], SIDE_MARGIN + left, base, text, letters, colour)

    def rule(self, colour: str, *, width: float = 1.2) -> None:
        """Draw a line across the text.

        Parameters
        ----------
        colour : str
            Its colour.
        width : float
            Its width [pt].
        """
        y = HIGH - TOP - self._down
        _rule(self._pages[-1], y, colour, width)

    def axes(self, left: float, below: float, wide: float, high: float) -> Axes:
        """Return axes on the page.

        Parameters
        ----------
        left : float
            From the left of the text [pt].
        below : float
            From where the page is down to their top [pt].
        wide, high : float
            Their size [pt].

        Returns
        -------
        Axes
            Empty ones.
        """
        bottom = HIGH - TOP - self._down - below - high
        box = ((SIDE_MARGIN + left) / WIDE, bottom / HIGH, wide / WIDE, high / HIGH)
        return self._pages[-1].add_axes(box)

    def finished(self) -> list[Figure]:
        """Return the pages, with heads and numbers.

        Returns
        -------
        list of Figure
            One a page.
        """
        right = SIDE_MARGIN + COLUMN
        verdict = self._report.verdict.upper()
        title = _shortened(self._report.title, COLUMN - _HEAD.width(verdict) - 20.0)
        for number, page in enumerate(self._pages, start=1):
            _set(page, SIDE_MARGIN, HIGH - 38.0, title, _HEAD, GREY)
            left = right - _HEAD.width(verdict)
            _set(page, left, HIGH - 38.0, verdict, _HEAD, LEVEL_COLOURS[self._report.verdict])
            _rule(page, HIGH - 44.0, GREY, 0.4)
            told = f"{number} of {len(self._pages)}"
            _set(page, SIDE_MARGIN, 34.0, IN_SHORT, _HEAD, GREY)
            _set(page, right - _HEAD.width(told), 34.0, told, _HEAD, GREY)
        return self._pages


def _set(page: Figure, x: float, y: float, text: str, letters: Letters, colour: str) -> None:
    page.text(
        x / WIDE,
        y / HIGH,
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

    ends = (SIDE_MARGIN / WIDE, (SIDE_MARGIN + COLUMN) / WIDE)
    page.add_artist(Line2D(ends, (y / HIGH, y / HIGH), color=colour, linewidth=width))


def _shortened(text: str, width: float) -> str:
    """Cut a text with an ellipsis to a width."""
    shown = one_line(text)
    if _HEAD.width(shown) <= width:
        return shown
    while shown and _HEAD.width(f"{shown}…") > width:
        shown = shown[: -max(1, len(shown) // 20)]
    return f"{shown}…"
