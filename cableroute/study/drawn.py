"""Machines as drawn: their tight runs, and how they turn in the shapes that they have."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.cable import Figures
from cableroute.figures.shape import LEVEL, tight_run
from cableroute.frozen import frozen
from cableroute.route.pieces import Route
from cableroute.study.inputs import Doubts
from cableroute.study.lays import Lay


@frozen(eq=False)
class Drawn:
    """Machines as drawn: what was drawn, their tight runs, and how they turn.

    Parameters
    ----------
    doubts : Doubts
        What is in doubt.
    values : mapping of str to ndarray, shape (k,)
        Every input, by key.
    route : Route
        Their runs drawn tight, a batch.
    wrap : ndarray, shape (k,)
        What each turns in its own shape [rad].
    length : ndarray, shape (k,)
        Conduit of its own shape [mm].
    tight : ndarray, shape (k,)
        Conduit drawn tight [mm].
    curvature : ndarray, shape (k,)
        Greatest curvature of its own shape [1/mm].
    """

    doubts: Doubts
    values: Mapping[str, Array]
    route: Route
    wrap: Array
    length: Array
    tight: Array
    curvature: Array

    @property
    def figures(self) -> Figures:
        """The cable as it was read."""
        return self.doubts.figures

    @property
    def apparent(self) -> Array:
        """Friction with which the tight run stands for each machine's own shape [-]."""
        turn = np.asarray(self.route.wrap)
        more = np.divide(self.wrap, turn, out=np.ones_like(self.wrap), where=turn > LEVEL)
        return np.asarray(self.values["friction"] * more)


def drawn(doubts: Doubts, lay: Lay, shares: Array, *, route: Route | None = None) -> Drawn:
    """Draw machines and fit their runs, unless those of the same points are at hand."""
    values = doubts.values(shares)
    if route is None:
        route = tight_run(doubts.figures.cable, doubts.points(values))
    tight, share = np.asarray(route.length), values["shape"]
    natural = lay.at(route.points)
    more = np.radians(values["wrap"]) if "wrap" in values else 0.0
    off = values.get("length", np.zeros_like(tight))
    lies = np.maximum(natural[:, 0], tight)  # no run is shorter than the tight one
    turns = natural[:, 1] + lay.bought[1]
    wrap = np.asarray(route.wrap) * (1.0 - share) + turns * share + more
    curved = np.maximum(natural[:, 2] + lay.bought[2], 0.0)
    return Drawn(
        doubts,
        values,
        route,
        wrap=np.maximum(wrap, 0.0),
        length=tight + share * (lies - tight) + off,
        tight=tight + off,
        curvature=(1.0 - share) / np.asarray(route.min_radius) + share * curved,
    )
