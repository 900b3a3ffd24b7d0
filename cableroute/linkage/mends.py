"""How to mend a mirrored motion: every single change that turns it round, tried on the geometry.

Each of these reverses the far end once, so an odd number of them mends it and an even number does
nothing: cable from the other side at either end, lever end swapped, driving arm of a crank or driven
far arm on the other side of its pivot.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.arms import Arm
from cableroute.linkage.chain import Chain, evaluate
from cableroute.linkage.direction import direction
from cableroute.linkage.ends import Swivel
from cableroute.linkage.joints import Cable, Link
from cableroute.linkage.vectors import dot, norm

Side = Literal["incoming", "outgoing"]


@frozen(eq=False, kw_only=True)
class Mend:
    """One change to a linkage and what it does.

    Attributes
    ----------
    kind : str
        "cable-side-hand", "cable-side-far", "lever-end", "crank-pivot" or "far-arm".
    what : str
        The change in plain words.
    chain : Chain
        The linkage so changed.
    mends : bool
        Whether the far end then goes the wanted way.
    moved : float
        How far the cable's end at the change moves; 0 if the cable stays where it is [mm].
    turned : float
        How far the cable's line at that end turns [rad].
    travel : float
        Travel of the far working point over the hand's range, changed; nan if it cannot close
        [mm].
    travel_before : float
        The same, unchanged [mm].
    fault : str
        Why the changed linkage cannot work; empty if it can.
    """

    kind: str
    what: str
    chain: Chain
    mends: bool
    moved: float
    turned: float
    travel: float
    travel_before: float
    fault: str


def cable_from_other_side(chain: Chain, *, at_hand: bool) -> Chain:
    """Bring the cable to the attachment from the opposite side, at one of its ends.

    ``swivel' = 2 attachment - swivel``, its line turned half round

    Parameters
    ----------
    chain : Chain
        The linkage.
    at_hand : bool
        Which end of the cable.

    Returns
    -------
    Chain

    Raises
    ------
    GeometryError
        If that end winds on a drum, which has no other side to come from.
    """
    cable, at = chain.cable, chain.cable_at
    swivel = cable.hand if at_hand else cable.far
    body = chain.bodies[at] if at_hand else chain.bodies[at + 1]
    point = body.point(working=at_hand).at(0.0)
    if swivel is None:
        raise GeometryError(f"{chain.name}: expected a swivel to move, got a drum on {body.name}")
    other = Swivel(point=2 * point - swivel.point, axis=-swivel.axis)
    changed = replace(cable, hand=other) if at_hand else replace(cable, far=other)
    return _with_joint(chain, at, changed)


def arm_on_other_side(chain: Chain, *, body: int, side: Side) -> Chain:
    """Move one arm to the opposite side of its pivot, the rod that meets it going along.

    ``neutral' = -neutral``; a swivel that serves it moves by twice the radius, a link is remade

    Parameters
    ----------
    chain : Chain
        The linkage.
    body : int
        Which member, 0 for the hand's [-].
    side : str
        "incoming" or "outgoing": which of its arms.

    Returns
    -------
    Chain

    Raises
    ------
    GeometryError
        If that attachment is not an arm.
    """
    member = chain.bodies[body]
    arm = member.incoming if side == "incoming" else member.out
    if not isinstance(arm, Arm):
        raise GeometryError(f"{member.name}: expected an arm to swap, got a {type(arm).__name__}")
    other = replace(arm, neutral=-arm.neutral)
    swapped = (
        replace(member, incoming=other, outgoing=member.out)
        if side == "incoming"
        else replace(member, outgoing=other)
    )
    bodies = (*chain.bodies[:body], swapped, *chain.bodies[body + 1 :])
    at = body if side == "outgoing" else body - 1
    shift = other.at(0.0) - arm.at(0.0)
    return replace(
        chain,
        bodies=bodies,
        joints=(
            *chain.joints[:at],
            _served(chain.joints[at], shift, at_hand=side == "outgoing"),
            *chain.joints[at + 1 :],
        ),
    )


def _served(joint: Link | Cable, shift: Array, *, at_hand: bool) -> Link | Cable:
    """Return the joint with its end moved along with the arm it serves."""
    if isinstance(joint, Link):
        return replace(joint, length=None)
    swivel = joint.hand if at_hand else joint.far
    if swivel is None:
        return joint
    moved = replace(swivel, point=swivel.point + shift)
    return replace(joint, hand=moved) if at_hand else replace(joint, far=moved)


def _with_joint(chain: Chain, at: int, joint: Link | Cable) -> Chain:
    return replace(chain, joints=(*chain.joints[:at], joint, *chain.joints[at + 1 :]))


def _changes(chain: Chain) -> Iterator[tuple[str, str, Chain]]:
    """Yield every change this linkage allows: kind, words, and the linkage so changed."""
    at, last = chain.cable_at, len(chain.bodies) - 1
    for at_hand, swivel, body, kind in (
        (True, chain.cable.hand, chain.bodies[at], "cable-side-hand"),
        (False, chain.cable.far, chain.bodies[at + 1], "cable-side-far"),
    ):
        if swivel is not None:
            words = f"bring the cable to {body.name} from the other side"
            yield kind, words, cable_from_other_side(chain, at_hand=at_hand)
    first = chain.bodies[0]
    if isinstance(first.out, Arm) and first.out is not first.incoming:
        words = f"swap the lever end: cable arm of {first.name} on the other side of its pivot"
        yield "lever-end", words, arm_on_other_side(chain, body=0, side="outgoing")
    for i in range(1, last):
        crank = chain.bodies[i]
        if isinstance(crank.out, Arm):
            words = f"put the driving arm of {crank.name} on the other side of its pivot"
            yield "crank-pivot", words, arm_on_other_side(chain, body=i, side="outgoing")
    far = chain.bodies[last]
    if isinstance(far.incoming, Arm) and far.out is not far.incoming:
        words = f"put the driven arm of {far.name} on the other side of its shaft"
        yield "far-arm", words, arm_on_other_side(chain, body=last, side="incoming")


def far_travel(chain: Chain, *, low: float, high: float) -> float:
    """Return the travel of the far working point, along its path, over a range of the hand.

    Parameters
    ----------
    chain : Chain
        The linkage.
    low, high : float
        The range [rad or mm].

    Returns
    -------
    float
        Above zero whichever way it goes [mm].

    Raises
    ------
    GeometryError
        If something cannot close in the range.
    """
    far = evaluate(chain, [low, high]).far
    return float(abs(far[1] - far[0]) * chain.work_speed)


def mends(
    chain: Chain, *, hand: float, wanted: str | ArrayLike, low: float, high: float
) -> tuple[Mend, ...]:
    """List every single change that reverses the far end, with its effect on route and travel.

    Parameters
    ----------
    chain : Chain
        The linkage, mirrored or not.
    hand : float
        Where the hand goes when the sense is judged [rad or mm].
    wanted : str or array-like, shape (3,)
        Sense wanted of the far working point [any].
    low, high : float
        Range of the hand over which travel is compared [rad or mm].

    Returns
    -------
    tuple of Mend
        Every change the members allow; `mends` says which of them help.

    Raises
    ------
    GeometryError
        If the unchanged linkage cannot close.
    """
    before = far_travel(chain, low=low, high=high)
    return tuple(
        _tried(chain, changed, kind, what, before, hand=hand, wanted=wanted, span=(low, high))
        for kind, what, changed in _changes(chain)
    )


def _tried(
    chain: Chain,
    changed: Chain,
    kind: str,
    what: str,
    before: float,
    *,
    hand: float,
    wanted: str | ArrayLike,
    span: tuple[float, float],
) -> Mend:
    """Try one change on the geometry and report what it does."""
    moved, turned = _cable_shift(chain.cable, changed.cable)
    travel, good, fault = np.nan, False, ""
    try:
        travel = far_travel(changed, low=span[0], high=span[1])
        seen = direction(changed, hand=hand, wanted=wanted)
        good = not (seen.mirrored or seen.across)
    except GeometryError as error:
        fault = str(error)
    return Mend(
        kind=kind,
        what=what,
        chain=changed,
        mends=good,
        moved=moved,
        turned=turned,
        travel=travel,
        travel_before=before,
        fault=fault,
    )


def _cable_shift(before: Cable, after: Cable) -> tuple[float, float]:
    """Return how far a change moves and turns the ends of the cable, the larger of the two."""
    moved, turned = 0.0, 0.0
    for old, new in ((before.hand, after.hand), (before.far, after.far)):
        if old is not None and new is not None:
            moved = max(moved, float(norm(new.point - old.point)))
            turned = max(turned, float(np.arccos(np.clip(dot(new.axis, old.axis), -1, 1))))
    return moved, turned
