r"""Two pull cables in a loop: one is pulled while the other pays out.

Our own derivation, from the capstan law and equal stretch. Both cores lie in like conduits on the
same route, with ends on one member at the hand and on one at the far end. The *pulled* core runs
towards the hand, so that its tension grows by friction towards the hand; the *slack* core runs
towards the far end, and its tension grows towards the far end:

.. math:: T_1^{hand} = T_1^{far}\,e^{\mu\theta}, \qquad T_2^{far} = T_2^{hand}\,e^{\mu\theta}

The two members feel differences, :math:`W = T_1^{far} - T_2^{far}` and
:math:`F = T_1^{hand} - T_2^{hand}`. What one core gains in length between its pins the other loses,
so the two stretches always add up to what they were as assembled, when both cores had the preload
:math:`P` all along their length :math:`L`. With :math:`I_\pm = \int e^{\pm\mu\varphi}\,ds`, where
:math:`\varphi` is the wrap between a place and the far end,

.. math:: T_1^{far} I_+ + T_2^{far} I_- = 2PL
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.mechanics._pair_sums import slack_tension, sums
from cableroute.mechanics.capstan import capstan_ratio, check_not_negative
from cableroute.route.pieces import Route


@frozen(eq=False)
class PullPair:
    r"""Tensions of a pair that moves its load, one value for each member of a batch.

    Each conduit's end carries its own core's tension at that end, and the anchor there with it.

    Parameters
    ----------
    pulled_hand : ndarray
        Tension of the pulled core at the hand [N].
    pulled_far : ndarray
        The same at the far end [N].
    slack_hand : ndarray
        Tension of the slack core at the hand; 0 where it hangs loose [N].
    slack_far : ndarray
        The same at the far end [N].
    added : ndarray
        What the preload adds to the force at the hand [N].
    ratio : ndarray
        What a tension grows by from end to end, :math:`e^{\mu\theta}` [-].
    """

    pulled_hand: Array
    pulled_far: Array
    slack_hand: Array
    slack_far: Array
    added: Array
    ratio: Array

    @property
    def hand(self) -> Array:
        """Force at the hand, pulled core less slack core [N]."""
        return self.pulled_hand - self.slack_hand

    @property
    def drawn(self) -> tuple[Array, Array]:
        """What each core is drawn against, at the end away from what draws it: pulled, slack [N]."""
        return self.pulled_far, self.slack_hand

    def dragging(
        self, drag: ArrayLike, *, pulled: ArrayLike = 0.0, slack: ArrayLike = 0.0
    ) -> tuple[Array, Array, Array]:
        r"""Add the drag of either core and what stiffness adds to it, at the end that draws it.

        A core cannot be pushed: what the slack core's own tension does not make up for is drawn by
        the far end, and so by the pulled core, through all its bends,

        .. math:: S = \max(0, D - T_2^{far}), \qquad T_1^{hand} + e^{\mu\theta} S + D

        Stiffness is an upper figure and is not multiplied; but the hand never draws with more than
        the pulled core bears.

        Parameters
        ----------
        drag : array-like
            Drag of one core as measured [N].
        pulled, slack : array-like
            What stiffness adds to the pulled core and to the slack one [N].

        Returns
        -------
        tuple of ndarray
            Force at the hand, tension of the pulled core there, and at the far end: upper figures
            [N].
        """
        one = np.asarray(drag, dtype=float)
        short = np.maximum(one - self.slack_far, 0.0)
        taut = self.pulled_hand + self.ratio * short + one
        left = np.maximum(self.slack_hand - one / self.ratio, 0.0)
        hand = np.maximum(self.hand + 2.0 * one, taut - left) + pulled + slack
        taut = taut + pulled
        more = np.maximum(hand - taut, 0.0)
        return hand, taut + more, self.pulled_far + short + more

    @property
    def bracket_hand(self) -> Array:
        """What a bracket at the hand carries that holds both conduits [N]."""
        return self.pulled_hand + self.slack_hand

    @property
    def bracket_far(self) -> Array:
        """What a bracket at the far end carries that holds both conduits [N]."""
        return self.pulled_far + self.slack_far


def least_preload(
    route: Route, *, load: ArrayLike, friction: ArrayLike, drag: ArrayLike = 0.0
) -> Array:
    r"""Return the preload at which the slack core just stays taut under load.

    .. math:: P = \frac{W I_+ + D (I_+ + I_-)}{2L}

    Without drag that is half the mean tension of a single core that pulls the load, and half the load
    without friction. The slack core gives its own drag out of its tension at the far end, so what it
    has there must not be less: :math:`T_2^{far} = D`.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Force at the far end [N].
    friction : array-like
        Coefficient of friction [-].
    drag : array-like
        Drag of one core as measured [N].

    Returns
    -------
    ndarray
        Tension of both cores as assembled [N].

    Raises
    ------
    CableRouteError
        For a negative load, friction or drag.

    Notes
    -----
    Drag spread evenly along both cores stretches them by as much as :math:`D I_-` does where friction is
    small.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> float(least_preload(route, load=100.0, friction=0.0).round(6))
    50.0
    >>> float(least_preload(route, load=100.0, friction=0.12).round(3))
    55.936
    """
    far, one = (
        check_not_negative(value, name=name) for value, name in ((load, "load"), (drag, "drag"))
    )
    rising, falling = sums(route, friction)
    least: Array = np.asarray(0.5 * (far * rising + one * (rising + falling)) / route.length)
    return least


def pull_pair(
    route: Route, *, load: ArrayLike, friction: ArrayLike, preload: ArrayLike
) -> PullPair:
    r"""Work out the tensions of a pair that moves a load either way.

    .. math:: T_2^{far} = \max\left(0, \frac{2PL - W I_+}{I_+ + I_-}\right), \qquad
        F = W e^{\mu\theta} + 2\,T_2^{far} \sinh \mu\theta

    Parameters
    ----------
    route : Route
        One route, or a batch; both cores take it.
    load : array-like
        Force at the far end; 0 for the pair moved empty [N].
    friction : array-like
        Coefficient of friction [-].
    preload : array-like
        Tension of both cores as assembled, before anything has moved [N].

    Returns
    -------
    PullPair
        Tensions and hand force.

    Raises
    ------
    CableRouteError
        For a negative load, friction or preload.
    SolverError
        For bends and friction that no force overcomes.

    Notes
    -----
    Elastic cores of the same stiffness, drums or arms of the same size, Coulomb friction, both
    cores sliding everywhere. The cores' weight is left out: what climbs in one comes down in the
    other.

    References
    ----------
    Our own derivation, from the capstan law and equal stretch (see the top of this file).

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> pair = pull_pair(route, load=100.0, friction=0.12, preload=70.0)
    >>> float(pair.hand.round(2)), float(pair.slack_far.round(2))
    (126.03, 13.93)
    """
    far, tight = (
        check_not_negative(value, name=name)
        for value, name in ((load, "load"), (preload, "preload"))
    )
    rising, falling = sums(route, friction)
    slack_far = slack_tension(far, tight * route.length, pulled=rising, paying=falling)
    ratio = capstan_ratio(route.wrap, friction=friction)
    return PullPair(
        pulled_hand=(far + slack_far) * ratio,
        pulled_far=far + slack_far,
        slack_hand=slack_far / ratio,
        slack_far=slack_far,
        added=slack_far * (ratio - 1.0 / ratio),
        ratio=ratio,
    )
