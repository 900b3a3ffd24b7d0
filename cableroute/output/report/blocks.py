"""What a report is made of: plain sections and blocks, said once and rendered in three ways."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from cableroute.assess import CableAssessment, LinkageAssessment, SelectorAssessment
from cableroute.measure.job import Job
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
        What to show, as :func:`cableroute.output.report.space.scene` makes it.
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
