"""How much of a pushing stroke does not arrive: the core shortens, snakes, and stretches its conduit."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.mechanics._push_integrals import push_integrals
from cableroute.mechanics.capstan import check_above_zero
from cableroute.route.pieces import Route


@frozen(eq=False)
class PushTravel:
    """Travel lost between the hand and the far end while pushing; infinite where the core locks up.

    Parameters
    ----------
    stretch : float or ndarray
        The core shortening under the push [mm].
    conduit : float, ndarray or None
        The conduit stretching under the opposite force; None where its stiffness is not known [mm].
    snaking : float or ndarray
        The core lying in waves: longer than the conduit it lies in [mm].
    """

    stretch: float | Array
    conduit: float | Array | None
    snaking: float | Array

    @property
    def total(self) -> float | Array:
        """Sum of all three, that of the conduit only where it is known [mm]."""
        return self.stretch + self.snaking + (0.0 if self.conduit is None else self.conduit)


def push_travel(
    route: Route,
    *,
    load: ArrayLike,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    axial_stiffness: ArrayLike,
    clearance: ArrayLike,
    conduit_stiffness: ArrayLike | None = None,
) -> PushTravel:
    r"""Work out the travel that a run loses while it pushes.

    With :math:`F` the push along the run: the core :math:`\int F ds/EA`; the conduit the same with
    its own stiffness; snaking :math:`\int r^2F/(4EI)\,ds` where the core snakes [1]_.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Push at the far end [N].
    friction : array-like
        Coefficient of friction [-].
    bending_stiffness : array-like
        EI of the core [N*mm^2].
    axial_stiffness : array-like
        EA of the core [N].
    clearance : array-like
        Diametral clearance, conduit ID less core OD; r = c/2 [mm].
    conduit_stiffness : array-like or None
        EA of the conduit; None where it is not known [N].

    Returns
    -------
    PushTravel
        The three parts.

    Raises
    ------
    CableRouteError
        For a negative load, friction or clearance, or a stiffness that is not above zero.

    Notes
    -----
    Elastic core and conduit, weight left out. What is lost when the load changes its sign, the core
    crossing from wall to wall, is :func:`~cableroute.mechanics.lost_motion.clearance_travel` and not
    in here. The EA of a strand is that in tension; pushed, its wires part and it gives more.

    The snaking is an upper estimate: the helix is taken as wound in full, on straights at any push
    and in bends from the onset on, where it really grows from nothing.

    References
    ----------
    .. [1] Lubinski, Althouse, Logan, "Helical buckling of tubing sealed in packers", J. Petroleum
       Technology, June 1962 (from memory).

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [2000, 0, 0]], min_bend_radius=100)
    >>> lost = push_travel(route, load=200, friction=0, bending_stiffness=157080,
    ...     axial_stiffness=628319, clearance=1.0)
    >>> round(lost.stretch, 3), round(lost.snaking, 3)
    (0.637, 0.159)
    """
    EA = check_above_zero(axial_stiffness, name="axial stiffness of the core", expected="N")
    casing = conduit_stiffness
    if casing is not None:
        casing = check_above_zero(casing, name="axial stiffness of the conduit", expected="N")
    held, snaking = push_integrals(
        route,
        load=load,
        friction=friction,
        bending_stiffness=bending_stiffness,
        clearance=clearance,
    )
    whole = held + snaking
    return PushTravel(
        stretch=_plain(whole / EA),
        conduit=None if casing is None else _plain(whole / casing),
        snaking=_plain(_shortening(snaking, bending_stiffness, clearance)),
    )


def _shortening(snaking: Array, bending_stiffness: ArrayLike, clearance: ArrayLike) -> Array:
    r = 0.5 * np.asarray(clearance, dtype=np.float64)
    shortening: Array = r**2 / (4.0 * np.asarray(bending_stiffness, dtype=np.float64)) * snaking
    # without clearance nothing snakes, not even a core that needs no end of push
    return np.where(r > 0.0, shortening, 0.0)


def _plain(value: Array) -> float | Array:
    return float(value) if value.ndim == 0 else value
