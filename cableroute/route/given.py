"""What may be asked of the points of a run, checked."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray
from cableroute.errors import GeometryError

#: A heading shorter than this says no direction [-].
_NO_LENGTH = 1e-12


def check_points(points: ArrayLike) -> Array:
    """Return points as a float64 array, or say what is wrong with them.

    Parameters
    ----------
    points : array-like, shape (..., n, 3)
        Points with n of two or more [mm].

    Returns
    -------
    ndarray, shape (..., n, 3)
        The same points [mm].

    Raises
    ------
    GeometryError
        When they are not numbers, not three to a point, fewer than two, or not finite.
    """
    try:
        array = np.asarray(points, dtype=np.float64)
    except (TypeError, ValueError) as error:
        msg = f"points: expected numbers of shape (n, 3), got something else ({error})"
        raise GeometryError(msg) from error
    if array.ndim < 2 or array.shape[-1] != 3:
        msg = f"points: expected x, y, z for each, shape (n, 3), got shape {array.shape}"
        raise GeometryError(msg)
    if array.shape[-2] < 2:
        msg = f"points: expected at least two, got {array.shape[-2]}"
        raise GeometryError(msg)
    if not np.isfinite(array).all():
        row = np.argwhere(~np.isfinite(array))[0]
        msg = f"point {row[-2] + 1}: expected finite numbers, got {array[tuple(row[:-1])].tolist()}"
        raise GeometryError(msg)
    return array


def check_radii(radii: ArrayLike, *, corners: int, ends: bool = False) -> Array:
    """Return bend radii as a float64 array, or say what is wrong with them.

    Parameters
    ----------
    radii : array-like
        One radius, or one a corner on the last axis [mm].
    corners : int
        Number of interior points [-].
    ends : bool
        Whether one for each point, the ends among them, will do too.

    Returns
    -------
    ndarray
        The same radii [mm].

    Raises
    ------
    GeometryError
        When one is not a finite number above zero, or their number is wrong.
    """
    try:
        array = np.asarray(radii, dtype=np.float64)
    except (TypeError, ValueError) as error:
        msg = f"bend radius: expected a number or one per corner, got {radii!r}"
        raise GeometryError(msg) from error
    right = (corners, corners + 2) if ends else (corners,)
    if array.ndim and array.shape[-1] not in right:
        msg = f"bend radius: expected one for each of {corners} corners, got {array.shape[-1]}"
        raise GeometryError(msg)
    if not (np.isfinite(array) & (array > 0.0)).all():
        msg = f"bend radius: expected numbers above 0 mm, got {radii!r}"
        raise GeometryError(msg)
    return array


def check_through(through: ArrayLike, *, points: tuple[int, ...]) -> BoolArray:
    """Return which points lie on the run, or say what is wrong with that.

    Parameters
    ----------
    through : array-like of bool
        One for each point, or True for all of them [-].
    points : tuple of int
        Batch axes and number of the points, ``(..., n)`` [-].

    Returns
    -------
    ndarray of bool, shape (..., n)
        The same, one for each point of each route.

    Raises
    ------
    GeometryError
        When they are no truth values, their number is wrong, or an end is left out: the run begins
        and ends at its end points.
    """
    mask = np.asarray(through)
    if mask.dtype != np.bool_:
        msg = f"through: expected True or False for each point, got {through!r}"
        raise GeometryError(msg)
    if mask.ndim and mask.shape[-1] != points[-1]:
        msg = f"through: expected one for each of {points[-1]} points, got {mask.shape[-1]}"
        raise GeometryError(msg)
    if mask.ndim == 0:
        mask = mask | np.isin(np.arange(points[-1]), (0, points[-1] - 1))
    try:
        mask = np.broadcast_to(mask, points)
    except ValueError as error:
        msg = f"through: expected shape {points} or {points[-1:]}, got {mask.shape}"
        raise GeometryError(msg) from error
    for end, number in ((0, 1), (-1, points[-1])):
        if not mask[..., end].all():
            msg = f"point {number}: an end lies on the run; expected it through, got inside"
            raise GeometryError(msg)
    return mask


def check_headings(headings: ArrayLike, *, points: tuple[int, ...]) -> Array:
    """Return headings as unit vectors, or say what is wrong with them.

    Parameters
    ----------
    headings : array-like, shape (..., n, 3)
        Direction in which the run meets each point; nan where it is free [-].
    points : tuple of int
        Batch axes and number of the points, ``(..., n)`` [-].

    Returns
    -------
    ndarray, shape (..., n, 3)
        Unit vectors, nan where free [-].

    Raises
    ------
    GeometryError
        When they are not numbers of that shape, one has no length or is given in part, or the same
        points are not held in all routes of a batch.
    """
    try:
        array = np.broadcast_to(np.asarray(headings, dtype=np.float64), (*points, 3))
    except (TypeError, ValueError) as error:
        msg = f"headings: expected numbers of shape {(*points[-1:], 3)}, nan where free ({error})"
        raise GeometryError(msg) from error
    free = np.isnan(array).all(-1)
    size = np.linalg.norm(array, axis=-1)
    wrong = ~free & ~(np.isfinite(size) & (size > _NO_LENGTH))
    if wrong.any():
        row = np.argwhere(wrong)[0]
        msg = f"point {row[-1] + 1}: expected a heading of some length, got {array[tuple(row)].tolist()}"
        raise GeometryError(msg)
    column = free.reshape(-1, points[-1])
    if (column != column[:1]).any():
        route, point = np.argwhere(column != column[:1])[0]
        msg = f"route {route} of the batch: point {point + 1} has a heading in some routes only"
        raise GeometryError(msg)
    return array / np.where(free, 1.0, size)[..., None]
