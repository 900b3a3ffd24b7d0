"""Checks of figures that are extrapolations: formulas used beyond their limits."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, isfinite

from cableroute.figures.cable import Figures
from cableroute.mechanics.validity import extrapolations
from cableroute.verdict.check import OWN, Check

#: Limits that are no pure number.
_UNITS = {"wrap-untested": "deg"}


def validity_checks(figures: Figures) -> Iterator[Check]:
    """Yield the formulas that a cable takes beyond what they were derived or tested for."""
    family, order = figures.cable.family, figures.order
    bowed = figures.shapes.swallowed is None and order.surplus > 0.0  # only then by the formula
    for beyond in extrapolations(
        figures.route,
        load=figures.pull.load,
        push_load=figures.push.through.load if figures.push else None,
        friction=figures.friction[1],
        core=figures.core,
        clearance=family.clearance if family else 0.0,
        strength=family.core_strength if family else None,
        surplus_share=order.surplus / order.conduit if bowed else 0.0,
        stiffness_share=_stiffness_share(figures),
    ):
        unit = _UNITS.get(beyond.code, "")
        shown = degrees if unit == "deg" else float
        yield Check(
            code=f"extrapolation-{beyond.code}",
            name=f"Limit of a formula: {beyond.formula}",
            message=f"An extrapolation: {beyond.message}",
            value=shown(beyond.value),
            noting=shown(beyond.limit),
            at_least=beyond.value < beyond.limit,
            unit=unit,
            formula=beyond.formula,
            source=f"{OWN}; see the formula",
        )


def _stiffness_share(figures: Figures) -> float:
    """Return what stiffness adds to the pull at the hand, over the rest of it [-]."""
    pull = figures.pull
    rest = pull.inputs[1] - pull.stiffness
    return pull.stiffness / rest if rest > 0.0 and isfinite(rest) else 0.0
