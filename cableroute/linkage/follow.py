"""Motion passed on by one joint: closing a rigid link, and carrying travel through the cable."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.arms import Member
from cableroute.linkage.drum import Drum
from cableroute.linkage.ends import ROD_AT_LEAST, CableEnd
from cableroute.linkage.joints import Attachment, Cable, Link
from cableroute.linkage.travel import arriving
from cableroute.linkage.vectors import ON_THE_LINE, dot, norm


@frozen(eq=False, kw_only=True)
class JointMotion:
    """How one joint moved, at every position.

    Attributes
    ----------
    name : str
        The joint.
    start, end : ndarray, shape (..., 3)
        Attachment on the driving and on the driven member; nan on a drum [mm].
    start_leverage, end_leverage : ndarray, shape (...)
        Share of each attachment's motion that goes along the rod, signed: 0 at the driver is
        over-centre, 0 at the driven member is a lock; its arc sine is the transmission angle's
        [-].
    start_tilt, end_tilt : ndarray, shape (...)
        Lean of the rod out of each member's plane, for the rod ends [rad].
    gain : ndarray, shape (...)
        Driven coordinate per driving coordinate [rad or mm per rad or mm].
    shortfall : ndarray, shape (...)
        0 where it closes; else the rod is too long (above 0) or too short by this [mm].
    """

    name: str
    start: Array
    end: Array
    start_leverage: Array
    end_leverage: Array
    start_tilt: Array
    end_tilt: Array
    gain: Array
    shortfall: Array


@frozen(eq=False, kw_only=True)
class CableMotion:
    """What the cable did, at every position.

    Attributes
    ----------
    pulled : ndarray, shape (...)
        Core drawn out of the conduit at the hand since neutral [mm].
    arrived : ndarray, shape (...)
        Core drawn into the conduit at the far end, the free play taken up [mm].
    pulled_rate : ndarray, shape (...)
        Core drawn per unit of the driving coordinate [mm/rad or mm/mm].
    driven_rate : ndarray, shape (...)
        Driven coordinate per mm arriving [rad/mm or mm/mm].
    hand_angle, far_angle : ndarray, shape (...)
        Rod to the cable's line at the two swivels [rad].
    """

    pulled: Array
    arrived: Array
    pulled_rate: Array
    driven_rate: Array
    hand_angle: Array
    far_angle: Array


def _member(link: Link, attachment: Attachment) -> Member:
    """Return the arm or slide a link is pinned to; a drum has no pin."""
    if isinstance(attachment, Drum):
        raise GeometryError(f"{link.name}: expected an arm or a slide at both ends, got a drum")
    return attachment


def link_length(link: Link, start: Attachment, end: Attachment) -> float:
    """Return the length of a link, measured at neutral if it has none of its own.

    Parameters
    ----------
    link : Link
        The link.
    start, end : Arm or Slide
        The members it joins.

    Returns
    -------
    float
        [mm]

    Raises
    ------
    GeometryError
        If a member is a drum, or the two attachments coincide.
    """
    if link.length is not None:
        return link.length
    length = float(norm(_member(link, end).at(0.0) - _member(link, start).at(0.0)))
    if length < ROD_AT_LEAST:
        raise GeometryError(f"{link.name}: expected its ends apart at neutral, got {length:.3g} mm")
    return length


def _side(link: Link, start: Member, end: Member) -> float:
    """Return the branch the driven member is on when both are laid out at neutral."""
    rod = end.at(0.0) - start.at(0.0)
    leverage = float(dot(rod, end.rate(0.0)) / (norm(rod) * end.speed))
    if abs(leverage) < ON_THE_LINE:
        raise GeometryError(
            f"{link.name}: expected the rod across the driven member at neutral, got it in line "
            "(a dead centre), where it cannot choose which way to move it"
        )
    return float(np.sign(leverage))


def follow_link(
    link: Link, start: Attachment, end: Attachment, coordinate: Array
) -> tuple[Array, JointMotion]:
    """Close a link: where the driven member stands for every position of the driving one.

    ``dq2/dq1 = (n . dP/dq1) / (n . dQ/dq2)``, n along the rod

    Parameters
    ----------
    link : Link
        The link.
    start, end : Arm or Slide
        The driving and the driven member.
    coordinate : ndarray, shape (...)
        Of the driving member [rad or mm].

    Returns
    -------
    driven : ndarray, shape (...)
        Coordinate of the driven member, nan where the link cannot close [rad or mm].
    motion : JointMotion
        How the rod moved.

    Raises
    ------
    GeometryError
        If the driven member is at a dead centre at neutral, or a member is a drum.

    Examples
    --------
    >>> from cableroute.linkage.slide import Slide
    >>> a = Slide(origin=(0, 0, 0), direction=(1, 0, 0))
    >>> b = Slide(origin=(50, 0, 0), direction=(1, 0, 0))
    >>> float(follow_link(Link(name="rod"), a, b, np.array(7.0))[0])
    7.0
    """
    driver, driven = _member(link, start), _member(link, end)
    length = link_length(link, driver, driven)
    tail = driver.at(coordinate)
    reach = driven.solve(tail, length, _side(link, driver, driven))
    tip = driven.at(reach.coordinate)
    rod = (tip - tail) / length
    along_start = dot(rod, driver.rate(coordinate))
    along_end = dot(rod, driven.rate(reach.coordinate))
    motion = JointMotion(
        name=link.name,
        start=tail,
        end=tip,
        start_leverage=along_start / driver.speed,
        end_leverage=along_end / driven.speed,
        start_tilt=driver.tilt(rod),
        end_tilt=driven.tilt(rod),
        gain=_ratio(along_start, along_end),
        shortfall=reach.shortfall,
    )
    return reach.coordinate, motion


def follow_cable(
    cable: Cable, start: Attachment, end: Attachment, coordinate: Array
) -> tuple[Array, JointMotion, CableMotion]:
    """Carry motion through the cable: what the hand draws arrives, less the play, at the far end.

    Parameters
    ----------
    cable : Cable
        The cable.
    start, end : Arm, Slide or Drum
        The member at its hand end and the one at its far end.
    coordinate : ndarray, shape (...)
        Of the member at the hand end [rad or mm].

    Returns
    -------
    driven : ndarray, shape (...)
        Coordinate of the driven member, nan where it cannot follow [rad or mm].
    motion : JointMotion
        How the two rods moved.
    cable_motion : CableMotion
        What the core did.

    Raises
    ------
    GeometryError
        If a swivel is missing, a rod has no length, or the driven rod is in line at neutral.

    Notes
    -----
    Rates are those with the play taken up; while it is being taken up nothing arrives.
    """
    hand, far = cable.end(start, at_hand=True), cable.end(end, at_hand=False)
    pulled = hand.pulled(coordinate)
    arrived = arriving(pulled, lost=cable.lost) + cable.let_out
    reach = far.solve(-arrived)
    pulled_rate, far_gain = hand.gain(coordinate), far.gain(reach.coordinate)
    driven_rate = _ratio(np.full_like(far_gain, -1.0), far_gain)
    motion = JointMotion(
        name=cable.name,
        start=_attached_at(start, coordinate),
        end=_attached_at(end, reach.coordinate),
        start_leverage=hand.leverage(coordinate),
        end_leverage=far.leverage(reach.coordinate),
        start_tilt=_tilt(hand, coordinate),
        end_tilt=_tilt(far, reach.coordinate),
        gain=pulled_rate * driven_rate,
        shortfall=reach.shortfall,
    )
    cable_motion = CableMotion(
        pulled=pulled,
        arrived=arrived,
        pulled_rate=pulled_rate,
        driven_rate=driven_rate,
        hand_angle=hand.rod_angle(coordinate),
        far_angle=far.rod_angle(reach.coordinate),
    )
    return reach.coordinate, motion, cable_motion


def _ratio(over: Array, under: Array) -> Array:
    """Divide, giving an infinite rate (not a warning) where the driven member stands in line."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(over / under)


def _attached_at(attachment: Attachment, coordinate: Array) -> Array:
    """Return the attachment point, nan where the core winds on a drum."""
    if isinstance(attachment, Drum):
        return np.full((*np.shape(coordinate), 3), np.nan)
    return attachment.at(coordinate)


def _tilt(end: CableEnd, coordinate: Array) -> Array:
    """Return the lean of a cable's rod out of its member's plane, none on a drum."""
    if isinstance(end, Drum):
        return np.zeros(np.shape(coordinate))
    rod = end.member.at(coordinate) - end.swivel.point
    return end.member.tilt(rod / norm(rod)[..., None])
