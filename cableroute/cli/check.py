"""``cableroute check``: the main job."""

from __future__ import annotations

from typing import Annotated

import typer

from cableroute.assess import assess
from cableroute.cli.console import JsonOption, complaints, say, say_json
from cableroute.cli.job_options import FileArgument, LayOption, Reader, overriding
from cableroute.cli.progress import progress
from cableroute.output.as_dict import assessment_dict
from cableroute.output.text import report_lines


@overriding
def check(
    file: FileArgument,
    read: Reader,
    lay: LayOption = False,
    full: Annotated[
        bool,
        typer.Option("--full", help="Add every bend, clip and check, with formula and source."),
    ] = False,
    json: JsonOption = False,
) -> None:
    """Judge every cable of a file: bends, force, buckling, length to order.

    Options override the file, and are enough to check a bare list of points:

    cableroute check points.csv --bend-radius 60 --friction 0.12 --load 80

    Exit status: 0 pass or marginal, 1 a failing verdict, 2 bad input.
    """
    with complaints(), progress("judging the cables"):
        job = read(file)
        assessment = assess(job, lay=lay)
    if json:
        say_json(assessment_dict(assessment))
    else:
        for mood, line in report_lines(assessment, full=full):
            say(line, mood)
    raise typer.Exit(1 if assessment.verdict == "fail" else 0)
