"""The force at the hand to pull a load, with or without the core's own weight."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.mechanics.capstan import capstan_ratio, check_friction, check_not_negative
from cableroute.mechanics.chain import MANY, march, piece_by_piece
from cableroute.route.pieces import Route
from cableroute.route.segments import bend_normals

#: Runge-Kutta steps across each bend: 2e-9 relative for a half turn at friction 0.4, less below,
#: where the wall is not lost.
BEND_STEPS = 64
#: The same where the core is so taut that weight cannot lift it off its wall: within 1e-8 of the former.
TAUT_STEPS = 12
#: What stands for a wall force of none, to divide by [N].
_NO_WALL = 1e-300
#: Tension over the weight of a radius of core from which on it is that taut [-].
TAUT = 20.0


def pull_force(
    route: Route, *, load: ArrayLike, friction: ArrayLike, weight: ArrayLike = 0.0
) -> float | Array:
    r"""Return the force at the hand that pulls ``load`` at the far end.

    Without weight, the capstan law :math:`F_{hand} = F_{far}\,e^{\mu\theta}`; with it, the soft
    string of :func:`pull_forces`.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Force at the far end, the last point [N].
    friction : array-like
        Coefficient of friction [-].
    weight : array-like
        Weight of the core, acting along -z [N/mm].

    Returns
    -------
    float or ndarray
        Force at the hand end [N].

    Raises
    ------
    CableRouteError
        For a negative load, friction or weight.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> round(pull_force(route, load=100, friction=0.12), 3)
    120.743
    """
    far, mu = check_not_negative(load, name="load"), check_friction(friction)
    heavy = check_not_negative(weight, name="weight")
    if heavy.any():
        hand = pull_forces(route, load=far, friction=mu, weight=heavy)[..., 0]
    else:
        hand = np.asarray(far * capstan_ratio(route.wrap, friction=mu))
    return float(hand) if hand.ndim == 0 else hand


def pull_forces(route: Route, *, load: ArrayLike, friction: ArrayLike, weight: ArrayLike) -> Array:
    r"""Return the tension at every joint of the route, from the hand end to the far end.

    The soft string: with :math:`s` running from the far end to the hand, :math:`t` its tangent,
    :math:`n` the normal of a bend of curvature :math:`\kappa` and :math:`w` the weight vector,

    .. math:: dT/ds = \mu\,|T\kappa n + w_\perp| - w \cdot t

    A straight run has a closed form; a bend, in any orientation, is integrated by a fourth-order
    Runge-Kutta rule.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Tension at the far end [N].
    friction : array-like
        Coefficient of friction [-].
    weight : array-like
        Weight of the core, acting along -z [N/mm].

    Returns
    -------
    ndarray, shape (..., 2 m - 2)
        Tension where each line and arc begins and where the last line ends [N].

    Notes
    -----
    The core has no stiffness of its own here and slides everywhere towards the hand. Where the
    core leaves one wall for the other inside a bend, the integrand has a kink and the result is
    good to about 1e-5 only.

    References
    ----------
    .. [1] Johancsik, Friesen, Dawson, "Torque and drag in directional wells", J. Petroleum
       Technology 36 (1984) 987 (from memory): the soft-string balance.
    """
    far, mu, w = (np.asarray(value, dtype=np.float64) for value in (load, friction, weight))
    shape = np.broadcast_shapes(far.shape, mu.shape, w.shape, route.legs.shape[:-1])
    mu, w = mu[..., None], w[..., None]
    towards_hand = -route.directions[..., ::-1, :]
    rise = towards_hand[..., 2]
    line_gain = (
        w * route.straights[..., ::-1] * (mu * np.sqrt(np.maximum(0.0, 1.0 - rise**2)) + rise)
    )
    turns, radii = route.turns[..., ::-1], route.radii[..., ::-1]
    normal_z = bend_normals(towards_hand, turns)[..., 2]
    pieces = 2 * route.legs.shape[-1] - 1

    least = np.min(far, initial=np.inf) - np.max(w * route.legs.sum(-1)[..., None], initial=0.0)
    taut = least > TAUT * np.max(w * radii, initial=0.0)
    steps = TAUT_STEPS if taut else BEND_STEPS
    turn_step, pull, tangent_z = turns / steps, w * radii, rise[..., :-1]
    start = np.broadcast_to(far, shape)
    if start.size >= MANY:

        def leaving(k: int, entering: Array) -> Array:
            i = k // 2
            if not k % 2:
                gained: Array = entering + line_gain[..., i]
                return gained
            own = _weights(
                turn_step[..., i], steps, pull[..., i], tangent_z[..., i], normal_z[..., i]
            )
            return _around_bend(entering, turn_step[..., i], mu[..., 0], own, sloped=False)[0]

        return piece_by_piece(start, leaving, pieces=pieces)[..., ::-1]

    weights = _weights(turn_step, steps, pull, tangent_z, normal_z)

    def step(entering: Array) -> tuple[Array, Array]:
        leaving, slope = np.empty_like(entering), np.ones_like(entering)
        leaving[..., 0::2] = entering[..., 0::2] + line_gain
        leaving[..., 1::2], slope[..., 1::2] = _around_bend(
            entering[..., 1::2], turn_step, mu, weights, sloped=True
        )
        return leaving, slope

    guess = _without_weight(start, mu * turns, pieces=pieces)
    return march(start, step, pieces=pieces, guess=guess)[..., ::-1]


def _without_weight(start: Array, exponent: Array, *, pieces: int) -> Array:
    """Tension entering each piece by the capstan law alone, next to which weight is little."""
    grown = np.zeros((*start.shape, pieces))
    grown[..., 2::2] = np.cumsum(np.broadcast_to(exponent, grown[..., 1::2].shape), axis=-1)
    grown[..., 1::2] = grown[..., 0:-1:2]
    with np.errstate(over="ignore", invalid="ignore"):  # told by the march
        guess: Array = start[..., None] * np.exp(grown)
    return guess


#: Weight inward and along at half steps of bends, first axis, and aside [N].
_Weights = tuple[Array, Array, Array]


def _weights(
    turn_step: Array, steps: int, pull: Array, tangent_z: Array, normal_z: Array
) -> _Weights:
    """Weight of a radius of core in bends; ``pull`` is w R [N]."""
    # turned on by half a step each time: a cosine for each place costs far more
    half = np.exp(0.5j * turn_step)
    at = pull * (normal_z + 1j * tangent_z)
    places = np.empty((2 * steps + 1, *at.shape), dtype=np.complex128)
    places[0] = at
    for i in range(2 * steps):
        np.multiply(places[i], half, out=places[i + 1])
    aside: Array = pull**2 * np.maximum(0.0, 1.0 - tangent_z**2 - normal_z**2)
    return np.ascontiguousarray(places.real), np.ascontiguousarray(places.imag), aside


def _around_bend(
    entering: Array, h: Array, mu: Array, weights: _Weights, *, sloped: bool
) -> tuple[Array, Array]:
    """Tension leaving each bend, and its slope in the tension entering, 1 where that is not asked.

    The capstan factor of each step is exact (an integrating factor), so that only what weight adds
    is left to the Runge-Kutta rule.
    """
    inward, climb, aside = weights
    tension, growth = entering, np.zeros(())
    half = np.exp(0.5 * mu * h)
    whole = half * half

    def weighed(at: int, tension: Array) -> tuple[Array, Array]:
        pressing = tension - inward[at]
        wall = np.sqrt(pressing * pressing + aside)
        slope = mu * (pressing / np.maximum(wall, _NO_WALL)) if sloped else growth
        return mu * (wall - tension) + climb[at], slope

    for i in range(0, len(inward) - 1, 2):
        k1, j1 = weighed(i, tension)
        k2, j2 = weighed(i + 1, half * (tension + 0.5 * h * k1))
        k3, j3 = weighed(i + 1, half * tension + 0.5 * h * k2)
        k4, j4 = weighed(i + 2, whole * tension + half * h * k3)
        gain = h / 6.0 * (whole * k1 + 2.0 * half * (k2 + k3) + k4)
        tension = whole * tension + gain
        growth = growth + h / 6.0 * (j1 + 2.0 * j2 + 2.0 * j3 + j4) if sloped else growth
    return tension, np.exp(growth)
