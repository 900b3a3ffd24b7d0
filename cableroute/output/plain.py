"""What every part of the plain data has in common."""

from __future__ import annotations

from math import isfinite
from typing import Any

from cableroute.verdict.findings import Finding


def finding_dict(finding: Finding) -> dict[str, Any]:
    """Return a finding as plain data.

    Parameters
    ----------
    finding : Finding
        What was found.

    Returns
    -------
    dict
    """
    return {
        "code": finding.code,
        "level": finding.level,
        "where": finding.where,
        "value": number(finding.value),
        "limit": number(finding.limit),
        "margin": number(finding.margin),
        "unit": finding.unit,
        "message": finding.message,
    }


def number(value: float | None) -> float | None:
    """Return a number, or None for what JSON has no word for: infinity and nan.

    Parameters
    ----------
    value : float or None
        The number [any].

    Returns
    -------
    float or None
    """
    return value if value is not None and isfinite(value) else None
