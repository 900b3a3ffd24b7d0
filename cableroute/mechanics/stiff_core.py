"""What the stiffness of a core adds to the force at the hand: unloaded, under a pull, under a push.

A core wedged into bends grips their walls with nothing on it. A pull takes the core off the outer
walls only slowly, so most of the grip stays and friction multiplies it; a push drives the core over to
the outer walls, where the grip becomes part of what the bend bears anyhow.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.mechanics._grip import grip_over_run
from cableroute.mechanics._sweeps import find_sweeps
from cableroute.mechanics.capstan import check_above_zero, check_friction, check_not_negative
from cableroute.route.pieces import Route


def unloaded_drag(
    route: Route,
    *,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    clearance: ArrayLike,
    conduit_stiffness: ArrayLike | None = None,
) -> Array:
    r"""Return the force at the hand that moves a core with nothing on it, yielding to rigid conduit.

    Each place where straight and arc meet adds :math:`2\mu N`, which the bends between it and the
    hand multiply:

    .. math:: D = \sum 2\mu N e^{\mu\theta_{before}}, \qquad
        N = \frac{EI}{2\sqrt6\,R^{1.5}\sqrt c}

    and in a bend too short for two bridges, :math:`R\theta^2 < 24 c`,
    :math:`N = EI\,\theta^3/36(c + R\theta^2/8)^2`. For places spread evenly over the wrap D is
    :math:`\mu\sum|N|\,(e^x - 1)/x`, :math:`x = \mu\theta`.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    friction : array-like
        Coefficient of friction [-].
    bending_stiffness : array-like
        EI of the core. The stiff end is the unsafe one [N*mm^2].
    clearance : array-like
        Diametral clearance, above zero. A small one is the unsafe end: new, not worn [mm].
    conduit_stiffness : array-like or None
        EI of the conduit, for the lower figure; None where it is not known [N*mm^2].

    Returns
    -------
    ndarray, shape (..., 2)
        In a conduit that yields, and in a rigid one. Judge by the second [N].

    Raises
    ------
    CableRouteError
        For a negative friction or stiffness, or a clearance or stiffness of the conduit not above 0.

    Notes
    -----
    *Derived:* the rigid end, for a core straight by nature whose crossings have room: our own closed
    forms, up to 10 % above a rod model settled by itself (``tests/rod_models``), 20 % where bends to
    and fro just feel each other. The core's entry into a bend sets up :math:`EI/2R^2` of thrust, which
    is in it. Derived too is a conduit that yields far from its clips: in series with its core.
    *Only banded:* the yielding end. It takes the conduit's stiffness in series,
    :math:`EI/(1 + EI/EI_c)`, and its curvature to come and go over the whole length of each arc, as
    that of a tube left to itself does, which acts as :math:`\theta^2R/24` more clearance. A core with
    a set of its own may lie outside the band. Where bends turn opposite ways with next to no straight
    between, the step of curvature is their sum.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 400, 0]], min_bend_radius=150)
    >>> unloaded_drag(
    ...     route, friction=0.15, bending_stiffness=157080.0, clearance=0.5, conduit_stiffness=3e5
    ... ).round(1).tolist()
    [2.0, 16.0]
    """
    return _band(route, 0.0, 1.0, friction, bending_stiffness, clearance, conduit_stiffness)


def added_pull(
    route: Route,
    *,
    load: ArrayLike,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    clearance: ArrayLike,
    conduit_stiffness: ArrayLike | None = None,
) -> Array:
    r"""Return what a core's stiffness adds to the pull at the hand, yielding to rigid conduit.

    The sum of :func:`unloaded_drag`, with N less by the share that the tension at that place leaves.
    With :math:`t = TcR/EI` the crossing is :math:`\ell` of the lengths :math:`\sqrt{EI/T}`,

    .. math:: t = 1 - \frac{\ell}{\sinh\ell} - \frac12\tanh^2\frac{\ell}{2}, \qquad
        N = \frac{EI}{R}\sqrt{\frac{T}{EI}}\,\frac{1}{\sinh\ell}

    and from :math:`t = 1/2` on the core is off the outer wall and adds nothing.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Pull at the far end [N].
    friction : array-like
        Coefficient of friction [-].
    bending_stiffness : array-like
        EI of the core. The stiff end is the unsafe one [N*mm^2].
    clearance : array-like
        Diametral clearance, above zero. A small one is the unsafe end: new, not worn [mm].
    conduit_stiffness : array-like or None
        EI of the conduit, for the lower figure; None where it is not known [N*mm^2].

    Returns
    -------
    ndarray, shape (..., 2)
        On top of the capstan law's pull, in a conduit that yields and in a rigid one [N].

    Raises
    ------
    CableRouteError
        As :func:`unloaded_drag`, and for a negative load.

    Notes
    -----
    As :func:`unloaded_drag`, which it is without a load. An upper figure: the tension at each place is
    the capstan law's alone, and the :math:`EI/2R^2` that entry takes off the tension, which would
    lower the force by :math:`(e^x - 1)EI/2R^2`, is left out.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 400, 0], [0, 400, 0]], min_bend_radius=160)
    >>> added_pull(
    ...     route, load=120.0, friction=0.1, bending_stiffness=157080.0, clearance=0.5
    ... ).round(1).tolist()
    [0.0, 16.3]
    """
    pull = check_not_negative(load, name="load")
    return _band(route, pull, 1.0, friction, bending_stiffness, clearance, conduit_stiffness)


def added_push(
    route: Route,
    *,
    load: ArrayLike,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    clearance: ArrayLike,
    conduit_stiffness: ArrayLike | None = None,
) -> Array:
    r"""Return what a core's stiffness adds to the push at the hand, yielding to rigid conduit.

    The push drives the core off the inner wall: N, the inner wall's force beyond the balance of each
    crossing, fades with :math:`t = PcR/EI` and is gone at :math:`t = 0.032` in an arc long enough for
    the core to lie on its outer wall, later in a shorter one. What stays is the thrust
    :math:`EI/2R^2` of entry, which friction multiplies: :math:`(e^{\mu\theta} - 1)EI/2R^2` a bend.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Push at the far end [N].
    friction : array-like
        Coefficient of friction [-].
    bending_stiffness : array-like
        EI of the core. The stiff end is the unsafe one here, the slack end for snaking [N*mm^2].
    clearance : array-like
        Diametral clearance, above zero. A small one is the unsafe end: new, not worn [mm].
    conduit_stiffness : array-like or None
        EI of the conduit, for the lower figure; None where it is not known [N*mm^2].

    Returns
    -------
    ndarray, shape (..., 2)
        On top of the push of :func:`~cableroute.mechanics.push.push_force`, in a conduit that yields
        and in a rigid one [N].

    Raises
    ------
    CableRouteError
        As :func:`unloaded_drag`, and for a negative load.

    Notes
    -----
    As :func:`unloaded_drag`, which it is without a load. Planar: a core that snakes has left what is
    described here. In arcs of middling length the core settles in more ways than one, and
    the greater of two shares is taken, above them all: 9.8 N where the rod settled at 5.2 and at 2.5,
    in two bends of 30 degrees at 80 N.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 400, 0], [0, 400, 0]], min_bend_radius=160)
    >>> added_push(
    ...     route, load=[0.0, 20.0, 80.0], friction=0.1, bending_stiffness=157080.0, clearance=0.5
    ... )[:, 1].round(1).tolist()
    [20.2, 11.5, 1.1]
    """
    push = check_not_negative(load, name="load")
    return _band(route, push, -1.0, friction, bending_stiffness, clearance, conduit_stiffness)


def _band(
    route: Route,
    load: ArrayLike,
    sense: float,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    clearance: ArrayLike,
    conduit_stiffness: ArrayLike | None,
) -> Array:
    """Check the input; yielding and rigid end, ``sense`` above zero for a pull."""
    mu = check_friction(friction)
    EI = check_not_negative(bending_stiffness, name="bending stiffness")
    c = check_above_zero(clearance, name="clearance", expected="mm")
    yielding = EI
    if conduit_stiffness is not None:
        own = check_above_zero(conduit_stiffness, name="conduit stiffness", expected="N*mm^2")
        yielding = EI / (1.0 + EI / own)
    sweeps = find_sweeps(route, clearance=c)
    given = (sense * np.asarray(load), mu, c)
    load_, mu, c = (np.asarray(value)[..., None] for value in given)
    spread = c + sweeps.turn * sweeps.length / 24.0
    runs = np.broadcast_shapes(load_.shape, mu.shape, EI[..., None].shape, spread.shape)
    ends = (2, *(1,) * len(runs))
    low, high = grip_over_run(
        sweeps,
        load_,
        mu,
        _pair(yielding[..., None], EI[..., None], (*runs[:-1], 1)),
        _pair(spread, c, runs),
        entry=np.array([0.0, 1.0]).reshape(ends),
    )
    return np.stack((np.minimum(low, high), high), axis=-1)


def _pair(low: Array, high: Array, shape: tuple[int, ...]) -> Array:
    """Both ends as the first axis."""
    return np.stack([np.broadcast_to(each, shape) for each in (low, high)])
