"""Carry a quantity through a chain of pieces, all pieces at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from cableroute.errors import SolverError
from cableroute.route.pieces import Array

#: Relative change between rounds at which the chain has settled.
SETTLED = 1e-14


def march(start: Array, step: Callable[[Array], tuple[Array, Array]], *, pieces: int) -> Array:
    r"""Solve :math:`x_{k+1} = g_k(x_k)` for all pieces of a chain together.

    Newton's method on the whole chain: each piece is replaced by its tangent
    :math:`x_{k+1} \approx a_k x_k + b_k`, and a chain of those is a cumulative product and a
    cumulative sum. After :math:`j` rounds the first :math:`j` pieces are exact, so it always
    ends; it mostly takes three or four rounds. This keeps loops over corners out of Python.

    Parameters
    ----------
    start : ndarray, shape (...)
        The quantity where the chain begins [any unit].
    step : callable
        Takes the values entering the pieces, shape (..., pieces), returns those leaving and
        their slopes (above zero), same shape.
    pieces : int
        Number of pieces [-].

    Returns
    -------
    ndarray, shape (..., pieces + 1)
        The quantity at every joint [unit of ``start``].

    Raises
    ------
    SolverError
        If the values are no longer finite.
    """
    entering = np.broadcast_to(start[..., None], (*start.shape, pieces))
    for _ in range(pieces + 2):
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):  # told below
            leaving, slope = step(entering)
            joints = _affine(start, slope, leaving - slope * entering)
        change = np.abs(joints[..., :-1] - entering)
        if not np.isfinite(joints).all():
            msg = "the force along the run grows beyond all bounds; check friction, weight and load"
            raise SolverError(msg)
        entering = joints[..., :-1]
        if (change <= SETTLED * np.abs(entering)).all():
            break
    return joints


def _affine(start: Array, slope: Array, offset: Array) -> Array:
    """Joints of the chain ``x -> slope * x + offset``."""
    product = np.cumprod(slope, axis=-1)
    after = product * (start[..., None] + np.cumsum(offset / product, axis=-1))
    return np.concatenate((start[..., None], after), axis=-1)
