"""Sheets to print at full size and bend a wire against: each bend, and what lies flat as a whole."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from math import ceil

import numpy as np

from cableroute.assess import CableAssessment
from cableroute.errors import CableRouteError
from cableroute.output.exports import bend_rows
from cableroute.output.pictures.style import any_letters, plain
from cableroute.output.telling import Told, silent
from cableroute.output.template.page import PAPER, drawing_area, pages
from cableroute.output.template.shapes import MOST_TILES, Shape, bend_shape, bends_of, run_shape
from cableroute.route.planar import flat_runs
from cableroute.route.schedule import bend_schedule
from cableroute.route.segments import Array

#: More pages than this are a mistake, such as a scan or a bend of many metres.
MOST_PAGES = 200


@dataclass(frozen=True, slots=True)
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
    told: Told = silent,
) -> Sheets:
    """Return sheets with every bend and every flat stretch of the cables at full size.

    Parameters
    ----------
    cables : sequence of CableAssessment
        The cables.
    title : str
        What the machine is.
    unit : str
        Unit of the tape; inches are added for inches and feet.
    tolerance : float
        One reading of the tape is good to plus or minus this [mm].
    paper : str
        A key of :data:`~cableroute.output.template.page.PAPER`.
    told : callable
        Takes a few words as each sheet is begun.

    Returns
    -------
    Sheets
        Cable by cable: its bends one by one, then its bends that lie flat together.

    Raises
    ------
    CableRouteError
        If there is no bend to draw, or if that takes more than :data:`MOST_PAGES` pages.
    """
    from matplotlib.backends.backend_pdf import PdfPages

    size = np.array(PAPER[paper])
    area, inches = drawing_area(size), unit in ("in", "ft")
    _refuse_many(_least_pages(cables, area))
    shapes, left_out = [], []
    for cable in cables:
        shapes += [bend_shape(row, area=area, inches=inches) for row in bend_rows(cable.figures)]
        for words, shape in _flat(cable, tolerance=tolerance, area=area, inches=inches):
            if shape is None or len(shape.tiles) > MOST_TILES:
                left_out.append(words)
            else:
                shapes.append(shape)
    total, number = sum(len(shape.tiles) for shape in shapes), count(1)
    _refuse_many(total)
    file = io.BytesIO()
    with any_letters(), PdfPages(file, metadata={"CreationDate": None}) as book:
        for shape in shapes:
            for figure in pages(shape, size=size, title=title):
                told(f"sheet {next(number)} of {total}")
                book.savefig(figure)
    return Sheets(file.getvalue(), tuple(left_out))


def _flat(
    cable: CableAssessment, *, tolerance: float, area: Array, inches: bool
) -> Iterator[tuple[str, Shape | None]]:
    """Yield the flat stretches, each after what to say if it is too large."""
    rows = bend_rows(cable.figures)
    for run in flat_runs(bend_schedule(cable.figures.route), tolerance=tolerance):
        shape = run_shape(run, rows, area=area, inches=inches)
        count = f"{len(shape.tiles)} sheets" if shape else "far too many sheets"
        yield (
            f"{plain(cable.figures.cable.name)}: {bends_of(run)} lie flat, but would take {count}; "
            f"more than {MOST_TILES} are not printed",
            shape,
        )


def _least_pages(cables: Sequence[CableAssessment], area: Array) -> int:
    """Pages at least, quick to tell for a scan of thousands of points."""
    rows = [row for cable in cables for row in bend_rows(cable.figures)]
    if not rows:
        raise CableRouteError("no sheets to print: no run has a bend")
    return sum(ceil((row["end_mm"] - row["mark_mm"]) / (2.0 * np.hypot(*area))) for row in rows)


def _refuse_many(count: int) -> None:
    if count > MOST_PAGES:
        raise CableRouteError(
            f"the bends at full size take {count} pages or more, and {MOST_PAGES} at most are "
            "printed; choose one --cable, or bend by the schedule"
        )
