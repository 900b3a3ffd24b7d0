"""A shaft that slides, with a rod taking hold of it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.linkage.reach import Reach, reach_between
from cableroute.linkage.vectors import check_direction, check_point, dot, norm


@frozen(eq=False, kw_only=True)
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

    origin: Array
    direction: Array

    def __post_init__(self) -> None:
        object.__setattr__(self, "origin", check_point(self.origin, "slide origin"))
        object.__setattr__(self, "direction", check_direction(self.direction, "slide direction"))

    def at(self, coordinate: ArrayLike) -> Array:
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

    def rate(self, coordinate: ArrayLike) -> Array:
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

    def tilt(self, rod: Array) -> Array:
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

    def _foot(self, target: Array) -> tuple[Array, Array]:
        """Return the coordinate abreast of a point, and the point's distance from the line."""
        out = target - self.origin
        along = dot(out, self.direction)
        return along, norm(out - along[..., None] * self.direction)

    def solve(self, target: Array, length: ArrayLike, side: ArrayLike) -> Reach:
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
        return reach_between(
            along + np.asarray(side) * reach, length=long, near=off, far=np.asarray(np.inf)
        )

    def stationary(self, target: Array) -> Array:
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
