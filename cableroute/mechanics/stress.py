"""What a core's wires bear, pulled through bends or pushed."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_above_zero, check_not_negative
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.push import snaking_onset
from cableroute.mechanics.wire import bending_stress


@frozen(eq=False)
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
    return WireStress(bending, pull / core.area, check_strength(strength))


@frozen(eq=False)
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
    bend from the snaking onset on; the bend itself, :math:`E d_w/2R`.

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
    The helix's moment is shared evenly by the wires (:func:`moment_stress`). The helix is taken as wound
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
        bend=bending_stress(core.wire_diameter, radius=R, modulus=core.modulus),
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


def check_strength(strength: ArrayLike) -> Array:
    """Return a strength as an array, or raise.

    Parameters
    ----------
    strength : array-like
        Tensile strength of the wire [MPa].

    Returns
    -------
    ndarray
        The same [MPa].

    Raises
    ------
    CableRouteError
        For a strength that is not above zero, or not finite.
    """
    return check_above_zero(strength, name="strength of the wire", expected="MPa")
