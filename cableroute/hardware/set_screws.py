"""Set screws that hold a shaft or sleeve: two published tables, which disagree two- to threefold.

Both give the axial force at which one screw, tightened to the torque beside it, slips on a steel
shaft. Neither is a proof: the band from one to the other is what is known.
"""

from __future__ import annotations

from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.units import MM_PER_UNIT, N_PER_LBF

_INCH = float(MM_PER_UNIT["in"])

#: Most by which the two tables disagree, at #4 [-]. A size that only the higher one lists is
#: taken to hold this much less in the lower.
DISAGREEMENT = 160.0 / 50.0


@frozen
class SetScrew:
    """One size of set screw and the band of what it holds.

    Parameters
    ----------
    size : str
        ``#4`` to ``#10``, ``1/4`` to ``3/8`` (inch), or ``M3`` to ``M6``.
    diameter : float
        Outside diameter of the thread [mm].
    torque : float
        Seating torque that the holding goes with; of a metric size, its inch neighbour's [N*mm].
    low : float
        Axial holding, lower table [N].
    high : float
        Axial holding, higher table [N].
    test_torque : float or None
        Torque that the screw and its socket must stand, metric sizes only [N*mm].
    """

    size: str
    diameter: float
    torque: float
    low: float
    high: float
    test_torque: float | None = None


#: Size: diameter [in], seating torque [lbf in], holding [lbf] higher and lower.
#: Torque and higher: Budynas, Nisbett, Shigley's Mechanical Engineering Design, 9th ed.,
#: table 7-4 (values from memory). Lower: a published design page with the same torques,
#: ficientdesign.com; it lists neither #5 nor 3/8.
_INCH_SIZES: dict[str, tuple[float, float, float, float | None]] = {
    "#4": (0.112, 5.0, 160.0, 50.0),
    "#5": (0.125, 10.0, 200.0, None),
    "#6": (0.138, 10.0, 250.0, 100.0),
    "#8": (0.164, 20.0, 385.0, 150.0),
    "#10": (0.190, 36.0, 540.0, 200.0),
    "1/4": (0.250, 87.0, 1000.0, 400.0),
    "5/16": (0.3125, 165.0, 1500.0, 700.0),
    "3/8": (0.375, 290.0, 2000.0, None),
}

#: Metric size: diameter [mm], nearest inch size (our own choice), test torque [N mm] of ISO 4029
#: with ISO 898-5. No metric table of holding was found outside makers' literature.
_METRIC_SIZES: dict[str, tuple[float, str, float]] = {
    "M3": (3.0, "#4", 900.0),
    "M4": (4.0, "#8", 2500.0),
    "M5": (5.0, "#10", 5000.0),
    "M6": (6.0, "1/4", 8500.0),
}


def _inch(size: str) -> SetScrew:
    diameter, torque, high, low = _INCH_SIZES[size]
    return SetScrew(
        size=size,
        diameter=diameter * _INCH,
        torque=torque * N_PER_LBF * _INCH,
        low=N_PER_LBF * (high / DISAGREEMENT if low is None else low),
        high=N_PER_LBF * high,
    )


def _metric(size: str) -> SetScrew:
    diameter, neighbour, test_torque = _METRIC_SIZES[size]
    like = _inch(neighbour)
    # a screw is never asked for more torque than it must stand
    torque = min(like.torque, test_torque)
    return SetScrew(size, diameter, torque, like.low, like.high, test_torque)


#: Every size known, by name.
SET_SCREWS: dict[str, SetScrew] = {size: _inch(size) for size in _INCH_SIZES} | {
    size: _metric(size) for size in _METRIC_SIZES
}


def set_screw(size: str) -> SetScrew:
    """Return what is published of one size of set screw.

    Parameters
    ----------
    size : str
        As ``M5``, ``#10`` or ``1/4``; case and blanks do not matter, nor an inch sign.

    Returns
    -------
    SetScrew
        Diameter, torque and holding.

    Raises
    ------
    CableRouteError
        For a size that neither table has.

    Notes
    -----
    For a steel shaft. On a thin sleeve or a stranded core the part under the screw gives way
    first.

    Examples
    --------
    >>> screw = set_screw("m5")
    >>> round(screw.low), round(screw.high), round(screw.torque)
    (890, 2402, 4067)
    """
    wanted = size.replace(" ", "").rstrip("″\"'").removesuffix("in").upper()
    if wanted not in SET_SCREWS:
        msg = f"set screw: expected one of {', '.join(SET_SCREWS)}, got {size!r}"
        raise CableRouteError(msg)
    return SET_SCREWS[wanted]
