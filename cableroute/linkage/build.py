"""From the route file's entries to chains.

The file speaks in the driver's words, so everything signed is turned here into the coordinates of
the members, which grow by the right-hand rule. Selectors are bound of these in `bind`.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.arms import Arm, Member
from cableroute.linkage.body import Body, bellcrank
from cableroute.linkage.chain import Chain
from cableroute.linkage.direction import ALIKE, way
from cableroute.linkage.drum import Drum
from cableroute.linkage.ends import Swivel
from cableroute.linkage.joints import Attachment, Joint, Link
from cableroute.linkage.joints import Cable as Core
from cableroute.linkage.slide import Slide
from cableroute.linkage.vectors import check_direction, dot, norm
from cableroute.measure.job import Cable
from cableroute.measure.linkage_models import (
    AttachmentEntry,
    CrankEntry,
    DrumEntry,
    FarEntry,
    HandEntry,
    LinkageEntry,
    SwivelEntry,
)

#: Points of a cable closer than this are one place, as for reading it [mm].
SAME_PLACE = 1e-6


@frozen(eq=False, kw_only=True)
class Built:
    """A linkage ready to be worked out.

    Attributes
    ----------
    entry : LinkageEntry
        What the file says.
    chain : Chain
        The members and the cable.
    low, high : float
        Range of the hand's angle [rad].
    hand_sense, far_sense : int
        +1 if a growing coordinate goes the wanted way, at the hand and at the far end [-].
    need : tuple of float
        Least and greatest far coordinate needed [rad or mm].
    load : float
        What resists the far member [N*mm or N].
    """

    entry: LinkageEntry
    chain: Chain
    low: float
    high: float
    hand_sense: int
    far_sense: int
    need: tuple[float, float]
    load: float

    @property
    def judged(self) -> float:
        """Where the hand goes when the direction is judged [rad]."""
        return self.high if self.hand_sense > 0 else self.low


def build_linkage(entry: LinkageEntry, *, cable: Cable, lost: float) -> Built:
    """Make the chain of a linkage and turn what it needs into the members' coordinates.

    Parameters
    ----------
    entry : LinkageEntry
        What the file says.
    cable : Cable
        Its cable as measured: its ends are where the swivels are, unless the file says otherwise.
    lost : float
        Whole free play between pulled and pushed, at the core [mm].

    Returns
    -------
    Built

    Raises
    ------
    GeometryError
        If a member is not usable, or cannot go the way that is wanted of it.
    """
    try:
        chain = _chain(entry, cable, lost)
        facing_way = hand_way(entry)
        hand = _sense(chain.bodies[0], facing_way, "hand", working=False)
        far = _sense(chain.bodies[-1], np.array(entry.wanted.far), "far", working=True)
        low, high = _hand_range(entry.hand)
    except GeometryError as error:
        raise GeometryError(f'linkage "{entry.name}": {error}') from error
    if (high if hand > 0 else low) == 0:
        raise GeometryError(
            f'linkage "{entry.name}": expected a range in which {entry.hand.name} goes '
            f"{way(facing_way)} as wanted.hand says, got none on that side of neutral"
        )
    onward, back = _need(entry.far, chain)
    return Built(
        entry=entry,
        chain=chain,
        low=low,
        high=high,
        hand_sense=hand,
        far_sense=far,
        need=(-back, onward) if far > 0 else (-onward, back),
        load=_load(entry.far, chain),
    )


def hand_way(entry: LinkageEntry) -> Array:
    """Return which way the hand is to go, seen by the machine and not by the driver.

    Parameters
    ----------
    entry : LinkageEntry
        What the file says.

    Returns
    -------
    ndarray, shape (3,)
        x forward, y left, z up [-]
    """
    ahead = np.array([*entry.hand.facing[:2], 0.0])
    ahead /= norm(ahead)
    x, y, z = entry.wanted.hand
    return np.array([ahead[0] * x - ahead[1] * y, ahead[1] * x + ahead[0] * y, z])


def _chain(entry: LinkageEntry, cable: Cable, lost: float) -> Chain:
    hand, far = entry.hand, entry.far
    grip = _arm(hand.pivot, hand.axis, hand.handle)
    bodies = [Body(name=hand.name, incoming=grip, outgoing=_cable_end(hand))]
    bodies += [_crank(crank) for crank in entry.crank]
    first = next((each for each in reversed(entry.crank) if each.before_cable), hand)
    last = next((each for each in entry.crank if not each.before_cable), far)
    core = Core(
        name="cable",
        hand=None if hand.drum else _swivel(hand.swivel, cable.points, _held(cable, 0, -1.0)),
        far=_swivel(far.swivel, cable.points[::-1], _held(cable, -1, 1.0)),
        lost=lost,
        let_out=entry.adjusted,
        ends=(f"hand end, at {first.name}", f"far end, at {last.name}"),
    )
    joints: list[Joint] = [_link(crank) for crank in entry.crank if crank.before_cable]
    joints.append(core)
    joints += [_link(crank) for crank in entry.crank if not crank.before_cable]
    return Chain(name=entry.name, bodies=(*bodies, _far_body(far)), joints=tuple(joints))


def _link(crank: CrankEntry) -> Link:
    return Link(name=f"rod of {crank.name}", length=crank.rod)


def _crank(crank: CrankEntry) -> Body:
    return bellcrank(
        name=crank.name,
        pivot=crank.pivot,
        axis=crank.axis,
        neutral=crank.neutral,
        radius_in=crank.radius_in,
        radius_out=crank.radius_out,
        between=float(np.radians(crank.between_deg)),
    )


def _arm(pivot: Sequence[float], axis: Sequence[float], arm: AttachmentEntry) -> Arm:
    pin = check_direction(axis, "arm axis")
    return Arm(
        pivot=np.array(pivot) + arm.offset * pin,
        axis=pin,
        neutral=np.array(arm.direction),
        radius=arm.radius,
    )


def _cable_end(hand: HandEntry) -> Attachment:
    if hand.cable is not None:
        return _arm(hand.pivot, hand.axis, hand.cable)
    assert hand.drum is not None  # the model wants one or the other
    return _drum(hand.drum)


def _drum(drum: DrumEntry) -> Drum:
    angles, radii = np.array(drum.table).T
    return Drum(angles=np.radians(angles), radii=radii, sense=-1 if drum.pays_out else 1)


def _held(cable: Cable, end: int, outward: float) -> Array | None:
    """Return the way out of the conduit at an end held along a heading; None where none is given."""
    heading = cable.headings[end] if cable.headings else None
    return None if heading is None else outward * np.asarray(heading)


def _swivel(entry: SwivelEntry, points: Array, held: Array | None) -> Swivel:
    """Make a swivel as stated, or where the cable begins, along its heading or its first leg."""
    end = points[0]
    apart = (point for point in points if norm(point - end) > SAME_PLACE)
    inside = next(apart, None)
    if inside is None:
        raise GeometryError("expected a cable whose points are in two places at least, got one")
    return Swivel(
        point=np.array(end if entry.at is None else entry.at),
        axis=np.array(
            entry.out if entry.out is not None else end - inside if held is None else held
        ),
    )


def _far_body(far: FarEntry) -> Body:
    member: Member
    work = None
    if far.slide is not None:
        member = Slide(origin=np.array(far.slide.origin), direction=np.array(far.slide.direction))
    else:
        assert far.arm is not None
        arm = far.arm
        member = Arm(
            pivot=np.array(arm.pivot),
            axis=np.array(arm.axis),
            neutral=np.array(arm.neutral),
            radius=arm.radius,
        )
        work = _arm(arm.pivot, arm.axis, arm.work) if arm.work else None
    return Body(name=far.name, incoming=member, outgoing=work)


def _hand_range(hand: HandEntry) -> tuple[float, float]:
    if hand.range_deg is not None:
        low, high = np.radians(hand.range_deg)
    else:
        low, high = np.array(hand.travel) / hand.handle.radius
    return float(low), float(high)


def _sense(body: Body, wanted: Array, which: str, *, working: bool) -> int:
    """Say whether a growing coordinate goes the wanted way, or refuse what goes across it."""
    rate = body.point(working=working).rate(0.0)
    agreement = float(dot(check_direction(rate, body.name), check_direction(wanted, "wanted")))
    if abs(agreement) < ALIKE:
        raise GeometryError(
            f"wanted.{which}: expected a way that {body.name} can go, {way(rate)} or "
            f"{way(-rate)}, got {way(wanted)}"
        )
    return 1 if agreement > 0 else -1


def _need(far: FarEntry, chain: Chain) -> tuple[float, float]:
    """Return the far coordinate needed, the wanted way and back past neutral."""
    if far.angle_deg is not None:
        onward, back = np.radians(far.angle_deg)
    else:
        onward, back = np.array(far.travel) / chain.work_speed
    return float(onward), float(back)


def _load(far: FarEntry, chain: Chain) -> float:
    return far.torque_nmm if far.torque_nmm is not None else (far.load or 0.0) * chain.work_speed
