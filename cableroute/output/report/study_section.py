"""What a report says of how sure the verdict is, where that was asked for."""

from __future__ import annotations

from collections.abc import Sequence

from cableroute.measure.job import Job
from cableroute.output.pictures.style import plain
from cableroute.output.report.blocks import (
    Block,
    Bullets,
    Column,
    Drawing,
    Paragraph,
    Section,
    Table,
)
from cableroute.output.study_text import (
    LIMITS,
    deciding_words,
    drawn_words,
    per_cent,
    quantity_words,
    stock_words,
)
from cableroute.study.run import Study

_CAPTIONS = {
    "spread": "how figures are spread, their 5, 50 and 95 of 100 dotted, what fails beyond in red",
    "deciders": "what decides them: the share of the variance that stays if all else were known",
}


def study_section(studies: Sequence[Study], job: Job) -> Section:
    """Return how sure the verdict on each cable is."""
    parts = tuple(_cable(each, job) for each in studies)
    return Section("How sure the verdict is", (Paragraph(LIMITS),), parts)


def _cable(study: Study, job: Job) -> Section:
    blocks: list[Block] = [_figures(study), _rules(study)]
    told = [each.text for each in study.advice]
    if stock := stock_words(study):
        told.insert(0, f"Stock {stock}.")
    blocks.append(Bullets((*told, f"Drawn: {drawn_words(study)}.")))
    name = plain(study.name)
    blocks += [Drawing(study, what, job, f"{name}: {words}") for what, words in _CAPTIONS.items()]
    return Section(name, tuple(blocks))


def _figures(study: Study) -> Table:
    columns = (
        Column("Of 100 machines"),
        *(Column(head, numeric=True) for head in ("5 less", "Half", "95 less")),
        Column("Decided by"),
    )
    rows = tuple(
        (
            each.name[:1].upper() + each.name[1:],
            *(quantity_words(study, each, value) for value in (each.p5, each.p50, each.p95)),
            deciding_words(study, each.key),
        )
        for each in study.quantiles
    )
    return Table("", columns, rows)


def _rules(study: Study) -> Table:
    """List what fails in any machine, after the chance that anything does."""
    whole, *rules = study.fails
    shown = (whole, *(rule for rule in rules if rule.chance > 0.0))
    columns = (Column("What may fail"), Column("Chance", numeric=True), Column("95 % interval"))
    rows = tuple(
        (
            rule.words[:1].upper() + rule.words[1:],
            per_cent(rule.chance),
            " to ".join(map(per_cent, rule.interval)),
        )
        for rule in shown
    )
    return Table("", columns, rows)
