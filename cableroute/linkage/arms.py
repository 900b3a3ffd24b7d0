"""An arm that swings about a pivot, with a rod taking hold of it.

An arm and a slide each have one coordinate (the angle of an arm in rad, the slide of a shaft in mm,
zero at neutral) and answer the same questions: where the attachment is, how fast it moves, at which
coordinate it stands a given distance from a given point, and where that distance is stationary.
The distance from a point to the end of an arm is

    L**2 = K + 2 r m cos(q - phi)

and a quadratic for a slide, so every inversion here is closed and needs no iteration.
"""

from __future__ import annotations

from dataclasses import field
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.reach import ROUNDING, Reach, reach_between
from cableroute.linkage.slide import Slide
from cableroute.linkage.vectors import (
    check_direction,
    check_point,
    check_positive,
    cross,
    dot,
    norm,
    wrapped,
)

#: Cosine allowed between an arm and its axis before it is refused (1 degree) [-].
SQUARE_WITHIN = float(np.sin(np.radians(1.0)))


@frozen(eq=False, kw_only=True)
class Arm:
    """An arm on a pivot; its coordinate is the angle from neutral by the right-hand rule [rad].

    ``attachment(q) = pivot + r (n cos q + (axis x n) sin q)``

    Parameters
    ----------
    pivot : array-like, shape (3,)
        Point on the axis in the plane the attachment swings in [mm].
    axis : array-like, shape (3,)
        Direction of the pivot pin [-].
    neutral : array-like, shape (3,)
        Direction from pivot to attachment at neutral, square to the axis within 1 degree [-].
    radius : float
        Pivot to attachment [mm].

    Raises
    ------
    GeometryError
        If the arm is not square to its axis, or a number is not usable.

    Notes
    -----
    When driven, the arm's angle is given within half a turn of neutral: a rocker, not a flywheel.

    Examples
    --------
    >>> lever = Arm(pivot=(0, 0, 0), axis=(0, 1, 0), neutral=(0, 0, 1), radius=50)
    >>> lever.at(np.pi / 2).round(6).tolist()
    [50.0, 0.0, 0.0]
    """

    pivot: Array
    axis: Array
    neutral: Array
    radius: float
    _ahead: Array = field(init=False, repr=False)

    def __post_init__(self) -> None:
        axis = check_direction(self.axis, "arm axis")
        lean = check_direction(self.neutral, "arm neutral direction")
        off = float(dot(axis, lean))
        if abs(off) > SQUARE_WITHIN:
            raise GeometryError(
                "arm neutral direction: expected it square to the axis within 1 degree, "
                f"got {np.degrees(np.arccos(np.clip(off, -1, 1))):.1f} degrees"
            )
        object.__setattr__(self, "pivot", check_point(self.pivot, "arm pivot"))
        object.__setattr__(self, "axis", axis)
        object.__setattr__(self, "neutral", check_direction(lean - off * axis, "arm neutral"))
        object.__setattr__(self, "_ahead", cross(axis, self.neutral))
        object.__setattr__(self, "radius", check_positive(self.radius, "arm radius"))

    @classmethod
    def through(cls, *, pivot: ArrayLike, axis: ArrayLike, attachment: ArrayLike) -> Arm:
        """Make the arm from any point on its axis and its attachment as measured at neutral.

        Parameters
        ----------
        pivot : array-like, shape (3,)
            Any point on the axis [mm].
        axis : array-like, shape (3,)
            Direction of the pivot pin [-].
        attachment : array-like, shape (3,)
            Where the rod takes hold at neutral [mm].

        Returns
        -------
        Arm

        Raises
        ------
        GeometryError
            If the attachment lies on the axis.

        Examples
        --------
        >>> Arm.through(pivot=(0, 0, 0), axis=(0, 1, 0), attachment=(0, 20, 30)).radius
        30.0
        """
        along = check_direction(axis, "arm axis")
        start = check_point(pivot, "arm pivot")
        out = check_point(attachment, "arm attachment") - start
        foot = along * dot(along, out)
        return cls(
            pivot=start + foot, axis=along, neutral=out - foot, radius=float(norm(out - foot))
        )

    def at(self, coordinate: ArrayLike) -> Array:
        """Return the attachment point.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle from neutral [rad].

        Returns
        -------
        ndarray, shape (..., 3)
            [mm]
        """
        q = np.asarray(coordinate, dtype=np.float64)[..., None]
        return self.pivot + self.radius * (self.neutral * np.cos(q) + self._ahead * np.sin(q))

    def rate(self, coordinate: ArrayLike) -> Array:
        """Return how the attachment moves per radian.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle from neutral [rad].

        Returns
        -------
        ndarray, shape (..., 3)
            [mm/rad]
        """
        q = np.asarray(coordinate, dtype=np.float64)[..., None]
        return self.radius * (self._ahead * np.cos(q) - self.neutral * np.sin(q))

    @property
    def speed(self) -> float:
        """Path of the attachment per unit of the coordinate: the radius [mm/rad]."""
        return self.radius

    def tilt(self, rod: Array) -> Array:
        """Return how far a rod leans out of the plane the arm swings in.

        Parameters
        ----------
        rod : ndarray, shape (..., 3)
            Unit vectors along the rod [-].

        Returns
        -------
        ndarray, shape (...)
            What the rod end must allow [rad].
        """
        return np.asarray(np.arcsin(np.clip(np.abs(dot(rod, self.axis)), 0.0, 1.0)))

    def _circle(self, target: Array) -> tuple[Array, Array, Array]:
        """Return K, 2 r m and phi of ``L**2 = K + 2 r m cos(q - phi)``."""
        out = self.pivot - target
        a, b = dot(out, self.neutral), dot(out, self._ahead)
        swing = 2 * self.radius * np.hypot(a, b)
        return dot(out, out) + self.radius**2, swing, np.asarray(np.arctan2(b, a))

    def solve(self, target: Array, length: ArrayLike, side: ArrayLike) -> Reach:
        """Find the angle at which the attachment stands a given distance from a point.

        ``q = phi - side * arccos((L**2 - K) / (2 r m))``

        Parameters
        ----------
        target : ndarray, shape (..., 3)
            The point [mm].
        length : array-like, shape (...)
            The distance [mm].
        side : array-like, shape (...)
            +1 for the solution where turning on lengthens the distance, -1 for the other [-].

        Returns
        -------
        Reach

        Raises
        ------
        GeometryError
            If the point lies on the arm's axis: turning then never changes the distance.
        """
        constant, swing, phase = self._circle(target)
        if np.any(swing <= ROUNDING * constant):
            raise GeometryError(
                "arm: expected the rod's other end off the arm's axis, got it on the axis, "
                "where turning the arm moves no rod"
            )
        long = np.asarray(length, dtype=np.float64)
        cosine = np.clip((long * np.abs(long) - constant) / swing, -1.0, 1.0)
        near = np.sqrt(np.maximum(constant - swing, 0.0))
        q = wrapped(phase - np.asarray(side) * np.arccos(cosine))
        return reach_between(q, length=long, near=near, far=np.sqrt(constant + swing))

    def stationary(self, target: Array) -> Array:
        """Return the two angles at which the rod from a point stands in line with the pivot.

        Parameters
        ----------
        target : ndarray, shape (..., 3)
            The rod's other end [mm].

        Returns
        -------
        ndarray, shape (..., 2)
            Farthest, then nearest [rad].
        """
        phase = self._circle(target)[2]
        return wrapped(np.stack([phase, phase + np.pi], axis=-1))


#: Anything a rod can be pinned to.
Member: TypeAlias = Arm | Slide
