"""The bend schedule of a wire template, as benders use it: length, rotation, angle.

A wire bent to the schedule lies where the route runs. Its marks are measured from the hand end.
"""

from __future__ import annotations

from itertools import accumulate

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, IntArray
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.route.pieces import Route, at_both_ends
from cableroute.route.segments import STRAIGHT, bend_normals

#: Rotations this near to minus half a turn are half a turn [rad].
_HALF_TURN = 1e-9


@frozen(eq=False)
class Schedule:
    """How to bend a straight wire into a route with ``k`` bends, from the hand end on.

    Parameters
    ----------
    corners : ndarray of int, shape (k,)
        Which corner of the route each bend is, the first being 0 [-].
    straights : ndarray, shape (k + 1,)
        Straight before each bend, and after the last [mm].
    rotations : ndarray, shape (k,)
        Turn of the bend's plane about the wire since the bend before, right-handed about the
        direction towards the far end, above -pi and up to pi; 0 for the first [rad].
    angles : ndarray, shape (k,)
        Angle of each bend, its deflection from straight on [rad].
    radii : ndarray, shape (k,)
        Radius of each bend, to the centre of the wire [mm].
    """

    corners: IntArray
    straights: Array
    rotations: Array
    angles: Array
    radii: Array

    @property
    def starts(self) -> Array:
        """Bend marks: length along the wire from the hand end to each bend, shape (k,) [mm]."""
        return np.asarray(self.ends - self.radii * self.angles)

    @property
    def ends(self) -> Array:
        """Length along the wire from the hand end to the end of each bend, shape (k,) [mm]."""
        return np.cumsum(self.straights[:-1] + self.radii * self.angles)

    @property
    def length(self) -> float:
        """Length of the wire [mm]."""
        return float(self.straights.sum() + (self.radii * self.angles).sum())


def bend_schedule(route: Route) -> Schedule:
    r"""Return the lengths, rotations and angles that bend a straight wire into a route.

    With :math:`t_i` the direction before bend :math:`i`, :math:`n_i` towards its centre and
    :math:`b_i = t_i \times n_i`, the rotation is
    :math:`\operatorname{atan2}(t_i \cdot (b_{i-1} \times b_i),\ b_{i-1} \cdot b_i)`.

    Parameters
    ----------
    route : Route
        One route.

    Returns
    -------
    Schedule
        Points where the route goes straight on are left out.

    Raises
    ------
    GeometryError
        For a batch of routes.

    Notes
    -----
    Spring-back and stretch of the wire are not in it: bend to the angle, not to the tool's stop.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0], [400, 300, 200]], min_bend_radius=60)
    >>> schedule = bend_schedule(route)
    >>> schedule.starts.round(1), np.degrees(schedule.rotations).round(6)
    (array([340. , 614.2]), array([ 0., 90.]))
    """
    if route.legs.ndim != 1:
        raise GeometryError(
            f"expected one route, points of shape (n, 3), got a batch of {route.legs.shape[:-1]}"
        )
    corners = np.flatnonzero(route.turns > STRAIGHT)
    before = route.directions[corners]
    normals = bend_normals(route.directions, route.turns)[corners]
    axes = np.cross(before, normals)
    sines = np.einsum("ij,ij->i", before[1:], np.cross(axes[:-1], axes[1:]))
    rotations = np.arctan2(sines, np.einsum("ij,ij->i", axes[:-1], axes[1:]))
    rotations[rotations < -np.pi + _HALF_TURN] = np.pi  # an S in one plane turns by +180 always
    first_legs = np.concatenate(([0], corners + 1))  # legs of a straight run go together
    return Schedule(
        corners=corners,
        straights=np.maximum(np.add.reduceat(route.straights, first_legs), 0.0),
        rotations=np.concatenate(([0.0], rotations))[: len(corners)],
        angles=route.turns[corners],
        radii=route.radii[corners],
    )


def wire_frame(route: Route) -> tuple[Array, Array, Array]:
    """Return where the wire starts and how it is held there.

    Parameters
    ----------
    route : Route
        One route.

    Returns
    -------
    tuple of ndarray, shape (3,)
        Start [mm], direction of the wire there, and the way its first bend goes; any direction
        across the wire if it is straight [-].
    """
    direction = route.directions[0]
    normals = bend_normals(route.directions, route.turns)[route.turns > STRAIGHT]
    if len(normals):
        return route.points[0], direction, normals[0]
    across = np.cross(direction, np.eye(3)[np.argmin(np.abs(direction))])
    return route.points[0], direction, across / np.linalg.norm(across)


def rebuild(
    schedule: Schedule, *, start: ArrayLike, direction: ArrayLike, normal: ArrayLike
) -> Array:
    """Return the corner points of the wire that a schedule describes.

    The frame (direction, normal, direction x normal) is rolled about the wire by each rotation,
    then turned in its plane by each angle; the legs are the straights with the tangent lengths
    ``radius * tan(angle / 2)`` on both sides.

    Parameters
    ----------
    schedule : Schedule
        What to bend.
    start : array-like, shape (3,)
        Where the wire starts [mm].
    direction : array-like, shape (3,)
        Unit vector along the wire there [-].
    normal : array-like, shape (3,)
        Unit vector across it, the way the first bend goes [-].

    Returns
    -------
    ndarray, shape (k + 2, 3)
        Start, the corner point of each bend, end [mm].

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> schedule = bend_schedule(fit_arcs([[0, 0, 0], [9, 0, 0], [9, 5, 0]], min_bend_radius=2))
    >>> rebuild(schedule, start=(0, 0, 0), direction=(0, 0, 1), normal=(1, 0, 0)).round(6) + 0.0
    array([[0., 0., 0.],
           [0., 0., 9.],
           [5., 0., 9.]])
    """
    along, across = (np.asarray(vector, dtype=np.float64) for vector in (direction, normal))
    held = np.column_stack((along, across, np.cross(along, across)))
    run = np.cumsum(legs_of(schedule)[:, None] * _frames(schedule, held)[:, :, 0], axis=0)
    return np.asarray(start, dtype=np.float64) + np.concatenate((np.zeros((1, 3)), run))


def legs_of(schedule: Schedule) -> Array:
    """Return the distances from corner point to corner point: straights with their tangents.

    Parameters
    ----------
    schedule : Schedule
        What to bend.

    Returns
    -------
    ndarray, shape (k + 1,)
        Lengths [mm].
    """
    return schedule.straights + at_both_ends(schedule.radii * np.tan(0.5 * schedule.angles))


def planes_of(schedule: Schedule) -> Array:
    """Return the axis that each bend turns about, square to its plane.

    Parameters
    ----------
    schedule : Schedule
        What to bend.

    Returns
    -------
    ndarray, shape (k, 3)
        Unit vectors, in a frame in which the wire starts along x and first bends to y [-].
    """
    return _frames(schedule, np.eye(3))[1:, :, 2]


def _frames(schedule: Schedule, held: Array) -> Array:
    """Frames (direction, normal, axis) of each leg, each turned about the axis of the bend before."""
    steps = _roll(schedule.rotations) @ _bend(schedule.angles)
    return np.stack(list(accumulate(steps, np.matmul, initial=held)))


def _roll(angles: Array) -> Array:
    """Matrices that turn a frame about its first axis."""
    matrices = np.tile(np.eye(3), (len(angles), 1, 1))
    matrices[:, 1, 1] = matrices[:, 2, 2] = np.cos(angles)
    matrices[:, 2, 1] = np.sin(angles)
    matrices[:, 1, 2] = -np.sin(angles)
    return matrices


def _bend(angles: Array) -> Array:
    """Matrices that turn a frame about its third axis."""
    matrices = np.tile(np.eye(3), (len(angles), 1, 1))
    matrices[:, 0, 0] = matrices[:, 1, 1] = np.cos(angles)
    matrices[:, 1, 0] = np.sin(angles)
    matrices[:, 0, 1] = -np.sin(angles)
    return matrices
