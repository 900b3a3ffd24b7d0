"""What a report is made of: plain sections and blocks, said once and rendered in three ways."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from math import isfinite
from typing import Any

import numpy as np

from cableroute.assess import CableAssessment, LinkageAssessment, SelectorAssessment
from cableroute.measure.job import Job
from cableroute.units import format_inches
from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding

#: Letters that are not printable but join or part others in Persian, Hindi and emoji.
_JOINERS = "\u200c\u200d"


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A few sentences.

    Parameters
    ----------
    text : str
        What they say.
    """

    text: str


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list.

    Parameters
    ----------
    items : tuple of str
        Its items.
    """

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    head : str
        What stands above it.
    numeric : bool
        Whether it is set flush right.
    """

    head: str
    numeric: bool = False

    @property
    def judges(self) -> bool:
        """Whether its cells are verdicts or levels, to be coloured."""
        return self.head in ("Verdict", "Outcome")


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a row of heads.

    Parameters
    ----------
    caption : str
        What it shows; may be empty where the heading above says so.
    columns : tuple of Column
        Its columns.
    rows : tuple of tuple of str
        Its cells, row by row.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Remarks:
    """Findings, each with its level.

    Parameters
    ----------
    items : tuple of (str, str, str)
        Level, place (may be empty) and message.
    """

    items: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """A drawing of a cable, or of what cables join.

    Parameters
    ----------
    result : CableAssessment, LinkageAssessment or SelectorAssessment
        What it shows.
    what : str
        A key of ``drawings.DRAWINGS`` or ``drawings.JOINED``.
    job : Job
        The machine.
    caption : str
        What it shows, for those too who cannot see it.
    """

    result: CableAssessment | LinkageAssessment | SelectorAssessment
    what: str
    job: Job
    caption: str


@dataclass(frozen=True, slots=True, eq=False)
class Space:
    """All runs in space, to be turned by hand where the page can, else as drawings.

    Parameters
    ----------
    scene : mapping
        What to show, as :func:`cableroute.output.report_scene.scene` makes it.
    drawings : tuple of Drawing
        The same without turning.
    """

    scene: Mapping[str, Any]
    drawings: tuple[Drawing, ...]


Block = Paragraph | Bullets | Table | Remarks | Drawing | Space


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """A heading and what stands under it.

    Parameters
    ----------
    title : str
        The heading.
    blocks : tuple of Block
        Its own blocks.
    parts : tuple of Section
        Sections below it.
    """

    title: str
    blocks: tuple[Block, ...] = ()
    parts: tuple[Section, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Report:
    """A whole report.

    Parameters
    ----------
    title : str
        What the machine is.
    verdict : str
        ``pass``, ``marginal`` or ``fail``.
    source : str
        Name of the file it was made from.
    when : date or None
        Day to print.
    caution : str
        What must stand beside the verdict.
    sections : tuple of Section
        In order.
    """

    title: str
    verdict: str
    source: str
    when: date | None
    caution: str
    sections: tuple[Section, ...]

    @property
    def byline(self) -> str:
        """What it was made from, and when."""
        day = f", {self.when.isoformat()}" if self.when else ""
        return f"Made by cableroute from {self.source}{day}."


def one_line(text: str) -> str:
    """Return words fit to be shown: one line, no control characters, none that turn the line round.

    Parameters
    ----------
    text : str
        What the user wrote, or we.

    Returns
    -------
    str
        The same with single spaces.
    """
    shown = (c if c.isprintable() or c in _JOINERS else " " for c in text)
    return " ".join("".join(shown).split())


def remarks(findings: Iterable[Finding], *, owner: str = "") -> tuple[Remarks, ...]:
    """Return findings as a block, or no block where there are none.

    Parameters
    ----------
    findings : iterable of Finding
        What was found.
    owner : str
        Whose they are, to be said before the place.

    Returns
    -------
    tuple of Remarks
        One block at most.
    """
    items = [
        (each.level, ", ".join(filter(None, (owner, each.where))), each.message)
        for each in findings
    ]
    return (Remarks(tuple(items)),) if items else ()


@dataclass(frozen=True, slots=True)
class Words:
    """How lengths are written for a tape.

    Parameters
    ----------
    unit : str
        Unit of the tape.
    """

    unit: str

    def length(self, value: float) -> str:
        """Write a length: whole millimetres, or feet and inches for such a tape.

        Parameters
        ----------
        value : float
            Length [mm].

        Returns
        -------
        str
            With its unit.
        """
        if not isfinite(value):
            return "none"
        return format_inches(value) if self.unit in ("in", "ft") else f"{value:z.0f} mm"

    def place(self, point: np.ndarray[Any, np.dtype[np.float64]]) -> str:
        """Write the three coordinates of a point.

        Parameters
        ----------
        point : ndarray, shape (3,)
            The point [mm].

        Returns
        -------
        str
            In whole millimetres, or feet and inches, without a unit for millimetres.
        """
        if self.unit in ("in", "ft"):
            return ", ".join(format_inches(float(value)) for value in point)
        return ", ".join(f"{float(value):z.0f}" for value in point)


def newtons(value: float) -> str:
    """Write a force.

    Parameters
    ----------
    value : float
        The force [N].

    Returns
    -------
    str
        Whole newtons from 20 N on, else with a decimal; words where it is infinite.
    """
    if not isfinite(value):
        return "locks up"
    return f"{value:.0f} N" if abs(value) >= 20.0 else f"{value:.1f} N"


def span(low: float, high: float) -> str:
    """Write a range of forces.

    Parameters
    ----------
    low, high : float
        Its ends [N].

    Returns
    -------
    str
        One figure where both read alike.
    """
    if not isfinite(low):
        return newtons(low)
    digits = 0 if low >= 20.0 or 20.0 <= high < float("inf") else 1
    first, last = (f"{value:.{digits}f} N" for value in (low, high))
    if not isfinite(high):
        return f"{first} to lock-up"
    return first if first == last else f"{first.removesuffix(' N')} to {last}"


def distances(figures: Figures) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return how far along the run each point of the fitted route is.

    Parameters
    ----------
    figures : Figures
        One cable.

    Returns
    -------
    ndarray, shape (m,)
        From the hand end [mm]; of a corner, to the middle of its arc.
    """
    route = figures.route
    straights = np.maximum(route.straights, 0.0)
    arcs = route.arc_lengths
    middles = np.cumsum(straights[:-1]) + np.cumsum(arcs) - 0.5 * arcs
    return np.concatenate(([0.0], middles, [float(route.length)]))
