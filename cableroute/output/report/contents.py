"""The report: one description of everything that was found, for page, paper and plain text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from cableroute.assess import (
    Assessment,
    CableAssessment,
    LinkageAssessment,
    SelectorAssessment,
)
from cableroute.figures.cable import Figures
from cableroute.figures.transmission import Transmission
from cableroute.measure.wording import Words
from cableroute.output.cautions import cautions_for
from cableroute.output.pictures.scene import MOST_ROUND
from cableroute.output.pictures.style import plain
from cableroute.output.report.blocks import (
    Block,
    Bullets,
    Column,
    Drawing,
    Paragraph,
    Remarks,
    Report,
    Section,
    Space,
    Table,
    remarks,
)
from cableroute.output.report.cable_section import cable_section
from cableroute.output.report.linkage_section import linkage_section, selector_section
from cableroute.output.report.sources import formulas_section, sources_section
from cableroute.table.forces import LOAD
from cableroute.table.linkage import gates_told, grip_told
from cableroute.table.run import order_told
from cableroute.table.travel import spring_wanted
from cableroute.verdict.check import LEVELS, PRACTICE
from cableroute.verdict.returning import springs_wanted

if TYPE_CHECKING:
    from cableroute.measure.job import Job
    from cableroute.study.run import Study


#: Drawings in a report, of runs of so many points: of many cables, linkages and selectors the gravest
#: have theirs, as each of the drawings takes some tenth of a second; so many solids take as much again.
MOST_DRAWN, OF_POINTS, OF_SOLIDS = 50, 20, 15
_NOT_DRAWN = (
    "Of the many there are, the gravest are drawn here. A report of one cable alone "
    "(cableroute report --cable NAME) has its drawings."
)
#: Rows in a table of a report: more nobody reads, and a browser has trouble with.
MOST_ROWS = 100
_Judged = CableAssessment | LinkageAssessment | SelectorAssessment


def report(
    assessment: Assessment,
    *,
    source: str,
    when: date | None = None,
    studies: Sequence[Study] = (),
) -> Report:
    """Return the whole report: the verdict first, then what to buy, where to drill, and why.

    Studies of its cables, if any, tell how sure it is.
    """
    job = assessment.job
    cautions = cautions_for(job)
    sections = list(_sections(assessment))
    drawn = _drawn(sections, job)
    return Report(
        title=job.title or "Control cables",
        verdict=assessment.verdict,
        source=source,
        when=when,
        caution=cautions[0],
        sections=(
            _verdict(assessment),
            _shopping(assessment),
            _space(assessment, drawn),
            *(
                _shortened(section if any(each is one for one in drawn) else _undrawn(section))
                for each, section in sections
            ),
            *_how_sure(studies, job),
            sources_section(assessment),
            formulas_section(assessment),
            Section("Cautions", (Bullets(cautions),)),
        ),
    )


def _sections(assessment: Assessment) -> Iterator[tuple[_Judged, Section]]:
    """Yield each cable, linkage and selector with its section."""
    job = assessment.job
    yield from ((each, cable_section(each, job)) for each in assessment.cables)
    yield from ((each, linkage_section(each, job)) for each in assessment.linkages)
    yield from ((each, selector_section(each, job)) for each in assessment.selectors)


def _drawn(sections: Sequence[tuple[_Judged, Section]], job: Job) -> list[_Judged]:
    """Return those that have their drawings, the gravest first and one at least."""
    order = sorted(sections, key=lambda each: LEVELS.index(each[0].verdict))
    solids = min(len(job.keepouts), MOST_ROUND)
    so_far = np.cumsum([_drawings(section) * _weight(judged, solids) for judged, section in order])
    return [judged for judged, _ in order[: max(int((so_far <= MOST_DRAWN).sum()), 1)]]


def _weight(judged: _Judged, solids: int) -> float:
    """Return how much more work drawings of it are than of what machines mostly have [-]."""
    if not isinstance(judged, CableAssessment):
        return 1.0
    return max(len(judged.figures.route.points) / OF_POINTS, 1.0) + solids / OF_SOLIDS


def _drawings(section: Section) -> int:
    own = sum(isinstance(block, Drawing) for block in section.blocks)
    return own + sum(map(_drawings, section.parts))


def _undrawn(section: Section) -> Section:
    """Say where drawings would stand how to have them."""
    blocks = tuple(block for block in section.blocks if not isinstance(block, Drawing))
    told = (Paragraph(_NOT_DRAWN),) if len(blocks) < len(section.blocks) else ()
    return replace(section, blocks=(*blocks, *told), parts=tuple(map(_undrawn, section.parts)))


def _shortened(section: Section) -> Section:
    """Cut tables that are too long, and say where all of it is told."""
    blocks = tuple(part for block in section.blocks for part in _short(block))
    return replace(section, blocks=blocks, parts=tuple(map(_shortened, section.parts)))


def _short(block: Block) -> Iterator[Block]:
    rows = block.rows if isinstance(block, Table) else ()
    if not isinstance(block, Table) or len(rows) <= MOST_ROWS:
        yield block
        return
    yield replace(block, rows=rows[:MOST_ROWS])
    yield Paragraph(
        f"The first {MOST_ROWS} of {len(rows)} rows; cableroute check --full tells them all."
    )


def _how_sure(studies: Sequence[Study], job: Job) -> Iterator[Section]:
    if studies:
        from cableroute.output.report.study_section import study_section

        yield study_section(studies, job)


# -- the verdict ---------------------------------------------------------------------------------


def _verdict(assessment: Assessment) -> Section:
    columns = tuple(Column(head) for head in ("Verdict", "What", "In short"))
    judged = [
        (
            each.verdict,
            f"cable {each.figures.cable.name}",
            _gist(each.figures, assessment.job.words),
            each.findings,
        )
        for each in assessment.cables
    ]
    judged += [
        (each.verdict, f"linkage {each.figures.name}", grip_told(each.figures), each.findings)
        for each in assessment.linkages
    ]
    judged += [
        (
            each.verdict,
            f"selector {each.figures.entry.name}",
            f"gates: {gates_told(each)}",
            each.findings,
        )
        for each in assessment.selectors
    ]
    rows = tuple((verdict.upper(), what, gist) for verdict, what, gist, _ in judged)
    grave = tuple(
        item
        for _, what, _, findings in judged
        for block in remarks((f for f in findings if f.level != "note"), owner=what)
        for item in block.items
    )
    if grave:
        return Section("Verdict", (Table("", columns, rows), Remarks(grave)))
    calm = Paragraph("Nothing that must be mended was found; notes stand with each cable.")
    return Section("Verdict", (Table("", columns, rows), calm))


def _gist(figures: Figures, words: Words) -> str:
    hand = f"pull {_hand(figures.pull, words)}"
    if figures.push:
        hand += f"; push {_hand(figures.push.through, words)}"
    return f"{figures.cable.kind}; {hand}"


def _hand(through: Transmission, words: Words) -> str:
    return f"{words.forces(*through.inputs)} for {LOAD.told(through, words)}"


def _space(assessment: Assessment, drawn: Sequence[_Judged]) -> Section:
    drawings = tuple(
        Drawing(cable, "isometric", assessment.job, f"{name}: from ahead, right and above")
        for cable in drawn
        if isinstance(cable, CableAssessment)
        for name in [plain(cable.figures.cable.name)]
    )
    return Section("The runs in space", (Space(assessment, drawings),))


# -- what to buy ---------------------------------------------------------------------------------


def _shopping(assessment: Assessment) -> Section:
    words = assessment.job.words
    columns = (Column("Item"), Column("Number", numeric=True), Column("Which"), Column("For"))
    rows = [row for cable in assessment.cables for row in _items(cable, words)]
    for linkage in assessment.linkages:
        threads = [thread for thread in linkage.figures.built.entry.adjusters if thread]
        if threads:
            which = " and ".join(words.length(thread) for thread in threads) + " of thread"
            rows.append(("Adjusters", str(len(threads)), which, linkage.figures.name))
    text = (
        "Order after the bench test, not before. Grommets, one for each panel that a run passes "
        "through, are not counted: the file does not say where panels are."
    )
    return Section("What to buy", (Table("", columns, tuple(rows)), Paragraph(text)))


#: What holds a conduit, by the kind of the place, with a word on it.
_FIXINGS = (
    ("Anchors", "anchor", ", the two ends among them"),
    ("Clips", "clip", ""),
    ("Clips wanted besides", "suggested", ", not in the file yet: see the cable's list"),
)


def _items(cable: CableAssessment, words: Words) -> Iterator[tuple[str, str, str, str]]:
    figures = cable.figures
    name, family = figures.cable.name, figures.cable.family
    pair = 2 if figures.cable.kind == "pull-pair" else 1
    what = f"Cable {family.name}" if family else "Cable, family not chosen"
    side = " each, the two conduits side by side" if pair == 2 else ""
    yield what, str(pair), order_told(cable, words) + side, name
    kinds = [clip.kind for clip in cable.holding.clips]
    outside = (
        f"for a conduit of {words.plain(family.conduit_od)} outside"
        if family
        else "for the conduit"
    )
    for item, kind, more in _FIXINGS:
        if kind in kinds:
            yield item, str(pair * kinds.count(kind)), f"{outside}{more}", name
    if family and family.rod_od:
        rod = f"{words.plain(family.rod_od)}, as a rule part of the cable ({PRACTICE})"
        yield "End rods", "2", rod, name
    fitting = "fork, ball joint or nipple to suit lever and far arm"
    yield "End fittings", str(2 * pair), fitting, name
    if figures.cable.kind == "pull":
        count = springs_wanted(figures.cable.controls)
        item, alone = ("Return springs", ", alone") if count > 1 else ("Return spring", "")
        which = f"{'each ' if count > 1 else ''}{spring_wanted(cable)}{alone}"
        if cable.lasting.returning is None:
            which += "; of what it works nothing is counted, as resists is not given"
        yield item, str(count), which, name
