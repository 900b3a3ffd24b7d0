"""What a core's wires bear in the bends, and how long they may bear it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cableroute.errors import CableRouteError
from cableroute.mechanics.capstan import check_not_negative
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.push import snaking_onset
from cableroute.mechanics.wire import bending_stress
from cableroute.route.pieces import Array

#: Load over breaking load, and the least sheave diameter over rope diameter for it [-].
#: MIL-F-18372(Aer), table before 3.1.1.17.8.
SHEAVE_TABLE = ((0.01, 0.10, 0.20), (10.0, 20.0, 28.0))
#: Sheave diameter over rope diameter wanted for endurance [-]: a study of 1974, quoted second hand.
ENDURANCE_RATIO = 20.0
#: Repeated bending, from nothing to a peak and back, that a wire bears a million times and a hundred
#: thousand times: the peak over the tensile strength [-]. Shigley, Mechanical Engineering Design,
#: table 10-10, music wire and 302 stainless, not shot-peened (from memory).
MILLION_BENDS, HUNDRED_THOUSAND_BENDS = 0.50, 0.53


@dataclass(frozen=True, slots=True, eq=False)
class WireStress:
    """Stress in the wires of a pulled core, bend by bend.

    Parameters
    ----------
    bending : ndarray
        From the bend, at the wire's skin [MPa].
    direct : ndarray
        From the pull, over the metal area [MPa].
    strength : ndarray
        Tensile strength of the wire [MPa].
    """

    bending: Array
    direct: Array
    strength: Array

    @property
    def total(self) -> Array:
        """Both together, where the wire is on the outside of the bend [MPa]."""
        return self.bending + self.direct

    @property
    def share(self) -> Array:
        """Total over strength [-]."""
        return self.total / self.strength


def wire_stress(
    core: CoreSection,
    *,
    radius: ArrayLike,
    tension: ArrayLike,
    modulus: ArrayLike,
    strength: ArrayLike,
) -> WireStress:
    r"""Work out the stress in the wires of a pulled core, :math:`E d_w/(2R) + T/A`.

    Parameters
    ----------
    core : CoreSection
        The core.
    radius : array-like
        Radius of each bend; infinite for a straight [mm].
    tension : array-like
        Pull in each bend, at its hand side where it is highest [N].
    modulus : array-like
        Modulus of elasticity of the wire, not of the strand [MPa].
    strength : array-like
        Tensile strength of the wire [MPa].

    Returns
    -------
    WireStress
        Bending and direct stress of each bend, and their share of the strength.

    Raises
    ------
    CableRouteError
        For a radius or strength that is not above zero, or a negative tension.

    Notes
    -----
    Elastic. The wires share the pull evenly and bend each about its own axis; the tightest bend is
    not always the worst, as the pull grows towards the hand.

    Examples
    --------
    >>> from cableroute.mechanics.construction import core_section
    >>> core = core_section("solid", diameter=2.0, modulus=200e3)
    >>> stress = wire_stress(
    ...     core, radius=[200.0, 400.0], tension=[120.0, 150.0], modulus=200e3, strength=2000.0
    ... )
    >>> stress.share.round(3).tolist()
    [0.519, 0.274]
    """
    pull = check_not_negative(tension, name="tension")
    bending = bending_stress(core.wire_diameter, radius=radius, modulus=modulus)
    return WireStress(bending, pull / core.area, _check_strength(strength))


@dataclass(frozen=True, slots=True, eq=False)
class HelixStress:
    """Stress in the wires of a pushed core.

    Parameters
    ----------
    compression : ndarray
        From the push, over the metal area [MPa].
    snaking : ndarray
        From the helix that the push winds the core into [MPa].
    bend : ndarray
        From the bend of the conduit [MPa].
    """

    compression: Array
    snaking: Array
    bend: Array

    @property
    def total(self) -> Array:
        """All together, where the three meet on one side of a wire [MPa]."""
        return self.compression + self.snaking + self.bend


def helix_stress(
    core: CoreSection, *, force: ArrayLike, clearance: ArrayLike, radius: ArrayLike = np.inf
) -> HelixStress:
    r"""Work out the stress in the wires of a pushed core.

    Compression :math:`F/A`; the moment :math:`Fr/2` of the helix, on straights at any push and in a
    bend from the snaking onset on; the moment :math:`EI/R` of the bend.

    Parameters
    ----------
    core : CoreSection
        The core.
    force : array-like
        Push [N].
    clearance : array-like
        Diametral clearance, conduit ID less core OD; r = c/2 [mm].
    radius : array-like
        Bend radius; infinite for a straight [mm].

    Returns
    -------
    HelixStress
        The three parts.

    Raises
    ------
    CableRouteError
        For a negative force or clearance, or a radius that is not above zero.

    Notes
    -----
    Both moments are shared evenly by the wires (:func:`moment_stress`). The helix is taken as wound
    in full, which is the upper end: short straights and bends just above the onset hold it back.

    References
    ----------
    .. [1] Lubinski, Althouse, Logan, "Helical buckling of tubing sealed in packers", J. Petroleum
       Technology, June 1962 (from memory): moment :math:`Fr/2`.

    Examples
    --------
    >>> from cableroute.mechanics.construction import core_section
    >>> core = core_section("solid", diameter=2.0, modulus=200e3)
    >>> stress = helix_stress(core, force=200.0, clearance=1.0)
    >>> round(float(stress.compression), 1), round(float(stress.snaking), 1)
    (63.7, 63.7)
    """
    push = check_not_negative(force, name="force")
    r = 0.5 * check_not_negative(clearance, name="clearance")
    R = np.asarray(radius, dtype=np.float64)
    if not (R > 0.0).all():
        msg = f"bend radius: expected mm above 0, got {radius!r}"
        raise CableRouteError(msg)
    bent = np.isfinite(R)
    onset = snaking_onset(
        np.where(bent, R, 1.0), bending_stiffness=core.bending_stiffness, clearance=clearance
    )
    snakes = ~bent | (push >= onset)
    return HelixStress(
        compression=push / core.area,
        snaking=moment_stress(core, moment=np.where(snakes, 0.5 * push * r, 0.0)),
        bend=moment_stress(core, moment=core.bending_stiffness / R),
    )


def moment_stress(core: CoreSection, *, moment: ArrayLike) -> Array:
    r"""Return the stress at a wire's skin under a bending moment, :math:`M d_w/(2 n I_w)`.

    Parameters
    ----------
    core : CoreSection
        The core: :math:`n` wires of diameter :math:`d_w`, :math:`I_w = \pi d_w^4/64`.
    moment : array-like
        Bending moment in the core [N*mm].

    Returns
    -------
    ndarray
        Stress [MPa].

    Notes
    -----
    The wires are free to slide on each other and share the moment evenly, as in
    :func:`~cableroute.mechanics.construction.core_section`. Wires held by friction bear it together
    as one section, at less stress.
    """
    inertia = core.wires * np.pi * core.wire_diameter**4 / 64.0
    stress: Array = np.asarray(moment, dtype=np.float64) * core.wire_diameter / (2.0 * inertia)
    return stress


@dataclass(frozen=True, slots=True, eq=False)
class SheaveRatio:
    """Least bend diameter over core diameter.

    Parameters
    ----------
    least : ndarray
        Least ratio D/d [-].
    extrapolated : ndarray of bool
        Where the load lies beyond the table [-].
    """

    least: Array
    extrapolated: NDArray[np.bool_]


def sheave_ratio(load_share: ArrayLike) -> SheaveRatio:
    """Return how wide a stranded core must be bent: 10, 20, 28 at 1, 10, 20 % of its breaking load.

    Parameters
    ----------
    load_share : array-like
        Load over breaking load of the core [-].

    Returns
    -------
    SheaveRatio
        Bend diameter (in a conduit twice the bend radius) over core diameter, straight between the
        values of the table and on beyond 20 %, where it is marked; 10 below 1 %.

    Raises
    ------
    CableRouteError
        For a negative load.

    Notes
    -----
    For flexible rope that runs over a sheave; a core that slides in a conduit is bent at the ends
    of each bend only. Not for solid wire. For endurance, :data:`ENDURANCE_RATIO` at least, whatever
    the load.

    References
    ----------
    .. [1] MIL-F-18372(Aer), Flight control systems, table before 3.1.1.17.8.

    Examples
    --------
    >>> sheave_ratio([0.01, 0.15, 0.25]).least.round(1).tolist()
    [10.0, 24.0, 32.0]
    """
    share = check_not_negative(load_share, name="load over breaking load")
    loads, ratios = SHEAVE_TABLE
    slope = (ratios[-1] - ratios[-2]) / (loads[-1] - loads[-2])
    beyond = np.maximum(share - loads[-1], 0.0)
    return SheaveRatio(np.interp(share, loads, ratios) + slope * beyond, share > loads[-1])


def fatigue_share(
    stress_range: ArrayLike, *, strength: ArrayLike, mean: ArrayLike | None = None
) -> Array:
    r"""Return the repeated bending that tires a wire as much, as a share of its strength.

    A core that moves through the end of a bend goes from straight to :math:`R` and back: the range
    is :math:`E d_w/(2R)`, and the mean half of it, more by the pull. By Gerber, with amplitude
    :math:`\sigma_a` (half the range) and mean :math:`\sigma_m`, it tires the wire as much as
    bending from 0 to :math:`s S_{ut}` and back does:

    .. math:: \frac{s/2}{1 - (s/2)^2} = \frac{\sigma_a/S_{ut}}{1 - (\sigma_m/S_{ut})^2}

    Parameters
    ----------
    stress_range : array-like
        Highest less lowest stress of a stroke; where a stroke takes the core from one bend of an S
        into the other, the sum of theirs [MPa].
    strength : array-like
        Tensile strength of the wire [MPa].
    mean : array-like or None
        Mean stress; half the range where None [MPa].

    Returns
    -------
    ndarray
        Share s; infinite where the mean alone reaches the strength [-].

    Raises
    ------
    CableRouteError
        For a negative range, or a strength that is not above zero.

    Notes
    -----
    See :func:`fatigue_band`. Only the core that passes the end of a bend in a stroke is flexed.

    References
    ----------
    .. [1] Budynas, Nisbett, Shigley's Mechanical Engineering Design, section 10-13 (from memory):
       Gerber for springs of wire in bending.

    Examples
    --------
    >>> float(fatigue_share(1000.0, strength=2000.0).round(6))
    0.5
    """
    half = 0.5 * check_not_negative(stress_range, name="stress range")
    ultimate = _check_strength(strength)
    middle = half if mean is None else np.asarray(mean, dtype=np.float64)
    left = 1.0 - (middle / ultimate) ** 2
    bearable = left > 0.0
    reversed_share = half / ultimate / np.where(bearable, left, 1.0)
    share = 4.0 * reversed_share / (1.0 + np.sqrt(1.0 + 4.0 * reversed_share**2))
    return np.where(bearable, share, np.inf)


def fatigue_band(
    stress_range: ArrayLike, *, strength: ArrayLike, mean: ArrayLike | None = None
) -> NDArray[np.str_]:
    """Return how long a wire flexed through a bend may last: ``long``, ``limited`` or ``short``.

    ``long`` up to a share of 0.50 (:func:`fatigue_share`), at which spring wire bears a million
    passes; ``limited`` up to 0.53, a hundred thousand; ``short`` beyond.

    Parameters
    ----------
    stress_range : array-like
        Highest less lowest stress of a pass [MPa].
    strength : array-like
        Tensile strength of the wire [MPa].
    mean : array-like or None
        Mean stress; half the range where None [MPa].

    Returns
    -------
    ndarray of str
        The band of each.

    Raises
    ------
    CableRouteError
        For a negative range, or a strength that is not above zero.

    Notes
    -----
    A warning, not a count of cycles: lives scatter by tens. Values for smooth, dry, sound wire;
    fretting between the wires of a strand, wear on the liner and rust shorten it. A small step in
    stress is a large one in life, so the middle band is narrow.

    References
    ----------
    .. [1] Budynas, Nisbett, Shigley's Mechanical Engineering Design, table 10-10 (from memory):
       music wire and 302 stainless in repeated bending, not shot-peened.

    Examples
    --------
    >>> fatigue_band([800.0, 1030.0, 1250.0], strength=2000.0).tolist()
    ['long', 'limited', 'short']
    """
    share = fatigue_share(stress_range, strength=strength, mean=mean)
    long, limited = share <= MILLION_BENDS, share <= HUNDRED_THOUSAND_BENDS
    return np.select([long, limited], ["long", "limited"], default="short")


def _check_strength(strength: ArrayLike) -> Array:
    array = np.asarray(strength, dtype=np.float64)
    if not (np.isfinite(array) & (array > 0.0)).all():
        msg = f"strength of the wire: expected MPa above 0, got {strength!r}"
        raise CableRouteError(msg)
    return array
