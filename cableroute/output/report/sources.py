"""Where the figures of a report come from: what was assumed, friction, cable data, formulas."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from cableroute.assess import Assessment, CableAssessment, LinkageAssessment, SelectorAssessment
from cableroute.figures.cable import Figures
from cableroute.hardware.family import Family
from cableroute.output.report.blocks import Block, Bullets, Column, Paragraph, Section, Table
from cableroute.table.forces import friction_told

Judged = CableAssessment | LinkageAssessment | SelectorAssessment
_NAMES = {"weight_n_per_m": "weight", "stock_lengths_ft": "stock lengths in feet"}


def sources_section(assessment: Assessment) -> Section:
    """Return what was assumed, and where each figure of the cables comes from."""
    assumed = [text for each in assessment.cables for text in _assumed(each.figures)]
    if assessment.job.tape_tolerance:
        tolerance = assessment.job.words.plain(assessment.job.tape_tolerance)
        assumed.append(f"Each tape reading is taken to be good to ± {tolerance}.")
    assumed += [_friction(each.figures) for each in assessment.cables]
    blocks: list[Block] = [Bullets(tuple(assumed))]
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


def _friction(figures: Figures) -> str:
    family = figures.cable.family
    origin = "assumed; see above"
    if figures.cable.friction is not None:
        origin = "as given for this cable"
    elif family and family.friction is not None:
        origin = f"{family.name}, {_origin(family, 'friction')}"
    return f"Friction of {figures.cable.name}: {friction_told(figures)} ({origin})."


def _family(family: Family) -> Table:
    """Return every figure that is known of a family, those from one source together."""
    title = f": {family.title}" if family.title else ""
    columns = (Column("Figures"), Column("Where they come from"))
    by_origin: dict[str, list[str]] = {}
    for figure, origin in _family_figures(family):
        by_origin.setdefault(origin, []).append(figure)
    rows = tuple(("; ".join(told), origin) for origin, told in by_origin.items())
    return Table(f"Data of {family.name}{title}", columns, rows)


def _family_figures(family: Family) -> Iterator[tuple[str, str]]:
    """Yield every figure that is known, and its source."""
    left_out = ("name", "title", "provenance")
    for name, field in type(family).model_fields.items():
        value = getattr(family, name)
        if name in left_out or value in (None, ()):
            continue
        told = (field.description or "").rpartition("[")[2]
        unit = f" {told.partition(']')[0]}" if told != (field.description or "") else ""
        shown = _value(value) + ("" if unit == " -" else unit)
        yield f"{_NAMES.get(name, name.replace('_', ' '))} {shown}", _origin(family, name)


def _origin(family: Family, name: str) -> str:
    own = "as given, no source stated" if name in family.model_fields_set else "our default"
    return family.provenance.get(name, own)


def _value(value: Any) -> str:
    if isinstance(value, tuple):
        joint = " to " if len(value) == 2 else ", "
        return joint.join(_value(each) for each in value)
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def formulas_section(assessment: Assessment) -> Section:
    """Return formulas and sources, once for all that is judged."""
    judged: tuple[Judged, ...] = (
        *assessment.cables,
        *assessment.linkages,
        *assessment.selectors,
    )
    return Section("Formulas and sources", (formulas_table(judged),))


def formulas_table(judged: Iterable[Judged], *, told: bool = False) -> Table:
    """Return the formula and the source of every check, those that share both in one row."""
    named: dict[str, dict[str, None]] = {}
    for check in (check for each in judged for check in each.checks):
        if check.formula and check.code != "assumed" and (told or check.level != "told"):
            row = f"{check.formula} ({check.source})"
            named.setdefault(row, {})[check.name] = None
    columns = (Column("Check"), Column("Formula, and where it comes from"))
    rows = tuple(("; ".join(names), formula) for formula, names in named.items())
    return Table("Formulas and sources" if told else "", columns, rows)
