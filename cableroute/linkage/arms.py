"""Where a rod takes hold: an arm that swings about a pivot, or a shaft that slides.

Both have one coordinate (the angle of an arm in rad, the slide of a shaft in mm, zero at neutral)
and both answer the same four questions: where the attachment is, how fast it moves, at which
coordinate it stands a given distance from a given point, and where that distance is stationary.
The distance to a point is, for an arm,

    L**2 = K + 2 r m cos(q - phi)

and a quadratic for a slide, so every inversion here is closed and needs no iteration.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from cableroute.errors import GeometryError
from cableroute.linkage.vectors import (
    FloatArray,
    check_direction,
    check_point,
    check_positive,
    dot,
    norm,
    turned,
    wrapped,
)

SQUARE_WITHIN = float(np.sin(np.radians(1.0)))
"""Cosine allowed between an arm and its axis before it is refused (1 degree) [-]."""

ROUNDING = 1e-9
"""A miss below this share of the rod's length is rounding, not a gap [-]."""


@dataclass(frozen=True, slots=True, eq=False)
class Reach:
    """The coordinate at which a member stands at the distance asked for.

    Attributes
    ----------
    coordinate : ndarray, shape (...)
        Angle [rad] or slide [mm]; nan where it cannot reach.
    shortfall : ndarray, shape (...)
        Zero where it closes; above zero: the rod is too long by this, below zero: too short [mm].
    """

    coordinate: FloatArray
    shortfall: FloatArray


def _reach(coordinate: FloatArray, length: FloatArray, near: FloatArray, far: FloatArray) -> Reach:
    """Blank what lies outside the distances a member can have, and say by how much."""
    gap = np.maximum(length - far, 0.0) - np.maximum(near - length, 0.0)
    gap = np.where(np.abs(gap) <= ROUNDING * np.maximum(np.abs(length), 1.0), 0.0, gap)
    return Reach(np.where(gap == 0.0, coordinate, np.nan), gap)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
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

    pivot: FloatArray
    axis: FloatArray
    neutral: FloatArray
    radius: float

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

    def at(self, coordinate: ArrayLike) -> FloatArray:
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
        return self.pivot + self.radius * turned(self.neutral, self.axis, coordinate)

    def rate(self, coordinate: ArrayLike) -> FloatArray:
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
        return np.asarray(np.cross(self.axis, self.at(coordinate) - self.pivot))

    @property
    def speed(self) -> float:
        """Path of the attachment per unit of the coordinate: the radius [mm/rad]."""
        return self.radius

    def tilt(self, rod: FloatArray) -> FloatArray:
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

    def _circle(self, target: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return K, 2 r m and phi of ``L**2 = K + 2 r m cos(q - phi)``."""
        out = self.pivot - target
        a, b = dot(out, self.neutral), dot(out, np.cross(self.axis, self.neutral))
        swing = 2 * self.radius * np.hypot(a, b)
        return dot(out, out) + self.radius**2, swing, np.asarray(np.arctan2(b, a))

    def solve(self, target: FloatArray, length: ArrayLike, side: ArrayLike) -> Reach:
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
        return _reach(q, long, near, np.sqrt(constant + swing))

    def stationary(self, target: FloatArray) -> FloatArray:
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


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Slide:
    """A shaft that slides; its coordinate is the distance from neutral [mm].

    ``attachment(q) = origin + q t``

    Parameters
    ----------
    origin : array-like, shape (3,)
        The attachment at neutral [mm].
    direction : array-like, shape (3,)
        Which way the shaft slides when the coordinate grows [-].

    Examples
    --------
    >>> Slide(origin=(10, 0, 0), direction=(2, 0, 0)).at(5.0).tolist()
    [15.0, 0.0, 0.0]
    """

    origin: FloatArray
    direction: FloatArray

    def __post_init__(self) -> None:
        object.__setattr__(self, "origin", check_point(self.origin, "slide origin"))
        object.__setattr__(self, "direction", check_direction(self.direction, "slide direction"))

    def at(self, coordinate: ArrayLike) -> FloatArray:
        """Return the attachment point.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Slide from neutral [mm].

        Returns
        -------
        ndarray, shape (..., 3)
            [mm]
        """
        return self.origin + np.asarray(coordinate, dtype=np.float64)[..., None] * self.direction

    def rate(self, coordinate: ArrayLike) -> FloatArray:
        """Return how the attachment moves per mm: the direction itself.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Slide from neutral [mm].

        Returns
        -------
        ndarray, shape (..., 3)
            [-]
        """
        return np.broadcast_to(self.direction, (*np.shape(coordinate), 3))

    @property
    def speed(self) -> float:
        """Path of the attachment per unit of the coordinate: one [mm/mm]."""
        return 1.0

    def tilt(self, rod: FloatArray) -> FloatArray:
        """Return the angle of a rod to the line of the shaft.

        Parameters
        ----------
        rod : ndarray, shape (..., 3)
            Unit vectors along the rod [-].

        Returns
        -------
        ndarray, shape (...)
            What the rod end must allow [rad].
        """
        return np.asarray(np.arccos(np.clip(np.abs(dot(rod, self.direction)), 0.0, 1.0)))

    def _foot(self, target: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return the coordinate abreast of a point, and the point's distance from the line."""
        out = target - self.origin
        along = dot(out, self.direction)
        return along, norm(out - along[..., None] * self.direction)

    def solve(self, target: FloatArray, length: ArrayLike, side: ArrayLike) -> Reach:
        """Find the slide at which the attachment stands a given distance from a point.

        ``q = p + side * sqrt(L**2 - h**2)``, the point being abreast at p and h off the line

        Parameters
        ----------
        target : ndarray, shape (..., 3)
            The point [mm].
        length : array-like, shape (...)
            The distance [mm].
        side : array-like, shape (...)
            +1 for the solution where sliding on lengthens the distance, -1 for the other [-].

        Returns
        -------
        Reach
        """
        along, off = self._foot(target)
        long = np.asarray(length, dtype=np.float64)
        reach = np.sqrt(np.maximum((long - off) * (long + off), 0.0))
        return _reach(along + np.asarray(side) * reach, long, off, np.asarray(np.inf))

    def stationary(self, target: FloatArray) -> FloatArray:
        """Return the one slide at which the rod from a point stands square to the shaft.

        Parameters
        ----------
        target : ndarray, shape (..., 3)
            The rod's other end [mm].

        Returns
        -------
        ndarray, shape (..., 1)
            [mm]
        """
        return self._foot(target)[0][..., None]


Member: TypeAlias = Arm | Slide
