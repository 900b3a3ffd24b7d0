"""Travel that a pull pair loses, and core that hangs loose where its preload is too small.

Symbols and derivation are those of :mod:`cableroute.mechanics.pull_pair`.
"""

from __future__ import annotations

import numpy as np

from cableroute.mechanics._pair_sums import slack_tension, sums
from cableroute.mechanics.capstan import check_not_negative
from cableroute.mechanics.lost_motion import LostMotion, compliances
from cableroute.mechanics.pull_pair import least_preload
from cableroute.route.pieces import Route


def pair_lost_motion(
    route: Route,
    *,
    load: float,
    friction: float,
    preload: float,
    axial_stiffness: float,
    conduit_stiffness: float | None = None,
) -> LostMotion:
    r"""Work out the travel that a pair loses.

    The hand leads the far end by what the pulled side has stretched since assembly,
    :math:`(T_1^{far} I_+ - PL)/EA`: without friction half of what a single core loses, as the
    slack side gives way by as much. No core crosses its clearance, as both are always pulled. At a
    reversal under the same load the tensions change over to the other sense of friction; while
    both cores stay taut the hand goes back by

    .. math:: \frac{2PL}{EA}\,\frac{I_+ - I_-}{I_+ + I_-}

    and by the same with the conduit's stiffness.

    Parameters
    ----------
    route : Route
        One route.
    load : float
        Force at the far end [N].
    friction : float
        Coefficient of friction [-].
    preload : float
        Tension of both cores as assembled [N].
    axial_stiffness : float
        EA of one core [N].
    conduit_stiffness : float or None
        EA of one conduit; None where it is not known [N].

    Returns
    -------
    LostMotion
        The four parts, the first of them 0.

    Raises
    ------
    CableRouteError
        For a negative load, friction or preload, or a stiffness that is not above zero.

    Notes
    -----
    As for :func:`~cableroute.mechanics.pull_pair.pull_pair`. A bracket that holds both conduits
    gives way under both alike: that costs preload, not travel, and is left out. With too little
    preload the slack core hangs loose under load (:func:`loose_core`), and the loss approaches that
    of a single core.

    References
    ----------
    Our own derivation (see the top of pull_pair.py).
    """
    core, conduit = compliances(axial_stiffness, conduit_stiffness=conduit_stiffness)
    far, tight = (
        check_not_negative(value, name=name)
        for value, name in ((load, "load"), (preload, "preload"))
    )
    rising, falling = sums(route, friction)
    assembled = tight * route.length
    pulling = (far + slack_tension(far, assembled, pulled=rising, paying=falling)) * rising
    letting_back = (far + slack_tension(far, assembled, pulled=falling, paying=rising)) * falling
    return LostMotion(
        clearance=0.0,
        stretch=float((pulling - assembled) * core),
        conduit=float((pulling - assembled) * conduit) if conduit_stiffness else None,
        hysteresis=float((pulling - letting_back) * (core + conduit)),
    )


def loose_core(
    route: Route,
    *,
    load: float,
    friction: float,
    preload: float,
    axial_stiffness: float,
    conduit_stiffness: float | None = None,
    drag: float = 0.0,
) -> float:
    r"""Return how much core hangs loose on the slack side, :math:`2(P_{least} - P)L/EA` or nothing.

    Parameters
    ----------
    route : Route
        One route.
    load : float
        Force at the far end [N].
    friction : float
        Coefficient of friction [-].
    preload : float
        Tension of both cores as assembled [N].
    axial_stiffness : float
        EA of one core [N].
    conduit_stiffness : float or None
        EA of one conduit; None where it is not known, and then taken as rigid [N].
    drag : float
        Drag of one core as measured [N].

    Returns
    -------
    float
        Length that can jump off a drum or out of a slotted end [mm].

    Raises
    ------
    CableRouteError
        For a negative load, friction, preload or drag, or a stiffness that is not above zero.

    References
    ----------
    Our own derivation (see the top of pull_pair.py).
    """
    compliance = sum(compliances(axial_stiffness, conduit_stiffness=conduit_stiffness))
    tight = check_not_negative(preload, name="preload")
    short = least_preload(route, load=load, friction=friction, drag=drag) - tight
    return float(2.0 * np.maximum(short, 0.0) * route.length * compliance)
