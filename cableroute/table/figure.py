"""What a described figure is: one number with its name, and a row of words made of such numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from math import isfinite
from typing import Any, Generic, TypeVar

from cableroute.frozen import frozen
from cableroute.measure.wording import Words

Of = TypeVar("Of")
Part = TypeVar("Part")


@frozen(eq=False)
class Figure(Generic[Of]):
    """One figure, wherever it is told.

    Parameters
    ----------
    key : str
        Its name in plain data, with the unit.
    words : str
        Its name for a reader; empty where only plain data have it.
    unit : str
        ``N``, ``mm``, ``deg``, ``MPa``, ``%`` (of a share), or nothing.
    value : callable
        Takes what has the figure; returns the number, or None where there is none. Of plain data
        it may be any value.
    digits : int
        Decimals that are told and that count; of a force :meth:`Words.force` says [-].
    """

    key: str
    words: str
    unit: str
    value: Callable[[Of], Any]
    digits: int = 0

    def plain(self, of: Of) -> Any:
        """Return the value for plain data: None for what JSON has no word for."""
        value = self.value(of)
        return None if isinstance(value, float) and not isfinite(value) else value

    def told(self, of: Of, words: Words) -> str:
        """Return the number in words, with its unit; a dash where there is none."""
        value = self.value(of)
        return "-" if value is None else self.word(value, words)

    def word(self, value: float, words: Words) -> str:
        """Return a number of this kind in words, with its unit."""
        if self.unit == "N":
            return words.force(value)
        if self.unit == "mm":
            return words.fine(value, digits=self.digits) if self.digits else words.length(value)
        shown = 100.0 * value if self.unit == "%" else value
        return f"{shown:z.{self.digits}f} {self.unit}".rstrip()

    def rounded(self, value: float, words: Words) -> float:
        """Return a number as precisely as it is told: what is told alike ties."""
        if not isfinite(value):
            return value
        if self.unit == "N":
            return words.rounded(value)
        return round(value, self.digits + 2 * (self.unit == "%"))

    def within(self, step: Callable[[Any], Of]) -> Figure[Any]:
        """Return the same figure of something that this is a part of."""
        value = self.value
        return replace(self, value=lambda whole: value(step(whole)))


@frozen(eq=False)
class Group(Generic[Of, Part]):
    """Figures that stand together in plain data.

    Parameters
    ----------
    key : str
        Their common name; empty where they stand beside the other groups.
    part : callable
        Takes the whole, returns what has these figures; None where there is none.
    figures : tuple of Figure
        In the order of plain data.
    """

    key: str
    part: Callable[[Of], Part | None]
    figures: tuple[Figure[Part], ...]

    def plain(self, of: Of) -> dict[str, Any] | None:
        """Return the figures as plain data, or None where there are none."""
        part = self.part(of)
        if part is None:
            return None
        return {figure.key: figure.plain(part) for figure in self.figures}


@frozen(eq=False)
class Row(Generic[Of]):
    """A line of the short table: a name and what is told under it.

    Parameters
    ----------
    name : str
        The name, in small letters.
    tell : callable
        Takes what is told of and how lengths and forces are worded; returns the words, or None where there is
        nothing to tell.
    """

    name: str
    tell: Callable[[Of, Words], str | None]


def facts(rows: Iterable[Row[Of]], of: Of, words: Words) -> Iterator[tuple[str, str]]:
    """Yield name and words of each row that has something to tell."""
    for row in rows:
        text = row.tell(of, words)
        if text is not None:
            yield row.name, text
