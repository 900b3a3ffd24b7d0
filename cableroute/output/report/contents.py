"""The report: one description of everything that was found, for page, paper and plain text."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from cableroute.assess import Assessment, CableAssessment, LinkageAssessment, SelectorAssessment
from cableroute.measure.wording import Words
from cableroute.output.cautions import cautions_for
from cableroute.output.checks.check import PRACTICE
from cableroute.output.pictures.style import plain
from cableroute.output.report.bench import bench_section, sources_section
from cableroute.output.report.blocks import (
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
from cableroute.output.report.cable import cable_section
from cableroute.output.report.linkage import linkage_section, selector_section
from cableroute.output.report.space import scene
from cableroute.output.wording import newtons, span
from cableroute.verdict.figures import Figures


def report(assessment: Assessment, *, source: str, when: date | None = None) -> Report:
    """Return the whole report: the verdict first, then what to buy, where to drill, and why.

    Parameters
    ----------
    assessment : Assessment
        What was found.
    source : str
        Name of the file it was found from.
    when : date, optional
        Day to print.

    Returns
    -------
    Report
        The same for the same assessment and day.
    """
    job = assessment.job
    cautions = cautions_for(job)
    return Report(
        title=job.title or "Control cables",
        verdict=assessment.verdict,
        source=source,
        when=when,
        caution=cautions[0],
        sections=(
            _verdict(assessment),
            _space(assessment),
            _shopping(assessment),
            *(cable_section(cable, job) for cable in assessment.cables),
            *(linkage_section(linkage, job) for linkage in assessment.linkages),
            *(selector_section(selector, job) for selector in assessment.selectors),
            bench_section(assessment),
            sources_section(assessment),
            Section("Cautions", (Bullets(cautions),)),
        ),
    )


# -- the verdict ---------------------------------------------------------------------------------


def _verdict(assessment: Assessment) -> Section:
    columns = tuple(Column(head) for head in ("Verdict", "What", "In short"))
    judged = [
        (each.verdict, f"cable {each.figures.cable.name}", _gist(each.figures), each.findings)
        for each in assessment.cables
    ]
    judged += [
        (each.verdict, f"linkage {each.figures.name}", _grip(each), each.findings)
        for each in assessment.linkages
    ]
    judged += [
        (each.verdict, f"selector {each.figures.entry.name}", _gates(each), each.findings)
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


def _gist(figures: Figures) -> str:
    hand = f"pull {span(*figures.pull.inputs)} for {newtons(figures.pull.load)}"
    if figures.push:
        through = figures.push.through
        hand += f"; push {span(*through.inputs)} for {newtons(through.load)}"
    return f"{figures.cable.kind}; {hand}"


def _grip(linkage: LinkageAssessment) -> str:
    return f"{span(*linkage.figures.hand_forces)} at the grip at most"


def _gates(selector: SelectorAssessment) -> str:
    table = selector.figures.table
    if table is None:
        return "no gate can be reached"
    return f"{sum(row.reached for row in table.rows)} of {len(table.rows)} gates reached"


def _space(assessment: Assessment) -> Section:
    drawings = tuple(
        Drawing(cable, "isometric", assessment.job, f"{name}: from ahead, right and above")
        for cable in assessment.cables
        for name in [plain(cable.figures.cable.name)]
    )
    return Section("The runs in space", (Space(scene(assessment), drawings),))


# -- what to buy ---------------------------------------------------------------------------------


def _shopping(assessment: Assessment) -> Section:
    words = Words(assessment.job.unit)
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
    yield what, str(pair), _length(figures, words), name
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
        yield "Return spring", "1", _spring(cable), name


def _spring(cable: CableAssessment) -> str:
    returning = cable.lasting.returning
    if returning is None:
        return "a pull cable does not push back; its spring is not in the file"
    needed = max(float(returning.warm.required), float(returning.cold.required))
    return f"one that pulls more than {newtons(needed)} everywhere in the stroke, cold too"


def _length(figures: Figures, words: Words) -> str:
    order = figures.order
    slack = f" + {words.length(figures.cable.slack)} slack" if figures.cable.slack else ""
    doubt = f" ± {words.length(order.doubt)} of tape" if order.doubt else ""
    need = f"{words.length(order.need)} {order.measure}{slack}{doubt}"
    pair = " each, the two conduits side by side" * (figures.cable.kind == "pull-pair")
    if order.choice is None:
        return f"{need}; no stock list is known{pair}"
    if order.choice.stock is None or order.choice.slack is None:
        return f"{need}: NO STOCK LENGTH FITS, have one made{pair}"
    left = words.length(order.choice.slack)
    return f"{words.length(order.choice.stock)} stock length, for {need}; leaves {left}{pair}"
