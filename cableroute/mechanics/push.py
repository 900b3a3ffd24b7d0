"""A core pushed through its conduit: wall force, snaking, lock-up."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray
from cableroute.errors import CableRouteError
from cableroute.mechanics.capstan import check_friction, check_not_negative
from cableroute.mechanics.chain import MANY, march, piece_by_piece
from cableroute.route.pieces import Route

#: Friction times wrap beyond which no push gets through: e^600 times the load [-].
MOST_EXPONENT = 600.0


def snaking_onset(
    radius: ArrayLike, *, bending_stiffness: ArrayLike, clearance: ArrayLike
) -> Array:
    r"""Return the push at which a core in a bend starts to snake, :math:`F_s = 4EI/(R r)`.

    Parameters
    ----------
    radius : array-like
        Bend radius R to the conduit's centreline; infinite for a straight [mm].
    bending_stiffness : array-like
        EI of the core [N*mm^2].
    clearance : array-like
        Diametral clearance c, conduit ID less core OD; r = c/2 [mm].

    Returns
    -------
    ndarray
        Force at onset; infinite for no clearance, zero for a straight [N].

    Notes
    -----
    The bend presses the core on its outer wall with F/R, which is what holds it; on a straight
    nothing does, and the core snakes at any load. A confined core does not fold at onset: it
    starts to lose force and travel. Within 2 % for r/R below 0.01.

    References
    ----------
    .. [1] He, Kyllingstad, "Helical buckling and lock-up conditions for coiled tubing in curved
       wells", SPE Drilling & Completion 10 (1995) 10 (from memory): onset
       :math:`2\sqrt{EI w_n/r}` with the bend's wall force as :math:`w_n`.

    Examples
    --------
    >>> float(snaking_onset(150.0, bending_stiffness=7850.0, clearance=1.0).round(2))
    418.67
    """
    r = 0.5 * check_not_negative(clearance, name="clearance")
    lever = np.asarray(radius, dtype=np.float64) * r
    stiffness = 4.0 * np.asarray(bending_stiffness, dtype=np.float64)
    with np.errstate(divide="ignore"):
        onset: Array = np.where(lever > 0.0, stiffness / lever, np.inf)
    return onset


def push_force(
    route: Route,
    *,
    load: ArrayLike,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    clearance: ArrayLike,
) -> float | Array:
    """Return the push at the hand that gives ``load`` at the far end.

    See :func:`push_forces` for the rule.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Push wanted at the far end, the last point [N].
    friction : array-like
        Coefficient of friction [-].
    bending_stiffness : array-like
        EI of the core [N*mm^2].
    clearance : array-like
        Diametral clearance, conduit ID less core OD [mm].

    Returns
    -------
    float or ndarray
        Push at the hand end; infinite when the core locks up [N].

    Raises
    ------
    CableRouteError
        For a negative load, friction or clearance, or a stiffness that is not above zero.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> round(push_force(route, load=60, friction=0.12, bending_stiffness=7.85e3, clearance=0.5), 3)
    74.859
    """
    hand = push_forces(
        route,
        load=load,
        friction=friction,
        bending_stiffness=bending_stiffness,
        clearance=clearance,
    )[..., 0]
    return float(hand) if hand.ndim == 0 else hand


def push_forces(
    route: Route,
    *,
    load: ArrayLike,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    clearance: ArrayLike,
) -> Array:
    r"""Return the push at every joint of the route, from the hand end to the far end.

    The wall force per length is that of the bend or that of the snaking core, whichever is more:

    .. math:: dF/ds = \mu \max\left(\frac{F}{R}, \frac{r F^2}{4EI}\right)

    The two meet exactly at the snaking onset :math:`F_s = 4EI/(Rr)`. With :math:`y = 1/F` each
    piece has a closed form: on a straight :math:`y` falls by :math:`\mu r L/4EI`; in a bend it
    shrinks by :math:`e^{-\mu\theta}` down to :math:`y_s = 1/F_s` and falls evenly from there. The
    core locks up where :math:`y` reaches zero: no push at the hand, however large, gives more.

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
    clearance : array-like
        Diametral clearance, conduit ID less core OD [mm].

    Returns
    -------
    ndarray, shape (..., 2 m - 2)
        Push where each line and arc begins and where the last line ends; infinite where the
        core has locked up [N].

    Raises
    ------
    CableRouteError
        For a negative load, friction or clearance, or a stiffness that is not above zero.

    Notes
    -----
    On straights the snaking branch is taken from the first newton on, which is conservative: a
    short straight holds until :math:`4\pi^2EI/L^2`. The core's weight is left out: it seats the
    core and would raise the onset. Elastic, round, evenly loaded core.

    References
    ----------
    .. [1] Lubinski, Althouse, Logan, "Helical buckling of tubing sealed in packers", J. Petroleum
       Technology, June 1962 (from memory): wall force :math:`rF^2/4EI` of a helix.
    .. [2] Mitchell, "Simple frictional analysis of helical buckling of tubing", SPE Drilling
       Engineering, December 1986 (from memory): friction along it.
    """
    far = check_not_negative(load, name="load")
    *falls, beyond = _falls(route, friction, bending_stiffness, clearance)
    line_fall, onset, exponent = (each[..., ::-1] for each in falls)
    shape = np.broadcast_shapes(far.shape, *(each.shape[:-1] for each in (line_fall, beyond)))

    def step(entering: Array) -> tuple[Array, Array]:
        leaving, slope = np.empty_like(entering), np.ones_like(entering)
        leaving[..., 0::2] = entering[..., 0::2] - line_fall
        leaving[..., 1::2], slope[..., 1::2] = around_bend(entering[..., 1::2], onset, exponent)
        return leaving, slope

    def leaving(k: int, entering: Array) -> Array:
        i = k // 2
        if k % 2:
            return around_bend(entering, onset[..., i], exponent[..., i])[0]
        fallen: Array = entering - line_fall[..., i]
        return fallen

    pushed = np.broadcast_to(far, shape)
    start = 1.0 / np.where(pushed > 0.0, pushed, 1.0)
    pieces = 2 * route.legs.shape[-1] - 1
    if start.size < MANY:
        y = march(start, step, pieces=pieces)[..., ::-1]
    else:
        y = piece_by_piece(start, leaving, pieces=pieces)[..., ::-1]
    locked = (y <= 0.0) | beyond
    with np.errstate(over="ignore"):  # next to none is as good as none
        force = np.where(locked, np.inf, 1.0 / np.where(locked, 1.0, y))
    return np.where(pushed[..., None] > 0.0, force, 0.0)


def push_arriving(
    route: Route,
    *,
    push: ArrayLike,
    at: ArrayLike = 0,
    friction: ArrayLike,
    bending_stiffness: ArrayLike,
    clearance: ArrayLike,
) -> Array:
    r"""Return what a push at one joint leaves for the far end: :func:`push_forces` the other way.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    push : array-like
        Push at the joint, above zero; infinite for all that could ever arrive [N].
    at : array-like of int, optional
        Which joint, counted as :func:`push_forces` does; that at the hand if not given [-].
    friction : array-like
        Coefficient of friction [-].
    bending_stiffness : array-like
        EI of the core [N*mm^2].
    clearance : array-like
        Diametral clearance, conduit ID less core OD [mm].

    Returns
    -------
    ndarray
        Push at the far end; infinite where nothing takes any of an infinite one [N].

    Raises
    ------
    CableRouteError
        For a negative push, friction or clearance, or a stiffness that is not above zero.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> core = {"friction": 0.12, "bending_stiffness": 7.85e3, "clearance": 0.5}
    >>> push_arriving(route, push=[74.859, np.inf], **core).round(1).tolist()
    [60.0, 1592.9]
    """
    given = np.asarray(push, dtype=np.float64)
    if not (given > 0.0).all():
        raise CableRouteError(f"push: expected N above 0, got {push!r}")
    line_fall, onset, exponent, _ = _falls(route, friction, bending_stiffness, clearance)
    before = np.arange(2 * route.legs.shape[-1] - 1) < np.asarray(at)[..., None]
    shape = np.broadcast_shapes(
        given.shape, *(each.shape[:-1] for each in (line_fall, exponent, before))
    )

    def step(leaving: Array) -> tuple[Array, Array]:
        entering, slope = np.empty_like(leaving), np.ones_like(leaving)
        entering[..., 0::2] = leaving[..., 0::2] + line_fall
        entering[..., 1::2], slope[..., 1::2] = _back_round_bend(
            leaving[..., 1::2], onset, exponent
        )
        return np.where(before, leaving, entering), np.where(before, 1.0, slope)

    y = march(np.broadcast_to(1.0 / given, shape), step, pieces=before.shape[-1])[..., -1]
    arriving: Array = np.divide(1.0, y, out=np.full(shape, np.inf), where=y > 0.0)
    return arriving


def _falls(
    route: Route, friction: ArrayLike, bending_stiffness: ArrayLike, clearance: ArrayLike
) -> tuple[Array, Array, Array, BoolArray]:
    """Return the fall of 1/F along each straight, and 1/F_s, friction times turn of each bend.

    The last says which runs turn so much that no push gets through; their bends are let off the rest.
    """
    mu = check_friction(friction)[..., None]
    r = 0.5 * check_not_negative(clearance, name="clearance")
    stiffness = np.asarray(bending_stiffness, dtype=np.float64)
    if not (np.isfinite(stiffness) & (stiffness > 0.0)).all():
        msg = f"bending stiffness: expected N*mm^2 above 0, got {bending_stiffness!r}"
        raise CableRouteError(msg)
    k = (r / (4.0 * stiffness))[..., None]
    exponent = mu * route.turns
    total = exponent.sum(-1, keepdims=True)
    beyond = total > MOST_EXPONENT
    exponent = np.where(beyond, exponent * (MOST_EXPONENT / np.where(beyond, total, 1.0)), exponent)
    return mu * k * route.straights, k * route.radii, exponent, beyond


def _back_round_bend(y: Array, onset: Array, exponent: Array) -> tuple[Array, Array]:
    """Return ``1/F`` entering each bend from that leaving it, and its slope: :func:`around_bend` back."""
    growth = np.exp(exponent)
    held, evenly = y >= onset, y + onset * exponent <= onset
    crossed = np.exp(y / np.where(onset > 0.0, onset, 1.0) - 1.0 + exponent)
    entering = np.where(held, y * growth, np.where(evenly, y + onset * exponent, onset * crossed))
    return entering, np.where(held, growth, np.where(evenly, 1.0, crossed))


def around_bend(y: Array, onset: Array, exponent: Array) -> tuple[Array, Array]:
    """Return ``1/F`` leaving each bend towards the hand, and its slope.

    Parameters
    ----------
    y : ndarray
        ``1/F`` entering it [1/N].
    onset : ndarray
        ``1/F_s``, that of the snaking onset [1/N].
    exponent : ndarray
        Friction times turn [-].

    Returns
    -------
    tuple of ndarray
        ``1/F`` leaving, 0 or below where the core locks up [1/N], and what it gains by that entering.
    """
    shrink = np.exp(-exponent)
    safe = np.where((y > onset) & (onset > 0.0), y / np.where(onset > 0.0, onset, 1.0), 1.0)
    held = y * shrink >= onset
    crossing = (y > onset) & ~held
    leaving = np.where(
        held,
        y * shrink,
        np.where(crossing, onset * (1.0 + np.log(safe) - exponent), y - onset * exponent),
    )
    slope = np.where(held, shrink, np.where(crossing, 1.0 / safe, 1.0))
    return leaving, slope
