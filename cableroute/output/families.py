"""Cable families as text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

from cableroute.hardware.family import Family
from cableroute.output.columns import WIDTH


def table_lines(families: Mapping[str, Family]) -> Iterator[str]:
    """Yield a table of families, one line each."""
    yield f"{'family':20}{'core':>10}{'bend':>6}{'pull':>6}{'push':>6}{'stroke':>7}  {'friction':10}{'stock':>11}"
    yield f"{'':20}{'mm':>10}{'mm':>6}{'N':>6}{'N':>6}{'mm':>7}  {'-':10}{'m':>11}"
    for name, family in families.items():
        core = f"{family.construction} {family.core_od:g}"
        yield (
            f"{name:20}{core:>10}{_whole(family.min_bend_radius):>6}{_whole(family.max_pull):>6}"
            f"{_whole(family.max_push):>6}{_whole(family.stroke):>7}  {_span(family.friction):10}"
            f"{_stock(family):>11}"
        )
    yield ""
    yield "Illustrations of our own, no maker's data; the data of the cable you buy rule."
    yield "The source of each figure: cableroute stock FAMILY"


def family_lines(family: Family) -> Iterator[str]:
    """Yield every figure of a family with its source."""
    head = f"{family.name}: {family.title}" if family.title else family.name
    yield from textwrap.wrap(head, WIDTH, subsequent_indent="  ")
    fields = type(family).model_fields
    for field in fields:
        value = getattr(family, field)
        if field in ("name", "title", "provenance") or value in (None, ()):
            continue
        shown = ", ".join(map(_figure, value)) if isinstance(value, tuple) else _figure(value)
        source = family.provenance.get(field, "")
        text = f"  {field:17} {shown}{_unit(fields[field].description)}"
        yield from textwrap.wrap(text, WIDTH, subsequent_indent=" " * 20)
        if source:
            yield from textwrap.wrap(
                source, WIDTH, initial_indent=" " * 22, subsequent_indent=" " * 22
            )


def _figure(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.10g}"


def _unit(description: str | None) -> str:
    """Return the unit from the end of a field's description, as ``[mm]``."""
    text = (description or "").rstrip(".")
    return f" {text[text.rindex('[') + 1 : -1]}" if text.endswith("]") and "[-]" not in text else ""


def _whole(value: float | None) -> str:
    return f"{value:.0f}" if value else "-"


def _span(value: tuple[float, float] | None) -> str:
    return f"{value[0]:g}-{value[1]:g}" if value else "-"


def _stock(family: Family) -> str:
    lengths = family.stock_lengths
    return f"{lengths[0] / 1000:g}-{lengths[-1] / 1000:g}" if lengths else "-"
