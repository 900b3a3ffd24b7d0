"""Carry a quantity through a chain of pieces, all pieces at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import SolverError

#: Relative change between rounds at which the chain has settled.
SETTLED = 1e-14
#: Runs from which on they go piece by piece [-].
MANY = 256


def march(
    start: Array,
    step: Callable[[Array], tuple[Array, Array]],
    *,
    pieces: int,
    guess: Array | None = None,
) -> Array:
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
    guess : ndarray, shape (..., pieces), optional
        What about enters each piece; ``start`` if not given. A good one saves a round [any unit].

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
    if guess is not None:
        entering = guess
    for _ in range(pieces + 2):
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):  # told below
            leaving, slope = step(entering)
            joints = _affine(start, slope, leaving - slope * entering)
        change = np.abs(joints[..., :-1] - entering)
        _refuse_endless(joints)
        entering = joints[..., :-1]
        if (change <= SETTLED * np.abs(entering)).all():
            break
    return joints


def piece_by_piece(start: Array, leaving: Callable[[int, Array], Array], *, pieces: int) -> Array:
    """Carry a quantity through a chain one piece after the other: for runs by the hundred.

    Of so many a piece is work enough by itself, and one pass takes the place of the rounds of
    :func:`march`, which is the same but for rounding.

    Parameters
    ----------
    start : ndarray, shape (...)
        The quantity where the chain begins [any unit].
    leaving : callable
        Takes a piece's number and the values entering it, returns those leaving.
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
    joints = np.empty((*start.shape, pieces + 1))
    joints[..., 0] = start
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):  # told below
        for k in range(pieces):
            joints[..., k + 1] = leaving(k, joints[..., k])
    _refuse_endless(joints)
    return joints


def _refuse_endless(joints: Array) -> None:
    if not np.isfinite(joints).all():
        msg = "the force along the run grows beyond all bounds; check friction, weight and load"
        raise SolverError(msg)


def _affine(start: Array, slope: Array, offset: Array) -> Array:
    """Joints of the chain ``x -> slope * x + offset``."""
    product = np.cumprod(slope, axis=-1)
    after = product * (start[..., None] + np.cumsum(offset / product, axis=-1))
    return np.concatenate((start[..., None], after), axis=-1)
