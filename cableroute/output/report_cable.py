"""What a report says of one cable."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, isfinite

import numpy as np

from cableroute.assess import CableAssessment
from cableroute.output.check import Check
from cableroute.output.report_blocks import (
    Column,
    Drawing,
    Paragraph,
    Section,
    Table,
    Words,
    distances,
    newtons,
    remarks,
    span,
)
from cableroute.output.report_checks import checks, not_judged
from cableroute.output.style import plain
from cableroute.route.pieces import STRAIGHT
from cableroute.verdict.figures import Figures

#: A run this near to a point passes through it [mm].
_THROUGH = 0.5
_CAPTIONS = {
    "plan": "from above",
    "side": "from the right",
    "front": "from ahead",
    "forces": "force along the run, at low and at high friction",
    "curvature": "curvature along the run against the most allowed",
    "stock": "stock lengths against the need",
}


def cable_section(cable: CableAssessment, *, unit: str) -> Section:
    """Return everything about one cable.

    Parameters
    ----------
    cable : CableAssessment
        The cable.
    unit : str
        Unit of the tape.

    Returns
    -------
    Section
        Facts and findings, then points, bends, checks and drawings below it.
    """
    figures, words = cable.figures, Words(unit)
    told = tuple(finding for finding in cable.findings if finding.code != "assumed")
    columns = (Column("Figure"), Column("Value"))
    facts = Table("In short", columns, tuple(_facts(figures, words)))
    parts = [points_section(figures, words)]
    if (figures.route.turns > STRAIGHT).any():
        parts.append(_bends(figures, words))
    parts += [_checks(cable, unit), _drawings(cable, unit)]
    title = f"Cable {figures.cable.name}: {cable.verdict.upper()}"
    return Section(title, (facts, *remarks(told)), tuple(parts))


def _facts(figures: Figures, words: Words) -> Iterator[tuple[str, str]]:
    cable, route, order = figures.cable, figures.route, figures.order
    family = f", {cable.family.name}" if cable.family else ", no cable data given"
    yield "Kind", f"{cable.kind}{family}"
    run = f"{words.length(order.conduit)} between anchors"
    yield "Run", f"{run}, {degrees(float(route.wrap)):.0f}° of bends"
    if figures.survey.moves.any():
        measured = degrees(figures.survey.wrap_as_measured)
        yield "As measured", f"{measured:.0f}° of bends; the rest is taken as noise of the tape"
    low, high = figures.friction
    yield "Friction", f"{low:g}" if low == high else f"{low:g} to {high:g}"
    yield "Pull at the hand", _hand(figures.pull.inputs, figures.pull.load)
    if figures.push:
        yield "Push at the hand", _hand(figures.push.through.inputs, figures.push.through.load)
    if figures.lay and not figures.lay.failure:
        lay = figures.lay
        tight = f", tightest {words.length(lay.min_radius)}" if isfinite(lay.min_radius) else ""
        natural = f"{words.length(lay.length)}, {degrees(lay.wrap):.0f}°{tight}"
        yield "Natural lay", f"{natural}, if held at its points only"


def _hand(inputs: tuple[float, float], load: float) -> str:
    return f"{span(*inputs)} for {newtons(load)} at the far end"


def points_section(figures: Figures, words: Words) -> Section:
    """Return the points from the hand end on, with what holds the cable there.

    Parameters
    ----------
    figures : Figures
        One cable.
    words : Words
        How lengths are written.

    Returns
    -------
    Section
        Every point as given, those that coincide too.
    """
    unit = "feet and inches" if words.unit in ("in", "ft") else "mm"
    heads = ("No.", "Point", "Held by", "Along the run", f"x, y, z [{unit}]", "Run there")
    columns = tuple(Column(head, numeric=head == "Along the run") for head in heads)
    text = (
        "Each anchor and each clip is a place to drill or clamp; mark it out by its distance along "
        "the run, from the hand end. In a bend the run cuts the corner: a clip there sits where "
        "the last column says, x, y, z on the centreline, and not at the point. Holes and grommets "
        "for panels that the run passes through are not in the file: add one wherever it does."
    )
    rows = tuple(_point_rows(figures, words))
    return Section("Points, clips and holes", (Table("", columns, rows), Paragraph(text)))


def _point_rows(figures: Figures, words: Words) -> Iterator[tuple[str, ...]]:
    cable, route = figures.cable, figures.route
    along = distances(figures)
    run = route.point(along)
    for i in range(len(cable.points)):
        vertex = int(np.searchsorted(route.kept, i, side="right")) - 1
        off = float(np.linalg.norm(run[vertex] - route.points[vertex]))
        there = f"{words.place(run[vertex])} ({words.length(off)} inside)"
        yield (
            str(i + 1),
            cable.point_name(i),
            held_by(figures, i),
            words.length(float(along[vertex])),
            words.place(route.points[vertex]),
            "at the point" if off < _THROUGH else there,
        )


def held_by(figures: Figures, point: int) -> str:
    """Say what holds the cable at a point.

    Parameters
    ----------
    figures : Figures
        One cable.
    point : int
        Which of the points as given, the first being 0 [-].

    Returns
    -------
    str
        ``anchor``, ``clip``, ``free``, or ``anchor (end)``: a conduit's ends are always held.
    """
    fixes = figures.cable.fixes
    fix = fixes[point] if point < len(fixes) else None
    if fix != "anchor" and point in (0, len(figures.cable.points) - 1):
        return "anchor (end)"
    return fix or "free"


def _bends(figures: Figures, words: Words) -> Section:
    route = figures.route
    middles = distances(figures)[1:-1]
    half = 0.5 * route.arc_lengths
    heads = ("At", "Turn", "Radius", "Least wanted", "From", "To")
    columns = tuple(Column(head, numeric=head != "At") for head in heads)
    rows = tuple(
        (
            figures.corner_name(i),
            f"{degrees(float(route.turns[i])):.0f}°",
            words.length(float(route.radii[i])) + ("" if route.corner_fits[i] else " TOO TIGHT"),
            words.length(float(route.wanted_radii[i])),
            words.length(float(middles[i] - half[i])),
            words.length(float(middles[i] + half[i])),
        )
        for i in np.flatnonzero(route.turns > STRAIGHT).tolist()
    )
    text = "Begin and end of each bend are distances along the run from the hand end."
    return Section("Bends", (Table("", columns, rows), Paragraph(text)))


def _checks(cable: CableAssessment, unit: str) -> Section:
    heads = ("Check", "Found", "Limit", "Left", "Outcome")
    found = checks(cable, unit=unit)
    rows = tuple((c.name, c.value, c.limit or "none", c.margin, c.outcome) for c in found)
    blocks: list[Table | Paragraph] = [Table("", tuple(Column(head) for head in heads), rows)]
    missing = not_judged(cable.figures)
    if missing:
        blocks.append(Paragraph(f"Not judged, for want of data: {', '.join(missing)}."))
    left = (
        "What is left is counted to where a figure becomes marginal, at high friction; below 0 it "
        "is past that. A figure without a limit is told, not judged."
    )
    return Section("Checks", (*blocks, Paragraph(left), _sources(found)))


def _sources(found: tuple[Check, ...]) -> Table:
    columns = (Column("Check"), Column("Formula"), Column("Source"))
    rows = {(c.name, c.formula, c.source): None for c in found if c.formula}
    return Table("Formulas and sources", columns, tuple(rows))


def _drawings(cable: CableAssessment, unit: str) -> Section:
    whats = ["plan", "side", "front", "forces"]
    if (cable.figures.route.turns > STRAIGHT).any():
        whats.append("curvature")
    if cable.figures.order.choice:
        whats.append("stock")
    name = plain(cable.figures.cable.name)
    drawn = tuple(Drawing(cable, what, unit, f"{name}: {_CAPTIONS[what]}") for what in whats)
    return Section("Drawings", drawn)
