"""Where a driven member stands, or by how much it fails to get there."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen

#: A miss below this share of the rod's length is rounding, not a gap [-].
ROUNDING = 1e-9


@frozen(eq=False)
class Reach:
    """The coordinate at which a member stands at the distance asked for.

    Attributes
    ----------
    coordinate : ndarray, shape (...)
        Angle [rad] or slide [mm]; nan where it cannot reach.
    shortfall : ndarray, shape (...)
        Zero where it closes; above zero: the rod is too long by this, below zero: too short [mm].
    """

    coordinate: Array
    shortfall: Array


def reach_between(coordinate: Array, *, length: Array, near: Array, far: Array) -> Reach:
    """Blank the coordinates whose rod is outside what a member can stand off, and say by how much.

    Parameters
    ----------
    coordinate : ndarray, shape (...)
        What the closed formula gave [rad or mm].
    length : ndarray, shape (...)
        The distance asked for [mm].
    near, far : ndarray, shape (...)
        Least and greatest distance the member can stand at [mm].

    Returns
    -------
    Reach
    """
    gap = np.maximum(length - far, 0.0) - np.maximum(near - length, 0.0)
    gap = np.where(np.abs(gap) <= ROUNDING * np.maximum(np.abs(length), 1.0), 0.0, gap)
    return Reach(np.where(gap == 0.0, coordinate, np.nan), gap)
