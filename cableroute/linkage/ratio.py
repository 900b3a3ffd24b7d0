"""Which radius gives the travel wanted, and the holes to drill so that one plate will do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.arms import Arm
from cableroute.linkage.chain import Chain, Stroke, walk
from cableroute.linkage.mends import Side
from cableroute.linkage.search import nearest_change
from cableroute.linkage.vectors import check_positive, check_span


def with_radius(chain: Chain, *, body: int, side: Side, radius: float) -> Chain:
    """Move the rod to another hole of an arm; the swivels stay, the rod is made to fit at neutral.

    Parameters
    ----------
    chain : Chain
        The linkage.
    body : int
        Which member, 0 for the hand's, -1 for the far one [-].
    side : str
        "incoming" or "outgoing": which of its arms.
    radius : float
        Pivot to the hole [mm].

    Returns
    -------
    Chain

    Raises
    ------
    GeometryError
        If that attachment is not an arm, or the radius is not above 0.
    """
    at = body % len(chain.bodies)
    member = chain.bodies[at]
    drilled = replace(_arm(chain, at, side), radius=radius)
    changed = (
        replace(member, incoming=drilled, outgoing=member.out)
        if side == "incoming"
        else replace(member, outgoing=drilled)
    )
    return replace(chain, bodies=(*chain.bodies[:at], changed, *chain.bodies[at + 1 :]))


def _arm(chain: Chain, body: int, side: Side) -> Arm:
    """Return the arm to be drilled."""
    member = chain.bodies[body]
    arm = member.incoming if side == "incoming" else member.out
    if not isinstance(arm, Arm):
        raise GeometryError(f"{member.name}: expected an arm to drill, got a {type(arm).__name__}")
    return arm


def far_swing(chain: Chain, *, low: float, high: float) -> float:
    """Return how far the far member goes over a range of the hand, infinite if it cannot follow.

    Parameters
    ----------
    chain : Chain
        The linkage.
    low, high : float
        Range of the hand [rad or mm].

    Returns
    -------
    float
        Without sign [rad or mm].
    """
    far = walk(chain, [low, high]).far
    return float(np.inf if np.any(np.isnan(far)) else abs(far[1] - far[0]))


def radius_for(
    chain: Chain, *, body: int, side: Side, low: float, high: float, swing: float
) -> float:
    """Find the radius of one arm at which the far member goes as far as wanted.

    Parameters
    ----------
    chain : Chain
        The linkage.
    body : int
        Which member, 0 for the hand's, -1 for the far one [-].
    side : str
        "incoming" or "outgoing": which of its arms.
    low, high : float
        Range of the hand [rad or mm].
    swing : float
        Wanted motion of the far member over it, without sign, lost motion taken off [rad or mm].

    Returns
    -------
    float
        The one nearest to the present radius [mm].

    Raises
    ------
    GeometryError
        If no radius from a quarter to four times the present one does it.

    Notes
    -----
    A linkage that cannot follow counts as too much swing: the cause is always an arm too short
    for the travel it gets.
    """
    check_span(low, high, f"{chain.name} hand range")
    check_positive(swing, "wanted swing")
    present = _arm(chain, body, side).radius

    def enough(radius: float) -> bool:
        drilled = with_radius(chain, body=body, side=side, radius=radius)
        return far_swing(drilled, low=low, high=high) >= swing

    found = nearest_change(enough, present=present)
    if found is None:
        much = "more" if enough(present) else "less"
        raise GeometryError(
            f"{chain.name}: expected a radius between {present / 4:.1f} and {present * 4:.1f} mm "
            f"that gives a swing of {swing:.4g}, got {much} with all of them"
        )
    drilled = with_radius(chain, body=body, side=side, radius=found)
    if np.isinf(far_swing(drilled, low=low, high=high)):
        raise GeometryError(
            f"{chain.name}: expected a radius that gives a swing of {swing:.4g}, got a lock before "
            f"it has gone that far, at a radius of {found:.1f} mm"
        )
    return found


@frozen(kw_only=True)
class Hole:
    """One hole of the drill list and what it gives.

    Attributes
    ----------
    radius : float
        Pivot to hole [mm].
    swing : float
        How far the far member goes over the hand's range; nan if it cannot follow [rad or mm].
    travel : float
        The same along the path of the far working point [mm].
    cable : float
        Core travel over the range, at the hand [mm].
    ratio : float
        Path of the far working point per path of the grip, over the whole range [-].
    force : float
        Most force at the grip, without friction, for a load of 1 N at the far working point [N/N].
    rod_angle : float
        Largest angle of either cable rod to its swivel's axis in the range [rad].
    """

    radius: float
    swing: float
    travel: float
    cable: float
    ratio: float
    force: float
    rod_angle: float


def holes(
    chain: Chain,
    *,
    body: int,
    side: Side,
    low: float,
    high: float,
    swing: float,
    pitch: float,
    each_way: int = 2,
    rounding: float = 1.0,
) -> tuple[Hole, ...]:
    """List holes in one arm that bracket the wanted swing, smallest radius first.

    Parameters
    ----------
    chain : Chain
        The linkage.
    body : int
        Which member, 0 for the hand's, -1 for the far one [-].
    side : str
        "incoming" or "outgoing": which of its arms.
    low, high : float
        Range of the hand [rad or mm].
    swing : float
        Wanted motion of the far member, without sign [rad or mm].
    pitch : float
        Centre to centre along the arm [mm].
    each_way : int, default 2
        Holes on either side of the one nearest the wanted swing [-].
    rounding : float, default 1
        Radii are rounded to a multiple of this [mm].

    Returns
    -------
    tuple of Hole

    Raises
    ------
    GeometryError
        If no radius gives the swing, or pitch, count or rounding is not above 0.

    Notes
    -----
    The trade is exact in the mean: whatever multiplies the travel multiplies the force.
    """
    check_positive(pitch, "hole pitch")
    check_positive(rounding, "rounding")
    check_positive(each_way, "holes each way")
    exact = radius_for(chain, body=body, side=side, low=low, high=high, swing=swing)
    middle = round(exact / rounding) * rounding
    radii = [middle + k * pitch for k in range(-each_way, each_way + 1)]
    places = np.linspace(low, high, 61)
    return tuple(
        _hole(walk(changed, places), changed, radius)
        for radius in radii
        if radius > 0
        for changed in [with_radius(chain, body=body, side=side, radius=radius)]
    )


def _hole(stroke: Stroke, chain: Chain, radius: float) -> Hole:
    """Sum up the stroke that one hole gives."""
    swing = float(abs(stroke.far[-1] - stroke.far[0])) if not np.isnan(stroke.far).any() else np.nan
    travel = swing * chain.work_speed
    grip = float(stroke.hand[-1] - stroke.hand[0]) * chain.grip_speed
    angles = np.stack([stroke.cable.hand_angle, stroke.cable.far_angle])
    return Hole(
        radius=radius,
        swing=swing,
        travel=travel,
        cable=float(np.ptp(stroke.cable.pulled)),
        ratio=travel / grip,
        force=float(np.max(np.abs(stroke.gain)) * chain.work_speed / chain.grip_speed),
        rod_angle=float(np.max(angles)),
    )
