"""Which way everything goes, in plain words, and whether the far end goes the way it should."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.arms import Arm
from cableroute.linkage.body import Body
from cableroute.linkage.chain import Chain, Stroke, evaluate
from cableroute.linkage.vectors import check_direction, check_point, dot, norm
from cableroute.measure.tables import WAYS

SEEN_FROM = {
    "forward": "from ahead",
    "aft": "from behind",
    "left": "from the left",
    "right": "from the right",
    "up": "from above",
    "down": "from below",
}

#: A component of at least this share of the largest earns a word of its own [-].
SECOND_WORD = 0.5

#: Cosine from which two directions count as the same sense (within 60 degrees) [-].
ALIKE = 0.5


def way(displacement: ArrayLike) -> str:
    """Say a displacement in words.

    Parameters
    ----------
    displacement : array-like, shape (3,)
        x forward, y left, z up [any].

    Returns
    -------
    str
        "forward", "aft and down", ...; "nowhere" for no displacement.

    Raises
    ------
    GeometryError
        If there are not three finite numbers.

    Examples
    --------
    >>> way([-10, 0, -7])
    'aft and down'
    """
    vector = check_point(displacement, "displacement")
    largest = float(np.max(np.abs(vector)))
    if largest < 1e-9:
        return "nowhere"
    pairs = (("forward", "aft"), ("left", "right"), ("up", "down"))
    words = [
        (abs(part), plus if part > 0 else minus)
        for part, (plus, minus) in zip(vector, pairs, strict=True)
        if abs(part) >= SECOND_WORD * largest
    ]
    return " and ".join(word for _, word in sorted(words, key=lambda pair: -pair[0]))


def turning(axis: ArrayLike, angle: float) -> str:
    """Say a rotation in words, seen from the side the axis mostly points to.

    Parameters
    ----------
    axis : array-like, shape (3,)
        Axis of the rotation [-].
    angle : float
        By the right-hand rule about it [rad].

    Returns
    -------
    str

    Raises
    ------
    GeometryError
        If the axis is no direction.

    Examples
    --------
    >>> turning((0, 0, 1), -0.2)
    'clockwise seen from above'
    """
    unit = check_direction(axis, "axis")
    main = int(np.argmax(np.abs(unit)))
    side = way(np.where(np.arange(3) == main, np.sign(unit), 0.0))
    sense = "nowhere" if angle == 0 else "anticlockwise" if angle > 0 else "clockwise"
    return f"{sense} seen {SEEN_FROM[side]}"


def direction_of(wanted: str | ArrayLike) -> Array:
    """Return the unit vector of a word, of words joined by "and", or of a vector.

    Parameters
    ----------
    wanted : str or array-like, shape (3,)
        "aft", "forward and up", or a vector [any].

    Returns
    -------
    ndarray, shape (3,)
        [-]

    Raises
    ------
    GeometryError
        If a word is not one of the six, or the words or numbers make no direction.

    Examples
    --------
    >>> direction_of("aft").tolist()
    [-1.0, 0.0, 0.0]
    """
    if not isinstance(wanted, str):
        return check_direction(wanted, "wanted sense")
    words = wanted.lower().split(" and ")
    strange = [word for word in words if word.strip() not in WAYS]
    if strange:
        raise GeometryError(f"wanted sense: expected {', '.join(WAYS)}, got {wanted!r}")
    total = np.sum([WAYS[word.strip()] for word in words], axis=0)
    return check_direction(total, f"wanted sense {wanted!r}")


@frozen(eq=False, kw_only=True)
class Direction:
    """Which way every member goes when the hand goes one way.

    Attributes
    ----------
    steps : tuple of str
        "lever forward", "cable pulls", "arm moves aft".
    hand, far : ndarray, shape (3,)
        Displacement of the grip and of the far working point [mm].
    pulls : bool
        Whether the hand pulls the core (else it pushes).
    agreement : float or None
        Cosine between the far displacement and the wanted sense; None if none is stated [-].
    """

    steps: tuple[str, ...]
    hand: Array
    far: Array
    pulls: bool
    agreement: float | None

    @property
    def text(self) -> str:
        """The steps in one line."""
        return " -> ".join(self.steps)

    @property
    def mirrored(self) -> bool:
        """Whether the far end goes against the wanted sense."""
        return self.agreement is not None and self.agreement <= -ALIKE

    @property
    def across(self) -> bool:
        """Whether the far end goes neither with nor against the wanted sense."""
        return self.agreement is not None and abs(self.agreement) < ALIKE


def _moves(body: Body, coordinates: Array, *, working: bool) -> Array:
    """Return the displacement of a body's point between two coordinates."""
    there = body.point(working=working).at(coordinates)
    return np.asarray(there[1] - there[0])


def _step(body: Body, coordinates: Array) -> str:
    """Say which way a body's working point goes, and which way round it turns."""
    point = body.point(working=True)
    words = f"{body.name} moves {way(_moves(body, coordinates, working=True))}"
    if not isinstance(point, Arm):
        return words
    turn = float(coordinates[1] - coordinates[0])
    return f"{words} ({turning(point.axis, turn)})"


def direction(chain: Chain, *, hand: float, wanted: str | ArrayLike | None = None) -> Direction:
    """Say which way everything goes when the hand moves from neutral to one side.

    Parameters
    ----------
    chain : Chain
        The linkage.
    hand : float
        Where the hand goes: coordinate of the hand member, not 0 [rad or mm].
    wanted : str or array-like, shape (3,), optional
        Sense wanted of the far working point: a word ("aft"), words ("aft and up") or a
        vector [any].

    Returns
    -------
    Direction

    Raises
    ------
    GeometryError
        If the hand does not move, the cable does not move, or something cannot close.
    """
    if hand == 0 or not np.isfinite(hand):
        raise GeometryError(f"{chain.name}: expected a hand movement other than 0, got {hand!r}")
    stroke = evaluate(chain, [0.0, hand])
    drawn = float(stroke.cable.pulled[1] - stroke.cable.pulled[0])
    grip = _moves(chain.bodies[0], stroke.hand, working=False)
    far = _moves(chain.bodies[-1], stroke.far, working=True)
    if norm(far) == 0:
        raise GeometryError(
            f"{chain.name}: expected the far member to move, got {drawn:.2f} mm of cable travel, "
            f"none of it beyond the lost motion of {chain.cable.lost:.2f} mm"
        )
    agreement = None if wanted is None else float(dot(far, direction_of(wanted)) / norm(far))
    return Direction(
        steps=_steps(chain, stroke, pulls=drawn > 0, grip=grip),
        hand=grip,
        far=far,
        pulls=drawn > 0,
        agreement=agreement,
    )


def _steps(chain: Chain, stroke: Stroke, *, pulls: bool, grip: Array) -> tuple[str, ...]:
    """Return the words for every member, with the cable's word where the cable is."""
    words = [f"{chain.bodies[0].name} {way(grip)}"]
    words += [
        _step(body, q) for body, q in zip(chain.bodies[1:], stroke.coordinates[1:], strict=True)
    ]
    words.insert(chain.cable_at + 1, "cable pulls" if pulls else "cable pushes")
    return tuple(words)
