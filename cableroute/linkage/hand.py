"""What one hand can do: published limits, each with its source and how far that was seen.

Status "found" means that the text or its extract was read; "from memory" that the figure is
recalled with its citation and must be looked up before anything rests on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from cableroute.errors import GeometryError
from cableroute.linkage.vectors import check_direction, dot

Effort = Literal["push", "pull", "push-pull", "sideways", "fingers", "four fingers", "grip"]

SIDEWAYS_FROM = float(np.cos(np.radians(45.0)))
"""Below this share of the motion along the way the driver faces it is sideways [-]."""

OPPOSITE_SIDE = 0.75
"""Share of the force left for a lever on the opposite side (MIL-STD-1472E 5.4.3.2.1.6) [-]."""

TWO_HANDS = 2.0
"""Two hands over one, 250-480 mm forward of the seat reference (MIL-STD-1472E 5.4.3.2.1.6) [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandLimit:
    """One published limit.

    Attributes
    ----------
    name : str
        What it limits.
    effort : str
        "push", "pull", "push-pull", "sideways", "fingers", "four fingers" or "grip".
    low, high : float
        The published span; the same number twice where only one is given [N].
    hands : int
        One or two [-].
    source : str
        Where it is published.
    status : str
        "found" or "from memory".
    """

    name: str
    effort: Effort
    low: float
    high: float
    hands: int
    source: str
    status: Literal["found", "from memory"]


_FINGERS = "MIL-STD-1472E 5.4.3.1.8.7"
_CONTROL_ROOM = "a control-room ergonomics text"  # seen at jfjm100.com
_AIRCRAFT = "14 CFR 25.143"
_GRIP = "FAA Human Factors Design Standard, Exhibit 14.5.2.1"

_FOUND: tuple[tuple[str, Effort, float, float, int, str], ...] = (
    ("pull with the fingers", "fingers", 18, 18, 1, _FINGERS),
    ("T-bar, four fingers", "four fingers", 45, 45, 1, _FINGERS),
    ("lever, one hand", "push-pull", 118, 216, 1, _CONTROL_ROOM),
    ("lever, two hands", "push-pull", 236, 432, 2, _CONTROL_ROOM),
    ("lever, one hand", "sideways", 88, 88, 1, _CONTROL_ROOM),
    ("lever, two hands", "sideways", 127, 127, 2, _CONTROL_ROOM),
    ("pitch, one hand, short term", "push-pull", 222, 222, 1, _AIRCRAFT),
    ("pitch, two hands, short term", "push-pull", 334, 334, 2, _AIRCRAFT),
    ("pitch, long term", "push-pull", 44, 44, 1, _AIRCRAFT),
    ("roll, one hand, short term", "sideways", 111, 111, 1, _AIRCRAFT),
    ("roll, two hands, short term", "sideways", 222, 222, 2, _AIRCRAFT),
    ("roll, long term", "sideways", 22, 22, 1, _AIRCRAFT),
    ("hand grip, 5th percentile male, momentary, left to right", "grip", 200, 208, 1, _GRIP),
)

HAND_LIMITS = tuple(
    HandLimit(
        name=name,
        effort=effort,
        low=float(low),
        high=float(high),
        hands=hands,
        source=source,
        status="found",
    )
    for name, effort, low, high, hands, source in _FOUND
)
"""The published limits, one row each."""

ELBOW_DEG = (60.0, 90.0, 120.0, 150.0, 180.0)
ARM_STRENGTH: dict[tuple[str, str], tuple[float, ...]] = {
    ("pull", "left"): (116.0, 142.0, 151.0, 187.0, 222.0),
    ("pull", "right"): (107.0, 165.0, 187.0, 249.0, 231.0),
    ("push", "left"): (98.0, 98.0, 116.0, 133.0, 187.0),
    ("push", "right"): (151.0, 160.0, 160.0, 187.0, 222.0),
}
"""Seated arm strength, 5th percentile male, at those elbows (MIL-STD-1472, from memory) [N]."""


def arm_strength(*, effort: str, hand: str, elbow: float) -> float:
    """Return the seated one-hand push or pull of a 5th percentile male, linear between the rows.

    Parameters
    ----------
    effort : str
        "push" or "pull".
    hand : str
        "left" or "right".
    elbow : float
        Angle inside the elbow, pi with the arm straight; held to the table's ends [rad].

    Returns
    -------
    float
        [N]

    Raises
    ------
    GeometryError
        If there is no such row, or the angle is not between 0 and pi.

    Notes
    -----
    Greatest strength, not an operating limit: many drivers are weaker, and the figures are from
    memory.

    References
    ----------
    MIL-STD-1472, arm, hand and thumb-finger strength, 5th percentile male (from memory).

    Examples
    --------
    >>> arm_strength(effort="pull", hand="right", elbow=np.pi)
    231.0
    """
    row = ARM_STRENGTH.get((effort, hand))
    if row is None:
        raise GeometryError(
            f"arm strength: expected push or pull, left or right, got {effort!r}, {hand!r}"
        )
    if not 0 <= elbow <= np.pi:
        raise GeometryError(f"elbow angle: expected 0 to pi rad, got {elbow!r}")
    return float(np.interp(np.degrees(elbow), ELBOW_DEG, row))


def effort_of(displacement: ArrayLike, *, facing: ArrayLike = (1.0, 0.0, 0.0)) -> Effort:
    """Tell a push from a pull and from a sideways (or up and down) effort.

    Parameters
    ----------
    displacement : array-like, shape (3,)
        Of the grip, x forward, y left, z up [mm].
    facing : array-like, shape (3,), default forward
        Where the driver looks [-].

    Returns
    -------
    str
        "push" away from the driver, "pull" towards, "sideways" across.

    Raises
    ------
    GeometryError
        If the displacement or the facing is no direction.

    Notes
    -----
    Up and down count as sideways, for which the lower limits stand.

    Examples
    --------
    >>> effort_of((-30, 0, 5)), effort_of((-30, 0, 5), facing=(-1, 0, 0))
    ('pull', 'push')
    """
    way = check_direction(displacement, "grip displacement")
    share = float(dot(way, check_direction(facing, "facing")))
    if abs(share) < SIDEWAYS_FROM:
        return "sideways"
    return "push" if share > 0 else "pull"


def hand_limits(effort: Effort, *, hands: int = 1) -> tuple[HandLimit, ...]:
    """Return the published limits that speak to an effort, least first.

    Parameters
    ----------
    effort : str
        As in `HandLimit`; "push" and "pull" find the "push-pull" rows too.
    hands : int, default 1
        One or two [-].

    Returns
    -------
    tuple of HandLimit
        Empty if nothing published was found for it.

    Examples
    --------
    >>> [limit.low for limit in hand_limits("pull")]
    [44.0, 118.0, 222.0]
    """
    kinds = {effort, "push-pull"} if effort in ("push", "pull") else {effort}
    rows = [limit for limit in HAND_LIMITS if limit.effort in kinds and limit.hands == hands]
    return tuple(sorted(rows, key=lambda limit: limit.low))
