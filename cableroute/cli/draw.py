"""``cableroute draw``: pictures of a route."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from cableroute.assess import CableAssessment, assess
from cableroute.cli.console import ForceOption, LibraryOption, complaints, say
from cableroute.cli.job_options import (
    FamilyOption,
    FileArgument,
    FrictionOption,
    LoadOption,
    PushLoadOption,
    RadiusOption,
    ToleranceOption,
    UnitOption,
    job_from,
)
from cableroute.errors import CableRouteError
from cableroute.output.drawings import SUFFIXES, draw, picture
from cableroute.output.files import write_bytes


class What(StrEnum):
    """What can be drawn."""

    SHEET = "sheet"
    PLAN = "plan"
    SIDE = "side"
    FRONT = "front"
    ISOMETRIC = "isometric"
    FORCES = "forces"
    CURVATURE = "curvature"
    STOCK = "stock"
    LOST = "lost"


def draw_command(
    file: FileArgument,
    what: Annotated[What, typer.Option(help="What to draw.")] = What.SHEET,
    cable: Annotated[
        str | None, typer.Option(metavar="NAME", help="Only this cable; all of them if not given.")
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="PICTURE", help="Name ending in .png, .svg or .pdf."
        ),
    ] = None,
    bend_radius: RadiusOption = None,
    friction: FrictionOption = None,
    load: LoadOption = None,
    push_load: PushLoadOption = None,
    family: FamilyOption = None,
    unit: UnitOption = None,
    tolerance: ToleranceOption = None,
    library: LibraryOption = None,
    force: ForceOption = False,
) -> None:
    """Draw each cable of a file: a sheet with views and forces, or one drawing.

    Without a name, pictures go into the current folder, named after file, cable and drawing.

    Exit status: 0 drawn, 2 bad input or a picture that cannot be written.
    """
    with complaints():
        if out is not None and out.suffix.lower() not in SUFFIXES:
            raise CableRouteError(f"{out}: expected a name ending in {', '.join(SUFFIXES)}")
        job = job_from(
            file,
            unit=unit,
            library=library,
            bend_radius=bend_radius,
            friction=friction,
            load=load,
            push_load=push_load,
            family=family,
            tape_tolerance=tolerance,
        )
        chosen = _chosen(assess(job).cables, cable, one_only=out is not None)
        names = [out] if out else _names(file, chosen, what)
        for result, name in zip(chosen, names, strict=True):
            figure = draw(result, what, unit=job.unit, job=job)
            write_bytes(name, picture(figure, name.suffix.lower()), force=force)
            say(f"{name} is written.")


def _chosen(
    cables: Sequence[CableAssessment], name: str | None, *, one_only: bool
) -> Sequence[CableAssessment]:
    """Return the cables asked for."""
    known = ", ".join(cable.figures.cable.name for cable in cables)
    if name is not None:
        cables = [cable for cable in cables if cable.figures.cable.name == name]
        if not cables:
            raise CableRouteError(f"--cable: no cable {name!r}; known: {known}")
    if one_only and len(cables) > 1:
        raise CableRouteError(f"one picture shows one cable; expected --cable, one of: {known}")
    return cables


def _names(file: Path, cables: Sequence[CableAssessment], what: str) -> list[Path]:
    """Name a picture for each cable, no two alike, whatever the cables are called."""
    names: list[Path] = []
    for cable in cables:
        words = (file.stem, cable.figures.cable.name, what)
        stem = "-".join(re.sub(r"\W+", "_", word)[:60].strip("_") or "cable" for word in words)
        name, number = Path(f"{stem}.png"), 2
        while name in names:
            name, number = Path(f"{stem}-{number}.png"), number + 1
        names.append(name)
    return names
