"""How much of the stroke does not arrive: clearance, stretch, conduit shortening, hysteresis."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.mechanics._exponential_means import mean_growth
from cableroute.mechanics.capstan import check_friction, check_not_negative
from cableroute.route.pieces import Route

#: Clearance of a worn liner over that of a new one: common practice, no source [-].
WORN = 2.0


@frozen
class LostMotion:
    """Travel lost between the hand and the far end.

    Parameters
    ----------
    clearance : float
        The core crossing from one wall to the other when the load changes its sign [mm].
    stretch : float
        The core stretching under the pull [mm].
    conduit : float or None
        The conduit shortening under the opposite force; None where its stiffness is not known [mm].
    hysteresis : float
        What core and conduit take up at a reversal under a load that goes on pulling [mm].
    bracket : float or None
        The anchors' brackets giving under the pull; None where none is known [mm].
    other_way : float or None
        What core, conduit and brackets give at the other end of the travel, pushed or pulled by
        the other core; None for a cable that a spring brings back, or that locks up [mm].
    shift : tuple of float or None
        The conduit curling under a core that lies off its axis
        (:func:`~cableroute.mechanics.conduit_shift.conduit_shift`), least and most, both ways; None
        where its bending stiffness is not known [mm].
    worn : float
        What a worn liner adds to the crossing; not in the sums [mm].
    """

    clearance: float
    stretch: float
    conduit: float | None
    hysteresis: float
    bracket: float | None = None
    other_way: float | None = None
    shift: tuple[float, float] | None = None
    worn: float = 0.0

    @property
    def parts(self) -> dict[str, float]:
        """What the loss is made of, by name, what is not known left out [mm].

        Where the cable is loaded the other way too, what it gives there has the friction in it: it
        goes from one stretch to the other, whatever lies between.
        """
        parts = {
            "clearance": self.clearance,
            "core stretch": self.stretch,
            "conduit": self.conduit,
            "conduit curling": self.shift[1] if self.shift else None,
            "friction": self.hysteresis if self.other_way is None else None,
            "brackets": self.bracket,
            "stretch the other way": self.other_way,
        }
        return {name: part for name, part in parts.items() if part is not None}

    @property
    def total(self) -> float:
        """Sum of all parts that are known: what is lost from one end of the travel to the other [mm]."""
        return sum(self.parts.values())

    @property
    def total_worn(self) -> float:
        """The same with a worn liner [mm]."""
        return self.total + self.worn

    @property
    def one_way(self) -> float:
        """What is lost between no load and the pull, and at a reversal under it [mm].

        A conduit's curling is in it for both ways: small, and on the safe side.
        """
        known = (
            (self.conduit or 0.0) + (self.bracket or 0.0) + (self.shift[1] if self.shift else 0.0)
        )
        return self.clearance + self.stretch + known + self.hysteresis


def clearance_travel(wrap: ArrayLike, *, clearance: ArrayLike) -> Array:
    r"""Return the travel lost when the core crosses from wall to wall, :math:`c\,\theta`.

    Pulled, the core lies on the inside of each bend; pushed, on the outside; the two paths
    differ in length by the diametral clearance times the turn.

    Parameters
    ----------
    wrap : array-like
        Sum of the unsigned turns [rad].
    clearance : array-like
        Diametral clearance, conduit ID less core OD [mm].

    Returns
    -------
    ndarray
        Travel [mm].

    Examples
    --------
    >>> float(clearance_travel(np.pi, clearance=0.5).round(4))
    1.5708
    """
    travel: Array = check_not_negative(clearance, name="clearance") * np.asarray(wrap)
    return travel


def worn_clearance(clearance: ArrayLike, *, factor: float = WORN) -> Array:
    r"""Return the clearance of a liner new and worn; travel lost to it grows in proportion.

    Parameters
    ----------
    clearance : array-like, shape (...)
        Diametral clearance, new [mm].
    factor : float
        Worn clearance over new, 1 or more; the default is common practice, no source [-].

    Returns
    -------
    ndarray, shape (..., 2)
        New and worn [mm].

    Raises
    ------
    CableRouteError
        For a negative clearance or a factor below 1.

    Notes
    -----
    The worn end is the unsafe one for lost motion and for snaking, the new one for the drag of a
    stiff core.

    Examples
    --------
    >>> worn_clearance(0.5).tolist()
    [0.5, 1.0]
    >>> clearance_travel(np.pi, clearance=worn_clearance(0.5)).round(2).tolist()
    [1.57, 3.14]
    """
    if not 1.0 <= factor < np.inf:
        raise CableRouteError(f"worn clearance over new: expected 1 or more, got {factor!r}")
    new = check_not_negative(clearance, name="clearance")
    return np.stack([new, factor * new], axis=-1)


def pull_integral(route: Route, *, load: ArrayLike, friction: ArrayLike) -> Array:
    r"""Return the pull summed along the run, :math:`\int F\,ds`; over EA it is the stretch.

    The pull is even along a straight. Around a bend it grows from :math:`F_1` to :math:`F_2` as an
    exponential, whose integral is :math:`R\theta\,(F_2 - F_1)/\ln(F_2/F_1)`.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Force at the far end [N].
    friction : array-like
        Coefficient of friction; below zero for a load that is being let back [-].

    Returns
    -------
    ndarray
        Integral [N*mm].

    Notes
    -----
    The core's weight is left out.
    """
    mu = np.asarray(friction, dtype=np.float64)[..., None]
    # wrap between each leg and the far end
    beyond = np.cumsum(route.turns[..., ::-1], axis=-1)[..., ::-1]
    none = np.zeros((*beyond.shape[:-1], 1))
    line_force = np.exp(mu * np.concatenate((beyond, none), axis=-1))
    arcs = (route.arc_lengths * line_force[..., 1:] * mean_growth(mu * route.turns)).sum(-1)
    integral: Array = np.asarray(load) * ((route.straights * line_force).sum(-1) + arcs)
    return integral


def lost_motion(
    route: Route,
    *,
    load: float,
    friction: float,
    clearance: float,
    axial_stiffness: float,
    conduit_stiffness: float | None = None,
) -> LostMotion:
    r"""Work out the travel that a run loses.

    With :math:`F` the pull along the run: clearance :math:`c\theta`; stretch
    :math:`\int F ds/EA`; the conduit the same with its own stiffness; hysteresis the stretch while
    pulling less the stretch while letting back, of core and conduit, which for a wrap spread evenly
    is, for either of them,

    .. math:: \frac{T L}{EA}\,\frac{e^x - 2 + e^{-x}}{x}, \qquad x = \mu\theta

    Parameters
    ----------
    route : Route
        One route.
    load : float
        Pull at the far end [N].
    friction : float
        Coefficient of friction [-].
    clearance : float
        Diametral clearance; 0 where the load never changes its sign [mm].
    axial_stiffness : float
        EA of the core [N].
    conduit_stiffness : float or None
        EA of the conduit; None where it is not known [N].

    Returns
    -------
    LostMotion
        The four parts.

    Raises
    ------
    CableRouteError
        For a negative friction or clearance, or a stiffness that is not above zero.

    Notes
    -----
    Elastic core and conduit, Coulomb friction, weight left out. What a bracket at the hand takes up
    at a reversal is not in the hysteresis.

    References
    ----------
    .. [1] Kaneko et al., J. Robotics Society of Japan 9 (1991) 437 (abstract): the stiffness of a
       tendon in a sheath differs between pulling and releasing. The closed form is our own.
    """
    mu = float(check_friction(friction))
    core, conduit = compliances(axial_stiffness, conduit_stiffness=conduit_stiffness)
    pulling = float(pull_integral(route, load=load, friction=mu))
    letting_back = float(pull_integral(route, load=load, friction=-mu))
    return LostMotion(
        clearance=float(clearance_travel(route.wrap, clearance=clearance)),
        stretch=pulling * core,
        conduit=pulling * conduit if conduit_stiffness else None,
        hysteresis=(pulling - letting_back) * (core + conduit),
    )


def compliances(
    axial_stiffness: float, *, conduit_stiffness: float | None = None
) -> tuple[float, float]:
    r"""Return what a millimetre of core and of conduit gives for a newton, :math:`1/EA`.

    Parameters
    ----------
    axial_stiffness : float
        EA of the core [N].
    conduit_stiffness : float or None
        EA of the conduit; None where it is not known [N].

    Returns
    -------
    tuple of float
        That of the core, and that of the conduit, 0 where it is not known [1/N].

    Raises
    ------
    CableRouteError
        For a stiffness that is not above zero.

    Examples
    --------
    >>> compliances(2e5)
    (5e-06, 0.0)
    """
    for name, value in (("core", axial_stiffness), ("conduit", conduit_stiffness)):
        if value is not None and not value > 0.0:
            raise CableRouteError(
                f"axial stiffness of the {name}: expected N above 0, got {value!r}"
            )
    return 1.0 / axial_stiffness, 1.0 / conduit_stiffness if conduit_stiffness else 0.0
