"""Why a cable feels stiff with nothing on it: a straight core wedged into bends."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.mechanics.capstan import check_friction, check_not_negative
from cableroute.route.pieces import STRAIGHT, Array, Route


def wedging_force(
    radius: ArrayLike, *, turn: ArrayLike, bending_stiffness: ArrayLike, clearance: ArrayLike
) -> Array:
    r"""Return the sum of wall forces with which an unloaded core sits in one bend.

    Where straight and arc meet, the core bridges the joint over :math:`\pm a`,
    :math:`a = \sqrt{6Rc}`, and presses on the wall at both ends of the bridge with
    :math:`EI/(2\sqrt6\,R^{1.5}\sqrt c)`. A long bend has two such bridges; one shorter than a
    bridge is crossed as a corner of turn :math:`\theta`, touched at three places:

    .. math:: \sum |N| = \min\left(\frac{2}{\sqrt6}\,\frac{EI}{R^{1.5}\sqrt c},
        \frac{EI\,\theta^3}{9c^2}\right)

    Parameters
    ----------
    radius : array-like
        Bend radius [mm].
    turn : array-like
        Deflection of the bend [rad].
    bending_stiffness : array-like
        EI of the core [N*mm^2].
    clearance : array-like
        Diametral clearance, above zero [mm].

    Returns
    -------
    ndarray
        Sum of the wall forces [N].

    Notes
    -----
    Our own derivation, an upper estimate: a rigid conduit and an elastic core straight by nature.
    A conduit that gives, or a core set to the bend, lowers it.

    Examples
    --------
    >>> force = wedging_force(150.0, turn=np.pi, bending_stiffness=157080.0, clearance=0.5)
    >>> float(force.round(2))
    98.73
    """
    R, c = np.asarray(radius, dtype=np.float64), np.asarray(clearance, dtype=np.float64)
    EI = check_not_negative(bending_stiffness, name="bending stiffness")
    with np.errstate(divide="ignore", invalid="ignore"):
        arc = 2.0 / np.sqrt(6.0) * EI / (R**1.5 * np.sqrt(c))
    corner = EI * np.asarray(turn, dtype=np.float64) ** 3 / (9.0 * c**2)
    force: Array = np.minimum(arc, corner)
    return force


def zero_load_drag(
    route: Route, *, friction: float, bending_stiffness: float, clearance: float
) -> float:
    r"""Return the force that moves an unloaded core, :math:`\mu \sum |N|` over all bends.

    Bends with less than a bridge of straight between them are taken as one, so that a sweep
    measured at many points counts as a sweep.

    Parameters
    ----------
    route : Route
        One route.
    friction : float
        Coefficient of friction [-].
    bending_stiffness : float
        EI of the core [N*mm^2].
    clearance : float
        Diametral clearance, above zero [mm].

    Returns
    -------
    float
        Force at the hand, pulling or pushing; an upper estimate (see :func:`wedging_force`) [N].

    Raises
    ------
    CableRouteError
        For a negative friction or stiffness.
    """
    mu = float(check_friction(friction))
    bends = np.flatnonzero(route.turns > STRAIGHT)
    if len(bends) == 0:
        return 0.0
    ends = np.concatenate(([0.0], np.cumsum(route.straights[:-1] + route.arc_lengths)))[1:]
    starts, ends = ends[bends] - route.arc_lengths[bends], ends[bends]
    bridge = 2.0 * np.sqrt(6.0 * route.radii[bends] * clearance)
    apart = starts[1:] - ends[:-1] > np.maximum(bridge[:-1], bridge[1:])
    group = np.concatenate(([0], np.cumsum(apart)))
    first = np.flatnonzero(np.diff(group, prepend=-1))
    last = np.append(first[1:] - 1, len(bends) - 1)
    turns = np.add.reduceat(route.turns[bends], first)
    each = wedging_force(
        (ends[last] - starts[first]) / turns,
        turn=turns,
        bending_stiffness=bending_stiffness,
        clearance=clearance,
    )
    return mu * float(each.sum())
