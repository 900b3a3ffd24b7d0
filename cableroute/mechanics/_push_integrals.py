"""Closed forms of the push summed along a run, apart where bends hold the core and where it snakes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.mechanics._exponential_means import log_mean
from cableroute.mechanics.capstan import check_friction, check_not_negative
from cableroute.mechanics.push import push_forces
from cableroute.route.pieces import Route


def push_integrals(
    route: Route,
    *,
    load: ArrayLike,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    clearance: ArrayLike,
) -> tuple[Array, Array]:
    r"""Push summed where bends hold the core, and where it snakes; infinite if it locks up [N*mm].

    Where the core snakes, on straights and past the onset in bends, :math:`1/F` is linear in
    :math:`s`; where a bend holds it, :math:`\ln F` is. With :math:`\overline{(a,b)} =
    (a - b)/\ln(a/b)` a length :math:`l` from :math:`F_1` to :math:`F_2` gives

    .. math:: \frac{l}{\overline{(1/F_1,\,1/F_2)}} \quad\text{and}\quad l\,\overline{(F_1,\,F_2)}

    A bend in which the core passes the onset is split there. Exact for the rule of
    :func:`~cableroute.mechanics.push.push_forces`.
    """
    forces = push_forces(
        route,
        load=load,
        friction=friction,
        bending_stiffness=bending_stiffness,
        clearance=clearance,
    )
    locked = np.isinf(forces).any(-1)
    idle = (forces == 0.0).all(-1)
    y = 1.0 / np.where((idle | locked)[..., None], 1.0, forces)  # those two are set right below
    y_hand, y_far = y[..., :-1], y[..., 1:]
    mu = check_friction(friction)[..., None]
    r = 0.5 * check_not_negative(clearance, name="clearance")
    softness = (r / (4.0 * np.asarray(bending_stiffness, dtype=np.float64)))[..., None]
    held_length, y_onset = _held_part(
        y_hand[..., 1::2], y_far[..., 1::2], onset=softness * route.radii, route=route, mu=mu
    )
    held = held_length * log_mean(1.0 / y_far[..., 1::2], 1.0 / y_onset)
    bends = (route.arc_lengths - held_length) / log_mean(y_onset, y_hand[..., 1::2])
    straights = route.straights / log_mean(y_far[..., 0::2], y_hand[..., 0::2])
    snaking = bends.sum(-1) + straights.sum(-1)
    return (
        np.where(idle, 0.0, held.sum(-1)),
        np.where(locked, np.inf, np.where(idle, 0.0, snaking)),
    )


def _held_part(
    y_hand: Array, y_far: Array, *, onset: Array, route: Route, mu: Array
) -> tuple[Array, Array]:
    """Length of each arc that holds the core, from its far side, and ``1/F`` where that ends.

    ``1/F`` falls towards the hand; ``onset`` is its value at the snaking onset.
    """
    y_end = np.clip(onset, y_hand, y_far)
    exponent = mu * route.turns
    crossing = (y_hand < onset) & (onset < y_far)
    share = np.log(y_far / y_end) / np.where(crossing, exponent, 1.0)
    whole = np.where(y_hand >= onset, 1.0, 0.0)
    return route.arc_lengths * np.where(crossing, share, whole), y_end
