"""Twist grips, cams and quadrants: the core winds on a drum whose radius may change."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.reach import Reach


def _table(value: ArrayLike, what: str) -> Array:
    """Return a column of the table, read-only, or say what is wrong with it."""
    column = np.array(value, dtype=np.float64)
    if column.ndim != 1 or column.size < 2 or not np.all(np.isfinite(column)):
        raise GeometryError(f"{what}: expected two or more finite numbers, got {value!r}")
    column.setflags(write=False)
    return column


@frozen(eq=False, kw_only=True)
class Drum:
    """A drum that winds the core on; its coordinate is the angle from neutral [rad].

    ``pulled(q) = sense * integral of radius from 0 to q``, radius linear between the rows

    Parameters
    ----------
    angles : array-like, shape (n,)
        Angles of the table, rising, with neutral (0) among or between them [rad].
    radii : array-like, shape (n,)
        Distance of the core's line from the axis at each angle, above 0 [mm].
    sense : int, default 1
        +1 if a positive angle winds the core on (pulls it out of the conduit), -1 if it pays
        out [-].

    Raises
    ------
    GeometryError
        If the table does not rise, does not hold neutral, or has a radius that is not above 0.

    Notes
    -----
    By virtual work the integral is exact when each radius is the moment arm: the perpendicular
    from the axis to the line of the core at that angle, half the core's thickness included. On a
    round drum that is the groove's radius; on a cam it is not the outline's radius.

    Examples
    --------
    >>> grip = Drum(angles=[0, 2], radii=[12, 12])
    >>> float(grip.pulled(1.5))
    18.0
    """

    angles: Array
    radii: Array
    sense: int = 1

    def __post_init__(self) -> None:
        angles, radii = _table(self.angles, "drum angles"), _table(self.radii, "drum radii")
        if angles.shape != radii.shape:
            raise GeometryError(
                f"drum: expected a radius for every angle, got {angles.size} angles and "
                f"{radii.size} radii"
            )
        if np.any(np.diff(angles) <= 0) or not angles[0] <= 0 <= angles[-1]:
            raise GeometryError(
                f"drum angles: expected them rising and holding neutral 0, got {angles.tolist()}"
            )
        if np.any(radii <= 0):
            raise GeometryError(f"drum radii: expected all above 0, got {radii.tolist()}")
        if self.sense not in (1, -1):
            raise GeometryError(f"drum sense: expected 1 or -1, got {self.sense!r}")
        object.__setattr__(self, "angles", angles)
        object.__setattr__(self, "radii", radii)

    def _wound(self, angle: Array) -> Array:
        """Return the core wound on between the first row and an angle."""
        row = np.clip(np.searchsorted(self.angles, angle, side="right") - 1, 0, None)
        row = np.minimum(row, self.angles.size - 2)
        mean = (self.radii[row] + np.interp(angle, self.angles, self.radii)) / 2
        return np.asarray(self._sums()[row] + mean * (angle - self.angles[row]))

    def _sums(self) -> Array:
        """Return the core wound on at every row."""
        pieces = np.diff(self.angles) * (self.radii[1:] + self.radii[:-1]) / 2
        return np.concatenate([[0.0], np.cumsum(pieces)])

    def pulled(self, coordinate: ArrayLike) -> Array:
        """Return the core drawn out of the conduit since neutral.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle [rad].

        Returns
        -------
        ndarray, shape (...)
            [mm]

        Raises
        ------
        GeometryError
            If an angle lies outside the table.
        """
        angle = np.asarray(coordinate, dtype=np.float64)
        low, high = self.angles[0], self.angles[-1]
        if np.any((angle < low) | (angle > high)):
            raise GeometryError(
                f"drum: expected angles within its table, {np.degrees(low):.1f} to "
                f"{np.degrees(high):.1f} degrees, got {np.degrees(np.nanmin(angle)):.1f} to "
                f"{np.degrees(np.nanmax(angle)):.1f}"
            )
        return self.sense * (self._wound(angle) - self._wound(np.zeros(())))

    def gain(self, coordinate: ArrayLike) -> Array:
        """Return the core drawn per radian: the radius, with the sense.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle [rad].

        Returns
        -------
        ndarray, shape (...)
            [mm/rad]
        """
        angle = np.asarray(coordinate, dtype=np.float64)
        return np.asarray(self.sense * np.interp(angle, self.angles, self.radii))

    def solve(self, pulled: ArrayLike) -> Reach:
        """Find the angle at which a given length of core has been drawn out.

        Parameters
        ----------
        pulled : array-like, shape (...)
            Core drawn out of the conduit since neutral [mm].

        Returns
        -------
        Reach

        Notes
        -----
        Within a row the core wound on is a quadratic in the angle; its root is taken in the form
        that stays exact when the radius hardly changes.
        """
        sums = self._sums()
        want = self.sense * np.asarray(pulled, dtype=np.float64) + self._wound(np.zeros(()))
        gap = np.maximum(want - sums[-1], 0.0) - np.maximum(-want, 0.0)
        gap = np.where(np.abs(gap) <= 1e-9 * sums[-1], 0.0, gap)
        row = np.clip(np.searchsorted(sums, want, side="right") - 1, 0, self.angles.size - 2)
        left, radius = np.clip(want, 0.0, sums[-1]) - sums[row], self.radii[row]
        slope = (np.diff(self.radii) / np.diff(self.angles))[row]
        step = 2 * left / (radius + np.sqrt(np.maximum(radius**2 + 2 * slope * left, 0.0)))
        return Reach(np.where(gap == 0.0, self.angles[row] + step, np.nan), gap)

    def leverage(self, coordinate: ArrayLike) -> Array:
        """Return the sense: the core always leaves a drum square to its radius.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle [rad].

        Returns
        -------
        ndarray, shape (...)
            +1 or -1 [-].
        """
        return np.full(np.shape(coordinate), float(self.sense))

    def rod_angle(self, coordinate: ArrayLike) -> Array:
        """Return zero: the core runs straight from a drum to its conduit.

        Parameters
        ----------
        coordinate : array-like, shape (...)
            Angle [rad].

        Returns
        -------
        ndarray, shape (...)
            [rad]
        """
        return np.zeros(np.shape(coordinate))
