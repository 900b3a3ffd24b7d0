"""What a report is made of: plain sections and blocks, said once and rendered in four ways."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from cableroute.assess import Assessment, CableAssessment, LinkageAssessment, SelectorAssessment
from cableroute.frozen import frozen
from cableroute.measure.job import Job
from cableroute.verdict.check import Check

if TYPE_CHECKING:
    from cableroute.study.run import Study


@frozen
class Paragraph:
    """A few sentences.

    Parameters
    ----------
    text : str
        What they say.
    """

    text: str


@frozen
class Bullets:
    """A list.

    Parameters
    ----------
    items : tuple of str
        Its items.
    """

    items: tuple[str, ...]


@frozen
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


@frozen
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


@frozen
class Facts:
    """The short table of a cable, a linkage or a selector.

    Parameters
    ----------
    rows : tuple of (str, str)
        Name, in small letters, and what is told under it.
    """

    rows: tuple[tuple[str, str], ...]

    @property
    def table(self) -> Table:
        """The same as a table with heads."""
        rows = tuple((f"{name[:1].upper()}{name[1:]}", text) for name, text in self.rows)
        return Table("In short", (Column("Figure"), Column("Value")), rows)


@frozen
class Remarks:
    """Findings, each with its level.

    Parameters
    ----------
    items : tuple of (str, str, str)
        Level, place (may be empty) and message.
    """

    items: tuple[tuple[str, str, str], ...]


@frozen(eq=False)
class Drawing:
    """A drawing of a cable, or of what cables join.

    Parameters
    ----------
    result : CableAssessment, LinkageAssessment, SelectorAssessment or Study
        What it shows.
    what : str
        A key of ``drawings.DRAWINGS``, ``drawings.JOINED`` or ``drawings.STUDIED``.
    job : Job
        The machine.
    caption : str
        What it shows, for those too who cannot see it.
    """

    result: CableAssessment | LinkageAssessment | SelectorAssessment | Study
    what: str
    job: Job
    caption: str


@frozen(eq=False)
class Space:
    """All runs in space, to be turned by hand where the page can, else as drawings.

    Parameters
    ----------
    assessment : Assessment
        What to show, by :func:`cableroute.output.report.space.scene`.
    drawings : tuple of Drawing
        The same without turning.
    """

    assessment: Assessment
    drawings: tuple[Drawing, ...]


Block = Paragraph | Bullets | Table | Facts | Remarks | Drawing | Space


@frozen(eq=False)
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
    verdict : str
        Verdict on what it is about, or nothing.
    line : str
        What stands after the verdict on a terminal; the title if empty.
    """

    title: str
    blocks: tuple[Block, ...] = ()
    parts: tuple[Section, ...] = ()
    verdict: str = ""
    line: str = ""

    @property
    def heading(self) -> str:
        """The title, and the verdict if there is one."""
        return f"{self.title}: {self.verdict.upper()}" if self.verdict else self.title


@frozen(eq=False)
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
    sheets : bool
        Whether each section is a sheet of its own, in letters to be read from a bench.
    """

    title: str
    verdict: str
    source: str
    when: date | None
    caution: str
    sections: tuple[Section, ...]
    sheets: bool = False

    @property
    def byline(self) -> str:
        """What it was made from, and when."""
        day = f", {self.when.isoformat()}" if self.when else ""
        return f"Made by cableroute from {self.source}{day}."


def remarks(findings: Iterable[Check], *, owner: str = "") -> tuple[Remarks, ...]:
    """Return findings as a block, or no block where there are none."""
    items = [
        (each.level, ", ".join(filter(None, (owner, _place(each)))), each.message)
        for each in findings
    ]
    return (Remarks(tuple(items)),) if items else ()


def _place(finding: Check) -> str:
    """Return where a finding is; what was assumed has no place."""
    return "" if finding.code == "assumed" else finding.where
