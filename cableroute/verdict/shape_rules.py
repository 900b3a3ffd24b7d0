"""Rules about the run: survey, bends, space, natural lay, length to order."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, floor

import numpy as np

from cableroute.measure.wording import Words
from cableroute.mechanics.capstan import capstan_ratio
from cableroute.verdict.figures import Clearance, Figures
from cableroute.verdict.findings import Finding
from cableroute.verdict.limits import Limits

#: A radius below this is no bend, but a corner that nearly doubles back [mm]; our own choice.
_NO_BEND = 2.0


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
    survey, words = figures.survey, figures.words
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
        moved = ", ".join(
            f"{figures.cable.point_name(i)} {words.fine(survey.moves[i])}" for i in most
        )
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
    route, words = figures.route, figures.words
    scale, slacks = route.fitting_scale, route.slacks
    common, smoothed = float(route.common_radius), figures.survey.moves.any()
    for leg in np.flatnonzero(route.misfits).tolist():
        start, end = figures.vertex_name(leg), figures.vertex_name(leg + 1)
        wanted = route.wanted_radii[max(leg - 1, 0) : leg + 1]
        radii = [words.length(radius) for radius in sorted(set(wanted.tolist()))]
        bends = " and ".join((*(radius.removesuffix(" mm") for radius in radii[:-1]), radii[-1]))
        in_doubt = smoothed and -slacks[leg] <= 2.0 * figures.tolerance
        mend = f"use a cable that may bend to {words.length(common, rounding=floor)} everywhere"
        if common < _NO_BEND:
            mend = "look for a corner that nearly doubles back"
        doubt = " That is within the tape's doubt: measure it again." if in_doubt else ""
        yield Finding(
            "bend-does-not-fit",
            "marginal" if in_doubt else "fail",
            f"{start} to {end}",
            f"The leg is {words.length(route.legs[leg])} and its bends at {bends} radius need "
            f"{words.length(-slacks[leg])} more. Move its points that much further apart, or "
            f"{mend}.{doubt}",
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
    asked, words = float(np.min(route.wanted_radii)), figures.words
    if asked < family.min_bend_radius * (1.0 - 1e-9):
        yield Finding(
            "radius-below-family",
            "fail",
            "bends",
            f"Bends of {words.length(asked)} radius are asked for; the {family.name} cable may not be "
            f"bent below {words.length(family.min_bend_radius)}. Widen the bends or choose another "
            "family.",
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
    family, words = figures.cable.family, figures.words
    for clearance in figures.clearances:
        zone, near = clearance.zone, _nearness(clearance, words)
        if clearance.clear < zone.distance:
            yield Finding(
                "keep-out",
                "fail",
                zone.name,
                f"{words.length(clearance.nearest.at)} from the hand end the conduit {near}; "
                f"{words.length(zone.distance)} is to be kept. Lead it further away or clip it back "
                "there.",
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
                f"the conduit {near}. Measure the air there, shield it, or take a liner that stands "
                "the heat.",
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
    lay, radius, words = figures.lay, figures.cable.bend_radius, figures.words
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
            f"Held at its points only, the conduit bends itself to {words.length(lay.min_radius)}; "
            f"{words.length(radius)} is the least. Clip both ends of the tightest bend or move it "
            "wider.",
            value=lay.min_radius,
            limit=radius,
            unit="mm",
        )
    if lay.spare is not None and lay.spare < 0.0:
        yield Finding(
            "lay-longer-than-stock",
            "note",
            "whole run",
            f"Held at its points only, the conduit would take {words.length(lay.length)}, "
            f"{words.length(-lay.spare)} more than the stock length gives: it will lie tighter than "
            "that.",
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
            f"If this span swallows all the slack it bends to {words.length(lay.slack_radius)}, "
            f"below {words.length(radius)}. Share the slack out over several spans.",
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
    order, words = figures.order, figures.words
    if order.choice is None:
        return
    if order.choice.stock is None:
        wanted = order.choice.longest + order.choice.shortfall
        yield Finding(
            "stock-too-short",
            "fail",
            "length to order",
            f"No stock length fits: one of {words.length(wanted)} ({order.measure}) or more would; the "
            f"longest is {words.length(order.choice.longest)}, "
            f"{words.length(order.choice.shortfall)} short. Have one made, shorten the run, or choose "
            "a family sold longer.",
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
            f"The stock length leaves {words.length(order.choice.slack or 0.0)}. Bowed evenly over "
            f"the run that is about {wrap:.0f} degrees more wrap and {100 * cost:.0f} % more force. "
            "Lead it in one wide sweep, move an anchor, or have one cut to length.",
            value=wrap,
            limit=degrees(limits.surplus_wrap),
            unit="deg",
        )


def _nearness(clearance: Clearance, words: Words) -> str:
    """Say how near the conduit comes, or how far it runs in."""
    clear, name = clearance.clear, clearance.zone.name
    if clear < 0.0:
        return f"runs {words.length(-clear)} into the {name}"
    return f"is {words.length(clear)} from the {name}"
