"""``cableroute study``: how sure the verdict is, which reading decides it, what to measure again."""

from __future__ import annotations

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
    say_faults,
    say_json,
)
from cableroute.cli.job_options import CableOption, Reader, expanded, only, overriding
from cableroute.cli.progress import progress
from cableroute.errors import CableRouteError
from cableroute.measure.bounds import check_at_once
from cableroute.output.columns import wrapped
from cableroute.output.files import look_at, write_bytes, write_pieces
from cableroute.output.study_csv import samples_csv
from cableroute.output.study_dict import study_dict
from cableroute.output.study_text import LIMITS, study_lines
from cableroute.study.many import FLEET_SAMPLES
from cableroute.study.run import MOST, SAMPLES, Study, rounded_up, study

SUFFIXES = (".png", ".svg", ".pdf")
#: A cable likelier to fail than this is one that fails [-].
_LIKELY = 0.5


@overriding
def study_command(
    files: Annotated[
        list[Path],
        typer.Argument(metavar="FILE...", help="A file, or a fleet of them: files and folders."),
    ],
    read: Reader,
    cable: CableOption = None,
    n: Annotated[
        int | None,
        typer.Option(
            "--n",
            min=2,
            help=f"Machines to draw; {SAMPLES}, fewer of many points, of a fleet {FLEET_SAMPLES} each.",
        ),
    ] = None,
    seed: Annotated[int, typer.Option(min=0, help="The same seed gives the same numbers.")] = 0,
    csv: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write every machine drawn; of a fleet a row a cable, as it is done.",
        ),
    ] = None,
    out: PictureOption = None,
    jobs: Annotated[int, typer.Option(min=1, help="Processes that a fleet is shared by.")] = 1,
    json: JsonOption = False,
    force: ForceOption = False,
    yes: Annotated[bool, typer.Option("--yes", help=f"Draw more than {MOST} machines.")] = False,
) -> None:
    """Say how sure the verdict is, which reading decides it, and what to measure again first.

    Machines are drawn from what tape, friction, load and cable data leave open, and each is judged.
    A table [study] in the file says how doubtful an input is, instead of the defaults:

    [study]

    friction = { uniform = [0.08, 0.15] }

    "cable.shift.points.3.z" = { tolerance = 10 }

    Several files, or a folder, are a fleet: a row for each cable, worst first. With --csv rows are
    written as they are done, and those that stand there already are not worked out again.

    Exit status: 0, 1 if a cable is likelier to fail than not, 2 bad input.
    """
    with complaints():
        every = expanded(files)
    fleet = every != files or len(files) > 1
    if n is not None and n > MOST and not yes:
        say_faults([f"--n: {n} machines are more than {MOST}; add --yes if you mean it"])
        raise typer.Exit(2)
    if fleet:
        raise typer.Exit(
            _fleet(every, read, cable, rounded_up(n or FLEET_SAMPLES), seed, csv, jobs, json)
        )
    (file,) = files
    with complaints(), progress("drawing machines") as announce:
        check_ending(out, SUFFIXES)
        targets = [each for each in (csv, out) if each is not None]
        look_at(targets, force=force, inputs=[file])
        job = only(read(file), cable)
        check_at_once([each.name for each in job.cables])
        found: list[Study] = []
        for each in job.cables:
            announce(f"drawing machines of {each.name}")
            among = len(job.cables)
            found.append(study(job, cable=each.name, n=n, seed=seed, among=among))
        if csv is not None:
            announce(f"writing {csv}")
            pieces = (text.encode() for text in samples_csv(found))
            write_pieces(csv, pieces, force=force, inputs=read.inputs)
        if out is not None:
            write_bytes(out, _picture(found, out.suffix.lower()), force=force, inputs=read.inputs)
    if json:
        say_json(study_dict(found, title=job.title))
    else:
        _print(found, given=n, targets=targets)
    raise typer.Exit(int(any(each.fails[0].chance > _LIKELY for each in found)))


def _fleet(
    files: list[Path],
    read: Reader,
    cable: str | None,
    n: int,
    seed: int,
    csv: Path | None,
    jobs: int,
    json: bool,
) -> int:
    """Study file after file, the sound ones whatever is wrong with others; return the status."""
    from cableroute.cli.fleet import Fleet, workers
    from cableroute.output.fleet_rows import RowFile
    from cableroute.output.fleet_text import fleet_dict, fleet_lines

    with complaints(), progress("studying the fleet") as announce:
        if csv is not None:
            look_at([csv], force=True, inputs=files)
        fleet = Fleet(files, read, cable, n, seed, RowFile(csv) if csv else None)
        with workers(jobs) as executor:
            rows = fleet.judge(executor, announce)
    if json:
        say_json(fleet_dict(rows, n=n, seed=seed))
    else:
        for mood, line in fleet_lines(rows):
            say(line, mood)
    say_faults(fleet.faults)
    likely = any((row.chance or 0.0) > _LIKELY for row in rows)
    return 2 if fleet.faults else int(likely)


def _print(found: list[Study], *, given: int | None, targets: list[Path]) -> None:
    for each in found:
        for mood, line in study_lines(each, given=given):
            say(line, mood)
        say("")
    for line in wrapped(LIMITS, indent=0):
        say(line)
    for target in targets:
        say(f"{target} is written.")


def _picture(found: list[Study], suffix: str) -> bytes:
    """Draw the one cable that there is; only then is the module that draws wanted."""
    if len(found) > 1:
        names = ", ".join(each.name for each in found)
        raise CableRouteError(f"one picture shows one cable; expected --cable, one of: {names}")
    ready_to_draw()
    from cableroute.output.drawings import picture
    from cableroute.output.pictures.study_picture import draw_study

    return picture(draw_study(found[0]), suffix)
