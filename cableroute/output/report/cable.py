"""What a report says of one cable."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, isfinite

import numpy as np

from cableroute.assess import CableAssessment
from cableroute.measure.job import Job
from cableroute.measure.wording import Words
from cableroute.mechanics.clip_places import Clip
from cableroute.output.checks.cable import checks, not_judged
from cableroute.output.checks.check import Check
from cableroute.output.pictures.style import plain
from cableroute.output.report.blocks import Column, Drawing, Paragraph, Section, Table, remarks
from cableroute.output.wording import distances, newtons, span
from cableroute.route.pieces import STRAIGHT, Array
from cableroute.verdict.figures import Figures

#: A run this near to a point passes through it [mm].
_THROUGH = 0.5
#: A part of a direction below this share of the whole is not said [-].
_SLIGHT = 0.3
_CAPTIONS = {
    "plan": "from above",
    "side": "from the right",
    "front": "from ahead",
    "forces": "force along the run, at low and at high friction",
    "curvature": "curvature along the run against the most allowed",
    "lost": "where travel is lost, and what arrives",
    "stock": "stock lengths against the need",
}


def cable_section(cable: CableAssessment, job: Job) -> Section:
    """Return everything about one cable.

    Parameters
    ----------
    cable : CableAssessment
        The cable.
    job : Job
        The machine it belongs to.

    Returns
    -------
    Section
        Facts and findings, then points, bends, checks and drawings below it.
    """
    figures, words = cable.figures, Words(job.unit)
    told = tuple(finding for finding in cable.findings if finding.code != "assumed")
    columns = (Column("Figure"), Column("Value"))
    facts = Table("In short", columns, tuple(_facts(cable, words)))
    parts = [_fixings(cable, words), _points(figures, words)]
    if (figures.route.turns > STRAIGHT).any():
        parts.append(_bends(figures, words))
    parts += [_checks(cable, job.unit), _drawings(cable, job)]
    title = f"Cable {figures.cable.name}: {cable.verdict.upper()}"
    return Section(title, (facts, *remarks(told)), tuple(parts))


def _facts(assessed: CableAssessment, words: Words) -> Iterator[tuple[str, str]]:
    figures = assessed.figures
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
    if assessed.pair:
        pair, back = assessed.pair, assessed.pair.ways[1]
        yield "The other way", _hand(back.inputs, back.load)
        taut = f"{newtons(pair.least)} keep both taut"
        yield "Preload", f"{newtons(pair.preload)} in both cores; {taut}"
    returning = assessed.lasting.returning
    if returning:
        weakest, needed = float(returning.warm.available), float(returning.warm.required)
        cold = newtons(float(returning.cold.required))
        brought = f"{newtons(needed)} bring the cable back, {cold} when cold"
        yield "Return spring", f"{newtons(weakest)} where weakest; {brought}"
    if figures.lay and not figures.lay.failure:
        lay = figures.lay
        tight = f", tightest {words.length(lay.min_radius)}" if isfinite(lay.min_radius) else ""
        natural = f"{words.length(lay.length)}, {degrees(lay.wrap):.0f}°{tight}"
        yield "Natural lay", f"{natural}, if held at its points only"


def _hand(inputs: tuple[float, float], load: float) -> str:
    return f"{span(*inputs)} for {newtons(load)} at the far end"


def _fixings(cable: CableAssessment, words: Words) -> Section:
    """Say where to drill or clamp, from the hand end on, and what each place has to hold."""
    heads = ("Along the run", "What", "At", f"x, y, z [{_unit(words)}]", "Holds", "Pressed towards")
    columns = tuple(Column(head, numeric=head == "Along the run") for head in heads)
    rows = tuple(
        (
            words.length(clip.at),
            _KINDS[clip.kind],
            clip.name or "between points",
            words.place(clip.point),
            _held_force(clip),
            towards(clip.direction),
        )
        for clip in cable.holding.clips
    )
    text = (
        "Each of these is a place to drill or clamp: mark it out by its distance along the run, "
        "from the hand end; x, y, z are on the conduit's centreline. A clip in a bend holds at "
        "most what is said, and that only if the conduit is stopped or split there; an unbroken "
        "one asks for its spring-back. Holes and grommets for panels that the run passes through "
        "are not in the file: add one wherever it does."
    )
    return Section("Clips, anchors and holes", (Table("", columns, rows), Paragraph(text)))


_KINDS = {"anchor": "anchor", "clip": "clip", "suggested": "clip wanted, not in the file"}


def _unit(words: Words) -> str:
    return "feet and inches" if words.inches else "mm"


def _held_force(clip: Clip) -> str:
    if clip.force <= 0.0:
        return ""
    if clip.kind == "anchor":
        return f"{newtons(clip.force)} along the run"
    back = "" if clip.spring_back is None else f"; {newtons(clip.spring_back)} of spring-back"
    return f"at most {newtons(clip.force)}{back}"


def towards(direction: Array) -> str:
    """Say which way a direction points, as someone at the machine would.

    Parameters
    ----------
    direction : ndarray, shape (3,)
        A vector, x forward, y left, z up [-].

    Returns
    -------
    str
        One to three words, the greatest part first; empty for no direction.
    """
    names = (("aft", "forward"), ("right", "left"), ("down", "up"))
    size = float(np.linalg.norm(direction))
    order = np.argsort(-np.abs(direction), kind="stable").tolist()
    told = [names[i][int(direction[i] > 0.0)] for i in order if abs(direction[i]) > _SLIGHT * size]
    return ", ".join(told)


def _points(figures: Figures, words: Words) -> Section:
    """List every point as given, those that coincide too, and how far the run passes from it."""
    heads = ("No.", "Point", "Fixed in the file", "Along the run", f"x, y, z [{_unit(words)}]")
    columns = tuple(
        Column(head, numeric=head == "Along the run") for head in (*heads, "Run passes")
    )
    return Section("Points", (Table("", columns, tuple(_point_rows(figures, words))),))


def _point_rows(figures: Figures, words: Words) -> Iterator[tuple[str, ...]]:
    cable, route = figures.cable, figures.route
    along = distances(figures)
    off = np.linalg.norm(route.point(along) - route.points, axis=1)
    for i in range(len(cable.points)):
        vertex = int(np.searchsorted(route.kept, i, side="right")) - 1
        fix = cable.fixes[i] if i < len(cable.fixes) else None
        through = off[vertex] < _THROUGH
        yield (
            str(i + 1),
            cable.point_name(i),
            fix or "no",
            words.length(float(along[vertex])),
            words.place(route.points[vertex]),
            "through it" if through else f"{words.length(float(off[vertex]))} inside",
        )


def _bends(figures: Figures, words: Words) -> Section:
    route = figures.route
    middles = distances(figures)[1:-1]
    half, fitting = 0.5 * route.arc_lengths, route.corner_fits
    heads = ("At", "Turn", "Radius", "Least wanted", "From", "To")
    columns = tuple(Column(head, numeric=head != "At") for head in heads)
    rows = tuple(
        (
            figures.corner_name(i),
            f"{degrees(float(route.turns[i])):.0f}°",
            words.length(float(route.radii[i])) + ("" if fitting[i] else " TOO TIGHT"),
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


def _drawings(cable: CableAssessment, job: Job) -> Section:
    whats = ["plan", "side", "front", "forces"]
    if (cable.figures.route.turns > STRAIGHT).any():
        whats.append("curvature")
    if cable.figures.lost:
        whats.append("lost")
    if cable.figures.order.choice:
        whats.append("stock")
    name = plain(cable.figures.cable.name)
    drawn = tuple(Drawing(cable, what, job, f"{name}: {_CAPTIONS[what]}") for what in whats)
    return Section("Drawings", drawn)
