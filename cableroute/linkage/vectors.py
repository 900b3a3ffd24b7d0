"""The few vector operations, and the checks at the door, that every file of the linkage shares."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError

#: Leverage below which a rod counts as pointing straight at its pivot [-].
ON_THE_LINE = 1e-6


def dot(a: Array, b: Array) -> Array:
    """Return the inner product over the last axis, whatever the leading ones.

    Parameters
    ----------
    a, b : ndarray, shape (..., 3)
        Vectors, broadcast against each other [any].

    Returns
    -------
    ndarray, shape (...)
    """
    return np.asarray(np.sum(a * b, axis=-1), dtype=np.float64)


def cross(a: Array, b: Array) -> Array:
    """Return the vector product over the last axis, for short arrays many times faster than numpy's.

    Parameters
    ----------
    a, b : ndarray, shape (..., 3)
        Vectors, broadcast against each other [any].

    Returns
    -------
    ndarray, shape (..., 3)

    Examples
    --------
    >>> cross(np.array([1.0, 0, 0]), np.array([0, 1.0, 0])).tolist()
    [0.0, 0.0, 1.0]
    """
    right, left = [1, 2, 0], [2, 0, 1]
    return np.asarray(a[..., right] * b[..., left] - a[..., left] * b[..., right])


def norm(a: Array) -> Array:
    """Return the length of every vector.

    Parameters
    ----------
    a : ndarray, shape (..., 3)
        Vectors [any].

    Returns
    -------
    ndarray, shape (...)
    """
    return np.sqrt(dot(a, a))


def turned(vector: Array, axis: Array, angle: ArrayLike) -> Array:
    """Turn a vector about an axis by the right-hand rule (Rodrigues).

    ``v cos q + (k x v) sin q + k (k.v)(1 - cos q)``

    Parameters
    ----------
    vector : ndarray, shape (..., 3)
        What is turned [any].
    axis : ndarray, shape (..., 3)
        Unit vector along the axis [-].
    angle : array-like, shape (...)
        Angle [rad].

    Returns
    -------
    ndarray, shape (..., 3)

    Examples
    --------
    >>> turned(np.array([0.0, 0, 1]), np.array([0.0, 1, 0]), np.pi / 2).round(3).tolist()
    [1.0, 0.0, 0.0]
    """
    q = np.asarray(angle, dtype=np.float64)[..., None]
    along = axis * dot(axis, vector)[..., None]
    return np.asarray(
        vector * np.cos(q) + cross(axis, vector) * np.sin(q) + along * (1 - np.cos(q))
    )


def wrapped(angle: Array) -> Array:
    """Bring angles into the half turn either side of zero.

    Parameters
    ----------
    angle : ndarray, shape (...)
        Angles [rad].

    Returns
    -------
    ndarray, shape (...)
        The same angles in [-pi, pi) [rad].
    """
    return np.asarray((angle + np.pi) % (2 * np.pi) - np.pi)


def check_point(value: ArrayLike, what: str) -> Array:
    """Return three finite coordinates as a read-only array.

    Parameters
    ----------
    value : array-like, shape (3,)
        x forward, y left, z up [mm].
    what : str
        Its name, for the message.

    Returns
    -------
    ndarray, shape (3,)

    Raises
    ------
    GeometryError
        If there are not three finite numbers.
    """
    try:
        point = np.array(value, dtype=np.float64)
    except (TypeError, ValueError):
        point = np.full(1, np.nan)
    if point.shape != (3,) or not np.all(np.isfinite(point)):
        raise GeometryError(f"{what}: expected three finite numbers, got {value!r}")
    point.setflags(write=False)
    return point


def check_direction(value: ArrayLike, what: str) -> Array:
    """Return a direction as a unit vector.

    Parameters
    ----------
    value : array-like, shape (3,)
        Any vector but zero [any].
    what : str
        Its name, for the message.

    Returns
    -------
    ndarray, shape (3,)

    Raises
    ------
    GeometryError
        If the vector is zero or not finite.
    """
    vector = check_point(value, what)
    size = float(norm(vector))
    if size < 1e-12:
        raise GeometryError(f"{what}: expected a direction, got the zero vector")
    unit = vector / size
    unit.setflags(write=False)
    return unit


def check_positive(value: float, what: str) -> float:
    """Return a finite number above zero.

    Parameters
    ----------
    value : float
        The number [any].
    what : str
        Its name, for the message.

    Returns
    -------
    float

    Raises
    ------
    GeometryError
        If it is zero, negative or not finite.
    """
    if not (np.isfinite(value) and value > 0):
        raise GeometryError(f"{what}: expected a number above 0, got {value!r}")
    return float(value)


def check_not_negative(value: float, what: str) -> float:
    """Return a finite number of zero or more.

    Parameters
    ----------
    value : float
        The number [any].
    what : str
        Its name, for the message.

    Returns
    -------
    float

    Raises
    ------
    GeometryError
        If it is negative or not finite.
    """
    if not (np.isfinite(value) and value >= 0):
        raise GeometryError(f"{what}: expected 0 or more, got {value!r}")
    return float(value)


def check_span(low: float, high: float, what: str) -> tuple[float, float]:
    """Return a span whose ends are finite and in order.

    Parameters
    ----------
    low, high : float
        The two ends [any].
    what : str
        Its name, for the message.

    Returns
    -------
    tuple of float

    Raises
    ------
    GeometryError
        If the ends are not finite, or the first is not below the second.
    """
    if not (np.isfinite(low) and np.isfinite(high) and low < high):
        raise GeometryError(f"{what}: expected low below high, got {low!r} and {high!r}")
    return float(low), float(high)
