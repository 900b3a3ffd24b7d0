"""Sheets to print at full size and bend a wire against: each bend, and what lies flat as a whole."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, count
from math import ceil
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment, LinkageAssessment
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.output.exports import bend_rows
from cableroute.output.paper import PAPER
from cableroute.output.pictures.style import any_letters, plain
from cableroute.output.telling import Announce, silent
from cableroute.output.template.bends_page import bends_page
from cableroute.output.template.cells import Cell, bend_cell, dial_cell, on_pages
from cableroute.output.template.holes import arm_shapes, sleeve_patterns, sleeve_shape
from cableroute.output.template.page import drawing_area, pages
from cableroute.output.template.shapes import MOST_TILES, Shape, bend_shape, bends_of, run_shape
from cableroute.route.planar import FlatRun, flat_runs
from cableroute.route.schedule import bend_schedule

#: More pages than this are a mistake, such as a scan or a bend of many metres.
MOST_PAGES = 100


@frozen
class Sheets:
    """What is printed.

    Parameters
    ----------
    pdf : bytes
        A PDF file.
    left_out : tuple of str
        Flat stretches that are too large to print, one sentence each.
    """

    pdf: bytes
    left_out: tuple[str, ...]


def template_sheets(
    cables: Sequence[CableAssessment],
    *,
    title: str,
    unit: str,
    tolerance: float,
    paper: str = "a4",
    linkages: Sequence[LinkageAssessment] = (),
    announce: Announce = silent,
) -> Sheets:
    """Return sheets at full size: flat stretches first, then every bend, holes, levers and arms."""
    from matplotlib.backends.backend_pdf import PdfPages

    size = np.array(PAPER[paper])
    area, inches = drawing_area(size), unit in ("in", "ft")
    schedules = [bend_schedule(cable.figures.route) for cable in cables]
    every = [bend_rows(cable.figures, each) for cable, each in zip(cables, schedules, strict=True)]
    patterns = _patterns(cables, linkages, area)
    rows_of_all = [row for rows in every for row in rows]
    if rows_of_all or not patterns:
        _refuse_many(_least_pages(rows_of_all, area))
    left_out, flats, singles = [], [], []
    for cable, schedule, rows in zip(cables, schedules, every, strict=True):
        runs = flat_runs(schedule, tolerance=tolerance)
        for words, shape in _flat(cable, runs, rows, area=area, inches=inches):
            if shape is None or len(shape.tiles) > MOST_TILES:
                left_out.append(words)
            else:
                flats.append(shape)
        singles.append(_singly(rows, area=area, inches=inches))
    shapes = [*flats, *(each for _, large in singles for each in large), *patterns]
    together = [page for cells, _ in singles for page in on_pages(cells, area=area)]
    total, number = sum(len(shape.tiles) for shape in shapes) + len(together), count(1)
    _refuse_many(total)
    file = io.BytesIO()
    with any_letters(), PdfPages(file, metadata={"CreationDate": None}) as book:
        figures = chain(
            *(pages(shape, size=size, title=title) for shape in flats),
            (bends_page(cells, size=size, title=title) for cells in together),
            *(pages(shape, size=size, title=title) for shape in shapes[len(flats) :]),
        )
        for figure in figures:
            announce(f"sheet {next(number)} of {total}")
            book.savefig(figure)
    return Sheets(file.getvalue(), tuple(left_out))


def _singly(
    rows: Sequence[Mapping[str, Any]], *, area: Array, inches: bool
) -> tuple[list[Cell], list[Shape]]:
    """Return bends that share pages, and those too large for one, of which the dials do."""
    cells, large = [], []
    for row in rows:
        cell = bend_cell(row, area=area, inches=inches)
        if cell is None:
            large.append(bend_shape(row, area=area, inches=inches))
        if cell is not None or row["bend"] > 1:
            cells.append(cell or dial_cell(row, inches=inches))
    return cells, large


def _patterns(
    cables: Sequence[CableAssessment], linkages: Sequence[LinkageAssessment], area: Array
) -> list[Shape]:
    """Return the hole patterns of anchors, levers and arms."""
    shapes = [
        sleeve_shape(name, rows, area=area)
        for cable in cables
        for name, rows in sleeve_patterns(cable)
    ]
    names = {cable.figures.cable.name for cable in cables}
    for linkage in linkages:
        if linkage.figures.built.entry.cable in names:
            shapes += arm_shapes(linkage, area=area)
    return shapes


def _flat(
    cable: CableAssessment,
    runs: Iterable[FlatRun],
    rows: Sequence[Mapping[str, Any]],
    *,
    area: Array,
    inches: bool,
) -> Iterator[tuple[str, Shape | None]]:
    """Yield the flat stretches, each after what to say if it is too large."""
    for run in runs:
        shape = run_shape(run, rows, area=area, inches=inches)
        count = f"{len(shape.tiles)} sheets" if shape else "far too many sheets"
        yield (
            f"{plain(cable.figures.cable.name)}: {bends_of(run)} lie flat, but would take {count}; "
            f"more than {MOST_TILES} are not printed",
            shape,
        )


def _least_pages(rows: Sequence[Mapping[str, Any]], area: Array) -> int:
    """Pages at least, quick to tell for a scan of thousands of points."""
    if not rows:
        raise CableRouteError("no sheets to print: no run has a bend")
    return sum(ceil((row["end_mm"] - row["mark_mm"]) / (2.0 * np.hypot(*area))) for row in rows)


def _refuse_many(count: int) -> None:
    if count > MOST_PAGES:
        raise CableRouteError(
            f"the bends at full size take {count} pages or more, and {MOST_PAGES} at most are "
            "printed; choose one --cable, or bend by the schedule"
        )
