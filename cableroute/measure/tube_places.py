"""Where a point lies on a tube: how far along and at which hour, as it is measured at the machine."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.measure.tubes import Tube, clock_frame

#: A conduit this near to a tube's skin lies on it: what a clip bridges; common practice, no source
#: [mm].
NEAR = 8.0


def along_of(tube: Tube, point: ArrayLike) -> Array:
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
    out: Array = (points - tube.start) @ tube.axis
    return out


def clock_of(tube: Tube, point: Array) -> float:
    """Return where round a tube a point stands, clockwise from 12 o'clock, 0 up to 360 [deg]."""
    twelve, three = clock_frame(tube)
    off = np.asarray(point, dtype=float) - tube.start
    return float(np.degrees(np.arctan2(off @ three, off @ twelve)) % 360.0)


def tube_at(tubes: Iterable[Tube], point: Array, *, conduit_od: float) -> Tube | None:
    """Return the tube that a conduit lies on there, the nearest of several; None where on none."""
    gaps = {}
    for number, tube in enumerate(tubes):
        along = float(along_of(tube, point))
        if 0.0 <= along <= tube.length:
            off = float(np.linalg.norm(point - tube.start - along * tube.axis))
            gaps[number] = abs(off - 0.5 * (tube.diameter + conduit_od)), tube
    gap, nearest = min(gaps.values(), key=lambda each: each[0], default=(np.inf, None))
    return nearest if gap <= NEAR else None
