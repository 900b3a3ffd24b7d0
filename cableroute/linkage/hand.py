"""What one hand can do: published limits, each with its source and how far that was seen.

Status "found" means that the text or its extract was read; "from memory" that the figure is
recalled with its citation and must be looked up before anything rests on it.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from cableroute.frozen import frozen
from cableroute.linkage.vectors import check_direction, dot

Effort = Literal["push", "pull", "push-pull", "sideways", "fingers", "four fingers", "grip"]

#: Below this share of the motion along the way the driver faces it is sideways [-].
SIDEWAYS_FROM = float(np.cos(np.radians(45.0)))


@frozen(kw_only=True)
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
#: As seen at jfjm100.com.
_CONTROL_ROOM = "a control-room ergonomics text"
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

#: The published limits, one row each.
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
