"""Bending stress in the wires of a core, and the core's own least radius."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError


def bending_stress(wire_diameter: ArrayLike, *, radius: ArrayLike, modulus: ArrayLike) -> Array:
    r"""Return the bending stress at a wire's skin, :math:`\sigma = E d/(2R)`.

    Parameters
    ----------
    wire_diameter : array-like
        Diameter of one wire [mm].
    radius : array-like
        Bend radius to the wire's centreline: on a drum of radius R0 it is R0 + d/2, which gives
        the handbook form E d/(2 R0 + d); infinite for a straight [mm].
    modulus : array-like
        Modulus of elasticity of the wire [MPa].

    Returns
    -------
    ndarray
        Stress at the skin [MPa].

    Raises
    ------
    CableRouteError
        For a radius that is not above zero.

    Notes
    -----
    Elastic, straight when unloaded. The wires of a strand are taken to bend each about its own
    axis. A core lies up to half the clearance off the conduit's centreline, which is left out.

    References
    ----------
    .. [1] Gere, Mechanics of Materials, example 5.2, p. 315.

    Examples
    --------
    >>> float(bending_stress(4.0, radius=502.0, modulus=200e3).round(2))
    796.81
    """
    bend = np.asarray(radius, dtype=np.float64)
    if not (bend > 0.0).all():
        msg = f"bend radius: expected mm above 0, got {radius!r}"
        raise CableRouteError(msg)
    with np.errstate(over="ignore"):
        stress: Array = np.asarray(modulus) * np.asarray(wire_diameter) / (2.0 * bend)
    return stress


def least_radius(wire_diameter: ArrayLike, *, allowable: ArrayLike, modulus: ArrayLike) -> Array:
    r"""Return the radius at which a wire reaches its allowable stress, :math:`E d/(2\sigma)`.

    Parameters
    ----------
    wire_diameter : array-like
        Diameter of one wire [mm].
    allowable : array-like
        Allowable bending stress [MPa].
    modulus : array-like
        Modulus of elasticity of the wire [MPa].

    Returns
    -------
    ndarray
        Least bend radius to the wire's centreline [mm].

    Raises
    ------
    CableRouteError
        For an allowable stress that is not above zero.

    Examples
    --------
    >>> float(least_radius(2.0, allowable=1500.0, modulus=200e3).round(1))
    133.3
    """
    limit = np.asarray(allowable, dtype=np.float64)
    if not (limit > 0.0).all():
        msg = f"allowable stress: expected MPa above 0, got {allowable!r}"
        raise CableRouteError(msg)
    radius: Array = np.asarray(modulus) * np.asarray(wire_diameter) / (2.0 * limit)
    return radius
