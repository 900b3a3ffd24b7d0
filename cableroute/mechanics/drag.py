"""Why a cable feels stiff with nothing on it: a straight core wedged into bends."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.mechanics.capstan import check_friction, check_not_negative
from cableroute.route.pieces import STRAIGHT, Array, Route


def wedging_force(
    radius: ArrayLike, *, bending_stiffness: ArrayLike, clearance: ArrayLike
) -> Array:
    r"""Return the sum of wall forces with which an unloaded core sits in one bend.

    Where straight and arc meet, the core bridges the corner over :math:`\pm a`,
    :math:`a = \sqrt{6Rc}`, and presses on the wall at both ends of the bridge with
    :math:`EI/(2\sqrt6\,R^{1.5}\sqrt c)`. A bend has two such bridges:

    .. math:: \sum |N| = \frac{4}{2\sqrt6}\,\frac{EI}{R^{1.5}\sqrt c}

    Parameters
    ----------
    radius : array-like
        Bend radius [mm].
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
    Our own derivation, an upper estimate: a rigid conduit, an elastic core straight by nature, a
    bend longer than :math:`2a`. A conduit that gives, or a core set to the bend, lowers it.

    Examples
    --------
    >>> float(wedging_force(150.0, bending_stiffness=157080.0, clearance=0.5).round(2))
    98.73
    """
    R, c = np.asarray(radius, dtype=np.float64), np.asarray(clearance, dtype=np.float64)
    EI = check_not_negative(bending_stiffness, name="bending stiffness")
    with np.errstate(divide="ignore"):
        force: Array = 2.0 / np.sqrt(6.0) * EI / (R**1.5 * np.sqrt(c))
    return force


def zero_load_drag(
    route: Route, *, friction: ArrayLike, bending_stiffness: ArrayLike, clearance: ArrayLike
) -> float | Array:
    r"""Return the force that moves an unloaded core, :math:`\mu \sum |N|` over all bends.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    friction : array-like
        Coefficient of friction [-].
    bending_stiffness : array-like
        EI of the core [N*mm^2].
    clearance : array-like
        Diametral clearance, above zero [mm].

    Returns
    -------
    float or ndarray
        Force at the hand, pulling or pushing; an upper estimate (see :func:`wedging_force`) [N].

    Raises
    ------
    CableRouteError
        For a negative friction or stiffness.
    """
    mu = check_friction(friction)
    each = wedging_force(route.radii, bending_stiffness=bending_stiffness, clearance=clearance)
    drag = np.asarray(mu * np.where(route.turns > STRAIGHT, each, 0.0).sum(-1))
    return float(drag) if drag.ndim == 0 else drag
