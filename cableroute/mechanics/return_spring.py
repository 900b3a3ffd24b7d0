"""Whether a spring at the far end brings a pull cable back when the hand lets go."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray, TextArray
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import capstan_ratio, check_not_negative


@frozen(eq=False)
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
    def returns(self) -> BoolArray:
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
        Force that moves the unloaded core
        (:func:`~cableroute.mechanics.stiff_core.unloaded_drag`, or as calibrated), at the same
        friction [N].
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


@frozen(eq=False)
class ReturnBand:
    """Whether a spring brings a cable back where its drag is a band.

    Parameters
    ----------
    slack : ReturnMargin
        At the low end of the drag: the core's wires free to slide.
    stiff : ReturnMargin
        At its high end: the wires locked.
    most_drag : ndarray
        Drag at the hand up to which the spring brings the cable back with ``enough`` in hand; below
        zero where none is little enough [N].
    enough : float
        Margin asked for [-].
    drag_measured : bool
        Whether the drag is a measurement, whose two ends say the same.
    """

    slack: ReturnMargin
    stiff: ReturnMargin
    most_drag: Array
    enough: float
    drag_measured: bool

    @property
    def certain(self) -> BoolArray:
        """Whether it comes back with enough in hand even at the high end of the drag [-]."""
        return np.asarray(self.stiff.margin >= self.enough)

    @property
    def hopeless(self) -> BoolArray:
        """Whether it does not come back at all even at the low end of the drag [-]."""
        return ~self.slack.returns

    @property
    def decided_by(self) -> TextArray:
        """What settles it: ``measured drag``, ``stiff end``, ``slack end``, or ``open`` [-].

        Open means that a pass would rest on how the wires of the core lie: a drag read at the hand
        decides, or else a measured bending stiffness, and until then it is marginal.
        """
        ends = np.where(self.hopeless, "slack end", np.where(self.certain, "stiff end", "open"))
        return np.asarray(np.where(self.drag_measured, "measured drag", ends))


def return_band(
    *,
    wrap: ArrayLike,
    friction: ArrayLike,
    spring: ArrayLike,
    drag: tuple[ArrayLike, ArrayLike],
    drag_measured: bool = False,
    enough: float = 1.0,
    hand_resistance: ArrayLike = 0.0,
    far_resistance: ArrayLike = 0.0,
) -> ReturnBand:
    r"""Hold a return spring against a drag from the slack to the stiff end of a core's stiffness.

    A pass is one only with a measured drag or at the stiff end. What decides is a drag at the hand
    above or below

    .. math:: D_{most} = (F_{spring}/k - F_{far})\,e^{-\mu\theta} - F_{hand}

    with :math:`k` the margin asked for.

    Parameters
    ----------
    wrap, friction, spring, hand_resistance, far_resistance : array-like
        As of :func:`return_margin` [rad], [-], [N], [N], [N].
    drag : tuple of array-like
        Force that moves the unloaded core, at ``CoreSection.bending_stiffness`` and at
        ``CoreSection.locked_stiffness``; as measured, the same twice [N].
    drag_measured : bool
        Whether it was measured on the cable as laid.
    enough : float
        Margin asked for, at least 1 [-].

    Returns
    -------
    ReturnBand
        Both ends and the drag that decides.

    Raises
    ------
    CableRouteError
        As :func:`return_margin`; for a band whose low end is above its high one, or a margin below 1.

    Notes
    -----
    Give friction at its high end and of the coldest condition, as for :func:`return_margin`: the
    band is of the core's stiffness alone.

    Examples
    --------
    >>> back = return_band(wrap=2.0, friction=0.15, spring=14.0, drag=(0.8, 27.0), hand_resistance=2)
    >>> str(back.decided_by), round(float(back.most_drag), 1)
    ('open', 8.4)
    """
    low, high = (check_not_negative(each, name="drag") for each in drag)
    if not (low <= high).all():
        raise CableRouteError(f"drag: expected low <= high, got {drag[0]!r} to {drag[1]!r} N")
    if not enough >= 1.0:
        raise CableRouteError(f"margin of a return: expected at least 1, got {enough!r}")
    slack, stiff = (
        return_margin(
            wrap=wrap,
            friction=friction,
            spring=spring,
            drag=each,
            hand_resistance=hand_resistance,
            far_resistance=far_resistance,
        )
        for each in (low, high)
    )
    ratio = capstan_ratio(wrap, friction=friction)
    most = (stiff.available / enough - np.asarray(far_resistance)) / ratio - hand_resistance
    return ReturnBand(slack, stiff, np.asarray(most), enough, drag_measured)


def _least(spring: ArrayLike) -> Array:
    """Return the least force over the stroke, the last axis."""
    force = check_not_negative(spring, name="spring")
    if force.size == 0:
        raise CableRouteError(f"spring: expected a force or forces over the stroke, got {spring!r}")
    least: Array = force.min(axis=-1) if force.ndim else force
    return least
