"""What a clip at a bend may have to hold.

A pulled core lies on the inside of a bend and presses the conduit inwards with F/R a millimetre.
The conduit, in compression by the same F, presses outwards with F/R. Together they ask nothing
from outside: an unbroken conduit needs no clip to hold its core's force in a bend, nor can that
force fold it sideways between clips. Two forces remain. Where the conduit is split, stopped or
has given way at the bend, its own share is gone and a clip that stands alone there takes all of
the core's: :func:`turning_force`, an upper bound. And a conduit that is straight by nature wants
out of its bend: :func:`spring_back`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.mechanics.capstan import check_above_zero, check_not_negative
from cableroute.route.pieces import STRAIGHT


def turning_force(force: ArrayLike, *, turn: ArrayLike) -> Array:
    r"""Return the resultant of a core's force around a bend, :math:`2F \sin(\theta/2)`.

    As on a sheave. Beyond a half turn it is :math:`2F`, the most that any part of the bend asks.

    Parameters
    ----------
    force : array-like
        Force in the core, that at the hand side of the bend [N].
    turn : array-like
        Deflection of the bend [rad].

    Returns
    -------
    ndarray
        Upper bound of the force on a clip at the bend [N].

    Raises
    ------
    CableRouteError
        For a force below zero or not a number.

    Notes
    -----
    An upper bound, safe to size a clip by: all of it only where one clip alone takes the turn,
    the conduit being stopped, split or crushed there. With an unbroken conduit it is not there.

    References
    ----------
    .. [1] Abbott Aerospace, AA-SM-017 (755 lb over 85 degrees: 1020 lb).

    Examples
    --------
    >>> float(turning_force(755.0, turn=np.radians(85.0)).round())
    1020.0
    """
    F, theta = (np.asarray(value, dtype=np.float64) for value in (force, turn))
    if not (F >= 0.0).all():
        raise CableRouteError(f"force of the core: expected 0 N or more, got {force!r}")
    # no turn asks nothing even of a core that locks up; past all numbers is no end of force
    with np.errstate(invalid="ignore", over="ignore"):
        bound = 2.0 * F * np.sin(0.5 * np.minimum(theta, np.pi))
    return np.where(theta > STRAIGHT, bound, 0.0)


def spring_back(
    turn: ArrayLike,
    *,
    radius: ArrayLike,
    before: ArrayLike,
    between: ArrayLike,
    after: ArrayLike,
    conduit_stiffness: ArrayLike,
) -> tuple[Array, Array]:
    r"""Return the forces with which a conduit straight by nature springs back out of a bend.

    A moment M in the bend dies away over the spans to the next clips on either side, so the clips
    at both ends of such a span of length a are pressed with

    .. math:: \frac{M}{a}, \qquad
        M = EI \min\left(\frac1R, \frac{\theta}{b + (a_1 + a_2)/3}\right)

    with b between the first and the last clip on the bend. The second is what the turn asks when
    the spans have room to bend too.

    Parameters
    ----------
    turn : array-like
        Deflection of the bend [rad].
    radius : array-like
        Bend radius [mm].
    before : array-like
        From the clip before to the first clip on the bend; 0 if that is an anchor [mm].
    between : array-like
        From the first clip on the bend to the last; 0 if it is one [mm].
    after : array-like
        From the last clip on the bend to the next one; 0 if that last is an anchor [mm].
    conduit_stiffness : array-like
        EI of the conduit, and of a stiff core in it besides [N*mm^2].

    Returns
    -------
    tuple of ndarray
        Force at both ends of the span before, and of the span after: at the bend towards its
        centre, at the next clip away from it; 0 where there is no span [N].

    Raises
    ------
    CableRouteError
        For a length or stiffness that is negative, or a radius that is not above zero.

    Notes
    -----
    Our own derivation, an order of magnitude: an elastic beam of small slopes over clips that hold
    no direction. A conduit wound of wire slips and stays partly bent, which lowers it.

    Examples
    --------
    >>> before, after = spring_back(
    ...     np.pi / 2, radius=150, before=400, between=250, after=200, conduit_stiffness=300e3
    ... )
    >>> float(before.round(1)), float(after.round(1))
    (2.6, 5.2)
    """
    R = check_above_zero(radius, name="bend radius")
    a1 = check_not_negative(before, name="span before")
    a2 = check_not_negative(after, name="span after")
    b = check_not_negative(between, name="span on the bend")
    EI = check_not_negative(conduit_stiffness, name="conduit stiffness")
    theta = np.asarray(turn, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        moment = EI * np.fmin(1.0 / R, theta / (b + (a1 + a2) / 3.0))
        return np.where(a1 > 0.0, moment / a1, 0.0), np.where(a2 > 0.0, moment / a2, 0.0)
