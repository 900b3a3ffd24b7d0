"""Tubes, and the points where a conduit lies on the outside of one.

The clock is read as a mechanic would: looking from the tube's ``from`` end to its ``to`` end,
12 o'clock is the side nearest to straight up and the hours run to the right.

::

            12  twelve
             |
       9 ----+---- 3  three        looking from start to end
             |
             6
"""

from __future__ import annotations

import math
import re

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray
from cableroute.errors import GeometryError, TapeError
from cableroute.frozen import frozen

#: How far past an end `along` may fall and still count as the end [mm].
ALONG_SLACK = 1e-6

#: A tube within this angle of vertical has no side nearest to straight up [deg].
UPRIGHT_DEG = 5.0

_TIME = re.compile(r"(?P<hour>\d{1,2})(:(?P<minute>\d{2}))?\s*(?P<word>o[’'`]?\s?clock)?")
_DEGREES = re.compile(r"(?P<degrees>[+-]?\d+(\.\d*)?)\s*(°|deg|degrees)")


@frozen(eq=False)
class Tube:
    """A straight round tube of the frame.

    Parameters
    ----------
    name : str
        What the messages call it.
    start, end : array_like, shape (3,)
        The axis, from the `from` node to the `to` node [mm].
    diameter : float
        Outside diameter [mm].

    Raises
    ------
    GeometryError
        If an end is not three finite numbers, the ends coincide, or the diameter is not positive.
    """

    name: str
    start: Array
    end: Array
    diameter: float

    def __post_init__(self) -> None:
        for field in ("start", "end"):
            object.__setattr__(self, field, self._check_end(field))
        if self.length <= ALONG_SLACK:
            raise GeometryError(
                f'tube "{self.name}": its two ends must be apart (got {self.start.tolist()} twice)'
            )
        if not (math.isfinite(self.diameter) and self.diameter > 0):
            raise GeometryError(
                f'tube "{self.name}": diameter must be greater than 0 mm (got {self.diameter})'
            )

    def _check_end(self, field: str) -> Array:
        end = np.array(getattr(self, field), dtype=float)
        if end.shape != (3,) or not np.isfinite(end).all():
            raise GeometryError(
                f'tube "{self.name}", {field}: expected three finite numbers in mm '
                f"(got {end.tolist()})"
            )
        return end

    @property
    def length(self) -> float:
        """Distance between the two ends [mm]."""
        return float(np.linalg.norm(self.end - self.start))

    @property
    def axis(self) -> Array:
        """Unit vector from start to end, shape (3,) [-]."""
        return (self.end - self.start) / self.length


def clock_frame(tube: Tube) -> tuple[Array, Array]:
    """Give the unit vectors that point from a tube's axis to 12 and to 3 o'clock.

    ``twelve = u - (u.a)a``, made a unit vector, and ``three = a x twelve``, with a the axis and
    u straight up (+z). Within 5 degrees of vertical no side is nearest to straight up, and u is
    forward (+x) instead.

    Parameters
    ----------
    tube : Tube
        The tube.

    Returns
    -------
    twelve, three : ndarray, shape (3,)
        Unit vectors square to the axis and to each other [-].

    Notes
    -----
    The 5 degrees are a convention of this package. The clock jumps there, so a tube that leans
    about that much is better given in another way.

    Examples
    --------
    >>> twelve, three = clock_frame(Tube("rail", start=[0, 0, 0], end=[500, 0, 0], diameter=38))
    >>> twelve.tolist(), three.tolist()
    ([0.0, 0.0, 1.0], [0.0, -1.0, 0.0])
    """
    return clock_ways(tube.axis)


def clock_ways(axis: ArrayLike, *, upright: BoolArray | bool | None = None) -> tuple[Array, Array]:
    """Give the unit vectors to 12 and to 3 o'clock of one axis, or of many.

    As :func:`clock_frame`.

    Parameters
    ----------
    axis : array_like, shape (..., 3)
        Unit vectors from start to end [-].
    upright : array_like of bool, shape (...), optional
        Whether 12 o'clock is forward; as the axis leans if not given [-].

    Returns
    -------
    twelve, three : ndarray, shape (..., 3)
        Unit vectors square to the axis and to each other [-].

    Examples
    --------
    >>> twelve, three = clock_ways([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    >>> twelve.tolist(), three.tolist()
    ([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0]], [[0.0, -1.0, 0.0], [0.0, 1.0, 0.0]])
    """
    a = np.asarray(axis, dtype=float)
    if upright is None:
        upright = np.hypot(a[..., 0], a[..., 1]) < math.sin(math.radians(UPRIGHT_DEG))
    towards = np.where(np.asarray(upright)[..., None], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0])
    twelve = towards - (towards * a).sum(-1, keepdims=True) * a
    twelve = twelve / np.linalg.norm(twelve, axis=-1, keepdims=True)
    return twelve, np.cross(a, twelve)


def point_on_tube(
    tube: Tube, *, along: ArrayLike, clock: ArrayLike | str, conduit_od: ArrayLike = 0.0
) -> Array:
    """Place the centreline of a conduit that lies on the outside of a tube.

    ``p = start + along*a + (D + od)/2 * (cos(clock)*twelve + sin(clock)*three)``

    Parameters
    ----------
    tube : Tube
        The tube.
    along : array_like, shape (...)
        Distance from the tube's start, along its axis [mm].
    clock : array_like, shape (...), or str
        Angle from 12 o'clock, clockwise looking from start to end [deg]; or text, as
        `parse_clock` reads it.
    conduit_od : array_like, shape (...)
        Outside diameter of the conduit [mm]; at 0 the point is on the tube's skin.

    Returns
    -------
    ndarray, shape (..., 3)
        The point [mm].

    Raises
    ------
    GeometryError
        If `along` is off the tube's ends, or a value is not finite or the conduit negative.

    Notes
    -----
    The conduit touches the tube: no clip, pad or sleeve between them is counted.

    Examples
    --------
    >>> rail = Tube("rail", start=[0, 0, 0], end=[500, 0, 0], diameter=38)
    >>> point_on_tube(rail, along=350, clock=90, conduit_od=8).round(6).tolist()
    [350.0, -23.0, 0.0]
    """
    turned = parse_clock(clock) if isinstance(clock, str) else clock
    distance, degrees, od = np.broadcast_arrays(
        *(np.asarray(value, dtype=float)[..., None] for value in (along, turned, conduit_od))
    )
    _check_placing(tube, distance, degrees, od)
    return place_on_tube(
        tube.start,
        tube.end,
        along=distance[..., 0],
        clock=degrees[..., 0],
        off_axis=0.5 * (tube.diameter + od[..., 0]),
    )


def place_on_tube(
    start: ArrayLike,
    end: ArrayLike,
    *,
    along: ArrayLike,
    clock: ArrayLike,
    off_axis: ArrayLike,
    upright: BoolArray | bool | None = None,
) -> Array:
    """Place points beside the axes of one tube or of many, nothing checked.

    ``p = start + along*a + off_axis*(cos(clock)*twelve + sin(clock)*three)``

    Parameters
    ----------
    start, end : array_like, shape (..., 3)
        Ends of the axes [mm].
    along : array_like, shape (...)
        Distance from the start, along the axis [mm].
    clock : array_like, shape (...)
        Angle from 12 o'clock, clockwise looking from start to end [deg].
    off_axis : array_like, shape (...)
        Distance from the axis, half of tube and conduit together [mm].
    upright : array_like of bool, shape (...), optional
        Whether 12 o'clock is forward; as each axis leans if not given [-].

    Returns
    -------
    ndarray, shape (..., 3)
        The points [mm].

    Examples
    --------
    >>> place_on_tube(
    ...     [0, 0, 0], [[500, 0, 0], [0, 500, 0]], along=350, clock=90, off_axis=23
    ... ).round(6).tolist()
    [[350.0, -23.0, 0.0], [23.0, 350.0, 0.0]]
    """
    begin = np.asarray(start, dtype=float)
    step = np.asarray(end, dtype=float) - begin
    axis = step / np.linalg.norm(step, axis=-1, keepdims=True)
    twelve, three = clock_ways(axis, upright=upright)
    angle = np.radians(np.asarray(clock, dtype=float))[..., None]
    round_it = np.cos(angle) * twelve + np.sin(angle) * three
    out: Array = (
        begin
        + np.asarray(along, dtype=float)[..., None] * axis
        + np.asarray(off_axis, dtype=float)[..., None] * round_it
    )
    return out


def _check_placing(tube: Tube, along: Array, degrees: Array, od: Array) -> None:
    inside = (along >= -ALONG_SLACK) & (along <= tube.length + ALONG_SLACK)
    if not inside.all():  # a nan is outside too
        raise GeometryError(
            f'tube "{tube.name}": along must be within 0 and its length {tube.length:.1f} mm '
            f"(got {along[~inside][0]:g})"
        )
    if not np.isfinite(degrees).all():
        raise GeometryError(f'tube "{tube.name}": clock must be a finite angle in degrees')
    fits = np.isfinite(od) & (od >= 0)
    if not fits.all():
        raise GeometryError(
            f'tube "{tube.name}": conduit_od must be 0 mm or more (got {od[~fits][0]:g})'
        )


def parse_clock(value: float | str) -> float:
    """Read a place on the clock.

    ``degrees = 30*hours + minutes/2``: a number is degrees already, text is a time
    ("3 o'clock", "3:30") or degrees ("105 deg").

    Parameters
    ----------
    value : float or str
        The place on the clock: a number from -360 to 360 [deg], or text.

    Returns
    -------
    float
        Angle from 12 o'clock, clockwise, 0 or more and below 360 [deg].

    Raises
    ------
    TapeError
        If the text is neither, or the number is out of range. Bare digits in text ("3") could
        be hours or degrees and are refused.

    Examples
    --------
    >>> parse_clock("3 o'clock"), parse_clock("3:30"), parse_clock(-90), parse_clock("105 deg")
    (90.0, 105.0, 270.0, 105.0)
    """
    degrees = _clock_text(value) if isinstance(value, str) else float(value)
    if isinstance(value, bool) or not -360.0 <= degrees <= 360.0:
        raise TapeError(f"clock must be from -360 to 360 degrees (got {value})")
    return degrees % 360.0


def _clock_text(text: str) -> float:
    plain = text.strip().lower()
    if angle := _DEGREES.fullmatch(plain):
        return float(angle["degrees"])
    time = _TIME.fullmatch(plain)
    if time and (time["minute"] or time["word"]):
        hour, minute = int(time["hour"]), int(time["minute"] or 0)
        if hour <= 12 and minute < 60:
            return 30.0 * (hour % 12) + 0.5 * minute
    raise TapeError(f'clock: expected degrees, "3 o\'clock", "3:30" or "105 deg" (got "{text}")')
