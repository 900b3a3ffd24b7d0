"""The report, or the sheets for the bench, as the bytes of a file of the kind that its name says."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING

from cableroute.assess import Assessment
from cableroute.errors import CableRouteError
from cableroute.output.report.blocks import Report
from cableroute.output.report.contents import report as described
from cableroute.output.report.sheet import bench_sheets
from cableroute.output.telling import Announce, silent

if TYPE_CHECKING:
    from cableroute.study.run import Study


def report(
    assessment: Assessment,
    *,
    ending: str = ".html",
    source: str = "",
    when: date | None = None,
    studies: Sequence[Study] = (),
    sheet: bool = False,
    paper: str = "a4",
    announce: Announce = silent,
) -> bytes:
    """Return the report on a job, or with ``sheet`` one page a cable: a page, a paper, or text.

    Studies of its cables tell how sure the verdict is.
    """
    if ending not in WRITERS:
        raise CableRouteError(f"report: expected {', '.join(WRITERS)}, got {ending!r}")
    if sheet:
        made = bench_sheets(assessment, source=source, when=when)
    else:
        made = described(assessment, source=source, when=when, studies=studies)
    return WRITERS[ending](made, paper, announce)


def _html(made: Report, _paper: str, announce: Announce) -> bytes:
    from cableroute.output.report.as_html import report_html

    return report_html(made, announce=announce).encode()


def _pdf(made: Report, paper: str, announce: Announce) -> bytes:
    from cableroute.output.report.as_pdf import report_pdf

    return report_pdf(made, paper=paper, announce=announce)


def _markdown(made: Report, _paper: str, _announce: Announce) -> bytes:
    from cableroute.output.report.as_markdown import report_markdown

    return report_markdown(made).encode()


#: How a report is written, by the ending of its name.
WRITERS: Mapping[str, Callable[[Report, str, Announce], bytes]] = MappingProxyType(
    {".html": _html, ".pdf": _pdf, ".md": _markdown}
)
