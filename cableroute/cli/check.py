"""``cableroute check``: the main job."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from cableroute.assess import assess
from cableroute.cli.console import JsonOption, LibraryOption, complaints, say, say_json
from cableroute.hardware.library import load_library
from cableroute.measure.reading import read_job
from cableroute.output.as_dict import assessment_dict
from cableroute.output.text import report_lines
from cableroute.units import Unit


def check(
    file: Annotated[Path, typer.Argument(help="A route file (.toml) or a list of points (.csv).")],
    bend_radius: Annotated[
        float | None, typer.Option(metavar="MM", help="Least bend radius to the conduit's centre.")
    ] = None,
    friction: Annotated[
        float | None, typer.Option(metavar="MU", help="Coefficient of friction, as 0.12.")
    ] = None,
    load: Annotated[
        float | None, typer.Option(metavar="N", help="Force at the far end, pulling.")
    ] = None,
    push_load: Annotated[
        float | None, typer.Option(metavar="N", help="Force at the far end, pushing.")
    ] = None,
    family: Annotated[
        str | None, typer.Option(metavar="NAME", help="Cable family (see: cableroute stock).")
    ] = None,
    unit: Annotated[
        Unit | None, typer.Option(help="Unit of bare numbers, instead of the file's.")
    ] = None,
    tolerance: Annotated[
        float | None,
        typer.Option(metavar="MM", help="One reading is good to +/- this; 0 fits points exactly."),
    ] = None,
    lay: Annotated[
        bool, typer.Option("--lay", help="Add the natural lay between clips (takes a second).")
    ] = False,
    library: LibraryOption = None,
    json: JsonOption = False,
) -> None:
    """Judge every cable of a file: bends, force, buckling, length to order.

    Options override the file, and are enough to check a bare list of points:

    cableroute check points.csv --bend-radius 60 --friction 0.12 --load 80

    Exit status: 0 pass or marginal, 1 a failing verdict, 2 bad input.
    """
    overrides = {
        "bend_radius": bend_radius,
        "friction": friction,
        "load": load,
        "push_load": push_load,
        "family": family,
        "tape_tolerance": tolerance,
    }
    with complaints():
        families = load_library(library or ())
        job = read_job(file, unit=unit, library=families, overrides=overrides)
        assessment = assess(job, lay=lay)
    if json:
        say_json(assessment_dict(assessment))
    else:
        for mood, line in report_lines(assessment):
            say(line, mood)
    raise typer.Exit(1 if assessment.verdict == "fail" else 0)
