"""Whether a spring at the far end brings a pull cable back when the hand lets go."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cableroute.errors import CableRouteError
from cableroute.mechanics.capstan import capstan_ratio, check_not_negative
from cableroute.route.pieces import Array


@dataclass(frozen=True, slots=True, eq=False)
class ReturnMargin:
    """What a return spring has to give and what it gives, at the worst place of the stroke.

    Parameters
    ----------
    required : ndarray
        Force at the far end that just moves cable, hand lever and mechanism back [N].
    available : ndarray
        Least force of the spring over the stroke [N].
    margin : ndarray
        ``available / required``; infinite where nothing resists, 0 without a spring [-].
    left_at_hand : ndarray
        The same seen from the hand: the force with which the hand end is drawn back beyond what
        it resists with; below zero the lever stays where it was left [N].
    """

    required: Array
    available: Array
    margin: Array
    left_at_hand: Array

    @property
    def returns(self) -> NDArray[np.bool_]:
        """Whether the spring brings the cable back at all [-]."""
        return np.asarray(self.margin > 1.0)


def return_margin(
    *,
    wrap: ArrayLike,
    friction: ArrayLike,
    spring: ArrayLike,
    drag: ArrayLike,
    hand_resistance: ArrayLike = 0.0,
    far_resistance: ArrayLike = 0.0,
) -> ReturnMargin:
    r"""Hold the force of a return spring against what it has to drag back.

    On release the core runs towards the far end. The hand end is now the driven one, so the force
    grows from the hand to the spring:

    .. math:: F_{required} = e^{\mu\theta}\,(F_{hand} + D) + F_{far}

    and, seen from the hand, :math:`(F_{spring} - F_{far})\,e^{-\mu\theta} - D - F_{hand}` is left.

    Parameters
    ----------
    wrap : array-like, shape (...)
        Sum of the unsigned turns [rad].
    friction : array-like, shape (...)
        Coefficient of friction [-].
    spring : array-like, shape () or (..., n)
        Force of the spring, as it acts on the core at the far end, at n places of the stroke, of
        which the least counts; that of a coil spring is at rest [N].
    drag : array-like, shape (...)
        Force that moves the unloaded core (:func:`~cableroute.mechanics.drag.zero_load_drag`, or
        as calibrated), at the same friction [N].
    hand_resistance : array-like, shape (...)
        What the hand lever resists with, at its greatest over the stroke [N].
    far_resistance : array-like, shape (...)
        What the mechanism at the far end resists with, at its greatest over the stroke [N].

    Returns
    -------
    ReturnMargin
        Of the shape that all but the stroke's axis broadcast to.

    Raises
    ------
    CableRouteError
        For a number that is negative or not finite, or a stroke without places.

    Notes
    -----
    *Where the drag acts.* The wall forces behind it stand at the bends. A bend's share of it is
    multiplied by the bends between it and the spring only, so its sum over the run reaches the
    spring as :math:`D` if all of it stands at the far end, :math:`D\,(e^x - 1)/x` with
    :math:`x = \mu\theta` if spread evenly over the wrap, and :math:`D\,e^x` if all stands at the
    hand. The last is taken: a safe upper bound wherever the bends are.

    *Cold.* Take friction and drag of the cold condition of
    :func:`~cableroute.mechanics.ageing.condition_ranges`. A vehicle's throttle must return at
    -40 to +52 degC [1]_.

    *Two springs.* Where each must do alone, give them as a batch, ``[[6.0], [8.0]]``.

    Weight and inertia of core and levers are left out: this says whether it comes back, not how
    fast.

    References
    ----------
    .. [1] 49 CFR 571.124, accelerator control systems: return after a soak at these temperatures,
       by at least two sources of energy.

    Examples
    --------
    >>> spring = [12.0, 16.0, 20.0]
    >>> back = return_margin(wrap=np.pi, friction=0.15, spring=spring, drag=2.0, far_resistance=3.0)
    >>> float(back.required.round(2)), float(back.margin.round(2)), bool(back.returns)
    (6.2, 1.93, True)
    """
    ratio = capstan_ratio(check_not_negative(wrap, name="wrap"), friction=friction)
    held = check_not_negative(hand_resistance, name="hand resistance")
    held = held + check_not_negative(drag, name="drag")
    far = check_not_negative(far_resistance, name="far resistance")
    available = _least(spring)

    # no bends hold back what has no load, and next to none is as good as none
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        required = np.where(held > 0.0, ratio * held, 0.0) + far
        margin = np.where(available > 0.0, available / required, 0.0)
    return ReturnMargin(
        required=required,
        available=np.broadcast_to(available, margin.shape),
        margin=margin,
        left_at_hand=(available - far) / ratio - held,
    )


def _least(spring: ArrayLike) -> Array:
    """Return the least force over the stroke, the last axis."""
    force = check_not_negative(spring, name="spring")
    if force.size == 0:
        raise CableRouteError(f"spring: expected a force or forces over the stroke, got {spring!r}")
    least: Array = force.min(axis=-1) if force.ndim else force
    return least
