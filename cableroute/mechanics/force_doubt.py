"""What a force at the hand may be: friction as a range, wrap in doubt, friction beyond its range."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.mechanics.capstan import capstan_ratio, check_not_negative

#: Friction this share above the high end of its range is asked about; our own choice [-].
BEYOND = 0.2


def force_range(
    load: ArrayLike,
    *,
    friction: tuple[ArrayLike, ArrayLike],
    wrap: tuple[ArrayLike, ArrayLike],
) -> tuple[Array, Array]:
    r"""Return the least and the greatest force at the hand.

    :math:`F e^{\mu_{low}\theta_{low}}` to :math:`F e^{\mu_{high}\theta_{high}}`: the force grows
    with both, so ends go with ends.

    Parameters
    ----------
    load : array-like
        Force at the far end [N].
    friction : tuple of array-like
        Coefficient of friction, low and high [-].
    wrap : tuple of array-like
        Sum of the unsigned turns, low and high: of a survey by
        :func:`~cableroute.route.wrap_range.wrap_range`, of corners the wrap less and more
        :func:`~cableroute.route.doubt.wrap_doubt` [rad].

    Returns
    -------
    tuple of ndarray
        Low and high [N].

    Raises
    ------
    CableRouteError
        For a number that is negative or not finite, or a low end above its high one.

    Notes
    -----
    Holds what is true whenever friction and wrap are both in their ranges: in at least 95 of 100
    cases where wrap is and friction's range is a bound. Drag without load and weight come on top.

    Examples
    --------
    >>> low, high = force_range(100.0, friction=(0.1, 0.2), wrap=(3.0, 3.3))
    >>> float(low.round(1)), float(high.round(1))
    (135.0, 193.5)
    """
    force = check_not_negative(load, name="load")
    ends = []
    for name, (low, high) in (("friction", friction), ("wrap", wrap)):
        pair = check_not_negative(low, name=name), check_not_negative(high, name=name)
        if not (pair[0] <= pair[1]).all():
            raise CableRouteError(f"{name}: expected low <= high, got {low!r} to {high!r}")
        ends.append(pair)
    least, most = (
        force * capstan_ratio(angle, friction=mu) for mu, angle in zip(*ends, strict=True)
    )
    return np.asarray(least), np.asarray(most)


def beyond_range(
    force: ArrayLike, *, friction: ArrayLike, wrap: ArrayLike, share: float = BEYOND
) -> Array:
    r"""Return how much a friction above its range costs at the hand.

    .. math:: \Delta F = F_h\,(e^{s\mu\theta} - 1)

    Parameters
    ----------
    force : array-like
        Force at the hand, at the high end of friction [N].
    friction : array-like
        High end of friction [-].
    wrap : array-like
        Sum of the unsigned turns [rad].
    share : float
        How far friction passes it, s [-].

    Returns
    -------
    ndarray
        Force that comes on top [N].

    Raises
    ------
    CableRouteError
        For a number that is negative or not finite.

    Notes
    -----
    Of a pull whose force the bends make, weight apart. Drag without load grows by the share itself.
    A push that snakes costs more than this: work it out anew with friction so much higher.

    Examples
    --------
    >>> float(beyond_range(160.0, friction=0.15, wrap=3.14).round(1))
    15.8
    """
    check_not_negative(share, name="share")
    ratio = capstan_ratio(
        check_not_negative(wrap, name="wrap"), friction=share * np.asarray(friction)
    )
    extra: Array = check_not_negative(force, name="force") * (ratio - 1.0)
    return extra
