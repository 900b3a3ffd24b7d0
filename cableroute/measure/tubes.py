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
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cableroute.errors import GeometryError, TapeError

Floats = NDArray[np.float64]

ALONG_SLACK = 1e-6
"""How far past an end `along` may fall and still count as the end [mm]."""

UPRIGHT_DEG = 5.0
"""A tube within this angle of vertical has no side nearest to straight up [deg]."""

_TIME = re.compile(r"(?P<hour>\d{1,2})(:(?P<minute>\d{2}))?\s*(?P<word>o[’'`]?\s?clock)?")
_DEGREES = re.compile(r"(?P<degrees>[+-]?\d+(\.\d*)?)\s*(°|deg|degrees)")


@dataclass(frozen=True, slots=True, eq=False)
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
    start: Floats
    end: Floats
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

    def _check_end(self, field: str) -> Floats:
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
    def axis(self) -> Floats:
        """Unit vector from start to end, shape (3,) [-]."""
        return (self.end - self.start) / self.length


def clock_frame(tube: Tube) -> tuple[Floats, Floats]:
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
    axis = tube.axis
    upright = math.hypot(axis[0], axis[1]) < math.sin(math.radians(UPRIGHT_DEG))
    towards = np.array([1.0, 0.0, 0.0]) if upright else np.array([0.0, 0.0, 1.0])
    twelve = towards - (towards @ axis) * axis
    twelve /= np.linalg.norm(twelve)
    return twelve, np.cross(axis, twelve)


def point_on_tube(
    tube: Tube, *, along: ArrayLike, clock: ArrayLike | str, conduit_od: ArrayLike = 0.0
) -> Floats:
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
    twelve, three = clock_frame(tube)
    angle = np.radians(degrees)
    out: Floats = (
        tube.start
        + distance * tube.axis
        + 0.5 * (tube.diameter + od) * (np.cos(angle) * twelve + np.sin(angle) * three)
    )
    return out


def _check_placing(tube: Tube, along: Floats, degrees: Floats, od: Floats) -> None:
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


def along_of(tube: Tube, point: ArrayLike) -> Floats:
    """Give how far along a tube a point stands.

    ``along = (p - start).a``

    Parameters
    ----------
    tube : Tube
        The tube.
    point : array_like, shape (..., 3)
        Points on, in or beside the tube [mm].

    Returns
    -------
    ndarray, shape (...)
        Distance from the tube's start to the foot of the point on its axis [mm]; below 0 or
        above the length when the foot is off the tube.

    Raises
    ------
    GeometryError
        If the points do not have three coordinates.

    Examples
    --------
    >>> rail = Tube("rail", start=[0, 0, 0], end=[500, 0, 0], diameter=38)
    >>> float(along_of(rail, [350, -23, 4]))
    350.0
    """
    points = np.asarray(point, dtype=float)
    if points.shape[-1:] != (3,):
        raise GeometryError(f"expected points of shape (..., 3), got {points.shape}")
    out: Floats = (points - tube.start) @ tube.axis
    return out


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
