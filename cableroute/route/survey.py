"""The points to fit: as read, or smoothed where the tape's noise would pass for bends."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.errors import SolverError
from cableroute.frozen import frozen
from cableroute.route.fillet import COINCIDENT
from cableroute.route.given import check_points
from cableroute.route.smoothing import least_turn, total_turn

#: Share of the measured wrap that noise must be able to make up before points are moved. Corners
#: far apart stay exactly where they were read; our own choice.
NOISE_SHARE = 0.05
#: More points than this are a scan, not a tape survey, and would take minutes.
MOST_POINTS = 4_000


@frozen(eq=False)
class Survey:
    """Points ready to fit, and what was done to them.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Points, as read or smoothed [mm].
    moves : ndarray, shape (n,)
        How far each was moved [mm].
    wrap_as_measured : float
        Sum of the unsigned turns of the points as read [rad].
    failure : str
        Why smoothing was given up, or nothing.
    """

    points: Array
    moves: Array
    wrap_as_measured: float
    failure: str = ""


def steady_points(
    points: Array,
    *,
    tolerance: float,
    min_bend_radius: float | Array,
    fixed: BoolArray,
) -> Survey:
    r"""Smooth a survey where its noise could pass for bends, and leave it alone where not.

    A reading good to :math:`\pm t` between legs :math:`h_1` and :math:`h_2` may make up a turn of
    about :math:`t(1/h_1 + 1/h_2)`. Where the sum of these is above :data:`NOISE_SHARE` of the
    measured wrap, the points of least turn within the tolerance are taken.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Points as read [mm].
    tolerance : float
        How far a point may be moved; 0 leaves all as read [mm].
    min_bend_radius : float or ndarray, shape (n - 2,)
        Least bend radius, or one a corner [mm].
    fixed : ndarray of bool, shape (n,)
        Points that must stay (the ends stay anyway) [-].

    Returns
    -------
    Survey
        Points to fit; the points as read, with a reason, if there are too many or the solver
        failed.

    Raises
    ------
    GeometryError
        For points that are not finite or fewer than two.
    """
    read = check_points(points)
    distinct = np.ones(len(read), dtype=bool)
    distinct[1:] = np.linalg.norm(np.diff(read, axis=0), axis=1) > COINCIDENT
    kept = read[distinct]
    legs = np.linalg.norm(np.diff(kept, axis=0), axis=1)
    wrap = total_turn(kept)
    noise = tolerance * float((1.0 / legs[:-1] + 1.0 / legs[1:]).sum())
    still = np.zeros(len(read))
    if noise <= NOISE_SHARE * wrap:
        return Survey(read, still, wrap)
    if len(kept) > MOST_POINTS:
        return Survey(read, still, wrap, failure=f"more than {MOST_POINTS} points")
    radii = np.asarray(min_bend_radius, dtype=np.float64)
    if radii.ndim:
        radii = radii[np.flatnonzero(distinct)[1:-1] - 1]
    try:
        smooth = least_turn(
            kept, tolerance=tolerance, min_bend_radius=radii, fixed=np.asarray(fixed)[distinct]
        )
    except SolverError as error:
        return Survey(read, still, wrap, failure=str(error))
    origin = np.cumsum(distinct) - 1  # a point left out goes with the one before it
    return Survey(smooth.points[origin], smooth.moves[origin], wrap)
