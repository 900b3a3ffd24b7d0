"""The drill list of a linkage: holes in one plate that bracket the travel or the ratio wanted."""

from __future__ import annotations

from cableroute.errors import GeometryError
from cableroute.figures.linkage import LinkageFigures
from cableroute.frozen import frozen
from cableroute.linkage.arms import Arm
from cableroute.linkage.mends import Side
from cableroute.linkage.ratio import Hole, holes

#: Centre to centre of the holes in the drill list [mm].
PITCH = 8.0


@frozen(kw_only=True)
class DrillList:
    """Holes to drill in one member.

    Attributes
    ----------
    member : str
        What the holes go in; "" where neither end has an arm for the cable.
    travel : float
        Path of the far working point that the holes bracket [mm].
    holes : tuple of Hole
        From the pivot outwards; none where no hole gives that travel.
    fault : str
        Why there is none, or nothing.
    """

    member: str
    travel: float
    holes: tuple[Hole, ...] = ()
    fault: str = ""


def drill_list(
    figures: LinkageFigures, *, pitch: float = PITCH, ratio: float | None = None
) -> DrillList:
    """List holes in the far arm, or else in the lever, that bracket what is wanted."""
    chain, (low, high) = figures.built.chain, figures.built.need
    first, last = float(figures.hand[0]), float(figures.hand[-1])
    swing = high - low
    if ratio is not None:
        swing = ratio * (last - first) * chain.grip_speed / chain.work_speed
    travel = swing * chain.work_speed
    drilled = _to_drill(figures)
    if drilled is None:
        fault = "neither the lever nor the far end has an arm for the cable"
        return DrillList(member="", travel=travel, fault=fault)
    body, side = drilled
    name = chain.bodies[body].name
    try:
        found = holes(chain, body=body, side=side, low=first, high=last, swing=swing, pitch=pitch)
    except GeometryError as error:
        return DrillList(member=name, travel=travel, fault=str(error))
    return DrillList(member=name, travel=travel, holes=found)


def _to_drill(figures: LinkageFigures) -> tuple[int, Side] | None:
    bodies = figures.built.chain.bodies
    if isinstance(bodies[-1].incoming, Arm):
        return -1, "incoming"
    return (0, "outgoing") if isinstance(bodies[0].out, Arm) else None
