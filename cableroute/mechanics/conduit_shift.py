"""A conduit that moves between its clips under the core's wall force, and the travel that eats."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.mechanics._sweeps import Sweeps, find_sweeps
from cableroute.mechanics.capstan import check_above_zero, check_friction, check_not_negative
from cableroute.route.pieces import Route

#: Widest spacing of clips that is looked at [mm].
WIDEST = 5000.0

#: Past this exponent no force is told apart from endless, and products of it stay finite [-].
MOST_GROWTH = 300.0


@frozen(eq=False)
class ConduitShift:
    """Travel that a conduit eats by moving between its clips, from what is true to a bound.

    Parameters
    ----------
    eccentric : ndarray
        By curling: the core lies off the conduit's axis and bends it. All that an unbroken conduit
        adds to the shortening that :mod:`~cableroute.mechanics.lost_motion` counts [mm].
    held : ndarray or None
        Of that shortening, F L/EA, what the clips leave; part of it, not to be added. None where EA
        is not known [mm].
    unheld : ndarray
        Bound: bends drawn in though nothing holds the conduit's thrust, as where it is split, has
        play at an anchor, or is crushed [mm].
    """

    eccentric: Array
    held: Array | None
    unheld: Array


def conduit_shift(
    route: Route,
    *,
    load: ArrayLike,
    friction: ArrayLike,
    clip_spacing: ArrayLike,
    clearance: ArrayLike,
    conduit_stiffness: ArrayLike,
    conduit_axial: ArrayLike | None = None,
    pushing: bool = False,
) -> ConduitShift:
    r"""Work out what travel is lost to a conduit that moves between its clips.

    Core and conduit do work through the core's length within the conduit alone, :math:`L_c - r\Phi`
    with :math:`\Phi` the conduit's wrap. A concentric core, :math:`r = 0`, therefore feels nothing of
    the conduit's shape: moving sideways eats no travel as long as the conduit keeps its length. Three
    things are left:

    .. math:: x_{ecc} = \sum \frac{F r^2 R\theta}{EI_c}, \qquad
        x_{held} = \frac{N L}{EA_c}, \quad N = \frac{\sum C F}{\sum C + L/EA_c}, \qquad
        x_{unheld} = \sum \min(C F,\ x_{cut})

    with :math:`C = \theta\ell^4/(120\,R\,EI_c)` for spans :math:`\ell` shorter than the bend,
    :math:`\theta^2\ell^3\,(1/48 - \beta^2/48 + \beta^3/120)/EI_c`, :math:`\beta = R\theta/\ell`, for
    longer ones, and :math:`x_{cut}` what the core saves if it goes straight from clip to clip.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Pull, or push, at the far end [N].
    friction : array-like
        Coefficient of friction; the high end is the unsafe one [-].
    clip_spacing : array-like
        From clip to clip [mm].
    clearance : array-like
        Diametral clearance, new or worn [mm].
    conduit_stiffness : array-like
        EI of the conduit. The slack end is the unsafe one [N*mm^2].
    conduit_axial : array-like or None
        EA of the conduit; None where it is not known [N].
    pushing : bool
        Whether the load is a push: bends are driven out, and nothing caps it.

    Returns
    -------
    ConduitShift
        The travel lost, from what is true to a bound.

    Raises
    ------
    CableRouteError
        For a negative load, friction or clearance, or a spacing or stiffness that is not above zero.

    Notes
    -----
    Our own derivation, small shifts; clips that hold a place and no direction, through which the
    conduit slides; a push the mirror image of a pull. *What is true:* a bend drawn in is how the
    conduit shortens under its thrust, so x_held lies below F L/EA, however far apart the clips.
    *What is bound:* x_unheld. It is no estimate of a sound installation; it shows what clips close to
    a bend are worth if an anchor has play. The push is taken without what snaking adds to it.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [600, 0, 0], [600, 600, 0]], min_bend_radius=160)
    >>> shift = conduit_shift(
    ...     route, load=120.0, friction=0.1, clip_spacing=200.0, clearance=0.5,
    ...     conduit_stiffness=3e5, conduit_axial=7.5e5,
    ... )
    >>> [float(each.round(3)) for each in (shift.eccentric, shift.held, shift.unheld)]
    [0.007, 0.195, 16.046]
    """
    F, mu = check_not_negative(load, name="load"), check_friction(friction)
    c = check_not_negative(clearance, name="clearance")
    span = check_above_zero(clip_spacing, name="clip spacing", expected="mm")
    EI = check_above_zero(conduit_stiffness, name="conduit stiffness", expected="N*mm^2")
    own = _own_give(route, conduit_axial)
    sweeps = find_sweeps(route, clearance=c)
    force = _forces(sweeps, F, mu)
    curled = (force * sweeps.length).sum(-1) * (0.5 * c) ** 2 / EI
    held = None if own is None else _held(sweeps, force, span, EI, own)
    return ConduitShift(curled, held, _unheld(sweeps, force, span, EI, pushing=pushing))


def spacing_for_travel(
    route: Route,
    *,
    load: ArrayLike,
    friction: ArrayLike,
    travel: ArrayLike,
    clearance: ArrayLike,
    conduit_stiffness: ArrayLike,
    conduit_axial: ArrayLike | None = None,
) -> Array:
    r"""Return the widest spacing of clips in bends at which a pull loses no more than ``travel``.

    With an EA, the travel lost is x_held of :func:`conduit_shift`, which only clips close together
    bring below F L/EA; without, the bound x_unheld.

    Parameters
    ----------
    route : Route
        One route, or a batch.
    load : array-like
        Pull at the far end [N].
    friction : array-like
        Coefficient of friction; the high end is the unsafe one [-].
    travel : array-like
        Travel that may be lost, above zero [mm].
    clearance : array-like
        Diametral clearance [mm].
    conduit_stiffness : array-like
        EI of the conduit. The slack end is the unsafe one [N*mm^2].
    conduit_axial : array-like or None
        EA of the conduit that carries its own thrust; None for the bound [N].

    Returns
    -------
    ndarray
        Spacing; infinite where none, up to 5 m, loses as much [mm].

    Raises
    ------
    CableRouteError
        As :func:`conduit_shift`, and for a travel that is not above zero.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [600, 0, 0], [600, 600, 0]], min_bend_radius=160)
    >>> kwargs = dict(load=120.0, friction=0.1, clearance=0.5, conduit_stiffness=3e5)
    >>> float(spacing_for_travel(route, travel=1.0, **kwargs).round())
    73.0
    >>> float(spacing_for_travel(route, travel=1.0, conduit_axial=7.5e5, **kwargs))
    inf
    """
    wanted = check_above_zero(travel, name="travel", expected="mm")
    F, mu = check_not_negative(load, name="load"), check_friction(friction)
    c = check_not_negative(clearance, name="clearance")
    EI = check_above_zero(conduit_stiffness, name="conduit stiffness", expected="N*mm^2")
    own = _own_give(route, conduit_axial)
    sweeps = find_sweeps(route, clearance=c)
    force = _forces(sweeps, F, mu)

    def lost(span: Array) -> Array:
        if own is None:
            return _unheld(sweeps, force, span, EI, pushing=False)
        return _held(sweeps, force, span, EI, own)

    enough = lost(np.asarray(WIDEST)) <= wanted
    low, high = np.zeros(enough.shape), np.full(enough.shape, WIDEST)
    for _ in range(0 if enough.all() else 50):
        middle = 0.5 * (low + high)
        over = lost(middle) > wanted
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return np.where(enough, np.inf, low)


def _own_give(route: Route, conduit_axial: ArrayLike | None) -> Array | None:
    """Return what the conduit shortens by for a newton along it, L/EA; None if that is not known."""
    if conduit_axial is None:
        return None
    EA = check_above_zero(conduit_axial, name="conduit axial stiffness", expected="N")
    return np.asarray(route.length) / EA


def _held(sweeps: Sweeps, force: Array, span: Array, EI: Array, own: Array) -> Array:
    """Travel lost where the conduit carries its own thrust, x_held."""
    give = _give(sweeps, span[..., None]) / EI[..., None]
    lost: Array = (give * force).sum(-1) / (give.sum(-1) + own) * own
    return lost


def _unheld(sweeps: Sweeps, force: Array, span: Array, EI: Array, *, pushing: bool) -> Array:
    """Travel lost where nothing carries the thrust, x_unheld."""
    give = _give(sweeps, span[..., None]) / EI[..., None]
    room = np.inf if pushing else _cut(sweeps, span[..., None])
    lost: Array = np.minimum(give * force, room).sum(-1)
    return lost


def _forces(sweeps: Sweeps, load: Array, mu: Array) -> Array:
    """Force in the core at the middle of each sweep, by the capstan law."""
    beyond = sweeps.turn.sum(-1, keepdims=True) - sweeps.before - 0.5 * sweeps.turn
    force: Array = load[..., None] * np.exp(np.minimum(mu[..., None] * beyond, MOST_GROWTH))
    return force


def _give(sweeps: Sweeps, span: Array) -> Array:
    """C times EI: what a bend lets the core's path shorten by for a newton, pinned at its clips."""
    short = sweeps.length <= span
    share = np.where(short, sweeps.length / span, 1.0)
    alone = sweeps.turn**2 * span**3 * (1.0 / 48.0 - share**2 / 48.0 + share**3 / 120.0)
    give: Array = np.where(short, alone, sweeps.turn * sweeps.curvature * span**4 / 120.0)
    return give


def _cut(sweeps: Sweeps, span: Array) -> Array:
    """Length that the core saves in each bend by going straight from clip to clip."""
    short = sweeps.length <= span
    turn = np.where(short, sweeps.turn, span * sweeps.curvature)
    arc = np.where(short, sweeps.length, span)
    over = np.where(short, span - sweeps.length, 0.0)  # straight on both sides together
    half = 0.5 * turn
    chord = over * np.cos(half) + arc * np.sinc(half / np.pi)
    spans = np.where(short, 1.0, sweeps.length / span)
    cut: Array = spans * np.maximum(over + arc - chord, 0.0)
    return cut
