"""What one cable's run is like: radii, natural lay, clearances, lengths to order."""

from __future__ import annotations

from math import hypot

import numpy as np

from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.hardware.stock import choose_stock, core_length, overall_length
from cableroute.measure.job import Cable
from cableroute.measure.keepout import KeepOut
from cableroute.mechanics.surplus import surplus_wrap
from cableroute.route.clearance import nearest_to
from cableroute.route.lay import lay_run, natural_lay
from cableroute.route.pieces import Array, Route
from cableroute.units import MM_PER_UNIT
from cableroute.verdict.figures import Clearance, NaturalLay, Order
from cableroute.workings._forces import travel_of


def wanted_radii(cable: Cable) -> float | Array:
    """One radius, or one a corner where single points have their own."""
    own = cable.point_radii[1:-1]
    if not any(own):
        return cable.bend_radius
    return np.array([radius or cable.bend_radius for radius in own])


def lay_of(cable: Cable, route: Route, order: Order) -> NaturalLay:
    """Lay the conduit through its points as clips, and what is bought beyond that in one span."""
    points, along = route.points, route.directions
    # an anchor holds the conduit's direction; between two legs that is their mean
    held: list[Array | None] = [
        along[i - 1] + along[i] if _is_anchor(cable, int(route.kept[i])) else None
        for i in range(1, len(points) - 1)
    ]
    longest = int(np.argmax(route.legs))
    try:
        spans = lay_run(points, directions=[along[0], *held, along[-1]])
        span = swallowed = spans[longest]
        length = sum(each.length for each in spans)
        choice = order.choice
        bought = order.conduit + choice.slack if choice and choice.slack is not None else None
        spare = None if bought is None else bought - length
        if spare is not None and spare > 0.0:
            swallowed = natural_lay(
                points[longest],
                span.tangents[0],
                points[longest + 1],
                span.tangents[-1],
                length=span.length + spare,
            )
    except CableRouteError as error:
        return NaturalLay(failure=str(error))
    return NaturalLay(
        length=length,
        wrap=sum(each.wrap for each in spans),
        min_radius=min(each.min_bend_radius for each in spans),
        spare=spare,
        slack_wrap=swallowed.wrap - span.wrap,
        slack_radius=swallowed.min_bend_radius,
        slack_span=longest,
    )


def _is_anchor(cable: Cable, point: int) -> bool:
    return point < len(cable.fixes) and cable.fixes[point] == "anchor"


def clearance_to(route: Route, zone: KeepOut, family: Family | None) -> Clearance:
    nearest = nearest_to(route, zone.shape)
    outside = 0.5 * family.conduit_od if family else 0.0
    return Clearance(zone, nearest, clear=nearest.distance - outside)


def lengths_to_order(cable: Cable, route: Route, *, tolerance: float, in_feet: bool) -> Order:
    """Lengths to order; the stock list in feet for a tape in feet and inches."""
    family = cable.family
    conduit = float(route.length)
    ends = (family.end_allowance if family else None) or 0.0
    stroke = travel_of(cable) or 0.0
    measure = family.stock_measure if family else "conduit"
    need = overall_length(conduit, end_allowance=ends) if measure == "overall" else conduit
    # moving a point by its tolerance lengthens the run by the change of direction there
    doubt = tolerance * hypot(2.0**0.5, float(np.linalg.norm(2.0 * np.sin(0.5 * route.turns))))
    stock: tuple[float, ...] = ()
    if family:
        feet = tuple(float(MM_PER_UNIT["ft"]) * length for length in family.stock_lengths_ft)
        stock = (feet or family.stock_lengths) if in_feet else (family.stock_lengths or feet)
    choice = None
    if stock:
        choice = choose_stock(need, stock_lengths=stock, slack=cable.slack, doubt=doubt)
    surplus = choice.slack if choice and choice.slack else 0.0
    return Order(
        conduit=conduit,
        core=core_length(conduit, end_allowance=ends, stroke=stroke),
        need=need,
        measure=measure,
        doubt=doubt,
        choice=choice,
        surplus_wrap=float(surplus_wrap(max(surplus, 0.0), span=conduit)),
    )
