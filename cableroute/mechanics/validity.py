"""Where a formula is used beyond what it was derived or tested for."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, pi

import numpy as np

from cableroute.errors import CableRouteError, GeometryError
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_friction, check_not_negative
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.push import push_forces
from cableroute.mechanics.wire import bending_stress
from cableroute.route.pieces import Route

#: Radial clearance over bend radius up to which the snaking onset is within 2 %, and from which on
#: it says nothing [-]. Our own second variation of the bending energy: 3.94 for 4 at 0.01, 3.43 at
#: 0.1.
SLENDER, MEANINGLESS = 0.01, 0.1
#: Share that stiffness may add to a pull, worth a word [-]; our own choice.
STIFF_SHARE = 0.10
#: Bending stress over strength up to which a wire springs back straight [-]: music wire 0.65 to
#: 0.75, Shigley, Mechanical Engineering Design, table 10-5 (from memory).
ELASTIC = 0.75
#: Friction of lined conduits goes up to this [-]: nylon 0.15 to 0.40 dry, dry steel on steel from
#: 0.5 (Marks; Bowden and Tabor; from memory).
HIGHEST_FRICTION = 0.5
#: Wrap up to which cables were seen to follow the capstan law [rad]: a private test of shift cables,
#: 0 to 540 degrees.
TESTED_WRAP = 3.0 * pi
#: Surplus over span up to which a bow's wrap is within 4 % [-]: the exact sum of the four arcs.
SMALL_BOW = 0.10
#: Push lost in straights too short to snake, over the push, worth a word [-]; no source.
SHORT_STRAIGHT_LOSS = 0.05


@frozen
class Extrapolation:
    """A formula used beyond its limit.

    Parameters
    ----------
    code : str
        Stable name of the limit.
    value : float
        What the case has [unit of ``limit``].
    limit : float
        What the formula is good for [-, rad for ``wrap-untested``].
    formula : str
        Which formula.
    message : str
        What is beyond, and to which side the result errs.
    """

    code: str
    value: float
    limit: float
    formula: str
    message: str


def extrapolations(
    route: Route,
    *,
    load: float,
    push_load: float | None,
    friction: float,
    core: CoreSection | None,
    clearance: float,
    strength: float | None,
    surplus_share: float,
    stiffness_share: float = 0.0,
) -> tuple[Extrapolation, ...]:
    r"""Return the formulas that a case takes beyond their limits; mostly none.

    ======================  ==========================================================
    code                    beyond
    ======================  ==========================================================
    ``friction-untested``   :math:`\mu > 0.5`
    ``wrap-untested``       :math:`\theta > 3\pi`
    ``stiff-core``          pulled, stiffness adds 10 % in a rigid conduit
    ``plastic-bend``        :math:`(EI/R)\,d_w/(2nI_w) > 0.75\,S_{ut}`
    ``wide-conduit``        pushed, :math:`r/R > 0.01`; from 0.1 on meaningless
    ``short-straights``     pushed, 5 % lost on straights held by :math:`4\pi^2EI/L^2`
    ``large-bow``           :math:`\Delta L/L > 0.1`
    ======================  ==========================================================

    Parameters
    ----------
    route : Route
        One route.
    load : float
        Pull at the far end; 0 where none is wanted [N].
    push_load : float or None
        Push at the far end; None for a cable that only pulls [N].
    friction : float
        Coefficient of friction, the high end of its range [-].
    core : CoreSection or None
        The core; None where it is not known, and then what depends on it is not looked at.
    clearance : float
        Diametral clearance, conduit ID less core OD; r = c/2 [mm].
    strength : float or None
        Tensile strength of the wire; None where it is not known [MPa].
    surplus_share : float
        Surplus length of the conduit over its span [-].
    stiffness_share : float
        What the core's stiffness adds at most to the pull at the hand, over the rest of it [-].

    Returns
    -------
    tuple of Extrapolation
        One for each limit passed, in the order of the table.

    Raises
    ------
    GeometryError
        For a batch of routes.
    CableRouteError
        For a negative load, friction, clearance or surplus, or a strength that is not above zero.

    Notes
    -----
    A stiff core grips the walls where straight and arc meet
    (:func:`~cableroute.mechanics.stiff_core.added_pull`); the capstan law knows of wrap alone.
    The limit of the straights is Euler's, both ends clamped: below it a straight core bears the push
    unaided.

    References
    ----------
    .. [1] Hong, Applied Sciences 7 (2017) 824 (abstract): at low load the friction loss of tendons
       is up to 4.3 times the theory's.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> [
    ...     found.code
    ...     for found in extrapolations(
    ...         route, load=100, push_load=None, friction=0.6, core=None, clearance=0.5,
    ...         strength=None, surplus_share=0.2,
    ...     )
    ... ]
    ['friction-untested', 'large-bow']
    """
    if route.legs.ndim != 1:
        msg = f"expected one route, got a batch of shape {route.legs.shape[:-1]}"
        raise GeometryError(msg)
    check_friction(friction)
    for name, value in (("load", load), ("push load", push_load or 0.0), ("clearance", clearance)):
        check_not_negative(value, name=name)
    check_not_negative(surplus_share, name="surplus over span")
    if strength is not None and not strength > 0.0:
        msg = f"strength of the wire: expected MPa above 0, got {strength!r}"
        raise CableRouteError(msg)
    found = [*_capstan(float(route.wrap), friction)]
    if core is not None:
        found += _stiff_core(stiffness_share, load=load)
        found += _plastic_bend(route, core, strength=strength)
    if push_load is not None:
        found += _wide_conduit(route, clearance=clearance)
        if core is not None:
            found += _short_straights(
                route, core, load=push_load, friction=friction, clearance=clearance
            )
    found += _large_bow(surplus_share)
    return tuple(found)


def _capstan(wrap: float, friction: float) -> Iterator[Extrapolation]:
    if friction > HIGHEST_FRICTION:
        yield Extrapolation(
            "friction-untested",
            friction,
            HIGHEST_FRICTION,
            "capstan law",
            f"Friction {friction:g} is above {HIGHEST_FRICTION:g}, more than any lined conduit is "
            "known for: the force grows so fast with it that the result is a guess.",
        )
    if wrap > TESTED_WRAP:
        yield Extrapolation(
            "wrap-untested",
            wrap,
            TESTED_WRAP,
            "capstan law",
            f"{degrees(wrap):.0f} degrees of bends: cables were tested up to "
            f"{degrees(TESTED_WRAP):.0f}, beyond which a small error in friction is a large one in "
            "force.",
        )


def _stiff_core(share: float, *, load: float) -> Iterator[Extrapolation]:
    if share > STIFF_SHARE:
        yield Extrapolation(
            "stiff-core",
            share,
            STIFF_SHARE,
            "capstan law",
            f"In a rigid conduit, and with its wires locked if it has any, the core's own stiffness adds "
            f"{100.0 * share:.0f} % to the pull at the hand, which the capstan law leaves out: only "
            "a range is known of it.",
        )


def _plastic_bend(
    route: Route, core: CoreSection, *, strength: float | None
) -> Iterator[Extrapolation]:
    if strength is None:
        return
    stress = bending_stress(core.wire_diameter, radius=route.min_radius, modulus=core.modulus)
    share = float(stress) / strength
    if share > ELASTIC:
        yield Extrapolation(
            "plastic-bend",
            share,
            ELASTIC,
            "elastic bending",
            f"By E d/(2R) the wire would be bent to {100 * share:.0f} % of its strength; above "
            f"{100 * ELASTIC:.0f} % it keeps a set: the true stress is lower, and drag and life are "
            "not those of an elastic core.",
        )


def _wide_conduit(route: Route, *, clearance: float) -> Iterator[Extrapolation]:
    share = 0.5 * clearance / float(route.min_radius)
    if share > SLENDER:
        limit = MEANINGLESS if share > MEANINGLESS else SLENDER
        off = "says nothing" if share > MEANINGLESS else "comes out more than 2 % too high"
        yield Extrapolation(
            "wide-conduit",
            share,
            limit,
            "snaking onset 4EI/(Rr)",
            f"The radial clearance is {100 * share:.2g} % of the tightest bend's radius; above "
            f"{100 * limit:g} % the push at which the core starts to snake {off}.",
        )


def _short_straights(
    route: Route, core: CoreSection, *, load: float, friction: float, clearance: float
) -> Iterator[Extrapolation]:
    """Yield where the helix that is taken from the first newton on costs what it cannot."""
    EI = core.bending_stiffness
    entering = push_forces(
        route, load=load, friction=friction, bending_stiffness=EI, clearance=clearance
    )[0::2]
    straights = np.maximum(route.straights, 1e-9)  # a leg all bend holds any push but a locked one
    held = entering < 4.0 * pi**2 * EI / straights**2
    loss = friction * 0.5 * clearance * straights / (4.0 * EI)
    lost = float(loss[held] @ entering[held])
    if lost > SHORT_STRAIGHT_LOSS:
        yield Extrapolation(
            "short-straights",
            lost,
            SHORT_STRAIGHT_LOSS,
            "helix on straights",
            f"{100 * lost:.0f} % of the push is reckoned as lost to snaking on straights too short "
            "to snake: the push at the hand comes out too high.",
        )


def _large_bow(surplus_share: float) -> Iterator[Extrapolation]:
    if surplus_share > SMALL_BOW:
        share = f"{100 * surplus_share:.0f} % of" if surplus_share < 10.0 else "more than ten times"
        yield Extrapolation(
            "large-bow",
            surplus_share,
            SMALL_BOW,
            "wrap of a bow 4 sqrt(6 dL/L)",
            f"The surplus is {share} the span; above {100 * SMALL_BOW:g} % the "
            "small slopes of the formula no longer hold, and the wrap comes out 3 % and more too "
            "high.",
        )
