"""Where a cable is held: the clips that the user marked, and those it still wants."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.errors import CableRouteError, GeometryError
from cableroute.frozen import frozen
from cableroute.mechanics._bends import Bends, find_bends, greatest_over
from cableroute.mechanics.anchors import AnchorLoad
from cableroute.mechanics.capstan import check_above_zero
from cableroute.mechanics.clips import spring_back, turning_force
from cableroute.route.pieces import Route

#: A suggested clip stands this far beyond the end of its bend: common practice, no source [mm].
BESIDE = 25.0
#: More clips than this are a slip of the unit; a kilometre takes 1640 of them [-].
MOST_CLIPS = 5000


@frozen(eq=False)
class Clip:
    """One place where the conduit is held, or should be.

    Parameters
    ----------
    at : float
        Along the run from the hand end [mm].
    point : ndarray, shape (3,)
        The conduit's centreline there [mm].
    force : float
        At an end: what the anchor carries along the run. Elsewhere: the upper bound of what a
        clip holds that alone takes the turn of its bend; 0 away from bends [N].
    direction : ndarray, shape (3,)
        Unit vector in which the conduit presses on it, zero where there is no force [-].
    kind : str
        ``anchor``, ``clip`` or ``suggested``.
    name : str
        The user's point that it stands at, or at whose bend it stands; empty if neither.
    spring_back : float or None
        Working force from the conduit's own stiffness, an order of magnitude; None where that
        stiffness is not known [N].
    """

    at: float
    point: Array
    force: float
    direction: Array
    kind: str
    name: str
    spring_back: float | None = None


def clip_list(
    route: Route,
    *,
    ends: tuple[AnchorLoad, AnchorLoad],
    pull: ArrayLike,
    push: ArrayLike = 0.0,
    spacing: float,
    fixes: Sequence[str | None] = (),
    names: Sequence[str] = (),
    conduit_stiffness: float | None = None,
) -> tuple[Clip, ...]:
    """List where the conduit is held from the hand end to the far end, with what it still wants.

    The two ends are anchors. A point marked ``clip`` or ``anchor`` is held where the conduit
    passes it, at the middle of its bend. To these are added one clip on each side of every bend
    that has none on it or near it, and then as many, evenly spread, as keep all within
    ``spacing``.

    Parameters
    ----------
    route : Route
        One route.
    ends : tuple of AnchorLoad
        What the anchors carry, hand end first.
    pull : array-like
        Pull on the core at each corner, at its hand side [N]; one number, or shape (m - 2,).
    push : array-like
        Push on the core there, 0 for a cable that only pulls [N].
    spacing : float
        Widest spacing along the run [mm].
    fixes : sequence of (str or None)
        ``anchor``, ``clip`` or None for each point that the route was fitted to; none if empty.
    names : sequence of str
        What to call those points; numbered if empty.
    conduit_stiffness : float or None
        EI of the conduit, and of a stiff core in it besides [N*mm^2].

    Returns
    -------
    tuple of Clip
        By distance from the hand end.

    Raises
    ------
    CableRouteError
        For a spacing that is not above zero, a force below zero, a negative stiffness, or a batch
        of routes.

    Notes
    -----
    A marked point that coincides with the one before it is not seen. Two bends close together
    share the clip between them.

    References
    ----------
    Common practice, no source: a clip on each side of every bend.

    Examples
    --------
    >>> from cableroute.mechanics.anchors import anchor_loads
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> ends = anchor_loads(hand_pull=120.0, far_pull=100.0)
    >>> [(round(c.at), c.kind, round(c.force))
    ...  for c in clip_list(route, ends=ends, pull=120.0, spacing=600.0)]
    [(0, 'anchor', 120), (275, 'suggested', 170), (482, 'suggested', 170), (657, 'anchor', 100)]
    """
    widest = float(check_above_zero(spacing, name="clip spacing"))
    bends = find_bends(route)
    places, held = _held(route, fixes)
    beside, corners = _beside(bends, held)
    filling = _filling(np.sort(np.concatenate((held, beside))), widest)
    at = np.concatenate((held, beside, filling))
    order = np.argsort(at, kind="stable")
    at = at[order]
    kinds = [_fix(route, fixes, i) for i in places] + ["suggested"] * (len(at) - len(held))
    owners = np.concatenate((places, route.owners[corners + 1], np.full(len(filling), -1)))[order]
    force, direction = _turning(
        at, bends, pull=_at_corners(route, pull), push=_at_corners(route, push)
    )
    force[[0, -1]], direction[[0, -1]] = _along(route, ends)
    springing = _springing(at, bends, conduit_stiffness)
    points = route.point(np.minimum(at, route.length))
    return tuple(
        Clip(
            at=float(at[i]),
            point=points[i],
            force=float(force[i]),
            direction=direction[i],
            kind=kinds[order[i]],
            name=_name(route, names, int(owners[i])),
            spring_back=None if springing is None else float(springing[i]),
        )
        for i in range(len(at))
    )


def unclipped_bends(route: Route, *, fixes: Sequence[str | None] = ()) -> IntArray:
    """Return the corners of the bends that neither a clip nor an anchor holds.

    A bend is held by one on it, or as far from it as its radius (50 to 150 mm).

    Parameters
    ----------
    route : Route
        One route.
    fixes : sequence of (str or None)
        ``anchor``, ``clip`` or None for each point that the route was fitted to; none if empty.

    Returns
    -------
    ndarray of int
        One corner a bend, the first being 0; of a sweep of many corners the middle one [-].

    Notes
    -----
    Turns of less than 10 degrees in all are no bends here. The limits are our own judgement.

    Examples
    --------
    >>> from cableroute.route.fillet import fit_arcs
    >>> route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    >>> [unclipped_bends(route, fixes=(None, fix, None)).tolist() for fix in (None, "clip")]
    [[0], []]
    """
    bends = find_bends(route)
    _, held = _held(route, fixes)
    return bends.middle[_bare(bends, held)]


# -- places ------------------------------------------------------------------------------------


def _fix(route: Route, fixes: Sequence[str | None], place: int) -> str | None:
    """How one of the distinct points is held; the ends always are."""
    if place in (0, len(route.kept) - 1):
        return "anchor"
    point = int(route.kept[place])
    return fixes[point] if point < len(fixes) else None


def _held(route: Route, fixes: Sequence[str | None]) -> tuple[IntArray, Array]:
    """Distinct points that are held, and where along the run."""
    along = route.stations
    points = np.array([i for i, fix in enumerate(fixes) if fix is not None], dtype=np.intp)
    fixed = np.isin(route.kept, points)
    fixed[[0, -1]] = True
    held = np.flatnonzero(fixed)
    return held, along[held]


def _bare(bends: Bends, held: Array) -> BoolArray:
    """Bends that none of the clips is on or near."""
    first, stop = bends.clips_near(np.sort(held))
    return np.asarray(first == stop)


def _beside(bends: Bends, held: Array) -> tuple[Array, IntArray]:
    """One clip on each side of bends that have none, and the corner each belongs to."""
    bare = _bare(bends, held)
    gaps = np.full(len(bends.turn) + 1, np.inf)
    gaps[1:-1] = bends.start[1:] - bends.end[:-1]
    step = np.where(gaps <= 4.0 * BESIDE, 0.5 * gaps, BESIDE)  # or one for both bends
    sides = np.concatenate((bends.start - step[:-1], bends.end + step[1:]))
    sides, corners = sides[np.tile(bare, 2)], np.tile(bends.middle[bare], 2)
    places = sides.round(6)
    order = np.argsort(places, kind="stable")  # np.unique would import masked arrays, for 10 ms
    once = order[np.diff(places[order], prepend=-np.inf) > 0.0]
    return sides[once], corners[once]


def _filling(at: Array, spacing: float) -> Array:
    """Clips that split every gap wider than the spacing into even parts."""
    gaps = np.diff(at)
    more = np.maximum(np.ceil(gaps / max(spacing, 1e-6) - 1e-9).astype(np.intp) - 1, 0)
    if more.sum() > MOST_CLIPS:
        raise GeometryError(
            f"expected a run that {MOST_CLIPS} clips can hold, got {gaps.sum() / 1e3:.4g} m that needs "
            f"one every {spacing:.3g} mm; see the units of its points and of its conduit"
        )
    gap = np.repeat(np.arange(len(gaps)), more)
    number = np.arange(len(gap)) - np.repeat(np.cumsum(more) - more, more) + 1
    filling: Array = at[gap] + gaps[gap] * number / (more[gap] + 1)
    return filling


def _name(route: Route, names: Sequence[str], place: int) -> str:
    if place < 0:
        return ""
    point = int(route.kept[place])
    return names[point] if point < len(names) else f"point {point + 1}"


# -- forces ------------------------------------------------------------------------------------


def _at_corners(route: Route, force: ArrayLike) -> Array:
    given, corners = np.asarray(force, dtype=np.float64), len(route.turns)
    if given.shape not in ((), (corners,)):
        msg = f"forces: expected one, or one for each of {corners} corners, got {given.shape}"
        raise CableRouteError(msg)
    return np.broadcast_to(given, corners)


def _turning(at: Array, bends: Bends, *, pull: Array, push: Array) -> tuple[Array, Array]:
    """Greatest bound among the bends near each clip, and its direction."""
    edges = np.stack((bends.first, bends.last + 1), axis=-1).ravel()
    pulling, pushing = (
        turning_force(np.maximum.reduceat(np.append(force, 0.0), edges)[::2], turn=bends.turn)
        for force in (pull, push)
    )
    bound = np.maximum(pulling, pushing)
    pressed = bends.inward * np.where(pulling >= pushing, 1.0, -1.0)[:, None]
    rising = np.lexsort((-np.arange(len(bound)), bound))  # of equals the one nearer the hand last
    rank = np.empty_like(rising)
    rank[rising] = np.arange(len(bound))
    most = greatest_over(*bends.clips_near(at), rank, size=len(at))
    near = most >= 0
    force, direction = np.zeros(len(at)), np.zeros((len(at), 3))
    force[near] = bound[rising[most[near]]]
    direction[near] = pressed[rising[most[near]]]
    direction[force == 0.0] = 0.0
    return force, direction


def _along(route: Route, ends: tuple[AnchorLoad, AnchorLoad]) -> tuple[list[float], Array]:
    """Force on the two anchors, and its direction: out of the run if the pull is greater."""
    out = np.stack((-route.directions[0], route.directions[-1]))
    sign = np.array(
        [np.sign(end.greatest) * (1.0 if end.pull >= end.push else -1.0) for end in ends]
    )
    return [end.greatest for end in ends], sign[:, None] * out


def _springing(at: Array, bends: Bends, conduit_stiffness: float | None) -> Array | None:
    """Force on each clip from the spring-back of all bends near it and next to it."""
    if conduit_stiffness is None:
        return None
    force = np.zeros(len(at))
    if len(bends.turn) == 0:
        return force
    first, stop = bends.clips_near(at)
    last = stop - 1  # none is bare any more
    before, after = np.maximum(first - 1, 0), np.minimum(last + 1, len(at) - 1)
    sides = spring_back(
        bends.turn,
        radius=bends.radius,
        before=at[first] - at[before],
        between=at[last] - at[first],
        after=at[after] - at[last],
        conduit_stiffness=conduit_stiffness,
    )
    for side, both in zip(sides, ((before, first), (last, after)), strict=True):
        for clip in both:
            np.add.at(force, clip, side)
    return force
