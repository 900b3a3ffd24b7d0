"""The sheet for the bench: one page a cable, what to cut, mark, drill, set and read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from cableroute.assess import Assessment, CableAssessment, LinkageAssessment
from cableroute.figures.clips_and_anchors import Anchor
from cableroute.linkage.ends import RodEnd
from cableroute.measure.readings import COLUMNS
from cableroute.measure.wording import Words
from cableroute.output.blank_readings import reading_rows
from cableroute.output.cautions import CAUTIONS
from cableroute.output.report.bench import scale_table
from cableroute.output.report.blocks import Block, Column, Paragraph, Report, Section, Table
from cableroute.output.report.marks import marks_table
from cableroute.table.linkage import adjusters_told
from cableroute.table.run import order_told
from cableroute.verdict.check import PRACTICE, Check, verdict_of

#: Room to write a reading in.
BLANK = "________"


def bench_sheets(assessment: Assessment, *, source: str, when: date | None = None) -> Report:
    """Return a sheet for each cable, readable at arm's length."""
    return Report(
        title=assessment.job.title or "Control cables",
        verdict=assessment.verdict,
        source=source,
        when=when,
        caution=CAUTIONS[0],
        sections=tuple(_sheet(cable, assessment) for cable in assessment.cables),
        sheets=True,
    )


def _sheet(cable: CableAssessment, assessment: Assessment) -> Section:
    name = cable.figures.cable.name
    linkages = [each for each in assessment.linkages if each.figures.built.entry.cable == name]
    worked = {each.name for each in linkages}
    selectors = (
        each
        for each in assessment.selectors
        if worked & {each.figures.entry.select, each.figures.entry.shift}
    )
    judged = (cable, *linkages, *selectors)
    blocks: list[Block] = [*_warning(check for each in judged for check in each.findings)]
    columns = (Column("What"), Column("Set or make"))
    blocks.append(Table("", columns, tuple(_settings(cable, linkages, assessment))))
    blocks.append(marks_table(cable, assessment.job))
    blocks.append(scale_table(cable))
    blocks.append(_readings(cable))
    blocks.append(Paragraph(_how()))
    return Section(name, tuple(blocks), verdict=verdict_of(each.verdict for each in judged))


def _warning(findings: Iterable[Check]) -> Iterator[Paragraph]:
    """Say that nothing may be cut by the sheet of a run that fails."""
    failing = dict.fromkeys(check.name for check in findings if check.level == "fail")
    if failing:
        yield Paragraph(
            "DO NOT CUT OR DRILL BY THIS SHEET: the run, or what it works, fails: "
            f"{'; '.join(failing)}. See the report."
        )


# -- what to set -----------------------------------------------------------------------------------


def _settings(
    cable: CableAssessment, linkages: list[LinkageAssessment], assessment: Assessment
) -> Iterator[tuple[str, str]]:
    words = assessment.job.words
    yield _to_get(cable, words)
    for end, anchor in zip(("Hand anchor", "Far anchor"), cable.holding.anchors, strict=True):
        yield end, _anchor(anchor, words)
    for linkage in linkages:
        of = linkage.figures
        setting = adjusters_told(of, words)
        if setting:
            yield "Adjuster at neutral", setting
        yield from _pins(linkage, words)
    if not linkages:
        yield (
            "Adjuster at neutral",
            "not in the file: begin with it half way, so that it goes both ways; "
            f"set at {BLANK} ({PRACTICE})",
        )


def _to_get(cable: CableAssessment, words: Words) -> tuple[str, str]:
    """Say what to cut, or what to buy."""
    order, family = cable.figures.order, cable.figures.cable.family
    told = order_told(cable, words)
    twice = "two of each: " if cable.figures.cable.kind == "pull-pair" else ""
    if order.cut:
        return "Cut", twice + told.removeprefix("cut ")
    return "Buy", f"{twice}{family.name + ': ' if family else ''}{told}"


def _anchor(anchor: Anchor, words: Words) -> str:
    """Say what an anchor carries and what holds it."""
    carries = f"carries {words.force(anchor.load.greatest)} along the run"
    if anchor.band is not None:
        return f"{carries}; {anchor.how} lets go at {words.forces(*anchor.band)}"
    if anchor.screws is not None:
        size, count = anchor.screws
        screws = f"1 set screw {size}" if count == 1 else f"{count} set screws {size}"
        return f"{carries}; the file does not say what holds it; {screws} would do"
    return carries


def _pins(linkage: LinkageAssessment, words: Words) -> Iterator[tuple[str, str]]:
    """Say how far each pin is from its swivel at neutral, and between what its swing may lie."""
    figures = linkage.figures
    chain = figures.built.chain
    allowed = {end.member: end for end in figures.reaches.ends}
    hand, far = chain.bodies[chain.cable_at], chain.bodies[chain.cable_at + 1]
    for body, attachment, at_hand in ((hand, hand.out, True), (far, far.incoming, False)):
        if attachment is None:
            continue
        end = chain.cable.end(attachment, at_hand=at_hand)
        if not isinstance(end, RodEnd):
            continue
        told = f"{words.length(end.neutral_length)} at neutral"
        if body.name in allowed:
            reach = allowed[body.name]
            band = f"{words.length(reach.low)} to {words.length(reach.high)}"
            told += f"; middle of its swing {words.length(reach.middle)}, may lie at {band}"
        yield f"Swivel to pin, {body.name}", told


# -- what to read ----------------------------------------------------------------------------------


def _readings(cable: CableAssessment) -> Table:
    """Return the readings to take, in the very columns that a calibration reads."""
    heads = tuple(Column(name, numeric=name in COLUMNS[:2]) for name in COLUMNS)
    rows = tuple(
        tuple(_cell(name, row[name]) for name in COLUMNS) for row in reading_rows(cable.figures)
    )
    core = ", one core alone" if cable.figures.cable.kind == "pull-pair" else ""
    return Table(f"Readings for cableroute calibrate{core}", heads, rows)


def _cell(name: str, written: str) -> str:
    """Leave room for a reading, before its unit where that is written down."""
    return written if written and name != "hand_n" else f"{BLANK} {written}".rstrip()


def _how() -> str:
    """Say how to read, and where the readings go."""
    return (
        "Hang the load at the far end, draw the core at the hand slowly, in line with the conduit, and "
        "read the scale while it moves. wrap_deg is that of the run drawn tight: laid otherwise, count "
        "every bend and write what you have. The lines above as a file, whose first line is "
        f"{','.join(COLUMNS)}: cableroute report FILE --sheet -o NAME.csv. Filled in: cableroute "
        "calibrate NAME.csv --into FILE."
    )
