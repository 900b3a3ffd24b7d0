"""Letters of a typeset page: how wide they run, and text broken to a measure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from cableroute.output.report.blocks import one_line

#: Comes with matplotlib, and so is everywhere the same.
FACE = "DejaVu Sans"
#: Distance from line to line, in sizes of the letters [-].
_LEADING = 1.32


@dataclass(frozen=True, slots=True)
class Letters:
    """Letters of one size.

    Parameters
    ----------
    size : float
        Their size [pt].
    bold : bool
        Whether they are bold.
    """

    size: float
    bold: bool = False

    @property
    def line(self) -> float:
        """Distance from line to line [pt]."""
        return _LEADING * self.size

    @property
    def weight(self) -> str:
        """What matplotlib calls it."""
        return "bold" if self.bold else "normal"

    def width(self, text: str) -> float:
        """Return how wide a text runs.

        Parameters
        ----------
        text : str
            One line.

        Returns
        -------
        float
            Its width [pt].
        """
        words = text.split(" ")
        spaces = (len(words) - 1) * _width(" ", self.weight)
        return self.size * (spaces + sum(_width(word, self.weight) for word in words))


@lru_cache(maxsize=20_000)
def _width(word: str, weight: str) -> float:
    """Width of a word in letters of 1 pt, measured at a size at which rounding is slight."""
    font = _font(weight)
    font.set_size(100.0, 72)
    font.set_text(word, 0.0)
    return float(font.get_width_height()[0]) / 6400.0


@lru_cache(maxsize=2)
def _font(weight: str) -> Any:
    from matplotlib.font_manager import FontProperties, findfont, get_font

    return get_font(findfont(FontProperties(family=FACE, weight=weight)))


def wrap(text: str, letters: Letters, width: float) -> list[str]:
    """Break a text into lines that are no wider than the measure.

    Parameters
    ----------
    text : str
        Anything; it is made one line first.
    letters : Letters
        What it is set in.
    width : float
        The measure [pt].

    Returns
    -------
    list of str
        Its lines, one at least; a word that is too long is broken.
    """
    lines, line = [], ""
    for word in one_line(text).split(" "):
        longer = f"{line} {word}" if line else word
        if letters.width(longer) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = _break(word, letters, width)
        lines += full
    return [*lines, line]


def _break(word: str, letters: Letters, width: float) -> Iterator[str]:
    """Break a word that is wider than the measure, letter by letter; others stay whole."""
    if letters.width(word) <= width:
        yield word
        return
    part, room = "", width
    for letter in word:
        wide = letters.width(letter)
        if part and wide > room:
            yield part
            part, room = "", width
        part, room = part + letter, room - wide
    yield part


def share_out(columns: Sequence[Sequence[str]], letters: Letters, room: float) -> list[float]:
    """Return the widths of a table's columns.

    Columns that need less than their share get what they need and leave the rest to the others;
    what nobody needs is shared among all.

    Parameters
    ----------
    columns : sequence of sequence of str
        The cells, column by column.
    letters : Letters
        What they are set in.
    room : float
        Width of all columns together [pt].

    Returns
    -------
    list of float
        One width a column, with the sum of the room [pt].
    """
    bold = Letters(letters.size, bold=True)  # heads and verdicts are
    wanted = [max(bold.width(one_line(cell)) for cell in cells) + 0.5 for cells in columns]
    widths = [0.0] * len(columns)
    left, open_ones = room, sorted(range(len(columns)), key=lambda i: wanted[i])
    for taken, i in enumerate(open_ones):
        widths[i] = min(wanted[i], left / (len(open_ones) - taken))
        left -= widths[i]
    return [width + left / len(columns) for width in widths]
