"""``cableroute draw``: pictures of a route."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum
from pathlib import Path
from typing import Annotated, NamedTuple

import typer

from cableroute.assess import (
    Assessment,
    CableAssessment,
    LinkageAssessment,
    SelectorAssessment,
    assess,
)
from cableroute.cli.console import (
    ForceOption,
    PictureOption,
    check_ending,
    complaints,
    ready_to_draw,
    say,
)
from cableroute.cli.job_options import FileArgument, Reader, overriding
from cableroute.cli.progress import progress
from cableroute.errors import CableRouteError
from cableroute.measure.bounds import check_at_once
from cableroute.output.drawings import JOINED, SUFFIXES, draw, picture
from cableroute.output.files import look_at, write_bytes


class What(StrEnum):
    """What can be drawn."""

    SHEET = "sheet"
    PLAN = "plan"
    SIDE = "side"
    FRONT = "front"
    ISOMETRIC = "isometric"
    FORCES = "forces"
    RADIUS = "radius"
    STOCK = "stock"
    LOST = "lost"
    FEEL = "feel"
    LINKAGE = "linkage"
    SELECTOR = "selector"
    MACHINE = "machine"


@overriding
def draw_command(
    file: FileArgument,
    read: Reader,
    what: Annotated[What, typer.Option(help="What to draw.")] = What.SHEET,
    cable: Annotated[
        str | None,
        typer.Option(
            metavar="NAME",
            help="Only this cable, or the linkage or selector that it works; all if not given.",
        ),
    ] = None,
    out: PictureOption = None,
    force: ForceOption = False,
) -> None:
    """Draw each cable of a file: a sheet with views and forces, or one drawing.

    `--what machine` draws all cables of the file in one picture, in plan, side and front view.

    Views show the machine too: tubes, known points, solids to keep out of. `--what linkage` and
    `--what selector` draw each [[linkage]] and [[selector]] of the file instead.

    Without a name, pictures go into the current folder, named after file, cable and drawing.

    Exit status: 0 drawn, 2 bad input or a picture that cannot be written.
    """
    with complaints():
        check_ending(out, SUFFIXES)
        ready_to_draw()
        job = read(file)
        if what not in (What.MACHINE, *JOINED):
            check_at_once([each.name for each in job.cables if cable in (None, each.name)])
        with progress("judging the cables"):
            every = _subjects(assess(job), what)
        if not every:
            raise CableRouteError(f"{file}: expected a [[{what}]] table, got none")
        chosen = _chosen(every, what, cable, one_only=out is not None)
        names = [out] if out else _names(file, [subject.name for subject in chosen], what)
        look_at(names, force=force, inputs=read.inputs)
        for number, (subject, name) in enumerate(zip(chosen, names, strict=True), start=1):
            with progress(f"drawing {number} of {len(names)}: {subject.name}"):
                figure = draw(subject.result, what, unit=job.unit, job=job)
                data = picture(figure, name.suffix.lower())
            write_bytes(name, data, force=force, inputs=read.inputs)
            say(f"{name} is written.")


class _Subject(NamedTuple):
    """What one picture shows, and the cables that have to do with it."""

    name: str
    cables: tuple[str, ...]
    result: Assessment | CableAssessment | LinkageAssessment | SelectorAssessment


def _subjects(found: Assessment, what: What) -> list[_Subject]:
    if what == What.MACHINE:
        return [_Subject("all", tuple(each.name for each in found.job.cables), found)]
    if what == What.LINKAGE:
        return [
            _Subject(each.figures.name, (each.figures.built.entry.cable,), each)
            for each in found.linkages
        ]
    if what == What.SELECTOR:
        return [
            _Subject(
                each.figures.entry.name,
                (each.figures.select.entry.cable, each.figures.shift.entry.cable),
                each,
            )
            for each in found.selectors
        ]
    cables = [(each.figures.cable.name, each) for each in found.cables]
    return [_Subject(name, (name,), each) for name, each in cables]


def _chosen(
    subjects: Sequence[_Subject], what: What, cable: str | None, *, one_only: bool
) -> Sequence[_Subject]:
    """Return what is to be drawn of a cable, or all of it."""
    kind = what if what in JOINED else "cable"
    known = ", ".join(dict.fromkeys(name for subject in subjects for name in subject.cables))
    if cable is not None:
        if what == What.MACHINE:
            raise CableRouteError("--cable: a drawing of the machine shows every cable")
        subjects = [subject for subject in subjects if cable in subject.cables]
        if not subjects:
            thing = f"cable {cable!r}" if kind == "cable" else f"{kind} with a cable {cable!r}"
            raise CableRouteError(f"--cable: no {thing}; known: {known}")
    if one_only and len(subjects) > 1:
        raise CableRouteError(f"one picture shows one {kind}; expected --cable, one of: {known}")
    return subjects


def _names(file: Path, subjects: Sequence[str], what: What) -> list[Path]:
    """Name a picture for each, no two alike, whatever they are called."""
    names: list[Path] = []
    for subject in subjects:
        words = (file.stem, subject, what)
        stem = "-".join(re.sub(r"\W+", "_", word)[:60].strip("_") or "cable" for word in words)
        name, number = Path(f"{stem}.png"), 2
        while name in names:
            name, number = Path(f"{stem}-{number}.png"), number + 1
        names.append(name)
    return names
