"""How a conduit lies through its points: left to itself, or at the length that is bought."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.order import Order
from cableroute.frozen import frozen
from cableroute.route.curve import route_along
from cableroute.route.lay_through import lay_through
from cableroute.route.lays import Lays
from cableroute.route.lays_together import Asking, Wanted, alone
from cableroute.route.pieces import Route

#: A length this share above the straight legs is as good as taut [-].
TAUT = 1e-6
#: Places along each span of a natural lay that forces and clearances are asked at [-].
PLACES_A_SPAN = 25
#: Where no natural lay is found, none longer than this share of the tight run is looked for, and at
#: how many lengths [-]; our own choice.
LONGEST_LAY, _LAYS_TRIED = 1.5, 5
#: Places at which the turn of a tight run is added up [-].
_PLACES = 2001


@frozen(eq=False)
class NaturalLay:
    """The shape of least bending energy through the points: how the conduit lies left to itself.

    Parameters
    ----------
    run : Route
        It, as a route of small arcs.
    length : float
        Length from anchor to anchor [mm].
    wrap : float
        Sum of the unsigned turns [rad].
    min_radius : float
        Least bend radius [mm].
    spans : ndarray, shape (n - 1,)
        Length of each span between points [mm].
    turns : ndarray, shape (n - 1,)
        Turn of each span [rad].
    ways : ndarray, shape (n, 3)
        Unit tangents at the points [-].
    failure : str
        Why it may not be the shape of least energy, or nothing.
    found : Lays or None
        What it was made of; None where the tight run stands for it.
    """

    run: Route
    length: float
    wrap: float
    min_radius: float
    spans: Array
    turns: Array
    ways: Array
    failure: str = ""
    found: Lays | None = None


#: More points than this are a scan: the tight run stands for its lay, and that is said [-].
MOST_LAID = 500
#: Nor are the lays of given lengths asked for, of more points than this [-].
_MOST_BOUNDED = 60


def lay_of(tight: Route) -> NaturalLay:
    """Return how the conduit lies left to itself, as :func:`laying` finds it."""
    return alone(laying(tight))


def laying(tight: Route) -> Asking[NaturalLay]:
    """Lay the conduit through its points, along the headings at which it is held.

    A point passed inside stands for the place where the tight run passes it. Where no shape of least
    energy is found, as a conduit that doubles back would draw itself in for ever, the one taken is
    that of some length up to :data:`LONGEST_LAY` times the tight run, the one that draws in least;
    where none of these is found either, the tight run.
    """
    places = tight.point(tight.stations)
    if len(places) > MOST_LAID:
        return _as_tight(tight, f"more than {MOST_LAID} points")
    lays = yield Wanted(places, tight.headings)
    if lays.settled:
        return _natural(lays)
    failure = str(lays.doubt)
    gentlest = _gentlest(tight, places) if len(places) <= _MOST_BOUNDED else None
    if gentlest is None:
        return _as_tight(tight, failure)
    return replace(_natural(gentlest), failure=failure)


def _gentlest(tight: Route, places: Array) -> Lays | None:
    """Of the lays of given lengths return the one that draws in least; None where none is found."""
    lengths = float(tight.length) * np.linspace(1.0, LONGEST_LAY, _LAYS_TRIED + 1)[1:]
    many = np.broadcast_to(places, (_LAYS_TRIED, *places.shape))
    tried = lay_through(many, headings=tight.headings, length=lengths)
    if not tried.settled.any():
        return None
    return tried.one(int(np.argmin(np.where(tried.settled, tried.pull_over_ei, np.inf))))


def _as_tight(tight: Route, failure: str) -> NaturalLay:
    """Let the tight run stand for a lay that was not found."""
    at, along = tight.stations, np.linspace(0.0, float(tight.length), _PLACES)
    turned = np.cumsum(tight.curvature(along)) * along[1]
    return NaturalLay(
        run=tight,
        length=float(tight.length),
        wrap=float(tight.wrap),
        min_radius=float(tight.min_radius),
        spans=np.diff(at),
        turns=np.diff(np.interp(at, along, turned)),
        ways=tight.tangent(at),
        failure=failure,
    )


def _natural(lays: Lays) -> NaturalLay:
    return NaturalLay(
        run=_run(lays),
        length=float(lays.length),
        wrap=float(lays.wrap),
        min_radius=float(lays.min_radius),
        spans=lays.span_lengths,
        turns=lays.wraps,
        ways=lays.tangents,
        found=lays,
    )


def buying(tight: Route, lay: NaturalLay, order: Order) -> Asking[Route | None]:
    """Return the elastic curve of the length bought; None where there is none, or it is not found."""
    bought, places = order.bought, tight.point(tight.stations)
    if bought is None or lay.failure:
        return None
    if bought <= float(np.linalg.norm(np.diff(places, axis=0), axis=1).sum()) * (1.0 + TAUT):
        return tight
    lays = yield Wanted(places, tight.headings, bought, lay.found)
    return _run(lays) if lays.settled else None


def _run(lays: Lays) -> Route:
    """Return one cable's lay as a route of small arcs."""
    places, ways = lays.places(PLACES_A_SPAN), lays.ways(PLACES_A_SPAN)
    return route_along(places.reshape(-1, 3), ways=ways.reshape(-1, 3))
