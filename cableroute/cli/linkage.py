"""``cableroute linkage``: the full tables of linkages and selectors."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import typer

from cableroute.assess import Assessment, LinkageAssessment, assess
from cableroute.cli.console import (
    ForceOption,
    JsonOption,
    LibraryOption,
    complaints,
    say,
    say_json,
)
from cableroute.errors import CableRouteError, GeometryError
from cableroute.hardware.library import load_library
from cableroute.linkage.arms import Arm
from cableroute.linkage.mends import Side
from cableroute.linkage.ratio import Hole, holes
from cableroute.measure.reading import read_job
from cableroute.output.as_dict import assessment_dict
from cableroute.output.files import write_text
from cableroute.output.linkage_csv import linkage_csv
from cableroute.output.linkage_text import (
    WIDTH,
    gate_table,
    hole_table,
    linkage_lines,
    selector_lines,
    stroke_table,
)
from cableroute.verdict.linkage_figures import LinkageFigures

PITCH = 8.0
"""Centre to centre of the holes in the drill list [mm]."""


def linkage_command(
    file: Annotated[Path, typer.Argument(help="A route file (.toml) with [[linkage]] tables.")],
    csv: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE", help="Write the tables as CSV too.")
    ] = None,
    pitch: Annotated[
        float, typer.Option(metavar="MM", min=1.0, help="Pitch of the holes in the drill list.")
    ] = PITCH,
    library: LibraryOption = None,
    json: JsonOption = False,
    force: ForceOption = False,
) -> None:
    """Show stroke, holes to drill and gates of every linkage and selector of a file.

    Exit status: 0 pass or marginal, 1 a failing linkage or selector, 2 bad input.
    """
    with complaints():
        found = assess(read_job(file, library=load_library(library or ())))
        if not found.linkages:
            raise CableRouteError(f"{file}: expected a [[linkage]] table, got none")
        if csv is not None:
            write_text(csv, linkage_csv(found), force=force)
    if json:
        data = assessment_dict(found)
        keys = ("schema", "title", "linkages", "selectors")
        say_json({key: data[key] for key in keys})
    else:
        for mood, line in _lines(found, pitch):
            say(line, mood)
    verdicts = {each.verdict for each in found.linkages} | {e.verdict for e in found.selectors}
    raise typer.Exit(1 if "fail" in verdicts else 0)


def _lines(found: Assessment, pitch: float) -> Iterator[tuple[str, str]]:
    for linkage in found.linkages:
        yield from linkage_lines(linkage)
        yield "", ""
        yield from (("", line) for line in stroke_table(linkage.figures))
        yield "", ""
        yield from (("", line) for line in _drill_list(linkage, pitch))
        yield "", ""
    for selector in found.selectors:
        yield from selector_lines(selector)
        yield "", ""
        yield from (("", line) for line in gate_table(selector.figures))
        yield "", ""


def _drill_list(linkage: LinkageAssessment, pitch: float) -> Iterator[str]:
    """Yield the holes that bracket the travel needed, in the far arm or else in the lever."""
    figures = linkage.figures
    drilled = _to_drill(figures)
    if drilled is None:
        yield "Nothing to drill: neither the lever nor the far end has an arm for the cable."
        return
    body, side = drilled
    name = figures.built.chain.bodies[body].name
    try:
        found = _holes(figures, body, side, pitch)
    except GeometryError as error:
        yield from textwrap.wrap(f"No holes to drill in {name}: {error}", WIDTH)
        return
    head = f"Holes to drill in {name} for the {figures.far_needed:.1f} mm needed:"
    yield from textwrap.wrap(head, WIDTH)
    yield from hole_table(found)


def _to_drill(figures: LinkageFigures) -> tuple[int, Side] | None:
    bodies = figures.built.chain.bodies
    if isinstance(bodies[-1].incoming, Arm):
        return -1, "incoming"
    return (0, "outgoing") if isinstance(bodies[0].out, Arm) else None


def _holes(figures: LinkageFigures, body: int, side: Side, pitch: float) -> tuple[Hole, ...]:
    low, high = figures.built.need
    return holes(
        figures.built.chain,
        body=body,
        side=side,
        low=float(figures.hand[0]),
        high=float(figures.hand[-1]),
        swing=high - low,
        pitch=pitch,
    )
