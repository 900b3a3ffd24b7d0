"""One figure held against its limits: the verdict, every table and every finding are made of these."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from math import isfinite, isnan
from typing import Literal

from cableroute.frozen import frozen

Level = Literal["fail", "marginal", "note", "pass", "told"]
Verdict = Literal["pass", "marginal", "fail"]

#: From grave to light; what is only told has no limit.
LEVELS: tuple[Level, ...] = ("fail", "marginal", "note", "pass", "told")
#: Levels of what has to be said.
FOUND: tuple[Level, ...] = LEVELS[:3]
#: What is told first of what is equally grave, as it hurts without a warning: what may stay pulled.
HURTS = ("return-spring", "return-neglected")
#: What is told before all else, however grave: a wrong unit explains the rest.
EXPLAINS = ("unit-slip", "radius-slip")
#: What a limit is that everyone keeps and nobody wrote down.
PRACTICE = "common practice, no source"
#: What a limit is that stands in the data of the cable.
CABLE_DATA = "limit: the cable's own data"
#: What we derived ourselves.
OWN = "own derivation"


@frozen(kw_only=True)
class Check:
    """One figure, its limits, and what to do where it passes them.

    Parameters
    ----------
    code : str
        Short name, stable from version to version.
    name : str
        What is looked at.
    where : str
        Place on the run, or what part of the cable.
    value : float or None
        What was found; None where it has no number [``unit``].
    unit : str
        Unit of value and limits; empty for a pure number.
    noting, marginal, failing : float or None
        What is beyond the first is worth a word, beyond the second marginal, beyond the third it
        fails; None where there is no such limit [``unit``].
    at_least : bool
        Whether the value should be above its limits, not below.
    formula : str
        How the value is worked out.
    source : str
        Where formula and limits come from.
    detail : str
        What stands beside the value, in words.
    message : str
        What is the matter and what to do about it; empty where nothing is.
    """

    code: str
    name: str
    where: str = "whole run"
    value: float | None = None
    unit: str = ""
    noting: float | None = None
    marginal: float | None = None
    failing: float | None = None
    at_least: bool = False
    formula: str = ""
    source: str = ""
    detail: str = ""
    message: str = ""

    @property
    def level(self) -> Level:
        """How grave it is, by value and limits alone; without limits a message makes a note."""
        limits: tuple[tuple[Level, float | None], ...] = (
            ("fail", self.failing),
            ("marginal", self.marginal),
            ("note", self.noting),
        )
        if self.value is None or all(limit is None for _, limit in limits):
            return "note" if self.message else "told"
        for level, limit in limits:
            if limit is not None and self._beyond(limit):
                return level
        return "pass"

    @property
    def limit(self) -> float | None:
        """The limit that was passed, or else the first that would be [``unit``]."""
        nearest = next(
            (x for x in (self.marginal, self.failing, self.noting) if x is not None), None
        )
        return {"fail": self.failing, "marginal": self.marginal, "note": self.noting}.get(
            self.level, nearest
        )

    @property
    def margin(self) -> float | None:
        """What is left until something has to be said; below 0 where it has to be [``unit``]."""
        limits = [x for x in (self.noting, self.marginal, self.failing) if x is not None]
        if self.value is None or isnan(self.value) or not limits:
            return None
        return min(self.value - x if self.at_least else x - self.value for x in limits)

    def saying(self, message: Callable[[Check], str]) -> Check:
        """Return this check with its message, which is worked out only where something is found."""
        return replace(self, message=message(self)) if self.level in FOUND else self

    def _beyond(self, limit: float) -> bool:
        value = self.value
        return value is not None and (value < limit if self.at_least else value > limit)


def findings_of(checks: Iterable[Check]) -> tuple[Check, ...]:
    """Return the checks that have something to say.

    First is what explains the rest, then comes the gravest, of equals what hurts, then all in order.
    """

    def rank(check: Check) -> tuple[bool, int, bool]:
        explains = check.code in EXPLAINS and check.level != "note"
        return not explains, LEVELS.index(check.level), check.code not in HURTS

    return tuple(sorted((check for check in checks if check.level in FOUND), key=rank))


def verdict_of(levels: Iterable[str]) -> Verdict:
    """Return the verdict that a set of levels (or of verdicts) adds up to."""
    found = set(levels)
    if "fail" in found:
        return "fail"
    return "marginal" if "marginal" in found else "pass"


def finite(value: float) -> float | None:
    """Return a number, or None for what has no bound."""
    return float(value) if isfinite(value) else None
