"""``cableroute suggest``: what to move, to leave out, to sweep wider."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any

import typer

from cableroute.assess import assess
from cableroute.cli.console import ForceOption, JsonOption, complaints, say, say_json
from cableroute.cli.job_options import FileArgument, Reader, overriding
from cableroute.cli.progress import progress
from cableroute.errors import CableRouteError
from cableroute.measure.job import Cable, Job
from cableroute.output.advice_text import Suggestion, advice_dict, advice_lines
from cableroute.output.files import write_text
from cableroute.output.moved_toml import moved_text
from cableroute.route.repair import FARTHEST, freedoms_of, repair
from cableroute.verdict.advice import advise
from cableroute.workings import work_out


@overriding
def suggest(
    file: FileArgument,
    read: Reader,
    cable: Annotated[
        str | None, typer.Option(metavar="NAME", help="Only this cable of the file.")
    ] = None,
    within: Annotated[
        float, typer.Option(metavar="MM", help="No point is moved further than this.")
    ] = FARTHEST,
    apply: Annotated[
        Path | None, typer.Option(metavar="NEW.toml", help="Write a copy with the points moved.")
    ] = None,
    json: JsonOption = False,
    force: ForceOption = False,
) -> None:
    """Suggest the smallest moves that make every bend fit, and what lowers the force.

    A point moves as its "move" in the file says: no, x, y, z, tube or free; anchors and the two
    ends stay if it says nothing.

    Exit status: 0 whatever is found, 2 bad input.
    """
    with complaints():
        job = read(file)
        chosen = _chosen(job, cable)
        if apply is not None and file.suffix.lower() != ".toml":
            raise CableRouteError(f"{file}: expected a route file (.toml) to apply moves to")
        found = []
        with progress("looking for moves") as told:
            for number, each in enumerate(chosen, start=1):
                told(f"looking for moves, cable {number} of {len(chosen)}: {each.name}")
                found.append(_suggest(each, job=job, farthest=within))
        moved = [item for item in found if item.after is not None]
        if apply is not None and moved:
            text = moved_text(file.read_text(encoding="utf-8-sig"), moved, unit=job.unit)
            write_text(apply, text, force=force)
    if json:
        say_json(advice_dict(found))
    else:
        for mood, line in advice_lines(found):
            say(line, mood)
        if apply is not None:
            say(f"{apply} is written." if moved else f"Nothing moves: {apply} is not written.")


def _chosen(job: Job, name: str | None) -> tuple[Cable, ...]:
    if name is None:
        return job.cables
    chosen = tuple(cable for cable in job.cables if cable.name == name)
    if not chosen:
        known = ", ".join(cable.name for cable in job.cables)
        raise CableRouteError(f"--cable: expected one of {known}, got {name!r}")
    return chosen


def _suggest(cable: Cable, *, job: Job, farthest: float) -> Suggestion:
    job = replace(job, linkages=(), selectors=())  # they need all their cables, and do not move
    (before,) = assess(replace(job, cables=(cable,))).cables

    def moved(moves: Any) -> Cable:
        return replace(cable, points=cable.points + moves)

    mended = repair(
        before.figures.route,
        freedoms=freedoms_of(cable),
        farthest=farthest,
        grid=before.figures.words.grid,
        holds=lambda moves: bool(work_out(moved(moves), job=job).route.fits),
    )
    after = None
    if mended.moves.any():
        (after,) = assess(replace(job, cables=(moved(mended.moves),))).cables
    return Suggestion(before, mended, after, advise(before.figures))
