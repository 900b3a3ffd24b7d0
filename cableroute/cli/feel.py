"""``cableroute feel``: what the hand feels over a full cycle of the lever."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from cableroute.assess import CableAssessment, assess
from cableroute.cli.console import (
    ForceOption,
    JsonOption,
    check_ending,
    complaints,
    ready_to_draw,
    say,
    say_json,
)
from cableroute.cli.job_options import CableOption, FileArgument, Reader, named, overriding
from cableroute.errors import CableRouteError
from cableroute.figures.feel import CableFeel, work_out_feel
from cableroute.output.columns import WIDTH
from cableroute.output.feel_dict import feel_dict
from cableroute.output.feel_text import LIMITS, feel_lines
from cableroute.output.files import write_bytes
from cableroute.verdict.check import Verdict, verdict_of

SUFFIXES = (".png", ".svg", ".pdf")


@overriding
def feel_command(
    file: FileArgument,
    read: Reader,
    cable: CableOption = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="PICTURE", help="Draw it: a name in .png, .svg or .pdf."
        ),
    ] = None,
    json: JsonOption = False,
    force: ForceOption = False,
) -> None:
    """Show force and travel at the hand, out and back: lost motion, detents, the return.

    The table resists of a cable says what the far end does; a bare load never changes.

    Exit status: 0 pass or marginal, 1 a failing verdict or a pull cable that stays out, 2 bad input.
    """
    with complaints():
        check_ending(out, SUFFIXES)
        job = read(file)
        found = assess(job)
        chosen = named(found.cables, cable)
        if out is not None and len(chosen) > 1:
            known = ", ".join(each.figures.cable.name for each in chosen)
            raise CableRouteError(f"one picture shows one cable; expected --cable, one of: {known}")
        feels = [work_out_feel(each.figures) for each in chosen]
        if out is not None:
            ready_to_draw()
            data = _picture(feels[0], out.suffix.lower(), unit=job.unit)
            write_bytes(out, data, force=force, inputs=read.inputs)
    verdicts = [_verdict(each, feel) for each, feel in zip(chosen, feels, strict=True)]
    overall = verdict_of(verdicts if cable else [found.verdict, *verdicts])
    if json:
        cables = [feel_dict(each, verdict=v) for each, v in zip(feels, verdicts, strict=True)]
        say_json({"schema": 1, "title": job.title, "verdict": overall, "cables": cables})
    else:
        _print(feels, verdicts, out)
    raise typer.Exit(1 if overall == "fail" else 0)


def _verdict(result: CableAssessment, feel: CableFeel) -> Verdict:
    return result.verdict if feel.returns else "fail"


def _print(feels: Sequence[CableFeel], verdicts: Sequence[Verdict], out: Path | None) -> None:
    for feel, verdict in zip(feels, verdicts, strict=True):
        for mood, line in feel_lines(feel, verdict=verdict):
            say(line, mood)
        say("")
    for line in textwrap.wrap(LIMITS, WIDTH):
        say(line)
    if out is not None:
        say(f"{out} is written.")


def _picture(feel: CableFeel, suffix: str, *, unit: str) -> bytes:
    """Draw it; only then is the module that draws wanted."""
    from cableroute.output.drawings import picture
    from cableroute.output.pictures.feel_chart import draw_feel

    figure = draw_feel(feel, unit=unit).get_figure(root=True)
    assert figure is not None
    return picture(figure, suffix)
