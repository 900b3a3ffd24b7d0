"""Points from tape distances, many machines at once, each near a place that is known already."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array

#: Newton steps: readings differ by millimetres from those that the place is known by.
STEPS = 6
#: Share of the greatest curvature that keeps a weak direction from running away [-].
DAMPING = 1e-12


def located_from(nodes: ArrayLike, distances: ArrayLike, *, near: ArrayLike) -> Array:
    r"""Return the points whose distances to the nodes fit the readings best.

    Gauss and Newton's steps on :math:`\sum (|p - n_i| - d_i)^2`, from a place nearby.

    Parameters
    ----------
    nodes : array-like, shape (..., m, 3)
        Three nodes or more [mm].
    distances : array-like, shape (..., m)
        Tape distances to them, all alike precise [mm].
    near : array-like, shape (3,)
        Where it is by the readings of the tape themselves [mm].

    Returns
    -------
    ndarray, shape (..., 3)
        The points [mm].

    Notes
    -----
    Which of two mirror places is meant is told by ``near``. Every reading counts: one that
    :func:`cableroute.measure.locate.locate` would leave out does not leave by itself.

    Examples
    --------
    >>> nodes = [[0, 0, 0], [700, 0, 0], [0, 400, 0]]
    >>> located_from(nodes, [[350, 650, 450]], near=[130, 100, 300]).round(2).tolist()
    [[135.71, 100.0, 306.73]]
    """
    places = np.asarray(nodes, dtype=np.float64)
    read = np.asarray(distances, dtype=np.float64)
    shape = np.broadcast_shapes(places.shape[:-2], read.shape[:-1])
    point = np.broadcast_to(np.asarray(near, dtype=np.float64), (*shape, 3))
    for _ in range(STEPS):
        away = point[..., None, :] - places
        apart = np.linalg.norm(away, axis=-1)
        slope = away / np.maximum(apart, 1e-9)[..., None]
        normal = slope.swapaxes(-1, -2) @ slope
        normal = normal + DAMPING * np.trace(normal, axis1=-2, axis2=-1)[..., None, None] * np.eye(
            3
        )
        gap = ((read - apart)[..., None] * slope).sum(-2)
        point = point + np.linalg.solve(normal, gap[..., None])[..., 0]
    return np.asarray(point)
