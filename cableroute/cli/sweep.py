"""``cableroute sweep``: one or two readings over a grid, every machine of it judged."""

from __future__ import annotations

from math import prod
from pathlib import Path
from typing import Annotated

import typer

from cableroute.cli.console import (
    ForceOption,
    JsonOption,
    PictureOption,
    check_ending,
    complaints,
    ready_to_draw,
    say,
    say_json,
)
from cableroute.cli.fleet import workers
from cableroute.cli.job_options import CableOption, FileArgument, Reader, overriding
from cableroute.cli.progress import progress
from cableroute.errors import CableRouteError
from cableroute.hardware.library import load_library
from cableroute.output.files import look_at, write_bytes, write_text
from cableroute.output.sweep_text import sweep_csv, sweep_dict, sweep_lines
from cableroute.study.sweep import MOST, Sweep, parse_axis, sweep

SUFFIXES = (".png", ".svg", ".pdf")


@overriding
def sweep_command(
    file: FileArgument,
    read: Reader,
    over: Annotated[
        list[str],
        typer.Option(
            metavar="KEY=LOW:HIGH:COUNT", help="A number and what it is tried at; at most two."
        ),
    ],
    cable: CableOption = None,
    jobs: Annotated[int, typer.Option(min=1, help="Processes that share the work.")] = 1,
    csv: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write a row for each machine.")
    ] = None,
    out: PictureOption = None,
    json: JsonOption = False,
    force: ForceOption = False,
    yes: Annotated[bool, typer.Option("--yes", help=f"Try more than {MOST} machines.")] = False,
) -> None:
    """Judge a machine at every point of a grid of one or two of its numbers, and name the best.

    Bare numbers are in the file's unit. Keys lead to a number of the file:

    cableroute sweep machine.toml --over cable.shift.points.3.z=300:500:21

    cableroute sweep machine.toml --over nodes.A.x=0:90:10 --over cable.shift.friction=0.05:0.2:4

    Exit status: 0, 1 if all of them fail, 2 bad input.
    """
    with complaints(), progress("judging the grid") as announce:
        check_ending(out, SUFFIXES)
        targets = [each for each in (csv, out) if each is not None]
        look_at(targets, force=force, inputs=[file])
        axes = [parse_axis(each) for each in over]
        count = prod(len(axis.values) for axis in axes)
        if count > MOST and not yes:
            raise CableRouteError(
                f"--over: {count} machines are more than {MOST}; add --yes if you mean it"
            )
        job = read(file)
        with workers(jobs) as executor:
            found = sweep(
                job,
                axes,
                cable=cable,
                library=load_library(read.given["library"] or ()),
                executor=executor,
                told=lambda done, of: announce(f"judged {done} of {of} machines"),
            )
        if csv is not None:
            write_text(csv, sweep_csv(found), force=force, inputs=read.inputs)
        if out is not None:
            write_bytes(out, _picture(found, out.suffix.lower()), force=force, inputs=read.inputs)
    if json:
        say_json(sweep_dict(found))
    else:
        for mood, line in sweep_lines(found):
            say(line, mood)
        for each in targets:
            say(f"{each} is written.")
    raise typer.Exit(0 if found.best else 1)


def _picture(found: Sweep, suffix: str) -> bytes:
    """Draw it; only then is the module that draws wanted."""
    ready_to_draw()
    from cableroute.output.drawings import picture
    from cableroute.output.pictures.sweep_picture import draw_sweep

    figure = draw_sweep(found).get_figure(root=True)
    assert figure is not None
    return picture(figure, suffix)
