"""``cableroute report``: everything that was found, to print, to mail or to keep."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Annotated

import typer

from cableroute.assess import assess
from cableroute.cli.console import ForceOption, check_ending, complaints, say
from cableroute.cli.job_options import FileArgument, LayOption, Reader, overriding
from cableroute.cli.progress import progress
from cableroute.output.files import refuse_existing, write_bytes
from cableroute.output.report.blocks import Report
from cableroute.output.report.contents import report
from cableroute.output.telling import Told


@overriding
def report_command(
    file: FileArgument,
    read: Reader,
    out: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="REPORT", help="Name ending in .html, .pdf or .md."),
    ] = None,
    lay: LayOption = False,
    force: ForceOption = False,
) -> None:
    """Write a report: verdict, what to buy, where to drill, checks, sources, drawings, cautions.

    Without a name it is FILE-report.html in the current folder: one page that needs no other file.

    Exit status: 0 written, whatever the verdict; 2 bad input or a file that cannot be written.
    """
    with complaints():
        name = out or Path(f"{file.stem}-report.html")
        check_ending(name, WRITERS)
        refuse_existing(name, force=force)  # before a second's work, and again when it is written
        job = read(file)
        with progress("judging the cables") as told:
            found = assess(job, lay=lay)
            made = report(found, source=file.name, when=date.today())
            data = WRITERS[name.suffix.lower()](made, told)
        write_bytes(name, data, force=force)
    say(f"{name} is written: verdict {found.verdict.upper()}.", found.verdict)


def _html(made: Report, told: Told) -> bytes:
    from cableroute.output.report.as_html import report_html

    return report_html(made, told=told).encode()


def _pdf(made: Report, told: Told) -> bytes:
    from cableroute.output.report.as_pdf import report_pdf

    return report_pdf(made, told=told)


def _markdown(made: Report, _told: Told) -> bytes:
    from cableroute.output.report.as_markdown import report_markdown

    return report_markdown(made).encode()


#: How a report is written, by the ending of its name.
WRITERS: Mapping[str, Callable[[Report, Told], bytes]] = MappingProxyType(
    {".html": _html, ".pdf": _pdf, ".md": _markdown}
)
