"""What holds a conduit's end: set screws, a split clamp, a threaded end with nuts.

No safety factor is in any of them; 2 is common practice, no source.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.hardware.set_screws import set_screw
from cableroute.mechanics.capstan import check_above_zero, check_not_negative

#: Shear over tensile yield, distortion energy: 1/sqrt(3) [-].
SHEAR_SHARE = 3.0**-0.5


def set_screw_holding(size: str, *, count: int = 1, on: str = "sleeve") -> tuple[float, float]:
    """Return low and high of the axial force at which set screws let go.

    ``count`` times the published holding of one screw. In a groove of the sleeve the band is that
    of the two tables; the groove's wall comes on top and is not counted. On a smooth sleeve,
    whose wall gives under a screw as a shaft does not, the lower table is all that is counted.

    Parameters
    ----------
    size : str
        As ``M5``, ``#10`` or ``1/4``.
    count : int
        How many screws [-].
    on : str
        ``groove`` or ``sleeve``.

    Returns
    -------
    tuple of float
        Low and high; no safety factor in them [N].

    Raises
    ------
    CableRouteError
        For an unknown size or place, or a count below one.

    Notes
    -----
    For screws tightened to the torque of :class:`~cableroute.hardware.set_screws.SetScrew`, on
    steel. The tables disagree by 2.1 to 3.2, so this proves nothing: pull-test the joint. Screws
    in a row along the sleeve add up; two in one ring hold less than twice (common practice, no
    source). Which table to use where is our own judgement.

    References
    ----------
    .. [1] Budynas, Nisbett, Shigley's Mechanical Engineering Design, 9th ed., table 7-4 (values
       from memory): the higher table.
    .. [2] ficientdesign.com, set screw holding power: the lower table.

    Examples
    --------
    >>> [round(force) for force in set_screw_holding("M5", count=2)]
    [1779, 1779]
    >>> [round(force) for force in set_screw_holding("M5", count=2, on="groove")]
    [1779, 4804]
    """
    if on not in ("groove", "sleeve"):
        raise CableRouteError(f"set screws on: expected groove or sleeve, got {on!r}")
    if count < 1:
        raise CableRouteError(f"set screws: expected one or more, got {count!r}")
    screw = set_screw(size)
    return count * screw.low, count * (screw.high if on == "groove" else screw.low)


def set_screws_needed(load: float, *, size: str, safety: float = 2.0) -> int:
    """Return how many set screws of one size hold a load, and one at least.

    ``ceil(safety * load / low)`` with the lower table's holding of one screw. An end without any
    is not held, however small its load.

    Parameters
    ----------
    load : float
        Axial force on the conduit's end [N].
    size : str
        As ``M5``, ``#10`` or ``1/4``.
    safety : float
        Safety factor; 2 is common practice, no source [-].

    Returns
    -------
    int
        Number of screws, in a groove or on a sleeve [-].

    Raises
    ------
    CableRouteError
        For an unknown size, or a load or factor that is negative or not finite.

    Examples
    --------
    >>> set_screws_needed(600.0, size="M5")
    2
    """
    held = float(check_not_negative(load, name="load") * check_not_negative(safety, name="safety"))
    return max(1, math.ceil(held / set_screw(size).low))


def clamp_holding(bolt_tension: ArrayLike, *, friction: ArrayLike, bolts: ArrayLike = 1) -> Array:
    r"""Return the axial force at which a split clamp lets the conduit slip, :math:`2\mu n P`.

    The bolts close the halves with :math:`nP`; either half presses on the conduit with that
    force, and slipping has to overcome friction on both.

    Parameters
    ----------
    bolt_tension : array-like
        Tension of one bolt, P [N].
    friction : array-like
        Coefficient of friction of the clamp on the conduit, a bad case [-].
    bolts : array-like
        Number of bolts that close the clamp, n [-].

    Returns
    -------
    ndarray
        Holding; no safety factor in it [N].

    Raises
    ------
    CableRouteError
        For a value that is negative or not finite.

    Notes
    -----
    Our own derivation, for halves that touch only the conduit, not each other. Flat halves: a bore
    that fits closely presses all round and holds up to 57 % more (:math:`\pi/2`), which is not
    counted. For a clamp with its bolt on one side and a hinge on the other, the conduit lies
    between them and is pressed by more than the bolt's tension. A plastic jacket creeps, and a
    conduit crushed onto its core drags: both limit the tension long before the bolt does.

    Examples
    --------
    >>> float(clamp_holding(1000.0, bolts=2, friction=0.15))
    600.0
    """
    P = check_not_negative(bolt_tension, name="bolt tension")
    mu = check_not_negative(friction, name="clamp friction")
    holding: Array = 2.0 * mu * check_not_negative(bolts, name="bolts") * P
    return holding


def bolt_tension_from_torque(
    torque: ArrayLike, *, diameter: ArrayLike, nut_factor: ArrayLike = 0.2
) -> Array:
    """Return the tension of a bolt tightened to a torque, ``torque / (nut_factor * diameter)``.

    Parameters
    ----------
    torque : array-like
        Tightening torque [N*mm].
    diameter : array-like
        Nominal diameter of the bolt [mm].
    nut_factor : array-like
        Torque coefficient K: about 0.2 as bought, 0.3 dry and rusty, less when oiled [-].

    Returns
    -------
    ndarray
        Tension [N].

    Raises
    ------
    CableRouteError
        For a negative torque, or a diameter or factor that is not above zero.

    Notes
    -----
    Good to some 30 % either way: most of the torque goes into friction, which varies.

    References
    ----------
    .. [1] Budynas, Nisbett, Shigley's Mechanical Engineering Design, section 8-8 (from memory):
       T = K F d.

    Examples
    --------
    >>> float(bolt_tension_from_torque(5000.0, diameter=6.0).round())
    4167.0
    """
    d = check_above_zero(diameter, name="bolt diameter")
    K = check_above_zero(nut_factor, name="nut factor")
    tension: Array = check_not_negative(torque, name="torque") / (K * d)
    return tension


def bulkhead_holding(
    diameter: ArrayLike, *, pitch: ArrayLike, yield_strength: ArrayLike, nut: ArrayLike
) -> Array:
    r"""Return the axial force at which a threaded end strips out of its nut.

    The threads in the nut are taken to shear where half of the cylinder at the minor diameter is
    metal, with a shear yield of :math:`S_y/\sqrt3`:

    .. math:: F = \frac{S_y}{\sqrt3}\,\frac{\pi D_1 h}{2}, \qquad D_1 = D - 1.0825\,p

    Parameters
    ----------
    diameter : array-like
        Outside diameter of the thread, D [mm].
    pitch : array-like
        Pitch, p [mm].
    yield_strength : array-like
        Yield strength of the softer of thread and nut [MPa].
    nut : array-like
        Height of the nut that carries, h [mm].

    Returns
    -------
    ndarray
        Holding; no safety factor in it [N].

    Raises
    ------
    CableRouteError
        For a value that is not above zero, or a pitch too coarse for the diameter.

    Notes
    -----
    A 60 degree thread has 7/8 of the pitch there, so the half leaves room for a loose fit. A nut
    on either side of a plate: one of the two carries. What it holds is seldom what matters; the
    plate bends first (:func:`~cableroute.mechanics.anchors.bracket_stiffness`).

    References
    ----------
    .. [1] Budynas, Nisbett, Shigley's Mechanical Engineering Design, chapter 8 (from memory):
       thread shear area at the minor diameter, distortion energy.

    Examples
    --------
    >>> float(bulkhead_holding(10.0, pitch=1.0, yield_strength=240.0, nut=5.0).round())
    9705.0
    """
    D, p = (
        check_above_zero(diameter, name="thread diameter"),
        check_above_zero(pitch, name="thread pitch"),
    )
    minor = D - 1.0825 * p
    if not (minor > 0.0).all():
        msg = f"thread pitch: expected less than the diameter {diameter!r} mm, got {pitch!r}"
        raise CableRouteError(msg)
    strength = SHEAR_SHARE * check_above_zero(yield_strength, name="thread yield strength")
    holding: Array = strength * 0.5 * np.pi * minor * check_above_zero(nut, name="nut height")
    return holding
