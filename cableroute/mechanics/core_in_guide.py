"""The bare core between conduit and rod when the rod is drawn out: pushed, it winds in its guide."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_above_zero, check_friction, check_not_negative

#: Share of its length that a wound core may shorten by: small slopes end here, a pitch of 20 r. Our
#: own choice; beyond it the core coils up and what it carries is not known [-].
MOST_WOUND = 0.05
#: Greatest moment of a wound core, near its ends, over that of a full helix: of a rod that our own
#: model settled in a bore (``tests/rod_models``), 1.197 at most [-].
END_MOMENT = 1.2


@frozen(eq=False)
class CoreInGuide:
    """What the bare core does in the guide at full stroke, its push that at the end nearer the load.

    Parameters
    ----------
    free_load : ndarray
        Push at which it leaves the straight: Euler's, both ends pinned [N].
    folds_at : ndarray
        Push at which it folds: sets, or coils up, in the guide, or buckles where nothing guides it [N].
    lost_push : ndarray
        Push that its friction on the guide takes; infinite where it locks up [N].
    lost_travel : ndarray
        Travel that its waves take, at most [mm].
    stress : ndarray
        Stress at the skin of its wires, bending and direct, at the push given [MPa].
    """

    free_load: Array
    folds_at: Array
    lost_push: Array
    lost_travel: Array
    stress: Array


def pinned_load(length: ArrayLike, *, bending_stiffness: ArrayLike) -> Array:
    r"""Return the push at which a bare core between two pins buckles, :math:`\pi^2EI/L^2`.

    Parameters
    ----------
    length : array-like
        Length that nothing guides; none carries anything [mm].
    bending_stiffness : array-like
        EI of the core. The slack end is the unsafe one [N*mm^2].

    Returns
    -------
    ndarray
        Push [N].

    Raises
    ------
    CableRouteError
        For a negative length, or a stiffness that is not above zero.

    References
    ----------
    .. [1] Timoshenko, Gere, Theory of Elastic Stability, 2nd ed., section 2.1 (from memory).

    Examples
    --------
    >>> float(pinned_load(50.0, bending_stiffness=4775.2).round(1))
    18.9
    """
    EI = check_above_zero(bending_stiffness, name="bending stiffness", expected="N*mm^2")
    with np.errstate(divide="ignore"):
        load: Array = np.pi**2 * EI / check_not_negative(length, name="unguided length") ** 2
    return load


def wound_limit(
    clearance: ArrayLike,
    *,
    bending_stiffness: ArrayLike,
    area: ArrayLike,
    wire_diameter: ArrayLike,
    yield_strength: ArrayLike,
    modulus: ArrayLike = 200e3,
) -> Array:
    r"""Return the push at which a core wound as a helix on the wall of a bore sets or coils up.

    A full helix has the curvature :math:`Fr/2EI`, near its ends up to 1.2 times that, and is shorter by
    the share :math:`r^2F/4EI`:

    .. math:: F = \min\left(\frac{S_y}{1/A + 1.2\,E d_w r/4EI},\ \frac{0.2\,EI}{r^2}\right)

    Parameters
    ----------
    clearance : array-like
        Diametral clearance, bore less core OD; r = c/2 [mm].
    bending_stiffness : array-like
        EI of the core. The slack end is the unsafe one [N*mm^2].
    area : array-like
        Metal area of the core [mm^2].
    wire_diameter : array-like
        Diameter of one wire; of a solid core its own [mm].
    yield_strength : array-like
        Stress at which the wire sets [MPa].
    modulus : array-like
        Young's modulus of the wire [MPa].

    Returns
    -------
    ndarray
        Push; that of plain crushing without clearance [N].

    Raises
    ------
    CableRouteError
        For a number that is not above zero, or a negative clearance.

    Notes
    -----
    Small slopes. A core that has only just bowed, below 1.7 times Euler's load, is bent further than
    this by its bow: :func:`core_in_guide` looks at that. A strand may part its wires before it sets;
    nothing published on that was found, so the figure is an upper one for strands.

    References
    ----------
    .. [1] Lubinski, Althouse, Logan, "Helical buckling of tubing sealed in packers", J. Petroleum
       Technology, June 1962 (from memory): moment :math:`Fr/2`, shortening :math:`r^2F/4EI`.

    Examples
    --------
    >>> limit = wound_limit(
    ...     3.1, bending_stiffness=4775.2, area=2.39, wire_diameter=0.4, yield_strength=1400.0
    ... )
    >>> float(limit.round(1))
    170.6
    """
    r = 0.5 * check_not_negative(clearance, name="clearance")
    EI = check_above_zero(bending_stiffness, name="bending stiffness", expected="N*mm^2")
    A = check_above_zero(area, name="area of the core", expected="mm^2")
    wire = check_above_zero(wire_diameter, name="wire diameter", expected="mm")
    Sy = check_above_zero(yield_strength, name="yield strength", expected="MPa")
    E = check_above_zero(modulus, name="modulus", expected="MPa")
    with np.errstate(divide="ignore"):
        coils = 4.0 * MOST_WOUND * EI / r**2
    limit: Array = np.minimum(Sy / (1.0 / A + END_MOMENT * E * wire * r / (4.0 * EI)), coils)
    return limit


def core_in_guide(
    load: ArrayLike,
    *,
    length: ArrayLike,
    bore: ArrayLike,
    core_diameter: ArrayLike,
    bending_stiffness: ArrayLike,
    area: ArrayLike,
    wire_diameter: ArrayLike,
    yield_strength: ArrayLike,
    friction: ArrayLike,
    unguided: ArrayLike = 0.0,
    modulus: ArrayLike = 200e3,
) -> CoreInGuide:
    r"""Work out what a bare core does that is pushed within the guide of its rod.

    Up to Euler's load it stays straight. Past it, it bows, touches and winds on the wall of the bore
    and goes on carrying, at the price of :math:`r^2F/4EI` of its length and

    .. math:: F_2 = \frac{F}{1 - \mu r L F/4EI}

    until it sets or coils (:func:`wound_limit`), or at once if its first bow, :math:`\pi^2r/L^2`, sets
    it. Where nothing guides it, it buckles at Euler's load.

    Parameters
    ----------
    load : array-like
        Push in the core at the end nearer the load: in a guide at the far end the load itself [N].
    length : array-like
        Bare core within the guide with the rod drawn out, the stroke or a little more [mm].
    bore : array-like
        Bore of the guide [mm].
    core_diameter : array-like
        Outside diameter of the core, below the bore [mm].
    bending_stiffness : array-like
        EI of the core. The slack end is the unsafe one for every figure here [N*mm^2].
    area : array-like
        Metal area of the core [mm^2].
    wire_diameter : array-like
        Diameter of one wire; of a solid core its own [mm].
    yield_strength : array-like
        Stress at which the wire sets [MPa].
    friction : array-like
        Coefficient of friction of the core on the guide; steel on steel, not on a liner [-].
    unguided : array-like
        Bare core that no bore guides, at the swivel or where the guide ends short [mm].
    modulus : array-like
        Young's modulus of the wire [MPa].

    Returns
    -------
    CoreInGuide
        Free load, load at which it folds, what is lost, stress.

    Raises
    ------
    CableRouteError
        For a number out of its range, or a core that does not go into the bore.

    Notes
    -----
    The unguided part is taken as pinned at both ends, on the safe side of a core that runs on into
    conduit and guide. Losses are those of a full helix, above those of the rod that our own model settled,
    pinned in a bore at 1.1 to 32 times Euler's load: 17 to 77 % of the friction, 30 to 91 % of the
    shortening. None below Euler's load. Bending is that rod's, or up to a tenth more.

    Examples
    --------
    >>> guide = core_in_guide(
    ...     150.0, length=50.0, bore=5.1, core_diameter=2.0, bending_stiffness=4775.2, area=2.39,
    ...     wire_diameter=0.4, yield_strength=1400.0, friction=0.15,
    ... )
    >>> [float(each.round(1)) for each in (guide.free_load, guide.folds_at, guide.lost_push)]
    [18.9, 170.6, 15.1]
    """
    P = check_not_negative(load, name="push")
    L, mu = check_not_negative(length, name="bare length"), check_friction(friction)
    d = check_above_zero(core_diameter, name="core diameter", expected="mm")
    gap = np.asarray(bore, dtype=np.float64) - d
    if not (gap > 0.0).all():
        msg = f"bore of the guide: expected more than the core, {core_diameter!r} mm, got {bore!r}"
        raise CableRouteError(msg)
    free = pinned_load(L, bending_stiffness=bending_stiffness)
    wire = {"area": area, "wire_diameter": wire_diameter, "modulus": modulus}
    wound = wound_limit(
        gap, bending_stiffness=bending_stiffness, yield_strength=yield_strength, **wire
    )
    winds, per_newton = free < P, 0.125 * gap / np.asarray(bending_stiffness)  # r/4EI
    skin = np.asarray(modulus) * np.asarray(wire_diameter)  # stress is half of it, by curvature
    with np.errstate(divide="ignore"):
        bow = 0.25 * skin * gap * (np.pi / L) ** 2
    bending = np.maximum(END_MOMENT * skin * per_newton * P, np.where(winds, bow, 0.0))
    sets_at_once = bow + free / np.asarray(area) > np.asarray(yield_strength)
    carries = np.where(sets_at_once, free, np.maximum(free, wound))
    left = 1.0 - np.where(winds, mu * L * per_newton * P, 0.0)
    pushed = np.where(left > 0.0, P / np.where(left > 0.0, left, 1.0), np.inf)
    return CoreInGuide(
        free_load=free,
        folds_at=np.minimum(carries, pinned_load(unguided, bending_stiffness=bending_stiffness)),
        lost_push=pushed - P,
        lost_travel=np.where(winds, 0.5 * gap * per_newton * P * L, 0.0),
        stress=P / np.asarray(area) + np.where(winds, bending, 0.0),
    )
