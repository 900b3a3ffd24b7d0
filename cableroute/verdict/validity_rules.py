"""Rules about figures that are extrapolations: formulas used beyond their limits."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from cableroute.mechanics.validity import extrapolations
from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding

#: Limits that are no pure number.
_UNITS = {"stiff-core": "N", "wrap-untested": "deg"}


def validity_findings(figures: Figures) -> Iterator[Finding]:
    """Yield the formulas that a cable takes beyond what they were derived or tested for.

    Parameters
    ----------
    figures : Figures
        What was worked out.

    Yields
    ------
    Finding
        A note for each, most often none.
    """
    family, order = figures.cable.family, figures.order
    surplus = order.choice.slack if order.choice and order.choice.slack else 0.0
    for beyond in extrapolations(
        figures.route,
        load=figures.pull.load,
        push_load=figures.push.through.load if figures.push else None,
        friction=figures.friction[1],
        core=figures.core,
        clearance=family.clearance if family else 0.0,
        strength=family.core_strength if family else None,
        surplus_share=max(surplus, 0.0) / order.conduit,
    ):
        unit = _UNITS.get(beyond.code, "")
        shown = degrees if unit == "deg" else float
        yield Finding(
            f"extrapolation-{beyond.code}",
            "note",
            "whole run",
            f"An extrapolation: {beyond.message}",
            value=shown(beyond.value),
            limit=shown(beyond.limit),
            unit=unit,
        )
