"""``cableroute report``: everything that was found, to print, to mail or to keep; bench sheets."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cableroute.assess import Assessment, assess
from cableroute.cli.console import (
    ForceOption,
    Paper,
    check_ending,
    complaints,
    ready_to_draw,
    say,
)
from cableroute.cli.job_options import CableOption, FileArgument, Reader, only, overriding
from cableroute.cli.progress import progress
from cableroute.errors import CableRouteError
from cableroute.measure.bounds import check_at_once
from cableroute.measure.sources import NO_NAME, STDIN
from cableroute.output.blank_readings import blank_csv
from cableroute.output.files import look_at, write_bytes
from cableroute.output.report.written import WRITERS, report
from cableroute.output.telling import Announce

if TYPE_CHECKING:
    from cableroute.measure.job import Job
    from cableroute.study.run import Study


@overriding
def report_command(
    file: FileArgument,
    read: Reader,
    out: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--output",
            metavar="REPORT",
            help="Name ending in .html, .pdf or .md; with --sheet also .csv.",
        ),
    ] = None,
    cable: CableOption = None,
    sheet: Annotated[
        bool,
        typer.Option(
            "--sheet",
            help="One page a cable for the bench: what to cut, mark, set and read; as .csv the blank "
            "readings for calibrate.",
        ),
    ] = False,
    paper: Annotated[Paper, typer.Option(help="Paper of a .pdf.")] = Paper.A4,
    study: Annotated[
        bool, typer.Option("--study", help="Say how sure it is: some seconds a cable more.")
    ] = False,
    force: ForceOption = False,
) -> None:
    """Write a report: verdict, what to buy, where to drill, checks, sources, drawings, cautions.

    Without a name it is FILE-report.html, or with --sheet FILE-sheet.html, in the current folder: one
    page that needs no other file.

    Exit status: 0 written, whatever the verdict; 2 bad input or a file that cannot be written.
    """
    with complaints():
        name = out or Path(
            f"{NO_NAME if file == STDIN else file.stem}-{'sheet' if sheet else 'report'}.html"
        )
        ending = name.suffix.lower()
        check_ending(name, (*WRITERS, ".csv") if sheet else WRITERS)
        if sheet and study:
            raise CableRouteError("expected one of --sheet and --study, got both")
        look_at([name], force=force, inputs=[file])  # before a second's work, and again after it
        job = only(read(file), cable)
        if sheet or ending == ".pdf":
            check_at_once([each.name for each in job.cables])
        with progress("judging the cables") as announce:
            found = assess(job)
            studies = _studies(job, announce) if study else []
            if ending == ".csv":
                data = _readings(found)
            else:
                if ending != ".md":
                    ready_to_draw()
                data = report(
                    found,
                    ending=ending,
                    source=file.name,
                    when=date.today(),
                    studies=studies,
                    sheet=sheet,
                    paper=paper,
                    announce=announce,
                )
        write_bytes(name, data, force=force, inputs=read.inputs)
    say(f"{name} is written: verdict {found.verdict.upper()}.", found.verdict)


def _readings(found: Assessment) -> bytes:
    """Return the blank readings of the one cable that is asked for."""
    names = [each.name for each in found.cables]
    if len(names) > 1:
        raise CableRouteError(f"say which with --cable; known: {', '.join(names)}")
    return blank_csv(found.cables[0].figures).encode()


def _studies(job: Job, announce: Announce) -> list[Study]:
    """Study every cable; only then are the modules that do wanted."""
    from cableroute.study.run import study

    found = []
    check_at_once([each.name for each in job.cables])
    for each in job.cables:
        announce(f"drawing machines of {each.name}")
        found.append(study(job, cable=each.name, among=len(job.cables)))
    return found
