"""The feel of a lever: force against travel at the hand, out and back."""

from __future__ import annotations

from math import isfinite

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import CableRouteError, GeometryError
from cableroute.mechanics._elastic_core import Core, State, cut_core
from cableroute.mechanics._slip_front import Stroke, stroke
from cableroute.mechanics.capstan import check_friction, check_not_negative
from cableroute.mechanics.far_load import FarLoad
from cableroute.mechanics.felt import FeelLoop, FeltDetent
from cableroute.route.pieces import Route

#: Friction times wrap beyond which nothing gets through: a hand force 10^13 times the load [-].
MOST_EXPONENT = 30.0


def feel_loop(
    route: Route,
    *,
    far_load: FarLoad,
    travel: float,
    friction: float,
    axial_stiffness: float,
    conduit_stiffness: float | None = None,
    bracket_stiffness: tuple[float | None, float | None] = (None, None),
    clearance: float = 0.0,
    drag: float = 0.0,
    pull_only: bool = False,
    elements: int = 400,
    steps: int = 400,
) -> FeelLoop:
    r"""Move the hand out and back, and return what it feels and what arrives.

    The core stretches by :math:`T/EA`; the conduit shortens and its brackets give by the same
    force. Where the core slides, the tension follows the capstan law,

    .. math:: dT/d\theta = \mp\mu |T|

    and where it sticks the tension stands as it was. When the hand turns, a front walks in from
    it: up to the front :math:`T` is the new profile, beyond it the old. After the front has
    arrived, with :math:`F` the far load and :math:`f` its friction, hand and far end are at

    .. math:: T_{hand} = (F \pm f)\,e^{\pm\mu\theta}, \qquad
        u = x + \int T\,ds/EA + T_{hand}/k_{hand} + (F \pm f)/k_{far} \pm c\theta/2

    Where :math:`u` would have to go back as :math:`x` goes on, the far end snaps.

    Parameters
    ----------
    route : Route
        One route.
    far_load : FarLoad
        What the far end resists with.
    travel : float
        Travel of the hand: from rest where the core only pulls, else half of it to either side
        of rest [mm].
    friction : float
        Coefficient of friction [-].
    axial_stiffness : float
        EA of the core [N].
    conduit_stiffness : float or None
        EA of the conduit; None for one that does not give [N].
    bracket_stiffness : tuple of (float or None)
        Of what holds the conduit at the hand and at the far end; None for what does not give
        [N/mm].
    clearance : float
        Diametral clearance; what only pulls never crosses it [mm].
    drag : float
        Force that moves the core with no load on it, against any motion of the hand [N].
    pull_only : bool
        Whether the core cannot push, and the far end has a stop at rest.
    elements : int
        How finely the arcs are cut, in all [-].
    steps : int
        Steps of the hand each way [-].

    Returns
    -------
    FeelLoop
        The cycle as it repeats.

    Raises
    ------
    CableRouteError
        For a value out of its range, or a friction that lets nothing through.
    GeometryError
        For a batch of routes.

    Notes
    -----
    Slow motion; the core's weight, its stiffness beyond the drag given and the snaking of a pushed core
    are left out, so a push near the snaking onset is worse than this. All drag is taken at the hand. A snap takes no time
    and does not overshoot.

    A loaded core never has tension in one place and push in another, since the capstan law is a
    factor: the clearance is crossed all at once, with no force but the drag.

    The cycle is exact at the places where the front passes a cut; between them it is read off
    straight lines, second order in the elements.

    References
    ----------
    .. [1] Kaneko et al., J. Robotics Society of Japan 9 (1991) 437 (abstract): the stiffness of a
       tendon in a sheath differs between pulling and releasing. The closed forms are our own.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> loop = feel_loop(route, far_load=FarLoad(preload=30, rate=1), travel=40, friction=0.12,
    ...                  axial_stiffness=2e5, pull_only=True)
    >>> round(loop.greatest, 1), round(loop.far_reach[1], 2), loop.returns
    (84.2, 39.74, True)
    """
    core = _checked_core(
        route,
        travel=travel,
        friction=friction,
        stiffness=(axial_stiffness, conduit_stiffness),
        brackets=bracket_stiffness,
        clearance=clearance,
        drag=drag,
        pull_only=pull_only,
        elements=elements,
        steps=steps,
    )
    low, high = (0.0, travel) if pull_only else (-0.5 * travel, 0.5 * travel)
    state = State(tension=np.zeros_like(core.exponent), far=0.0, side=0.0)
    for _ in range(2):  # the first cycle leaves the core as every later one finds it
        out = stroke(core, far_load, state, way=1, target=high).cut(high)
        back = stroke(core, far_load, out.state(core), way=-1, target=low)
        back = back.cut(max(low, _runs_back_to(back, drag)) if pull_only else low)
        state = back.state(core)
    way_out = np.linspace(low, high, steps + 1)
    hand = np.concatenate((way_out, way_out[::-1]))
    left = float(back.hand[-1])
    parts = [_seen(out, way_out, drag, left), _seen(back, way_out[::-1], drag, left)]
    force, far = np.concatenate(parts, axis=-1)
    if pull_only:
        force = np.maximum(force, 0.0)  # where it comes to rest, but for rounding
    work = [_area(each.hand, each.tension + each.way * drag) for each in (out, back)]
    return FeelLoop(
        hand_travel=hand,
        hand_force=force,
        far_travel=far,
        lost=(_lost(back, start=high, stop=low), _lost(out, start=low, stop=high)),
        hysteresis=max(sum(work), 0.0),  # below it by the chords across a detent
        greatest=max(_greatest(each, drag) for each in (out, back)),
        detents=_felt(core, far_load, out),
        pull_only=pull_only,
    )


def _checked_core(
    route: Route,
    *,
    travel: float,
    friction: float,
    stiffness: tuple[float, float | None],
    brackets: tuple[float | None, float | None],
    clearance: float,
    drag: float,
    pull_only: bool,
    elements: int,
    steps: int,
) -> Core:
    """Check everything at the door and cut the core."""
    if route.legs.ndim != 1:
        raise GeometryError(f"expected one route, got a batch of {route.legs.shape[:-1]}")
    if not (isfinite(travel) and travel > 0.0):
        raise CableRouteError(f"travel: expected mm above 0, got {travel!r}")
    for name, value in (
        ("axial stiffness of the core: expected N", stiffness[0]),
        ("axial stiffness of the conduit: expected N", stiffness[1]),
        ("stiffness of the bracket at the hand: expected N/mm", brackets[0]),
        ("stiffness of the bracket at the far end: expected N/mm", brackets[1]),
    ):
        if value is not None and not (isfinite(value) and value > 0.0):
            raise CableRouteError(f"{name} above 0, got {value!r}")
    for name, count in (("elements", elements), ("steps", steps)):
        if count < 1:
            raise CableRouteError(f"{name}: expected 1 or more, got {count!r}")
    check_not_negative(clearance, name="clearance")
    check_not_negative(drag, name="drag")
    exponent = float(check_friction(friction)) * float(route.wrap)
    if exponent > MOST_EXPONENT:
        raise CableRouteError(
            f"friction times wrap: expected at most {MOST_EXPONENT:g}, got {exponent:.3g}: "
            "nothing gets through"
        )
    return cut_core(
        route,
        friction=friction,
        give=sum(1.0 / each for each in stiffness if each),
        ends=(_inverse(brackets[0]), _inverse(brackets[1])),
        clearance=clearance,
        pull_only=pull_only,
        elements=elements,
    )


def _inverse(stiffness: float | None) -> float:
    return 1.0 / stiffness if stiffness else 0.0


def _runs_back_to(back: Stroke, drag: float) -> float:
    """Where a core that only pulls stops on its way back: its tension no more than the drag."""
    i = int(np.argmax(back.tension <= drag))
    if back.tension[i] > drag:
        return float(back.hand[-1])
    if i == 0:
        return float(back.hand[0])
    above, below = back.tension[i - 1], back.tension[i]
    share = (above - drag) / (above - below)
    return float(back.hand[i - 1] + share * (back.hand[i] - back.hand[i - 1]))


def _seen(moved: Stroke, hand: Array, drag: float, left: float) -> Array:
    """Force and far travel at places of the hand, which feels nothing of a core left behind."""
    force = moved.at(moved.tension, hand) + moved.way * drag
    return np.stack((np.where(hand < left, 0.0, force), moved.at(moved.far, hand)))


def _area(hand: Array, force: Array) -> float:
    return float((0.5 * (force[1:] + force[:-1]) * np.diff(hand)).sum())


def _lost(moved: Stroke, *, start: float, stop: float) -> float:
    """Travel of the hand before the far end follows; all of it if it never does."""
    tiny = 1e-9 * abs(stop - start)
    follows = np.flatnonzero(np.abs(moved.far - moved.far[0]) > tiny)
    last = moved.hand[follows[0] - 1] if len(follows) else stop
    return abs(float(last) - start)


def _greatest(moved: Stroke, drag: float) -> float:
    return float(np.abs(moved.tension[moved.held] + moved.way * drag).max())


def _felt(core: Core, load: FarLoad, out: Stroke) -> tuple[FeltDetent, ...]:
    """Return what the hand feels of each detent that the far end is pulled out of."""
    plain = load.plain_force(out.far) + load.friction
    if core.pull_only:
        plain = np.maximum(plain, 0.0)
    gain = np.exp(np.sign(plain) * core.exponent[-1])
    far_rise, rise = out.end - plain, out.tension - plain * gain
    slides = np.arange(len(out.hand)) >= out.front
    felt = []
    for detent in load.detents:
        inside = slides & (np.abs(out.far - detent.at) < detent.width)
        held = np.flatnonzero(inside & out.held)
        if len(held) == 0 or out.far[-1] < detent.at:
            continue
        most = held[np.argmax(rise[held])]
        felt.append(
            FeltDetent(
                at=detent.at,
                hand=float(out.hand[most]),
                far_rise=float(far_rise[held].max()),
                rise=float(rise[most]),
                snaps=bool((inside & ~out.held & (out.far > detent.at)).any()),
            )
        )
    return tuple(felt)
