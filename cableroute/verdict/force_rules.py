"""Rules about force, travel and strength."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, inf

from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding, Level
from cableroute.verdict.limits import Limits


def level_of(value: float, limits: tuple[float, float]) -> Level | None:
    """Return the level of a value that should be small, or large where the limits fall.

    Parameters
    ----------
    value : float
        What was found [-].
    limits : tuple of float
        Marginal from, failing from [-].

    Returns
    -------
    str or None
        ``fail``, ``marginal``, or None where all is well.
    """
    marginal, failing = limits
    sign = 1.0 if failing >= marginal else -1.0
    if sign * value > sign * failing:
        return "fail"
    return "marginal" if sign * value > sign * marginal else None


def efficiency_rule(figures: Figures, limits: Limits) -> Iterator[Finding]:
    """Yield a pull of which too little arrives.

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
    worst = figures.pull.passed[0]  # a measured drag is no matter of bends
    level = level_of(worst, limits.efficiency) if figures.pull.load > 0.0 else None
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


def push_rule(figures: Figures, limits: Limits) -> Iterator[Finding]:
    """Yield lock-up, snaking, and a rod near folding.

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
    if push.rod_safety is not None and (level := level_of(push.rod_safety, limits.rod_safety)):
        yield Finding(
            "rod-buckling",
            level,
            "exposed rod at full stroke",
            f"The rod folds at {push.rod_buckling:.0f} N, {push.rod_safety:.1f} times the push at the "
            "hand. Shorten what sticks out at full stroke, guide it, or use a thicker rod.",
            value=push.rod_safety,
            limit=limits.rod_safety[1 if level == "fail" else 0],
        )


def load_rule(figures: Figures, limits: Limits) -> Iterator[Finding]:
    """Yield hand forces near the cable's working loads.

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
    family = figures.cable.family
    if family is None:
        return
    pairs = [("pull", figures.pull.inputs[1], family.max_pull)]
    if figures.push is not None:
        pairs.append(("push", figures.push.through.inputs[1], family.max_push))
    for way, hand, allowed in pairs:
        if not allowed or hand == inf:
            continue
        level = level_of(hand / allowed, limits.working_load)
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


def drag_rule(figures: Figures, limits: Limits) -> Iterator[Finding]:
    """Yield what the drag by our upper estimate would make worse, where it was not measured.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    limits : Limits
        What to hold it against.

    Yields
    ------
    Finding
        None, or a note: an upper estimate makes no verdict.
    """
    family, drag = figures.cable.family, figures.drag_estimate
    if family is None or figures.cable.drag is not None or not drag:
        return
    pull = figures.pull.inputs[1]
    held = [("the working load pulling", pull, family.max_pull, limits.working_load)]
    rod, hand, push = None, 0.0, figures.push
    if push is not None and not push.lockup:
        hand = push.through.inputs[1]
        held.append(("the working load pushing", hand, family.max_push, limits.working_load))
        rod = push.rod_buckling
    worse = [
        name
        for name, hand, allowed, shares in held
        if allowed and level_of((hand + drag) / allowed, shares) != level_of(hand / allowed, shares)
    ]
    if (
        rod
        and hand
        and level_of(rod / (hand + drag), limits.rod_safety)
        != level_of(rod / hand, limits.rod_safety)
    ):
        worse.append("the exposed rod")
    if worse:
        yield Finding(
            "drag-may-tip",
            "note",
            "whole run",
            f"With all of the drag that stiffness may cause, {drag:.0f} N, {' and '.join(worse)} "
            "would be judged worse. Measure the force that moves the core with nothing on it, and "
            "give it as drag.",
            value=drag,
            unit="N",
        )


def stroke_rule(figures: Figures, limits: Limits) -> Iterator[Finding]:
    """Yield a travel near the cable's stroke.

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
    cable, words = figures.cable, figures.words
    if cable.family is None or not cable.family.stroke or not cable.travel:
        return
    level = level_of(cable.travel / cable.family.stroke, limits.stroke)
    if level:
        yield Finding(
            "stroke",
            level,
            "both ends",
            f"{words.length(cable.travel)} of travel is wanted; the cable has "
            f"{words.length(cable.family.stroke)}. Shorten the arms at both ends or choose a family "
            "with a longer stroke.",
            value=cable.travel,
            limit=cable.family.stroke,
            unit="mm",
        )


def lost_rule(figures: Figures, limits: Limits) -> Iterator[Finding]:
    """Yield a travel of which too much is lost.

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
    lost, share = figures.lost, figures.lost_share
    if lost is None or share is None or figures.travel is None:
        return
    level = level_of(share, limits.lost_motion)
    if level:
        parts, words = lost.parts, figures.words
        most = max(parts, key=lambda part: parts[part])
        yield Finding(
            "lost-motion",
            level,
            "whole run",
            f"{words.fine(lost.total)} of the {words.length(figures.travel)} travel is lost, most of it "
            f"in {most} ({words.fine(parts[most])}). Take out bends, or give the lever that much more travel.",
            value=lost.total,
            limit=limits.lost_motion[1 if level == "fail" else 0] * figures.travel,
            unit="mm",
        )


def weight_rule(figures: Figures, limits: Limits) -> Iterator[Finding]:
    """Yield a core's own weight that matters.

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
