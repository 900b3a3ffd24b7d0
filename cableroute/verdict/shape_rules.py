"""Rules about the run: survey, bends, space, natural lay, length to order."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

import numpy as np

from cableroute.mechanics.capstan import capstan_ratio
from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding
from cableroute.verdict.limits import Limits


def survey_rule(figures: Figures, _: Limits) -> Iterator[Finding]:
    """Yield what smoothing did, or that it failed.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    _ : Limits
        What to hold it against.

    Yields
    ------
    Finding
        None, one or more.
    """
    survey = figures.survey
    if survey.failure:
        yield Finding(
            "smoothing-failed",
            "marginal",
            "all points",
            f"The tape's noise could not be smoothed out ({survey.failure}); the points are fitted "
            "as read, and the wrap is likely too high. Measure fewer points, at the corners.",
        )
    if survey.moves.any():
        most = np.argsort(-survey.moves)[:3].tolist()
        moved = ", ".join(f"{figures.cable.point_name(i)} {survey.moves[i]:.1f} mm" for i in most)
        yield Finding(
            "smoothed",
            "note",
            "all points",
            f"The points are close enough together for tape noise to pass for bends: "
            f"{degrees(survey.wrap_as_measured):.0f} degrees as measured, "
            f"{degrees(float(figures.route.wrap)):.0f} with each point moved within the tape's "
            f"tolerance. Moved most: {moved}. --tolerance 0 fits them as read.",
            value=degrees(float(figures.route.wrap)),
            limit=degrees(survey.wrap_as_measured),
            unit="deg",
        )


def fit_rule(figures: Figures, _: Limits) -> Iterator[Finding]:
    """Yield every leg too short for its bends.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    _ : Limits
        What to hold it against.

    Yields
    ------
    Finding
        None, one or more.
    """
    route = figures.route
    scale, slacks = route.fitting_scale, route.slacks
    common, smoothed = np.floor(route.common_radius), figures.survey.moves.any()
    for leg in np.flatnonzero(route.misfits).tolist():
        start, end = figures.vertex_name(leg), figures.vertex_name(leg + 1)
        wanted = route.wanted_radii[max(leg - 1, 0) : leg + 1]
        radii = " and ".join(f"{radius:.0f}" for radius in sorted(set(wanted.tolist())))
        in_doubt = smoothed and -slacks[leg] <= 2.0 * figures.tolerance
        mend = f"use a cable that may bend to {common:.0f} mm everywhere"
        if common < 1.0:
            mend = "look for a corner that nearly doubles back"
        doubt = " That is within the tape's doubt: measure it again." if in_doubt else ""
        yield Finding(
            "bend-does-not-fit",
            "marginal" if in_doubt else "fail",
            f"{start} to {end}",
            f"The leg is {route.legs[leg]:.0f} mm and its bends at {radii} mm radius need "
            f"{-slacks[leg]:.0f} mm more. Move its points that much further apart, or {mend}.{doubt}",
            value=float(wanted.max() * scale[leg]),
            limit=float(wanted.max()),
            unit="mm",
        )


def radius_rule(figures: Figures, _: Limits) -> Iterator[Finding]:
    """Yield bends asked for below what the cable may take.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    _ : Limits
        What to hold it against.

    Yields
    ------
    Finding
        None, one or more.
    """
    family, route = figures.cable.family, figures.route
    if family is None or route.turns.size == 0:
        return
    asked = float(np.min(route.wanted_radii))
    if asked < family.min_bend_radius * (1.0 - 1e-9):
        yield Finding(
            "radius-below-family",
            "fail",
            "bends",
            f"Bends of {asked:.0f} mm radius are asked for; the {family.name} cable may not be bent "
            f"below {family.min_bend_radius:.0f} mm. Widen the bends or choose another family.",
            value=asked,
            limit=family.min_bend_radius,
            unit="mm",
        )


def keep_out_rule(figures: Figures, _: Limits) -> Iterator[Finding]:
    """Yield solids that the run comes too near to, and heat.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    _ : Limits
        What to hold it against.

    Yields
    ------
    Finding
        None, one or more.
    """
    family = figures.cable.family
    for clearance in figures.clearances:
        zone, at = clearance.zone, clearance.nearest.at
        if clearance.clear < zone.distance:
            yield Finding(
                "keep-out",
                "fail",
                zone.name,
                f"{at:.0f} mm from the hand end the conduit {_nearness(clearance.clear, zone.name)}; "
                f"{zone.distance:.0f} mm is to be kept. Lead it further away or clip it back there.",
                value=clearance.clear,
                limit=zone.distance,
                unit="mm",
            )
        hottest = family.temperature[1] if family and family.temperature else None
        if zone.temperature is not None and hottest is not None and zone.temperature > hottest:
            yield Finding(
                "heat",
                "note" if zone.distance and clearance.clear >= 2.0 * zone.distance else "marginal",
                zone.name,
                f"The {zone.name} reaches {zone.temperature:.0f} degC, the cable stands {hottest:.0f}; "
                f"the conduit {_nearness(clearance.clear, zone.name)}. Measure the air there, shield it, or take "
                "a liner that stands the heat.",
                value=zone.temperature,
                limit=hottest,
                unit="degC",
            )


def lay_rule(figures: Figures, _: Limits) -> Iterator[Finding]:
    """Yield where the natural lay bends too tightly.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    _ : Limits
        What to hold it against.

    Yields
    ------
    Finding
        None, one or more.
    """
    lay, radius = figures.lay, figures.cable.bend_radius
    if lay is None:
        return
    if lay.failure:
        text = f"The natural lay was not found ({lay.failure}); judge by the fitted arcs alone."
        yield Finding("lay-failed", "marginal", "whole run", text)
    elif lay.min_radius < radius:
        yield Finding(
            "lay-too-tight",
            "marginal",
            "between the clips",
            f"Held at its points only, the conduit bends itself to {lay.min_radius:.0f} mm; "
            f"{radius:.0f} mm is the least. Clip both ends of the tightest bend or move it wider.",
            value=lay.min_radius,
            limit=radius,
            unit="mm",
        )
    if lay.spare is not None and lay.spare < 0.0:
        yield Finding(
            "lay-longer-than-stock",
            "note",
            "whole run",
            f"Held at its points only, the conduit would take {lay.length:.0f} mm, "
            f"{-lay.spare:.0f} mm more than the stock length gives: it will lie tighter than that.",
            value=lay.length,
            limit=lay.length + lay.spare,
            unit="mm",
        )
    if lay.slack_radius < radius:
        start = figures.vertex_name(lay.slack_span)
        end = figures.vertex_name(lay.slack_span + 1)
        yield Finding(
            "slack-too-tight",
            "marginal",
            f"{start} to {end}",
            f"If this span swallows all the slack it bends to {lay.slack_radius:.0f} mm, below "
            f"{radius:.0f} mm. Share the slack out over several spans.",
            value=lay.slack_radius,
            limit=radius,
            unit="mm",
        )


def stock_rule(figures: Figures, limits: Limits) -> Iterator[Finding]:
    """Yield that no stock length fits, or that one leaves too much.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    limits : Limits
        What to hold it against.

    Yields
    ------
    Finding
        None, one or more.
    """
    order = figures.order
    if order.choice is None:
        return
    if order.choice.stock is None:
        wanted = order.choice.longest + order.choice.shortfall
        yield Finding(
            "stock-too-short",
            "fail",
            "length to order",
            f"No stock length fits: one of {wanted:.0f} mm ({order.measure}) or more would; the longest is "
            f"{order.choice.longest:.0f} mm, {order.choice.shortfall:.0f} mm short. Have one made, "
            "shorten the run, or choose a family sold longer.",
            value=order.choice.longest,
            limit=wanted,
            unit="mm",
        )
        return
    if order.surplus_wrap > limits.surplus_wrap:
        cost = float(capstan_ratio(order.surplus_wrap, friction=figures.friction[1])) - 1.0
        wrap = degrees(order.surplus_wrap)
        yield Finding(
            "stock-surplus",
            "marginal",
            "length to order",
            f"The stock length leaves {order.choice.slack:.0f} mm. Bowed evenly over the run that is "
            f"about {wrap:.0f} degrees more wrap and {100 * cost:.0f} % more force. Lead it in one "
            "wide sweep, move an anchor, or have one cut to length.",
            value=wrap,
            limit=degrees(limits.surplus_wrap),
            unit="deg",
        )


def _nearness(clear: float, name: str) -> str:
    """Say how near the conduit comes, or how far it runs in."""
    if clear < 0.0:
        return f"runs {-clear:.0f} mm into the {name}"
    return f"is {clear:.0f} mm from the {name}"
