"""What one cable's run is like: radii, natural lay, clearances, lengths to order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf
from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.errors import SolverError
from cableroute.figures.lay import TAUT, NaturalLay, buying, laying
from cableroute.figures.order import Order, lengths_to_order
from cableroute.frozen import frozen
from cableroute.hardware.family import Family
from cableroute.measure.job import Cable
from cableroute.mechanics.surplus import surplus_wrap
from cableroute.route.doubt import wrap_doubt
from cableroute.route.fillet import fit_arcs
from cableroute.route.lays_together import Asking, Wanted
from cableroute.route.pieces import Route
from cableroute.route.survey import Survey

if TYPE_CHECKING:
    from cableroute.measure.keepout import KeepOut
    from cableroute.route.clearance import Nearest

#: A run that turns less than this is straight, the noise of its solver apart [rad].
LEVEL = 1e-6


@frozen(eq=False)
class Clearance:
    """How near the run comes to a solid.

    Parameters
    ----------
    zone : KeepOut
        The solid.
    nearest : Nearest
        Where the centreline is nearest to it.
    clear : float
        From the conduit's outside to the solid; negative where they meet [mm].
    """

    zone: KeepOut
    nearest: Nearest
    clear: float


@frozen
class Swallowed:
    """What the longest span does if it swallows all the surplus.

    Parameters
    ----------
    span : int
        Which span, the first being 0 [-].
    wrap : float
        Wrap that this adds [rad].
    radius : float
        Least bend radius of the span then [mm].
    """

    span: int
    wrap: float
    radius: float


@frozen(eq=False)
class Shapes:
    """The shapes that a conduit may take through its points.

    Parameters
    ----------
    tight : Route
        Drawn tight: arcs of least radius through the points, the shortest there is.
    lay : NaturalLay
        Left to itself.
    loose : Route
        As it lies: the natural lay, or the elastic curve of what is bought if that is shorter. What is
        bought beyond the lay turns more, which is told apart.
    order : Order
        Lengths to order.
    wraps : tuple of float
        The least and the most that the run may turn, the tape's doubt in it [rad].
    swallowed : Swallowed or None
        What the longest span does if it swallows all the surplus; None where there is none.
    surplus_wrap : float
        Wrap that the surplus adds, shared out or in one span, whichever is more [rad].
    """

    tight: Route
    lay: NaturalLay
    loose: Route
    order: Order
    wraps: tuple[float, float]
    swallowed: Swallowed | None
    surplus_wrap: float

    @property
    def growth(self) -> tuple[float, float]:
        """The least and the most that the run may turn, over what the tight one does [-]."""
        least, most = self.wraps
        return times(least, of=float(self.tight.wrap)), times(most, of=float(self.tight.wrap))


def times(turn: float, *, of: float) -> float:
    """Return how many times one wrap is another; 1 of a run that is as good as straight [-]."""
    return turn / of if of > LEVEL else 1.0


def shaping(
    cable: Cable,
    survey: Survey,
    *,
    tolerance: float,
    in_feet: bool,
    tight: Route | None = None,
    with_surplus: bool = True,
) -> Asking[Shapes]:
    """Work out every shape of a cable, and from them what to order; what surplus does if asked for."""
    tight = tight_run(cable, survey.points) if tight is None else tight
    lay = yield from laying(tight)
    # a curve drawn in by d is shorter by d times its turn (Steiner), and smoothing draws points in
    cut_off = float(survey.moves.max()) * float(tight.wrap)
    order = lengths_to_order(
        cable, tight, lay.length, tolerance=tolerance, cut_off=cut_off, in_feet=in_feet
    )
    short = order.surplus < 0.0
    bought = None
    if short or with_surplus:
        bought = yield from buying(tight, lay, order)
    loose = bought if bought is not None and short else lay.run
    points = tight.point(tight.stations)
    swallowed = None
    if with_surplus:
        swallowed = yield from swallowing(lay, order, points)
    return Shapes(
        tight=tight,
        lay=lay,
        loose=loose,
        order=order,
        wraps=wraps_between(
            cable,
            survey,
            tight,
            lay.wrap if loose is lay.run else float(loose.wrap),
            tolerance=tolerance,
        ),
        swallowed=swallowed,
        surplus_wrap=_surplus_wrap(lay, bought, swallowed, order) if with_surplus else 0.0,
    )


def tight_run(cable: Cable, points: Array) -> Route:
    """Fit a cable's run through its points, as read or smoothed, and along its headings."""
    return fit_arcs(
        points,
        min_bend_radius=_radii_for(cable),
        through=cable.through,
        headings=cable.held_headings,
    )


def tight_runs(cables: Sequence[Cable], points: Sequence[Array]) -> Route:
    """Fit the runs of cables with as many points each, held at the same ones, in one batch."""
    radii = [np.broadcast_to(_radii_for(each), (len(each.points),)) for each in cables]
    headings = [each.held_headings for each in cables]
    return fit_arcs(
        np.stack(points),
        min_bend_radius=np.stack(radii),
        through=np.stack([each.through for each in cables]),
        headings=np.stack([held for held in headings if held is not None]),
    )


def assumed_headings(cable: Cable) -> tuple[str, ...]:
    """Say what is assumed of anchors that hold the conduit in a direction nobody gave."""
    ends = cable.anchors
    held = [end for end in (ends.hand, ends.far) if end] if ends else []
    anchored = [fix == "anchor" for fix in cable.fixes]
    if not held and not any(anchored):
        return ()
    last = len(cable.points) - 1
    given = [heading is not None for heading in cable.headings] or [False] * (last + 1)
    bare = [
        cable.point_name(i)
        for i in range(last + 1)
        if not given[i] and ((i < len(anchored) and anchored[i]) or i in _held_ends(cable, last))
    ]
    if not bare:
        return ()
    return (
        f"no heading is given at {', '.join(bare)}: each anchor is taken to be turned the way the "
        "conduit comes; if it is not, give its heading, as the run then turns more",
    )


def _held_ends(cable: Cable, last: int) -> tuple[int, ...]:
    """Return which ends a bracket or bulkhead holds."""
    ends = cable.anchors
    if ends is None:
        return ()
    return tuple(i for i, end in ((0, ends.hand), (last, ends.far)) if end is not None)


def _radii_for(cable: Cable) -> float | Array:
    """Radii as fit_arcs asks for them: one, or one a corner, or with headings one a point."""
    radii = wanted_radii(cable)
    if isinstance(radii, float) or cable.held_headings is None:
        return radii
    return np.array([radius or cable.bend_radius for radius in cable.point_radii])


def wanted_radii(cable: Cable) -> float | Array:
    """One radius, or one a corner where single points have their own."""
    own = cable.point_radii[1:-1]
    if not any(own):
        return cable.bend_radius
    return np.array([radius or cable.bend_radius for radius in own])


def _surplus_wrap(
    lay: NaturalLay, bought: Route | None, swallowed: Swallowed | None, order: Order
) -> float:
    """Return the wrap that the surplus adds: shared out, or in one span, whichever is more [rad]."""
    if order.surplus <= 0.0:
        return 0.0
    if bought is None or swallowed is None:
        return float(surplus_wrap(order.surplus, span=lay.length))
    return max(float(bought.wrap) - lay.wrap, swallowed.wrap)


def wraps_between(
    cable: Cable, survey: Survey, tight: Route, loose: float, *, tolerance: float
) -> tuple[float, float]:
    """Return the least and the most that the run may turn: both shapes, and the tape's doubt [rad]."""
    turns = float(tight.wrap), loose
    if survey.moves.any():
        below, above = _smoothing_doubt(cable, survey, tight, tolerance=tolerance)
    else:
        doubt = wrap_doubt(tight, tolerance=tolerance)
        below, above = float(doubt.below), float(doubt.above)
    return max(min(turns) - below, 0.0), max(turns) + above


def _smoothing_doubt(
    cable: Cable, survey: Survey, tight: Route, *, tolerance: float
) -> tuple[float, float]:
    """Return by how much less and more a smoothed survey may truly turn [rad]."""
    from cableroute.route.wrap_range import wrap_range

    try:
        found = wrap_range(
            cable.points[tight.kept],
            tolerance=tolerance,
            smoothed=survey.points[tight.kept],
            fixed=fixed_points(cable)[tight.kept],
        )
    except SolverError:  # then all is open between straight and as read
        return inf, max(survey.wrap_as_measured - float(tight.wrap), 0.0)
    return found.smoothed - found.low, found.high - found.smoothed


def fixed_points(cable: Cable) -> BoolArray:
    """Return which points no smoothing may move."""
    return np.array([fix == "anchor" for fix in cable.fixes] or [False] * len(cable.points))


def swallowing(lay: NaturalLay, order: Order, points: Array) -> Asking[Swallowed | None]:
    """Let the longest span swallow all the surplus; None where there is none."""
    if order.surplus <= TAUT * lay.length or lay.failure or not order.choice:
        return None
    span = int(np.argmax(lay.spans))
    ends, ways = points[span : span + 2], lay.ways[span : span + 2]
    after = yield Wanted(ends, ways, float(lay.spans[span] + order.surplus))
    if not after.settled:
        return None
    return Swallowed(span, float(after.wrap - lay.turns[span]), float(after.min_radius))


def clearances_to(
    runs: Iterable[Route], zones: Sequence[KeepOut], family: Family | None
) -> tuple[Clearance, ...]:
    """Find where the conduit comes nearest to each solid, in any of its shapes."""
    if not zones:
        return ()
    from cableroute.route.clearance import nearest_to_each

    found = [nearest_to_each(run, [zone.shape for zone in zones]) for run in runs]
    outside = 0.5 * family.conduit_od if family else 0.0
    nearest = [min(each, key=lambda one: one.distance) for each in zip(*found, strict=True)]
    return tuple(
        Clearance(zone, near, clear=near.distance - outside)
        for zone, near in zip(zones, nearest, strict=True)
    )
