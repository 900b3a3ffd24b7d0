"""A comparison as plain data, ready for JSON. Keys carry their units."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cableroute.comparison.line_up import Comparison
from cableroute.comparison.options import CRITERIA, RETURN, Option
from cableroute.output.as_dict import SCHEMA
from cableroute.output.compare_text import trade_offs
from cableroute.output.plain import finding_dict, number
from cableroute.table.pair import PAIR
from cableroute.verdict.check import verdict_of


def comparison_dict(comparisons: Sequence[Comparison], left_out: Sequence[str]) -> dict[str, Any]:
    """Return comparisons as nested dictionaries."""
    return {
        "schema": SCHEMA,
        "verdict": verdict_of(comparison.verdict for comparison in comparisons),
        "options": [
            _option(option, comparison.name)
            for comparison in comparisons
            for option in comparison.options
        ],
        # one name may win in one set and lose in another
        "wins": dict(comparisons[0].wins) if len(comparisons) == 1 else None,
        "sets": [_set(comparison) for comparison in comparisons],
        "left_out": list(left_out),
    }


def _set(comparison: Comparison) -> dict[str, Any]:
    return {
        "name": comparison.name,
        "verdict": comparison.verdict,
        "options": [option.name for option in comparison.options],
        "wins": dict(comparison.wins),
        "trade_offs": list(trade_offs(comparison, comparison.options[0].figures.words)),
    }


def _option(option: Option, group: str) -> dict[str, Any]:
    figures, back = option.figures, option.back
    family = figures.cable.family
    return {
        "name": option.name,
        "set": group,
        "file": option.source,
        "cable": figures.cable.name,
        "kind": figures.cable.kind,
        "what_if": option.what_if,
        "verdict": option.verdict,
        "linkage_verdict": option.linkage,
        "family": family.name if family else None,
        "friction": list(figures.friction),
        "conduits": option.conduits,
        **{
            row.key: row.figure.plain(option)
            for row in CRITERIA
            if row.key not in ("verdict", "linkage", RETURN.key)
        },
        RETURN.key: option.returning,
        "return_margin": number(option.return_margin),
        "fits": bool(figures.route.fits),
        "hand_pull_range_n": [number(hand) for hand in figures.pull.inputs],
        "hand_back_range_n": [number(hand) for hand in back.inputs] if back else None,
        "pair": PAIR.plain(option.cable),
        "findings": [finding_dict(finding) for finding in option.findings],
    }
