"""An elastic core in its conduit, cut where its tension is looked at, and how it lies."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.mechanics._exponential_means import log_mean
from cableroute.route.pieces import STRAIGHT, Route


@frozen(eq=False)
class Core:
    """A core in its conduit, cut where the tension is looked at.

    Parameters
    ----------
    exponent : ndarray, shape (n + 1,)
        Friction times the wrap between the hand and each cut [-].
    give : ndarray, shape (n,)
        What each element gives for a newton, core and conduit in series [mm/N].
    ends : tuple of float
        What the brackets give for a newton, at the hand and at the far end [mm/N].
    gap : float
        Travel lost in crossing from wall to wall [mm].
    pull_only : bool
        Whether the core cannot push, and the far end has a stop at rest.
    """

    exponent: Array
    give: Array
    ends: tuple[float, float]
    gap: float
    pull_only: bool

    def reach(self, sigma: int) -> Array:
        r"""Return :math:`\int_0^{s_i} e^{-\sigma\mu\theta} ds/EA` to every cut [mm/N]."""
        return np.concatenate(([0.0], np.cumsum(self.stretches(np.exp(-sigma * self.exponent)))))

    def stretches(self, tension: Array) -> Array:
        """Elongation of each element [mm]."""
        return self.give * log_mean(tension[:-1], tension[1:])


@frozen(eq=False)
class State:
    """How the core lies when the hand turns back.

    Parameters
    ----------
    tension : ndarray, shape (n + 1,)
        At every cut, below zero for a push; of one sign throughout [N].
    far : float
        Travel of the far end [mm].
    side : float
        Wall the core lies on: +1/2 the inner, -1/2 the outer, between while it crosses [-].
    """

    tension: Array
    far: float
    side: float


def cut_core(
    route: Route,
    *,
    friction: float,
    give: float,
    ends: tuple[float, float],
    clearance: float,
    pull_only: bool,
    elements: int,
) -> Core:
    """Cut a core at every joint of line and arc, and the arcs further by their turn."""
    wrap = float(route.wrap)
    turns, lengths = np.zeros((2, 2 * len(route.legs) - 1))
    turns[1::2] = np.where(route.turns > STRAIGHT, route.turns, 0.0)
    lengths[0::2], lengths[1::2] = np.maximum(route.straights, 0.0), route.arc_lengths
    share = turns / wrap if wrap > 0.0 else turns
    parts = np.maximum(np.ceil(elements * share), 1).astype(int)
    angles = np.repeat(turns / parts, parts)
    return Core(
        exponent=friction * np.concatenate(([0.0], np.cumsum(angles))),
        give=give * np.repeat(lengths / parts, parts),
        ends=ends,
        gap=0.0 if pull_only else clearance * wrap,  # what only pulls stays on its wall
        pull_only=pull_only,
    )
