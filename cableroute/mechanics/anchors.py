"""What the two anchors of a conduit carry, and how far their brackets give."""

from __future__ import annotations

from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_above_zero, check_not_negative


@frozen
class AnchorLoad:
    """What the conduit asks of one of its anchors, along the run.

    Parameters
    ----------
    end : str
        ``hand`` or ``far``.
    pull : float
        When the core is pulled: the conduit is pressed against its anchor, out of the run [N].
    push : float
        When the core is pushed: the conduit is drawn out of its anchor, into the run [N].
    """

    end: str
    pull: float
    push: float

    @property
    def greatest(self) -> float:
        """The greater of the two [N]."""
        return max(self.pull, self.push)


def anchor_loads(
    *, hand_pull: float, far_pull: float, hand_push: float = 0.0, far_push: float = 0.0
) -> tuple[AnchorLoad, AnchorLoad]:
    """Return what the anchors at the hand end and at the far end carry.

    Each carries the core's force at its own end, the other way: cut core and conduit there, and
    the two forces must cancel. A pulled core leaves its conduit in compression, pressed outwards
    against both anchors; a pushed one leaves it in tension, drawn inwards off both.

    Parameters
    ----------
    hand_pull : float
        Pull on the core at the hand end [N].
    far_pull : float
        Pull on the core at the far end [N].
    hand_push : float
        Push on the core at the hand end, infinite where it locks up [N].
    far_push : float
        Push on the core at the far end [N].

    Returns
    -------
    tuple of AnchorLoad
        That of the hand end and that of the far end.

    Raises
    ------
    CableRouteError
        For a force below zero or not a number.

    Notes
    -----
    What the two differ by is the friction along the run, which the conduit carries from one to
    the other. An anchor between them on an unbroken conduit carries no force along it. Weight
    and clips that grip are left out.

    References
    ----------
    Statics; no source needed.

    Examples
    --------
    >>> hand, far = anchor_loads(hand_pull=150.0, far_pull=100.0, hand_push=130.0, far_push=80.0)
    >>> hand.pull, far.push, hand.greatest
    (150.0, 80.0, 150.0)
    """
    given = {"hand pull": hand_pull, "far pull": far_pull, "hand push": hand_push}
    for name, force in (given | {"far push": far_push}).items():
        if not force >= 0.0:  # what is not a number is not above 0 either
            raise CableRouteError(f"{name}: expected a force of 0 N or more, got {force!r}")
    return AnchorLoad("hand", hand_pull, hand_push), AnchorLoad("far", far_pull, far_push)


def bracket_stiffness(
    *, length: ArrayLike, width: ArrayLike, thickness: ArrayLike, modulus: ArrayLike = 200e3
) -> Array:
    r"""Return the stiffness of a plate held at one edge and loaded across it at the other.

    .. math:: k = \frac{3EI}{L^3} = \frac{E\,b\,t^3}{4L^3}

    Parameters
    ----------
    length : array-like
        From the held edge to the cable, L [mm].
    width : array-like
        Width of the plate, b [mm].
    thickness : array-like
        Thickness of the plate, t [mm].
    modulus : array-like
        Modulus of elasticity [MPa].

    Returns
    -------
    ndarray
        Stiffness at the cable [N/mm].

    Raises
    ------
    CableRouteError
        For a value that is not above zero.

    Notes
    -----
    A beam in small deflection, within 1 % up to a travel of L/12 or so; rigid at its held edge,
    which no bolted plate is: half of this stiffness is not unusual (common practice, no source).
    Loaded in its own plane, or with a gusset, it is far stiffer.

    References
    ----------
    .. [1] Any table of beams, as Young, Budynas, Roark's Formulas for Stress and Strain, table
       8.1 (from memory): end load on a cantilever.

    Examples
    --------
    >>> float(bracket_stiffness(length=60.0, width=40.0, thickness=3.0))
    250.0
    """
    L = check_above_zero(length, name="bracket length")
    b = check_above_zero(width, name="bracket width")
    t = check_above_zero(thickness, name="bracket thickness")
    stiffness: Array = check_above_zero(modulus, name="bracket modulus") * b * t**3 / (4.0 * L**3)
    return stiffness


def bracket_travel(load: ArrayLike, *, stiffness: ArrayLike) -> Array:
    """Return how far a bracket gives under the conduit's force, ``load / stiffness``.

    Parameters
    ----------
    load : array-like
        Force of the conduit on the bracket [N].
    stiffness : array-like
        Stiffness at the cable [N/mm].

    Returns
    -------
    ndarray
        Travel lost at this end; the two ends add up [mm].

    Raises
    ------
    CableRouteError
        For a negative load, or a stiffness that is not above zero.

    Examples
    --------
    >>> float(bracket_travel(100.0, stiffness=250.0))
    0.4
    """
    k = check_above_zero(stiffness, name="bracket stiffness")
    travel: Array = check_not_negative(load, name="load on the bracket") / k
    return travel
