"""What a report says of one cable."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import degrees

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.measure.job import Job
from cableroute.measure.wording import Words
from cableroute.mechanics.clip_places import Clip
from cableroute.output.bend_places import arc_middles
from cableroute.output.check_words import limit_words, margin_words, value_words
from cableroute.output.pictures.style import plain
from cableroute.output.report.bench import bench_section
from cableroute.output.report.blocks import (
    Column,
    Drawing,
    Facts,
    Paragraph,
    Section,
    Table,
    remarks,
)
from cableroute.output.report.sources import formulas_table
from cableroute.output.report.summary import cable_summary
from cableroute.route.pieces import STRAIGHT
from cableroute.table.whole_cable import cable_facts, kind_of
from cableroute.verdict.judge import not_judged

#: A run this near to a point passes through it [mm].
_THROUGH = 0.5
#: A part of a direction below this share of the whole is not said [-].
_SLIGHT = 0.3
#: Outcomes for a reader, where the level has another word.
_OUTCOMES = {"told": "info"}
_CAPTIONS = {
    "plan": "from above",
    "side": "from the right",
    "front": "from ahead",
    "forces": "force along the run, at low and at high friction",
    "radius": "radius of each bend along the run against the least allowed",
    "lost": "where travel is lost, and what arrives",
}


def cable_section(cable: CableAssessment, job: Job) -> Section:
    """Return everything about one cable."""
    words = job.words
    told = tuple(finding for finding in cable.findings if finding.code != "assumed")
    facts = Facts((("kind", kind_of(cable)), *cable_facts(cable, words)))
    parts = (bench_section(cable, job), *cable_details(cable, words), _drawings(cable, job))
    return replace(cable_summary(cable), blocks=(facts, *remarks(told)), parts=parts)


def cable_details(
    cable: CableAssessment, words: Words, *, full: bool = False
) -> tuple[Section, ...]:
    """Return what stands behind a cable's verdict: clips, points, bends, checks.

    In full also points that say no more than the clips, figures without a limit, formulas, sources.
    """
    figures = cable.figures
    points = [] if _all_held(cable) and not full else [_points(figures, words)]
    bends = [_bends(figures, words)] if (figures.route.turns > STRAIGHT).any() else []
    return (_fixings(cable, words), *points, *bends, _checks(cable, words, full=full))


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
            _held_force(clip, words),
            towards(clip.direction),
        )
        for clip in cable.holding.clips
    )
    text = (
        "Distances are along the run drawn tight, from the hand end; x, y, z are on the conduit's "
        "centreline. A clip in a bend holds at most what is said, and only where the conduit is stopped "
        "or split; an unbroken one asks for its spring-back. Add holes and grommets for panels."
    )
    return Section("Clips, anchors and holes", (Table("", columns, rows), Paragraph(text)))


_KINDS = {"anchor": "anchor", "clip": "clip", "suggested": "clip wanted, not in the file"}


def _unit(words: Words) -> str:
    return "feet and inches" if words.inches else "mm"


def _held_force(clip: Clip, words: Words) -> str:
    if clip.force <= 0.0:
        return ""
    if clip.kind == "anchor":
        return f"{words.force(clip.force)} along the run"
    back = "" if clip.spring_back is None else f"; {words.force(clip.spring_back)} of spring-back"
    return f"at most {words.force(clip.force)}{back}"


def towards(direction: Array) -> str:
    """Say which way a direction points, as someone at the machine would."""
    names = (("aft", "forward"), ("right", "left"), ("down", "up"))
    size = float(np.linalg.norm(direction))
    order = np.argsort(-np.abs(direction), kind="stable").tolist()
    told = [names[i][int(direction[i] > 0.0)] for i in order if abs(direction[i]) > _SLIGHT * size]
    return ", ".join(told)


def _all_held(cable: CableAssessment) -> bool:
    """Whether each point is listed among the clips and anchors, and the run passes through it."""
    given, off = cable.figures.cable, cable.figures.route.off
    held = sum(clip.kind != "suggested" for clip in cable.holding.clips)
    return held == len(given.points) and bool((off < _THROUGH).all())


def _points(figures: Figures, words: Words) -> Section:
    """List every point as given, those that coincide too, and how far the run passes from it."""
    heads = ("No.", "Point", "Fixed in the file", "Along the run", f"x, y, z [{_unit(words)}]")
    columns = tuple(
        Column(head, numeric=head == "Along the run") for head in (*heads, "Run passes")
    )
    return Section("Points", (Table("", columns, tuple(_point_rows(figures, words))),))


def _point_rows(figures: Figures, words: Words) -> Iterator[tuple[str, ...]]:
    cable, route = figures.cable, figures.route
    along, off = route.stations, route.off
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
    middles = arc_middles(route)
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


def _checks(cable: CableAssessment, words: Words, *, full: bool) -> Section:
    heads = ("Check", "Found", "Limit", "Left", "Outcome")
    rows = tuple(
        (
            check.name,
            value_words(check, words),
            limit_words(check, words) or "none",
            margin_words(check, words),
            _OUTCOMES.get(check.level, check.level),
        )
        for check in cable.checks
        if check.code != "assumed" and (full or check.level != "told")
    )
    blocks: list[Table | Paragraph] = [Table("", tuple(Column(head) for head in heads), rows)]
    missing = not_judged(cable.figures)
    if missing:
        blocks.append(Paragraph(f"Not judged, for want of data: {', '.join(missing)}."))
    more = (
        "A figure without a limit is told, not judged."
        if full
        else "cableroute check --full lists the figures besides that have no limit."
    )
    left = (
        "What is left is counted to where something has to be said, at high friction; below 0 it "
        f"is past that. {more}"
    )
    formulas = (formulas_table((cable,), told=True),) if full else ()
    return Section("Checks", (*blocks, Paragraph(left), *formulas))


def _drawings(cable: CableAssessment, job: Job) -> Section:
    whats = ["plan", "side", "front", "forces"]
    if (cable.figures.route.turns > STRAIGHT).any():
        whats.append("radius")
    if cable.figures.lost:
        whats.append("lost")
    name = plain(cable.figures.cable.name)
    drawn = tuple(Drawing(cable, what, job, f"{name}: {_CAPTIONS[what]}") for what in whats)
    return Section("Drawings", drawn)
