"""The smallest moves of movable points that give every bend of a route its radius."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import inf

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.measure.job import Cable
from cableroute.route._least_moves import Freedom, LeastMoves
from cableroute.route.pieces import Route

#: No point is moved further than this unless asked [mm].
FARTHEST = 300.0
#: Points this many legs from one that is too short take part; beyond, a move no longer helps.
REACH = 6
#: More freedoms than this are not looked at: so many misfits are a survey's, not a point's.
MOST_FREEDOMS = 120
#: Room asked for on each leg beyond what its bends need, above the solver's own error [mm].
_ROOM = 1e-3


@frozen(eq=False)
class Repair:
    """What to move so that every bend fits.

    Parameters
    ----------
    fits : bool
        Whether every bend fits once the points are moved (or did before).
    moves : ndarray, shape (n, 3)
        Move of each point; zero for those that stay, and for all where nothing was found [mm].
    shortfall : float
        What the shortest leg still lacks at the best that was found; zero where all fits, or would
        but for the rounding [mm].
    farthest : float
        How far a point was allowed to move [mm].
    freedoms : int
        In how many directions points might be moved near the bends that do not fit [-].
    is_cut_short : bool
        Whether the search was ended before it had looked everywhere that it begins at.
    """

    fits: bool
    moves: Array
    shortfall: float
    farthest: float
    freedoms: int
    is_cut_short: bool = False

    @property
    def distances(self) -> Array:
        """How far each point is moved, shape (n,) [mm]."""
        distances: Array = np.linalg.norm(self.moves, axis=-1)
        return distances


def freedoms_of(cable: Cable) -> tuple[Freedom, ...]:
    """Return the directions in which the points of a cable may be moved.

    Parameters
    ----------
    cable : Cable
        The cable; one that does not say has free points between fixed ends and anchors.

    Returns
    -------
    tuple of Freedom
        Three for a free point, one for a point on an axis or a tube, none for a fixed one.
    """
    return tuple(_freedoms(cable))


def _freedoms(cable: Cable) -> Iterator[Freedom]:
    last = len(cable.points) - 1
    fixes = cable.fixes or (None,) * (last + 1)
    for i, at in enumerate(cable.points):
        stays = fixes[i] == "anchor" or i in (0, last)
        move = cable.moves[i] if cable.moves else "no" if stays else "free"
        if move == "tube":
            axis, room = cable.tube_axes[i], cable.tube_rooms[i]
            assert axis is not None
            assert room is not None
            yield Freedom(i, axis, room[0], low=-room[0], high=room[1])
        for k, name in enumerate("xyz"):
            if move in (name, "free"):
                yield Freedom(i, np.eye(3)[k], float(at[k]))


def repair(
    route: Route,
    *,
    freedoms: Sequence[Freedom],
    farthest: float = FARTHEST,
    grid: float = 0.0,
    holds: Callable[[Array], bool] | None = None,
    spare: ArrayLike = 0.0,
) -> Repair:
    r"""Find the smallest moves that give every bend its radius.

    .. math:: \min \sum_i |d_i|^2 \quad\text{subject to}\quad T_i + T_{i+1} \le L_i,\ |d_i| \le d

    with the tangents :math:`T = R\tan(\theta/2)` and legs :math:`L` of the moved points. Solved as a
    sequence of least-distance problems with the limits linearised, each followed as far as it can
    be trusted, from several starts. What is found is rounded to the tape's grid and fitted again,
    with a little more room asked for until the rounded points fit. Points that the run goes through
    it goes through when moved; headings stay.

    Parameters
    ----------
    route : Route
        One fitted route, misfits and all.
    freedoms : sequence of Freedom
        Where points may be moved. One that coincides with a neighbour stays.
    farthest : float
        No point is moved further than this [mm].
    grid : float
        What the tape can be read to; 0 leaves the moves as they come [mm].
    holds : callable, optional
        Tells whether the moves, shape (n, 3), make the route fit; by default the points are moved
        and fitted again.
    spare : array-like, shape () or (legs,)
        Room asked for on each leg beyond what its bends need, as far as points near it may be moved
        [mm].

    Returns
    -------
    Repair
        The moves, or none where nothing within reach was found.

    Raises
    ------
    CableRouteError
        For a bound that is not a finite length above zero.

    Notes
    -----
    A search takes so many linearised problems at most, the fewer the more freedoms there are, and
    says where that ended it. The problem is not convex: the smallest of several starts is taken, not proven the smallest of
    all; for a run through its points the first that fits. Where a corner is best pulled straight the
    moves found may be some per cent too large.

    References
    ----------
    .. [1] C. L. Lawson and R. J. Hanson, Solving Least Squares Problems, 1974, chapter 23: least
       distance programming (from memory).

    Examples
    --------
    >>> from cableroute import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 70, 0]], min_bend_radius=100)
    >>> end = Freedom(2, np.array([0.0, 1.0, 0.0]), 70.0)
    >>> repair(route, freedoms=[end], grid=1.0).moves[2].tolist()
    [0.0, 30.0, 0.0]
    """
    if not 0.0 < farthest < inf:
        raise CableRouteError(
            f"farthest move: expected a finite length above 0 mm, got {farthest!r}"
        )
    points = int(route.kept[-1]) + 1
    still = np.zeros((points, 3))
    near = _near(route, freedoms)
    if route.fits or not near or len(near) > MOST_FREEDOMS:
        short = 0.0 if route.fits else -float(route.slacks.min())
        return Repair(bool(route.fits), still, short, farthest, len(near))
    asked = np.broadcast_to(np.asarray(spare, dtype=np.float64), route.legs.shape)
    task = LeastMoves(route, near, farthest, spare=asked)
    check = holds or task.holds
    short = task.scale
    for room in (_ROOM, *(grid * np.array([0.5, 1.0, 2.0, 4.0]) if grid else ())):
        found = task.solve(room=float(room))
        short = task.shortfall(found)
        moves = task.moves(_rounded(found, near, grid))
        within = (moves**2).sum(-1).max() <= farthest**2 * (1.0 + 1e-9)
        if short == 0.0 and within and check(moves):
            return Repair(True, moves, 0.0, farthest, len(near))
        if short or task.is_spent:
            break
    return Repair(False, still, short, farthest, len(near), task.is_spent)


def _near(route: Route, freedoms: Sequence[Freedom]) -> list[Freedom]:
    """Freedoms of points near a misfit that do not coincide with a neighbour."""
    legs = np.flatnonzero(route.misfits)
    vertex = {int(point): i for i, point in enumerate(route.kept)}
    left_out = np.setdiff1d(np.arange(route.kept[-1] + 1), route.kept)
    twins = set(route.kept[np.searchsorted(route.kept, left_out) - 1].tolist())
    if (left_out > route.kept[-2]).any():
        twins.add(int(route.kept[-1]))  # the far end stays when its own twin is left out
    alone = vertex.keys() - twins
    return [
        freedom
        for freedom in freedoms
        if freedom.point in alone
        and len(legs)
        and np.min(np.abs(legs + 0.5 - vertex[freedom.point])) < REACH
    ]


def _rounded(steps: Array, freedoms: Sequence[Freedom], grid: float) -> Array:
    """Bring what the tape reads to its grid; a step of less than half of it stays out."""
    if not grid:
        return steps
    now = np.array([freedom.value for freedom in freedoms])
    to = np.round((now + steps) / grid) * grid - now
    low = np.array([freedom.low for freedom in freedoms])
    high = np.array([freedom.high for freedom in freedoms])
    to = np.where(to > high, to - grid, np.where(to < low, to + grid, to))
    return np.where(np.abs(steps) < 0.5 * grid, 0.0, to)
