"""What folds first as a push grows: core in a guide, core in a straight leg, rod; or nothing moves."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, IntArray
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_friction
from cableroute.mechanics.push import push_arriving, push_forces
from cableroute.route.pieces import Route

#: What can give way, in the order of the last axis of :class:`FoldOrder`.
PLACES = ("guide-hand", "guide-far", "snaking", "rod-hand", "rod-far", "lock-up")
#: Of these, what feels the load itself, and what the push along the run; the rest that at the hand.
AT_FAR_END, IN_LEGS, AT_HAND = (1, 4), 2, (0, 3, 5)
#: Load beyond which nothing locks up, and push below which there is as good as none [N].
NEVER, NOTHING = 1e9, 1e-30


@frozen(eq=False)
class FoldOrder:
    """Pushes at which each place gives way, were it the only one; the last axis is :data:`PLACES`.

    Parameters
    ----------
    far : ndarray, shape (..., 6)
        Push arriving at the far end just then; infinite if never [N].
    hand : ndarray, shape (..., 6)
        Push at the hand just then; infinite at lock-up, where no push is enough [N].
    """

    far: Array
    hand: Array

    @property
    def first(self) -> Array:
        """Index in :data:`PLACES` of what gives way first, as the load grows [-]."""
        return np.asarray(np.argmin(self.far, axis=-1))


def fold_order(
    route: Route,
    *,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    clearance: ArrayLike,
    wound: ArrayLike,
    guide_hand: ArrayLike = np.inf,
    guide_far: ArrayLike = np.inf,
    rod_hand: ArrayLike = np.inf,
    rod_far: ArrayLike = np.inf,
) -> FoldOrder:
    """Find the push at which each part of a push cable gives way.

    What each place bears is followed from there to the far end
    (:func:`~cableroute.mechanics.push.push_arriving`).

    Parameters
    ----------
    route : Route
        One route, or a batch.
    friction : array-like
        Coefficient of friction. The high end is the unsafe one for what folds at the hand and for
        lock-up; what folds at the far end is the same at any [-].
    bending_stiffness : array-like
        EI of the core. The slack end is the unsafe one [N*mm^2].
    clearance : array-like
        Diametral clearance in the conduit. A wide, worn one is the unsafe end [mm].
    wound : array-like
        Push at which the core, wound in the conduit of a straight leg, sets or coils up
        (:func:`~cableroute.mechanics.core_in_guide.wound_limit`) [N].
    guide_hand, guide_far : array-like
        Push at which the bare core folds in the guide (``folds_at`` of
        :func:`~cableroute.mechanics.core_in_guide.core_in_guide`) at that end [N].
    rod_hand, rod_far : array-like
        Push at which the rod folds
        (:func:`~cableroute.mechanics.column.rod_buckling_load`) at that end [N].

    Returns
    -------
    FoldOrder
        Load and push at the hand for each place.

    Raises
    ------
    CableRouteError
        For a negative friction or clearance, or a stiffness that is not above zero.

    Notes
    -----
    A leg is looked at where the push is greatest, at its hand side. Bends hold the core better
    (:func:`~cableroute.mechanics.push.snaking_onset`) and are left out. A place that would bear more
    than gets through, because the run locks up first, is infinite.

    The push that a guide's own friction takes is not in the forces along the run.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [600, 0, 0], [600, 400, 0]], min_bend_radius=100)
    >>> order = fold_order(
    ...     route, friction=0.2, bending_stiffness=4775.2, clearance=0.6, wound=900.0,
    ...     guide_hand=200.0, guide_far=200.0, rod_hand=1800.0, rod_far=1800.0,
    ... )
    >>> PLACES[int(order.first)], order.hand.round(0).tolist()
    ('guide-hand', [200.0, 718.0, 900.0, 1800.0, inf, inf])
    """
    given = (guide_hand, guide_far, wound, rod_hand, rod_far)
    bears = [_check_limit(value, name=name) for value, name in zip(given, PLACES, strict=False)]
    kwargs = {
        "friction": check_friction(friction),
        "bending_stiffness": bending_stiffness,
        "clearance": clearance,
    }
    bears.append(np.asarray(np.inf))
    shape = np.broadcast_shapes(
        *(each.shape for each in bears), push_forces(route, load=1.0, **kwargs).shape[:-1]
    )
    most = np.maximum(np.stack([np.broadcast_to(each, shape) for each in bears]), NOTHING)
    joint = np.zeros(most.shape, dtype=np.intp)
    joint[IN_LEGS] = _first_straight(route)
    high = np.minimum(push_arriving(route, push=most, at=joint, **kwargs), NEVER)
    high[list(AT_FAR_END)] = np.minimum(most[list(AT_FAR_END)], NEVER)
    hand = push_forces(route, load=high, **kwargs)[..., 0]
    for place in AT_HAND:
        hand[place] = most[place]
    never = high >= NEVER
    never[:-1] |= np.isinf(most[:-1])
    never[list(AT_FAR_END)] |= np.isinf(hand[list(AT_FAR_END)])  # it does not get through
    far, hand = (np.where(never, np.inf, each) for each in (high, hand))
    return FoldOrder(far=np.moveaxis(far, 0, -1), hand=np.moveaxis(hand, 0, -1))


def _first_straight(route: Route) -> IntArray:
    """Return the joint where the first straight begins, the push the greatest; the last if none."""
    has = route.straights > 0.0
    last = 2 * has.shape[-1] - 1
    first: IntArray = np.where(has.any(-1), 2 * np.argmax(has, axis=-1), last)
    return first


def _check_limit(value: ArrayLike, *, name: str) -> Array:
    """Return a limit, which may be infinite, or say what is wrong with it."""
    limit = np.asarray(value, dtype=np.float64)
    if not (limit >= 0.0).all():
        raise CableRouteError(f"{name}: expected a push of 0 N or more, got {value!r}")
    return limit
