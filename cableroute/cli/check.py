"""``cableroute check``: the main job."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Annotated

import typer

from cableroute.assess import Assessment, assess
from cableroute.cli.console import (
    JsonOption,
    complaints,
    faults_of,
    say,
    say_aside,
    say_faults,
    say_json,
)
from cableroute.cli.job_options import CableOption, Reader, expanded, only, overriding
from cableroute.cli.progress import progress
from cableroute.errors import CableRouteError
from cableroute.output.verdict_text import report_lines


@overriding
def check(
    files: Annotated[
        list[Path],
        typer.Argument(
            metavar="FILE...",
            help="Route files (.toml), points (.csv), drawings (.dxf, .obj), folders of them, or -.",
        ),
    ],
    read: Reader,
    cable: CableOption = None,
    full: Annotated[
        bool,
        typer.Option("--full", help="Add every bend, clip and check, with formula and source."),
    ] = False,
    json: JsonOption = False,
) -> None:
    """Judge every cable of a file: bends, force, buckling, length to order.

    Options override the file, and are enough to check a bare list of points:

    cableroute check points.csv --bend-radius 60 --friction 0.12 --load 80

    Several files, or a folder of them, end with one table. A list of points may be pasted on
    standard input: cableroute check - --bend-radius 60

    Exit status: 0 pass or marginal, 1 a failing verdict, 2 bad input.
    """
    with complaints():
        every = expanded(files)
    if every != files or len(files) > 1:
        raise typer.Exit(_many(every, lambda file: _judged(file, read, cable), full, json))
    with complaints(), progress("judging the cables"):
        assessment = _judged(files[0], read, cable)
    if json:
        from cableroute.output.as_dict import assessment_dict

        say_json(assessment_dict(assessment))
    else:
        for mood, line in report_lines(assessment, full=full):
            say(line, mood)
    raise typer.Exit(1 if assessment.verdict == "fail" else 0)


def _judged(file: Path, read: Reader, cable: str | None) -> Assessment:
    return assess(only(read(file), cable))


def _many(
    files: Sequence[Path], judge: Callable[[Path], Assessment], full: bool, json: bool
) -> int:
    """Judge file after file, the sound ones whatever is wrong with others; return the status."""
    from cableroute.output.many_text import many_dict, overall, summary_lines

    found: dict[str, Assessment] = {}
    faults: dict[str, Sequence[str]] = {}
    without: dict[str, Sequence[str]] = {}
    with progress("judging the cables") as told:
        for number, file in enumerate(files, start=1):
            told(f"judging file {number} of {len(files)}: {file}")
            try:
                found[str(file)] = judge(file)
            except CableRouteError as error:
                lacks = without if error.argument == "cable" else faults
                lacks[str(file)] = tuple(_faults(error, file))
    if without and not found:  # the cable asked for is nowhere
        faults |= without
    every = [fault for each in faults.values() for fault in each]
    if json:
        say_json(many_dict(found, every))
    else:
        for name, assessment in found.items():
            say(f"{name}:")
            for mood, line in report_lines(assessment, full=full):
                say(line, mood)
            say("")
        for mood, line in summary_lines(found, list(faults)):
            say(line, mood)
    if found and without:
        say_aside(f"Without a cable of that name: {', '.join(without)}")
    say_faults(every)
    return 2 if faults else int(overall(found) == "fail")


def _faults(error: CableRouteError, file: Path) -> Iterator[str]:
    """Name the file where a fault does not."""
    faults = faults_of(error)
    yield from (fault if str(file) in fault else f"{file}: {fault}" for fault in faults)
