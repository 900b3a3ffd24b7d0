"""What every part of the plain data has in common."""

from __future__ import annotations

from math import isfinite
from typing import Any, TypeAlias

from cableroute.verdict.check import Check

#: What becomes one object of JSON.
JsonObject: TypeAlias = dict[str, Any]


def finding_dict(finding: Check) -> JsonObject:
    """Return a check that has something to say as plain data."""
    value, limit = finding.value, finding.limit
    return {
        "code": finding.code,
        "level": finding.level,
        "where": finding.where,
        "value": number(value),
        "limit": number(limit),
        "margin": None if value is None or limit is None else number(abs(limit - value)),
        "unit": finding.unit,
        "message": finding.message,
    }


def check_dict(check: Check) -> JsonObject:
    """Return a check as plain data: its level follows from value and limits by arithmetic."""
    return {
        "code": check.code,
        "name": check.name,
        "where": check.where,
        "value": number(check.value),
        "unbounded": check.value is not None and not isfinite(check.value),
        "noting": number(check.noting),
        "marginal": number(check.marginal),
        "failing": number(check.failing),
        "at_least": check.at_least,
        "unit": check.unit,
        "margin": number(check.margin),
        "level": check.level,
        "detail": check.detail,
        "formula": check.formula,
        "source": check.source,
    }


def number(value: float | None) -> float | None:
    """Return a number, or None for what JSON has no word for: infinity and nan."""
    return value if value is not None and isfinite(value) else None
