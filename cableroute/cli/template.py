"""``cableroute template``: the bend schedule of a wire template, and sheets to bend it against."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cableroute.assess import assess
from cableroute.cli.console import (
    ForceOption,
    JsonOption,
    Paper,
    check_ending,
    complain,
    complaints,
    ready_to_draw,
    say,
    say_json,
)
from cableroute.cli.job_options import CableOption, FileArgument, Reader, named, overriding
from cableroute.cli.progress import progress
from cableroute.output.exports import BEND_COLUMNS, bend_rows
from cableroute.output.files import look_at, write_bytes
from cableroute.output.spreadsheet import csv_text
from cableroute.output.template.schedule_text import template_dict, template_lines
from cableroute.output.template.sheets import template_sheets


@overriding
def template(
    file: FileArgument,
    read: Reader,
    cable: CableOption = None,
    json: JsonOption = False,
    table: Annotated[
        Path | None, typer.Option("--csv", metavar="OUT", help="Write the schedule as CSV, too.")
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="SHEETS", help="Name ending in .pdf: 1:1 sheets."),
    ] = None,
    paper: Annotated[Paper, typer.Option(help="Paper of the sheets.")] = Paper.A4,
    force: ForceOption = False,
) -> None:
    """Print the bend schedule of a wire template: length, rotation, angle of each bend.

    With -o, sheets at full size are written too: of all bends in a row that lie in one plane, then of each
    bend, several a page, with a dial of its rotation against the one before, and of the holes of anchors,
    levers and arms. Print them at 100 %.

    Exit status: 0 done, 2 bad input or a file that cannot be written.
    """
    with complaints():
        check_ending(out, (".pdf",))
        check_ending(table, (".csv",))
        targets = [each for each in (table, out) if each is not None]
        look_at(targets, force=force, inputs=[file])
        job = read(file)
        with progress("judging the cables"):
            found = assess(job)
            cables = named(found.cables, cable)
        files: list[tuple[Path, bytes]] = []
        left_out: tuple[str, ...] = ()
        if table is not None:
            rows = [row for each in cables for row in bend_rows(each.figures)]
            files.append((table, csv_text(BEND_COLUMNS, rows).encode()))
        if out is not None:
            ready_to_draw()
            with progress("drawing the bends") as announce:
                sheets = template_sheets(
                    cables,
                    title=job.title,
                    unit=job.unit,
                    tolerance=job.tape_tolerance,
                    paper=paper,
                    linkages=found.linkages,
                    announce=announce,
                )
            files.append((out, sheets.pdf))
            left_out = sheets.left_out
        for name, data in files:
            write_bytes(name, data, force=force, inputs=read.inputs)
    for line in left_out:
        complain(line)
    tolerance = job.tape_tolerance
    if json:
        say_json(template_dict(cables, title=job.title, tolerance=tolerance))
        return
    for line in template_lines(cables, title=job.title, unit=job.unit, tolerance=tolerance):
        say(line)
    for name, _ in files:
        say(f"{name} is written.")
