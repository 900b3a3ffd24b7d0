"""What to try on the bench, and where the figures of a report come from."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite
from typing import Any

from cableroute.assess import Assessment, CableAssessment
from cableroute.hardware.family import Family
from cableroute.measure.wording import Words
from cableroute.output.report.blocks import Block, Bullets, Column, Paragraph, Section, Table
from cableroute.output.wording import newtons, span
from cableroute.verdict.figures import Figures, Transmission

_NAMES = {"weight_n_per_m": "weight", "stock_lengths_ft": "stock lengths in feet"}


def bench_section(assessment: Assessment) -> Section:
    """Return what to measure before a hole is drilled, with the readings to expect.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    Section
        One row for each cable and way, then what to do.
    """
    heads = ("Cable", "Hang at the far end", "Scale at the hand should read", "With no load")
    rows = tuple(row for cable in assessment.cables for row in _readings(cable))
    how = (
        "Lay each cable on a mock-up of its route, hang the load at the far end and draw the core "
        "with a spring scale, slowly, in line with the conduit. Read it while the core moves.",
        "A reading above the range means more friction than was taken: μ = ln(F_hand / F_far) / "
        "wrap, the drag taken off F_hand first, wrap in radians. Put it into the file as friction "
        "and check again; cableroute calibrate --how prints a full bench sheet.",
        "Do it again cold, wet and dirty: the range should cover the worst of them.",
        "Reverse the load and measure what the far end stands still for: that is the lost motion.",
        "Work every control through its whole stroke, with the steering and the suspension at "
        "both ends of theirs: no fitting may meet its stop, no bend may be pulled straight.",
        "Let go: what a spring brings back must come back from everywhere in the stroke.",
        *_heat(assessment),
    )
    columns = tuple(Column(head, numeric=head != "Cable") for head in heads)
    return Section("What to test on the bench", (Table("", columns, rows), Bullets(how)))


def _readings(cable: CableAssessment) -> Iterator[tuple[str, ...]]:
    figures, pair = cable.figures, cable.pair
    name = figures.cable.name
    if pair:
        for word, through in zip(("out", "back"), pair.ways, strict=True):
            tight = f"{name}, {word}, both cores at {newtons(pair.preload)}"
            yield (tight, *_reading(figures, through))
        return
    yield (f"{name}, pulling", *_reading(figures, figures.pull))
    if figures.push:
        yield (f"{name}, pushing", *_reading(figures, figures.push.through))


def _reading(figures: Figures, through: Transmission) -> tuple[str, str, str]:
    """Load, reading and drag; a drag that was measured is in the reading already."""
    hand = span(*through.inputs)
    if figures.drag is None:
        return newtons(through.load), hand, "not known"
    if figures.cable.drag is not None:
        return newtons(through.load), hand, f"about {newtons(figures.drag)}"
    wide = " and the drag more" if figures.drag and isfinite(through.inputs[1]) else ""
    return newtons(through.load), hand + wide, f"at most {newtons(figures.drag)}"


def _heat(assessment: Assessment) -> Iterator[str]:
    for zone in assessment.job.keepouts:
        if zone.temperature is not None:
            yield (
                f"Run {zone.name} hot and measure the air at the conduit: "
                f"{zone.temperature:.0f} °C is its surface."
            )


def sources_section(assessment: Assessment) -> Section:
    """Return what was assumed, and where each figure of the cables comes from.

    Parameters
    ----------
    assessment : Assessment
        What was found.

    Returns
    -------
    Section
        Assumptions and friction of each cable, then the data of each family with provenance.
    """
    assumed = [text for each in assessment.cables for text in _assumed(each.figures)]
    if assessment.job.tape_tolerance:
        tolerance = Words(assessment.job.unit).plain(assessment.job.tape_tolerance)
        assumed.append(f"Each tape reading is taken to be good to ± {tolerance}.")
    rows = tuple(_friction(each.figures) for each in assessment.cables)
    columns = tuple(Column(head) for head in ("Cable", "Friction", "Where it comes from"))
    blocks: list[Block] = [Bullets(tuple(assumed))] if assumed else []
    blocks.append(Table("Friction", columns, rows))
    families = {
        id(each.figures.cable.family): each.figures.cable.family
        for each in assessment.cables
        if each.figures.cable.family
    }
    blocks += [_family(family) for family in families.values()]
    text = (
        'A figure "from memory" has a source that was recalled and not looked up; "common practice, '
        'no source" is what the trade does. For a cable that is bought, the data of its maker rule.'
    )
    return Section("Where the figures come from", (*blocks, Paragraph(text)))


def _assumed(figures: Figures) -> Iterator[str]:
    for text in figures.assumed:
        yield f"{figures.cable.name}: {text}."


def _friction(figures: Figures) -> tuple[str, str, str]:
    low, high = figures.friction
    shown = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    family = figures.cable.family
    if figures.cable.friction is not None:
        return figures.cable.name, shown, "as given for this cable"
    if family and family.friction is not None:
        origin = _origin(family, "friction")
        return figures.cable.name, shown, f"{family.name}: {origin}"
    return figures.cable.name, shown, "assumed; see above"


def _family(family: Family) -> Table:
    title = f": {family.title}" if family.title else ""
    columns = tuple(Column(head) for head in ("Figure", "Value", "Where it comes from"))
    return Table(f"Data of {family.name}{title}", columns, tuple(_family_rows(family)))


def _family_rows(family: Family) -> Iterator[tuple[str, str, str]]:
    """Yield every figure that is known."""
    left_out = ("name", "title", "provenance")
    for name, field in type(family).model_fields.items():
        value = getattr(family, name)
        if name in left_out or value in (None, ()):
            continue
        told = (field.description or "").rpartition("[")[2]
        unit = f" {told.partition(']')[0]}" if told != (field.description or "") else ""
        shown = _value(value) + ("" if unit == " -" else unit)
        yield _NAMES.get(name, name.replace("_", " ")), shown, _origin(family, name)


def _origin(family: Family, name: str) -> str:
    own = "as given, no source stated" if name in family.model_fields_set else "our default"
    return family.provenance.get(name, own)


def _value(value: Any) -> str:
    if isinstance(value, tuple):
        joint = " to " if len(value) == 2 else ", "
        return joint.join(_value(each) for each in value)
    return f"{value:g}" if isinstance(value, int | float) else str(value)
