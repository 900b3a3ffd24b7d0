"""Families ranked on one run, as text and as plain data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cableroute.comparison.families import FamilyOnRun
from cableroute.measure.wording import Words
from cableroute.output.as_dict import SCHEMA
from cableroute.output.cautions import CAUTIONS
from cableroute.output.columns import wrapped
from cableroute.output.plain import JsonObject, number
from cableroute.table.run import order_told

#: Said below the table.
OTHERS = (
    "Each family is judged with its own least radius, friction and stiffness; what the file says of "
    "these is of the cable in it, which alone is judged by it."
)
_NONE = "NO"


def ranking_dict(cable: str, ranked: Sequence[FamilyOnRun]) -> JsonObject:
    """Return families on a run as nested dictionaries, the best first."""
    best = ranked[0].verdict if ranked else None
    return {
        "schema": SCHEMA,
        "verdict": best or "fail",
        "cable": cable,
        "families": [family_dict(each) for each in ranked],
        "note": OTHERS,
    }


def family_dict(one: FamilyOnRun) -> JsonObject:
    """Return one family on a run: verdict, forces, what to buy, and what keeps it from passing."""
    figures = one.cable.figures if one.cable else None
    push = figures.push.through.inputs if figures and figures.push else None
    cut = figures.order.advised if figures and figures.order.cut else None
    return {
        "family": one.family.name,
        "kind": one.family.kind,
        "verdict": one.verdict,
        "stock_mm": one.stock,
        "cut_conduit_mm": cut,
        "hand_n": number(figures.pull.inputs[1]) if figures else None,
        "hand_range_n": [number(each) for each in figures.pull.inputs] if figures else None,
        "push_range_n": [number(each) for each in push] if push else None,
        "why": list(one.why),
    }


def ranking_lines(
    cable: str, ranked: Sequence[FamilyOnRun], *, words: Words
) -> Iterator[tuple[str, str]]:
    """Yield families on a run line by line, each after the verdict that may colour it."""
    yield "", f"{cable}: {len(ranked)} families on this run, the best first"
    yield "", ""
    yield "", f"{'family':20}{'verdict':10}{'to buy':>10}  {'pull at hand':16}push at hand"
    for each in ranked:
        yield each.verdict or "", _row(each, words)
    yield "", ""
    bought = [each for each in ranked if each.verdict in ("pass", "marginal")]
    for each in bought:
        yield from (("", line) for line in _wrapped(f"{each.family.name}: {_order(each, words)}"))
    for each in ranked:
        if each.verdict != "pass":
            yield from ((each.verdict or "", line) for line in _wrapped(_why(each)))
    yield "", ""
    yield from (("", line) for line in _wrapped(OTHERS))
    for caution in CAUTIONS:
        yield from (("", line) for line in wrapped(f"Caution: {caution}", indent=9))


def _row(one: FamilyOnRun, words: Words) -> str:
    name = f"{one.family.name:20}{(one.verdict or _NONE).upper():10}"
    if one.cable is None:
        return name.rstrip()
    figures = one.cable.figures
    order = figures.order
    bought = order.advised if order.cut else one.stock
    pushed = words.forces(*figures.push.through.inputs) if figures.push else ""
    told = "-" if bought is None else words.length(bought)
    return f"{name}{told:>10}  {words.forces(*figures.pull.inputs):16}{pushed}".rstrip()


def _why(one: FamilyOnRun) -> str:
    """Say the first thing that keeps a family from passing, and how many more there are."""
    more = f" ({len(one.why) - 1} more in the JSON)" if len(one.why) > 1 else ""
    return f"{one.family.name}, {one.verdict or 'cannot be laid'}: {''.join(one.why[:1])}{more}"


def _order(one: FamilyOnRun, words: Words) -> str:
    return "" if one.cable is None else order_told(one.cable, words)


def _wrapped(text: str) -> list[str]:
    return wrapped(text, indent=2)
