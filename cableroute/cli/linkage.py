"""``cableroute linkage``: the full tables of linkages and selectors."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Annotated

import typer

from cableroute.assess import Assessment, assess
from cableroute.cli.console import (
    ForceOption,
    JsonOption,
    LibraryOption,
    complaints,
    say,
    say_json,
)
from cableroute.errors import CableRouteError
from cableroute.figures.drill_list import PITCH, DrillList, drill_list
from cableroute.hardware.library import load_library
from cableroute.measure.reading import read_job
from cableroute.measure.wording import Words
from cableroute.output.as_dict import assessment_dict
from cableroute.output.columns import WIDTH
from cableroute.output.files import write_text
from cableroute.output.linkage_csv import linkage_csv
from cableroute.output.linkage_dict import drill_dict
from cableroute.output.linkage_text import gate_table, hole_table, stroke_table
from cableroute.output.report.as_text import section_lines
from cableroute.output.report.summary import linkage_summary, selector_summary


def linkage_command(
    file: Annotated[Path, typer.Argument(help="A route file (.toml) with [[linkage]] tables.")],
    csv: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE", help="Write the tables as CSV too.")
    ] = None,
    pitch: Annotated[
        float, typer.Option(metavar="MM", min=1.0, help="Pitch of the holes in the drill list.")
    ] = PITCH,
    ratio: Annotated[
        float | None,
        typer.Option(
            metavar="R",
            min=1e-3,
            help="Drill for this travel of the far end per travel of the grip.",
        ),
    ] = None,
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
        drilled = [
            drill_list(linkage.figures, pitch=pitch, ratio=ratio) for linkage in found.linkages
        ]
        if csv is not None:
            inputs = [file, *(library or ())]
            write_text(csv, linkage_csv(found, drilled), force=force, inputs=inputs)
    if json:
        data = assessment_dict(found)
        for linkage, plate in zip(data["linkages"], drilled, strict=True):
            linkage["holes"] = drill_dict(plate)
        keys = ("schema", "title", "linkages", "selectors")
        say_json({key: data[key] for key in keys})
    else:
        for mood, line in _lines(found, drilled):
            say(line, mood)
    verdicts = {each.verdict for each in found.linkages} | {e.verdict for e in found.selectors}
    raise typer.Exit(1 if "fail" in verdicts else 0)


def _lines(found: Assessment, drilled: Sequence[DrillList]) -> Iterator[tuple[str, str]]:
    for linkage, plate in zip(found.linkages, drilled, strict=True):
        yield from section_lines(linkage_summary(linkage))
        yield "", ""
        yield from (("", line) for line in stroke_table(linkage.figures))
        yield "", ""
        yield from (("", line) for line in _drill_lines(plate, linkage.figures.words))
        yield "", ""
    for selector in found.selectors:
        yield from section_lines(selector_summary(selector))
        yield "", ""
        yield from (("", line) for line in gate_table(selector.figures))
        yield "", ""


def _drill_lines(drilled: DrillList, words: Words) -> Iterator[str]:
    """Yield the holes, or why there are none."""
    if drilled.fault:
        where = f" in {drilled.member}" if drilled.member else ""
        yield from textwrap.wrap(f"No holes to drill{where}: {drilled.fault}", WIDTH)
        return
    head = f"Holes to drill in {drilled.member} for {words.fine(drilled.travel)} at the far end:"
    yield from textwrap.wrap(head, WIDTH)
    yield from hole_table(drilled.holes, words)
