"""Friction of a core around bends, weight left out: the capstan law."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError


def capstan_ratio(wrap: ArrayLike, *, friction: ArrayLike) -> Array:
    r"""Return hand force over far-end force, :math:`e^{\mu\theta}`.

    Parameters
    ----------
    wrap : array-like
        Sum of the unsigned turns [rad].
    friction : array-like
        Coefficient of friction between core and liner [-].

    Returns
    -------
    ndarray
        Ratio of the two forces, one or more [-].

    Raises
    ------
    CableRouteError
        For a friction that is negative or not finite.

    Notes
    -----
    Valid for a core that slides everywhere, has no stiffness and no weight. The radius of the
    bends and the length of the run do not enter. Efficiency is the inverse, never
    :math:`1 - \mu\theta`.

    References
    ----------
    .. [1] Beer, Johnston et al., Vector Mechanics for Engineers: Statics, example 8.7, p. 431.

    Examples
    --------
    >>> round(float(capstan_ratio(np.pi, friction=0.12)), 4)
    1.4579
    """
    mu = check_friction(friction)
    with np.errstate(over="ignore"):  # a wrap without bounds is a force without bounds
        ratio: Array = np.exp(mu * np.asarray(wrap, dtype=np.float64))
    return ratio


def check_friction(friction: ArrayLike) -> Array:
    """Return friction as a float64 array, or say what is wrong with it.

    Parameters
    ----------
    friction : array-like
        Coefficient of friction [-].

    Returns
    -------
    ndarray
        The same [-].

    Raises
    ------
    CableRouteError
        For a value that is negative or not finite.
    """
    return check_not_negative(friction, name="friction")


def check_not_negative(value: ArrayLike, *, name: str) -> Array:
    """Return a value as a float64 array, or say that it must be zero or more.

    Parameters
    ----------
    value : array-like
        The value [its own unit].
    name : str
        What to call it in the message.

    Returns
    -------
    ndarray
        The same [its own unit].

    Raises
    ------
    CableRouteError
        For a value that is negative or not finite.
    """
    array = np.asarray(value, dtype=np.float64)
    if not (np.isfinite(array) & (array >= 0.0)).all():
        msg = f"{name}: expected a number of 0 or more, got {value!r}"
        raise CableRouteError(msg)
    return array


def check_above_zero(value: ArrayLike, *, name: str, expected: str = "a number") -> Array:
    """Return a value as a float64 array, or say that it must be above zero.

    Parameters
    ----------
    value : array-like
        The value [its own unit].
    name : str
        What to call it in the message.
    expected : str
        What the message asks for: a number, or its unit.

    Returns
    -------
    ndarray
        The same [its own unit].

    Raises
    ------
    CableRouteError
        For a value that is not above zero or not finite.
    """
    array = np.asarray(value, dtype=np.float64)
    if not (np.isfinite(array) & (array > 0.0)).all():
        raise CableRouteError(f"{name}: expected {expected} above 0, got {value!r}")
    return array
