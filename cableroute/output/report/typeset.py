"""Letters of a typeset page: how wide they run, and text broken to a measure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any

from cableroute.frozen import frozen
from cableroute.shown import one_line

#: Comes with matplotlib, and so is everywhere the same.
FACE = "DejaVu Sans"
#: Distance from line to line, in sizes of the letters [-].
_LEADING = 1.32


@frozen
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
        """Return how wide a text runs."""
        words = text.split(" ")
        spaces = (len(words) - 1) * _width(" ", self.weight)
        return self.size * (spaces + sum(_width(word, self.weight) for word in words))


@frozen
class Style:
    """Letters of all that stands on a page, in proportion to those of its text.

    Parameters
    ----------
    size : float
        Size of running text [pt].
    cells : float
        Size of the letters of tables over that [-].
    air : float
        Space above and below the letters of a row over that size [-].
    """

    size: float
    cells: float = 0.84
    air: float = 0.16

    @property
    def body(self) -> Letters:
        """Running text."""
        return Letters(self.size)

    @property
    def small(self) -> Letters:
        """Cells of tables, words under drawings."""
        return Letters(self.cells * self.size)

    @property
    def pad(self) -> float:
        """Space above and below the letters of a row [pt]."""
        return self.air * self.size

    def head(self, level: int) -> Letters:
        """Headings, from level 1, the title, down."""
        return Letters((2.0, 1.42, 1.12)[min(level, 3) - 1] * self.size, bold=True)


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
    """Break a text into lines that are no wider than the measure."""
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

    Columns that need less than their share get what they need and leave the rest to the others,
    which share it by how much stands in them; what nobody needs is shared among all.
    """
    bold = Letters(letters.size, bold=True)  # heads and verdicts are
    cells = [[bold.width(one_line(cell)) for cell in column] for column in columns]
    wanted = [max(column) + 0.5 for column in cells]
    widths = [0.0] * len(columns)
    left, open_ones = room, sorted(range(len(columns)), key=lambda i: wanted[i])
    while open_ones and wanted[open_ones[0]] <= left / len(open_ones):
        widths[open_ones[0]] = wanted[open_ones[0]]
        left -= wanted[open_ones.pop(0)]
    most = {i: sum(cells[i]) for i in open_ones}
    for i in open_ones:  # a part of it evenly, so that none is squeezed to nothing
        share = 0.3 / len(open_ones) + 0.7 * most[i] / sum(most.values())
        widths[i] = left * share
    spare = max(room - sum(widths), 0.0)
    return [width + spare / len(columns) for width in widths]
