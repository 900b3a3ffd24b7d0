"""The rules: figures of a cable against limits, each finding with what to do about it."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, inf

import numpy as np

from cableroute.mechanics.capstan import capstan_ratio
from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding, Level, by_gravity
from cableroute.verdict.limits import Limits
from cableroute.verdict.slips import slips
from cableroute.verdict.survey_checks import check_findings


def judge(figures: Figures, *, limits: Limits, unit: str, tolerance: float) -> tuple[Finding, ...]:
    """Return every finding about one cable, gravest first.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    limits : Limits
        What to hold it against.
    unit : str
        Unit the tape was read in, for the words about slips.
    tolerance : float
        One reading is good to plus or minus this [mm].

    Returns
    -------
    tuple of Finding
        Findings, gravest first.
    """
    found: list[Finding] = []
    for rule in (
        _survey,
        _fit,
        _radius,
        _stress,
        _efficiency,
        _push,
        _load,
        _stroke,
        _lost,
        _stock,
        _keep_out,
        _lay,
        _weight,
    ):
        found += rule(figures, limits)
    found += slips(figures, limits, unit=unit)
    found += check_findings(figures.cable, tolerance=tolerance)
    for remark in figures.cable.remarks:
        found.append(Finding(remark.code, "marginal", remark.where, remark.message))
    found += [Finding("assumed", "note", "data", text) for text in figures.assumed]
    return by_gravity(found)


def _level(value: float, limits: tuple[float, float]) -> Level | None:
    """Level of a value that should be small, or large where the limits fall."""
    marginal, failing = limits
    sign = 1.0 if failing >= marginal else -1.0
    if sign * value > sign * failing:
        return "fail"
    return "marginal" if sign * value > sign * marginal else None


def _survey(figures: Figures, _: Limits) -> Iterator[Finding]:
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


def _fit(figures: Figures, _: Limits) -> Iterator[Finding]:
    route = figures.route
    scale, slacks = route.fitting_scale, route.slacks
    for leg in np.flatnonzero(route.misfits).tolist():
        start, end = figures.vertex_name(leg), figures.vertex_name(leg + 1)
        wanted = max(route.wanted_radii[max(leg - 1, 0) : leg + 1])
        fitting = wanted * scale[leg]
        yield Finding(
            "bend-does-not-fit",
            "fail",
            f"{start} to {end}",
            f"The leg is {route.legs[leg]:.0f} mm and its bends at {wanted:.0f} mm radius need "
            f"{-slacks[leg]:.0f} mm more. Move its points at least that far apart, or use a cable "
            f"that may bend to {np.floor(fitting):.0f} mm.",
            value=float(fitting),
            limit=float(wanted),
            unit="mm",
        )


def _radius(figures: Figures, _: Limits) -> Iterator[Finding]:
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


def _stress(figures: Figures, limits: Limits) -> Iterator[Finding]:
    family, core = figures.cable.family, figures.core
    if family is None or core is None or figures.bend_stress is None or not family.core_strength:
        return
    stress = figures.bend_stress + figures.pull.inputs[1] / core.area
    level = _level(stress / family.core_strength, limits.wire_stress)
    if level:
        limit = limits.wire_stress[1 if level == "fail" else 0] * family.core_strength
        yield Finding(
            "wire-stress",
            level,
            "tightest bend",
            f"The wire sees {stress:.0f} MPa in the {figures.route.min_radius:.0f} mm bend; it should "
            f"stay below {limit:.0f} MPa. Widen that bend or use a core of thinner wires.",
            value=stress,
            limit=limit,
            unit="MPa",
        )


def _efficiency(figures: Figures, limits: Limits) -> Iterator[Finding]:
    worst = figures.pull.efficiencies[0]
    level = _level(worst, limits.efficiency)
    if level:
        wrap = degrees(float(figures.route.wrap))
        yield Finding(
            "efficiency-low",
            level,
            "whole run",
            f"At friction {figures.friction[1]:g} only {100 * worst:.0f} % of the pull arrives after "
            f"{wrap:.0f} degrees of bends. Take out a bend or use a slicker liner; a wider radius "
            "does not help.",
            value=worst,
            limit=limits.efficiency[1 if level == "fail" else 0],
        )


def _push(figures: Figures, limits: Limits) -> Iterator[Finding]:
    push = figures.push
    if push is None:
        return
    if push.lockup:
        yield Finding(
            "push-lock-up",
            "fail",
            "whole run",
            f"Pushing {push.through.load:.0f} N the core snakes and jams at friction "
            f"{figures.friction[1]:g}: no force at the hand gets it through. Use a stiffer core, a "
            "closer conduit or fewer bends, or pull both ways with a pair.",
            value=push.through.load,
            unit="N",
        )
    elif push.snaking_use > 1.0:
        yield Finding(
            "snaking",
            "marginal",
            "bends",
            f"The push passes the onset of snaking, {push.snaking_onset:.0f} N, in a bend: it loses "
            "force and travel there. A stiffer core or a closer conduit mends it.",
            value=push.snaking_use * push.snaking_onset,
            limit=push.snaking_onset,
            unit="N",
        )
    if push.rod_safety is not None and (level := _level(push.rod_safety, limits.rod_safety)):
        yield Finding(
            "rod-buckling",
            level,
            "exposed rod at full stroke",
            f"The rod folds at {push.rod_buckling:.0f} N, {push.rod_safety:.1f} times the push at the "
            "hand. Shorten what sticks out at full stroke, guide it, or use a thicker rod.",
            value=push.rod_safety,
            limit=limits.rod_safety[1 if level == "fail" else 0],
        )


def _load(figures: Figures, limits: Limits) -> Iterator[Finding]:
    family = figures.cable.family
    if family is None:
        return
    pairs = [("pull", figures.pull.inputs[1], family.max_pull)]
    if figures.push is not None:
        pairs.append(("push", figures.push.through.inputs[1], family.max_push))
    for way, hand, allowed in pairs:
        if not allowed or hand == inf:
            continue
        level = _level(hand / allowed, limits.working_load)
        if level:
            yield Finding(
                f"working-load-{way}",
                level,
                "hand end",
                f"The {way} at the hand reaches {hand:.0f} N; the cable's working load is "
                f"{allowed:.0f} N. Use a heavier family, fewer bends, or a longer arm at the far end.",
                value=hand,
                limit=allowed,
                unit="N",
            )


def _stroke(figures: Figures, limits: Limits) -> Iterator[Finding]:
    cable = figures.cable
    if cable.family is None or not cable.family.stroke or not cable.travel:
        return
    level = _level(cable.travel / cable.family.stroke, limits.stroke)
    if level:
        yield Finding(
            "stroke",
            level,
            "both ends",
            f"{cable.travel:.0f} mm of travel is wanted; the cable has {cable.family.stroke:.0f} mm. "
            "Shorten the arms at both ends or choose a family with a longer stroke.",
            value=cable.travel,
            limit=cable.family.stroke,
            unit="mm",
        )


def _lost(figures: Figures, limits: Limits) -> Iterator[Finding]:
    lost, share = figures.lost, figures.lost_share
    if lost is None or share is None or figures.travel is None:
        return
    level = _level(share, limits.lost_motion)
    if level:
        parts = {
            "clearance": lost.clearance,
            "core stretch": lost.stretch,
            "conduit": lost.conduit or 0.0,
            "friction": lost.hysteresis,
        }
        most = max(parts, key=lambda part: parts[part])
        yield Finding(
            "lost-motion",
            level,
            "whole run",
            f"{lost.total:.1f} mm of the {figures.travel:.0f} mm travel is lost, most of it in "
            f"{most} ({parts[most]:.1f} mm). Take out bends, or give the lever that much more travel.",
            value=lost.total,
            limit=limits.lost_motion[1 if level == "fail" else 0] * figures.travel,
            unit="mm",
        )


def _stock(figures: Figures, limits: Limits) -> Iterator[Finding]:
    order = figures.order
    if order.choice is None:
        return
    if order.choice.stock is None:
        wanted = order.choice.longest + order.choice.shortfall
        yield Finding(
            "stock-too-short",
            "fail",
            "length to order",
            f"No stock length fits: {wanted:.0f} mm ({order.measure}) is needed, the longest is "
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


def _keep_out(figures: Figures, _: Limits) -> Iterator[Finding]:
    family = figures.cable.family
    for clearance in figures.clearances:
        zone, at = clearance.zone, clearance.nearest.at
        if clearance.clear < zone.distance:
            yield Finding(
                "keep-out",
                "fail",
                zone.name,
                f"{at:.0f} mm from the hand end the conduit is {clearance.clear:.0f} mm from the "
                f"{zone.name}; {zone.distance:.0f} mm is to be kept. Lead it further away or clip it "
                "back there.",
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
                f"it passes {clearance.clear:.0f} mm away. Measure the air there, shield it, or take "
                "a liner that stands the heat.",
                value=zone.temperature,
                limit=hottest,
                unit="degC",
            )


def _lay(figures: Figures, _: Limits) -> Iterator[Finding]:
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


def _weight(figures: Figures, limits: Limits) -> Iterator[Finding]:
    hand = figures.pull.inputs[1]
    if hand > 0.0 and figures.weight_force > limits.weight_share * hand:
        yield Finding(
            "core-weight",
            "note",
            "whole run",
            f"The core's own weight is {figures.weight_force:.1f} N of the pull at the hand: on a "
            "long run the order of climbs and bends matters.",
            value=figures.weight_force,
            limit=limits.weight_share * hand,
            unit="N",
        )
