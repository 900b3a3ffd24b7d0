"""A comparison as plain data, ready for JSON. Keys carry their units."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cableroute.comparison.line_up import Comparison
from cableroute.comparison.options import ROWS, Option
from cableroute.output.as_dict import SCHEMA
from cableroute.output.compare_text import trade_offs
from cableroute.output.pair_dict import pair_dict
from cableroute.output.plain import finding_dict, number
from cableroute.verdict.findings import verdict_of


def comparison_dict(comparisons: Sequence[Comparison], left_out: Sequence[str]) -> dict[str, Any]:
    """Return comparisons as nested dictionaries.

    Parameters
    ----------
    comparisons : sequence of Comparison
        What was compared.
    left_out : sequence of str
        Names of cables that there was nothing to compare with.

    Returns
    -------
    dict
        Numbers, strings, lists and None only; what is infinite is None.
    """
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
        "trade_offs": list(trade_offs(comparison)),
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
            row.key: number(row.value(option))
            for row in ROWS
            if row.key not in ("verdict", "linkage")
        },
        "fits": bool(figures.route.fits),
        "hand_pull_range_n": [number(hand) for hand in figures.pull.inputs],
        "hand_back_range_n": [number(hand) for hand in back.inputs] if back else None,
        "pair": pair_dict(option.pair) if option.pair else None,
        "findings": [finding_dict(finding) for finding in option.findings],
    }
