"""A finding: what was looked at, the value, the limit, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Level = Literal["fail", "marginal", "note"]
Verdict = Literal["pass", "marginal", "fail"]

#: From grave to light.
LEVELS: tuple[Level, ...] = ("fail", "marginal", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to know about a cable.

    Parameters
    ----------
    code : str
        Short name of the rule, stable from version to version.
    level : str
        ``fail``, ``marginal``, or ``note`` (which leaves the verdict alone).
    where : str
        Place on the route, or what part of the cable.
    message : str
        What is the matter and what to do about it, in plain words.
    value : float or None
        What was found [``unit``].
    limit : float or None
        What it was held against [``unit``].
    unit : str
        Unit of both; empty for a pure number.
    """

    code: str
    level: Level
    where: str
    message: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""

    @property
    def margin(self) -> float | None:
        """Distance from value to limit, whichever way is safe [``unit``]."""
        if self.value is None or self.limit is None:
            return None
        return abs(self.limit - self.value)


def by_gravity(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings, gravest first, otherwise in the order given.

    Parameters
    ----------
    findings : iterable of Finding
        What was found.

    Returns
    -------
    tuple of Finding
        The same, sorted.
    """
    return tuple(sorted(findings, key=lambda finding: LEVELS.index(finding.level)))


def verdict_of(levels: Iterable[str]) -> Verdict:
    """Return the verdict that a set of levels (or of verdicts) adds up to.

    Parameters
    ----------
    levels : iterable of str
        Levels of findings, or verdicts of cables.

    Returns
    -------
    str
        ``fail`` if one is, else ``marginal`` if one is, else ``pass``.
    """
    found = set(levels)
    if "fail" in found:
        return "fail"
    return "marginal" if "marginal" in found else "pass"
