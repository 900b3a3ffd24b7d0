"""A check in words: value, limits, what is left; alike on the terminal and in every report."""

from __future__ import annotations

from math import isfinite
from typing import Protocol

from cableroute.measure.wording import Words
from cableroute.verdict.check import Check

#: Checks whose value is a share, told in per cent.
_SHARES = ("efficiency-low", "ageing", "fatigue", "condition-")
#: Checks whose length is told to a tenth, as the short table tells it; others below this [mm].
_PLAYS, _FINE = ("lost-motion", "linkage-"), 20.0


class Held(Protocol):
    """What is held against a limit: a check, or what a sweep keeps of one."""

    @property
    def code(self) -> str:
        """Short name of the check."""

    @property
    def unit(self) -> str:
        """Unit of its numbers."""


def value_words(check: Check, words: Words) -> str:
    """Write what was found, with what stands beside it."""
    told = "" if check.value is None else quantity(check, check.value, words)
    if not told:
        return check.detail or "no number"
    return f"{told} {check.detail}".strip() if check.detail[:3] == "for" else _beside(told, check)


def _beside(told: str, check: Check) -> str:
    return f"{told}; {check.detail}" if check.detail else told


def limit_words(check: Check, words: Words) -> str:
    """Write the limits; nothing where there are none."""
    first = check.marginal if check.marginal is not None else check.noting
    way = "at least" if check.at_least else "at most"
    if first is None:
        return "" if check.failing is None else f"{way} {quantity(check, check.failing, words)}"
    told = f"{way} {quantity(check, first, words)}"
    if check.failing is None:
        return told
    beyond = "below" if check.at_least else "above"
    return f"{told}; fails {beyond} {quantity(check, check.failing, words)}"


def margin_words(check: Check, words: Words) -> str:
    """Write what is left until something has to be said."""
    if check.margin is None:
        return ""
    return quantity(check, check.margin, words) if isfinite(check.margin) else "none"


def quantity(check: Held, value: float, words: Words) -> str:
    """Write a number in the unit of a check."""
    if not isfinite(value):
        return "without bound"
    if check.code.startswith(_SHARES):
        return f"{100.0 * value:.0f} %"
    if check.unit == "mm":
        fine = check.code.startswith(_PLAYS) or abs(value) < _FINE
        return words.fine(value) if fine else words.length(value)
    if check.unit == "N":
        return words.force(value)
    if check.unit in ("deg", "degC", "MPa"):
        return f"{value:z.0f} {check.unit}"
    return f"{value:z.3g} {check.unit}".strip()
