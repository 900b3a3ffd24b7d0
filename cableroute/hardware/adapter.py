"""An adapter to turn, from the thread on the cable's rod to another thread in the fitting."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, pi, sqrt
from types import MappingProxyType

from cableroute.errors import CableRouteError
from cableroute.frozen import frozen

#: Coarse pitches [mm]: ISO 262, from memory.
COARSE: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "M3": (3.0, 0.5),
        "M4": (4.0, 0.7),
        "M5": (5.0, 0.8),
        "M6": (6.0, 1.0),
        "M8": (8.0, 1.25),
        "M10": (10.0, 1.5),
        "M12": (12.0, 1.75),
    }
)
#: How much more area the wall has than the rod's thread, for the same steel: common practice, no
#: source [-].
STRONGER = 1.25
#: Thread cut deeper than it is engaged, for the tap's lead: common practice, no source [pitches].
RUN_OUT = 3.0


@frozen(kw_only=True)
class Adapter:
    """What to turn: a thread bored in at one end, a stud at the other.

    Attributes
    ----------
    rod, fitting : str
        Thread on the cable's rod, which screws in, and of the stud.
    engaged : float
        Thread on the rod that must be engaged [mm].
    bore, depth : float
        Tap drill, and its depth [mm].
    outside : float
        Of the body over the bore, at least [mm].
    stud : float
        Length of the stud's thread that must be engaged in the fitting [mm].
    length : float
        Over all, at least [mm].
    """

    rod: str
    fitting: str
    engaged: float
    bore: float
    depth: float
    outside: float
    stud: float
    length: float


def stress_area(diameter: float, *, pitch: float) -> float:
    """Return the tensile stress area of a thread.

    ``A = pi/4 (d - 0.9382 p)^2``

    Parameters
    ----------
    diameter, pitch : float
        Of the thread [mm].

    Returns
    -------
    float
        [mm^2]

    References
    ----------
    ISO 898-1 (from memory); it lists 14.2 mm^2 for M5 and 20.1 mm^2 for M6.

    Examples
    --------
    >>> round(stress_area(5, pitch=0.8), 1), round(stress_area(6, pitch=1), 1)
    (14.2, 20.1)
    """
    return 0.25 * pi * (diameter - 0.9382 * pitch) ** 2


def engagement(diameter: float, *, pitch: float) -> float:
    """Return the length of engaged thread at which the rod breaks before its thread strips.

    ``L = 2 A / (pi/2 (d - 0.64952 p))``, and never less than the diameter

    Parameters
    ----------
    diameter, pitch : float
        Of the thread [mm].

    Returns
    -------
    float
        Both threads of the same steel [mm].

    References
    ----------
    FED-STD-H28/2, screw-thread standards, and the handbooks that repeat it (from memory). One
    diameter at least: common practice, no source.
    """
    area = stress_area(diameter, pitch=pitch)
    return max(2.0 * area / (0.5 * pi * (diameter - 0.64952 * pitch)), diameter)


def adapter(rod: str, fitting: str) -> Adapter:
    """Work out an adapter between two metric coarse threads.

    Parameters
    ----------
    rod : str
        Thread on the cable's rod, as ``M5``.
    fitting : str
        Thread in the fitting, as ``M6``.

    Returns
    -------
    Adapter

    Raises
    ------
    CableRouteError
        If a thread is not known.

    Notes
    -----
    The body's wall is to have 1.25 times the area of the rod's thread, and one and a half times
    its diameter at least: common practice, no source. Tap drill: diameter less pitch. All of steel
    as good as the rod's.

    Examples
    --------
    >>> found = adapter("M5", "M6")
    >>> found.bore, found.outside, found.engaged, found.stud
    (4.2, 7.5, 5.0, 6.0)
    """
    for name in (rod, fitting):
        if name not in COARSE:
            raise CableRouteError(f"thread: expected one of {', '.join(COARSE)}, got {name!r}")
    (d, p), (stud, stud_pitch) = COARSE[rod], COARSE[fitting]
    wall = sqrt(d**2 + STRONGER * stress_area(d, pitch=p) * 4.0 / pi)
    engaged, studded = (
        _rounded_up(engagement(diameter, pitch=pitch))
        for diameter, pitch in ((d, p), (stud, stud_pitch))
    )
    depth = _rounded_up(engaged + RUN_OUT * p)
    return Adapter(
        rod=rod,
        fitting=fitting,
        engaged=engaged,
        bore=round(d - p, 2),
        depth=depth,
        outside=_rounded_up(max(wall, 1.5 * d, stud)),
        stud=studded,
        length=_rounded_up(depth + d + studded),
    )


def _rounded_up(length: float) -> float:
    """Round up to half a millimetre."""
    return ceil(2.0 * length - 1e-9) / 2.0
