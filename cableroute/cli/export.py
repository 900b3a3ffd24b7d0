"""``cableroute export``: a route for CAD or a spreadsheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from cableroute.assess import CableAssessment, assess
from cableroute.cli.console import ForceOption, check_ending, complaints, say
from cableroute.cli.job_options import CableOption, FileArgument, Reader, named, overriding
from cableroute.errors import CableRouteError
from cableroute.output.dxf import dxf_text
from cableroute.output.exports import (
    BEND_COLUMNS,
    CLIP_COLUMNS,
    POINT_COLUMNS,
    bend_rows,
    clip_rows,
    point_rows,
)
from cableroute.output.files import write_bytes
from cableroute.output.mesh import stl_bytes
from cableroute.output.spreadsheet import csv_text

SUFFIXES = (".dxf", ".csv", ".stl")


class What(StrEnum):
    """What a CSV can hold."""

    POINTS = "points"
    BENDS = "bends"
    CLIPS = "clips"


Rows = Callable[[CableAssessment], list[dict[str, Any]]]
TABLES: dict[What, tuple[Sequence[str], Rows]] = {
    What.POINTS: (POINT_COLUMNS, lambda cable: point_rows(cable.figures)),
    What.BENDS: (BEND_COLUMNS, lambda cable: bend_rows(cable.figures)),
    What.CLIPS: (CLIP_COLUMNS, clip_rows),
}


@overriding
def export(
    file: FileArgument,
    read: Reader,
    out: Annotated[
        Path,
        typer.Option("-o", "--output", metavar="OUT", help="Name ending in .dxf, .csv or .stl."),
    ],
    cable: CableOption = None,
    what: Annotated[What, typer.Option(help="What a .csv is to hold.")] = What.POINTS,
    diameter: Annotated[
        float | None,
        typer.Option(metavar="MM", help="Outside diameter of the conduit, for a .stl."),
    ] = None,
    force: ForceOption = False,
) -> None:
    """Write the runs of a file for other programs; all lengths are in mm.

    .dxf: lines and arcs, each cable on its layer, and clips and keep-out space on theirs. .csv: points along the run,
    bends, or where clips and anchors hold it. .stl: the conduit as a closed tube.

    Exit status: 0 written, 2 bad input or a file that cannot be written.
    """
    with complaints():
        check_ending(out, SUFFIXES)
        if diameter is not None and not 0.0 < diameter < float("inf"):
            raise CableRouteError(f"--diameter: must be greater than 0 mm (got {diameter})")
        job = read(file)
        cables = named(assess(job).cables, cable)
        if out.suffix.lower() == ".csv":
            columns, rows = TABLES[what]
            data = csv_text(columns, [row for each in cables for row in rows(each)]).encode()
        elif out.suffix.lower() == ".dxf":
            data = dxf_text(cables, job.keepouts).encode("ascii")
        else:
            data = stl_bytes(cables, diameter=diameter)
        write_bytes(out, data, force=force, inputs=read.inputs)
        say(f"{out} is written.")
