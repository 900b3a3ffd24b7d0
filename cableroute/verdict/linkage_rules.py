"""The rules of linkages and selectors: figures against what is needed and what a hand can do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import degrees

import numpy as np

from cableroute.linkage.direction import way
from cableroute.linkage.gates import AXES, AxisResult, GateRow, Reaching
from cableroute.linkage.pattern import PatternSense
from cableroute.verdict.findings import Finding, Level, by_gravity
from cableroute.verdict.linkage_figures import LinkageFigures, SelectorFigures, sound_axes

#: Adjustment smaller than this is the doubt of a setting anyway [mm].
SETTING = 0.5
#: How much more than the cable was judged for may go unsaid: the arm's own swing [-].
CABLE_LOAD = 1.1


def judge_linkage(figures: LinkageFigures) -> tuple[Finding, ...]:
    """Return every finding about one linkage, gravest first.

    Parameters
    ----------
    figures : LinkageFigures
        What was worked out.

    Returns
    -------
    tuple of Finding
    """
    found: list[Finding] = []
    for rule in (_closing, _sense, _travel, _adjusting, _stroke, _rods, _centres, _force, _load):
        found += rule(figures)
    return by_gravity(found)


def _closing(figures: LinkageFigures) -> Iterator[Finding]:
    for fault in figures.faults:
        yield Finding("geometry-does-not-close", "fail", "geometry", _sentence(fault))


def _sentence(fault: str) -> str:
    return f"{fault}. Move a pivot, lengthen the shorter arm, or take less range."


def _sense(figures: LinkageFigures) -> Iterator[Finding]:
    going = figures.direction
    if going is None or not (going.mirrored or going.across):
        return
    wanted = way(figures.built.entry.wanted.far)
    if going.across:
        text = f"{going.text}: neither {wanted} as wanted nor against it. Turn the far member."
        yield Finding("linkage-across", "fail", "direction", text)
        return
    ways = "; ".join(
        f"{mend.what} (cable end moves {mend.moved:.0f} mm, turns {degrees(mend.turned):.0f} deg; "
        f"travel {mend.travel_before:.1f} becomes {mend.travel:.1f} mm)"
        for mend in figures.mends
    )
    text = f"The motion comes out mirrored: {going.text}, where {wanted} is wanted. "
    text += f"Any one of these mends it: {ways}." if ways else "No single change mends it."
    yield Finding("linkage-mirrored", "fail", "direction", text)


def _travel(figures: LinkageFigures) -> Iterator[Finding]:
    budget = figures.budget
    if budget is None or budget.spare >= 0:
        return
    text = (
        f"The hand gives {budget.given:.1f} mm, {budget.lost:.1f} mm is lost, and the far end needs "
        f"{budget.needed:.1f} mm: {-budget.spare:.1f} mm short. Take a longer cable arm at the "
        "lever, a shorter one at the far end, or more range."
    )
    yield Finding(
        "linkage-travel-short", "fail", "travel", text, budget.arrives, budget.needed, "mm"
    )


def _adjusting(figures: LinkageFigures) -> Iterator[Finding]:
    """Say how to set the cable where one side of neutral is short and the other has to spare."""
    budget = figures.budget
    going = figures.direction
    mirrored = going is not None and going.mirrored
    if budget is None or budget.spare < 0 or mirrored:
        return
    if figures.pulls_only or min(budget.spare_pull, budget.spare_push) >= -SETTING:
        return
    verb = "let out" if budget.offset > 0 else "take up"
    change = abs(budget.offset)
    text = f"One side of neutral is short: {verb} {change:.1f} mm of conduit at the adjusters"
    if not figures.built.entry.adjusters:
        yield Finding("adjuster-setting", "note", "travel", f"{text}, or shift neutral.")
        return
    left = budget.longer_left if budget.offset > 0 else budget.shorter_left
    if left < 0:
        text += f", which have {left + change:.1f} mm that way: {-left:.1f} mm too little."
        yield Finding("adjuster-short", "fail", "travel", text, left + change, change, "mm")
    else:
        yield Finding("adjuster-setting", "note", "travel", f"{text}; {left:.1f} mm is left then.")


def _stroke(figures: LinkageFigures) -> Iterator[Finding]:
    budget = figures.budget
    if budget is None or figures.stroke is None or budget.stroke_spare >= 0:
        return
    text = (
        f"The lever moves the core {budget.given:.1f} mm, the cable's stroke is "
        f"{figures.stroke:.0f} mm: the cable becomes the stop. Shorten the lever's range or its "
        "cable arm."
    )
    yield Finding("linkage-stroke", "fail", "travel", text, budget.given, figures.stroke, "mm")


def _rods(figures: LinkageFigures) -> Iterator[Finding]:
    entry, bodies = figures.built.entry, figures.built.chain.bodies
    at = figures.built.chain.cable_at
    ends = (
        (bodies[at].name, figures.hand_angle, entry.hand.swivel.limit_deg),
        (bodies[at + 1].name, figures.far_angle, entry.far.swivel.limit_deg),
    )
    for name, angles, limit in ends:
        worst = int(np.argmax(angles))
        angle = degrees(float(angles[worst]))
        if angle <= limit:
            continue
        where = f"{degrees(float(figures.hand[worst])):.0f} deg of {entry.hand.name}"
        text = (
            f"The rod leans {angle:.1f} deg from the cable's line at {where}; its swivel allows "
            f"{limit:g}. Move the swivel farther off or into line, or shorten the arm."
        )
        yield Finding("rod-swings-too-far", "fail", name, text, angle, limit, "deg")


def _centres(figures: LinkageFigures) -> Iterator[Finding]:
    for centre in figures.centres:
        at = degrees(centre.hand)
        text = f"At {at:.1f} deg {centre.joint} stands in line with {centre.member}"
        if centre.kind == "lock":
            text += ", which it drives: it locks there. Keep the range short of it."
            yield Finding("linkage-lock", "fail", centre.member, text, at, None, "deg")
        else:
            text += ": past it the motion comes back. Shorten the range unless that is the purpose."
            yield Finding("linkage-over-centre", "marginal", centre.member, text, at, None, "deg")


def _force(figures: LinkageFigures) -> Iterator[Finding]:
    limit, force = figures.hand_limit, figures.hand_forces[1]
    if limit is None or not force > limit.low:
        return
    level: Level = "fail" if force > limit.high else "marginal"
    span = f"{limit.low:.0f}" if limit.low == limit.high else f"{limit.low:.0f} to {limit.high:.0f}"
    far = figures.far_at_limit or 0.0
    amount = f"{force:.0f} N" if np.isfinite(force) else "more than any hand can give, as it locks"
    text = (
        f"The hand needs {amount}; published for a {limit.name}, {limit.effort}: {span} N "
        f"({limit.source}). With {limit.low:.0f} N at the hand {max(far, 0.0):.0f} N arrives. "
        "Lengthen the handle, or drill the lever's cable hole nearer to its pivot if travel is left."
    )
    yield Finding("hand-force", level, figures.built.entry.hand.name, text, force, limit.low, "N")


def _load(figures: LinkageFigures) -> Iterator[Finding]:
    """Say if the cable was judged for less than the far arm puts on it."""
    load, judged = figures.core_load, figures.cable_load
    if not load > CABLE_LOAD * judged:
        return
    amount = f"{load:.0f} N" if np.isfinite(load) else "more than any cable carries, as it locks,"
    text = (
        f"The far arm puts {amount} on the core; the cable is judged for {judged:.0f} N. Set its "
        "load and push_load to that, as snaking and the rod depend on it."
    )
    yield Finding("linkage-load", "marginal", figures.built.entry.cable, text, load, judged, "N")


def judge_selector(figures: SelectorFigures) -> tuple[Finding, ...]:
    """Return every finding about one selector, gravest first.

    Parameters
    ----------
    figures : SelectorFigures
        What was worked out.

    Returns
    -------
    tuple of Finding
    """
    if figures.table is None:
        fault = _sentence(figures.fault)
        return (Finding("geometry-does-not-close", "fail", "geometry", fault),)
    sense, rows = figures.table.sense, figures.table.rows
    found = [
        _gate(figures, row.gate.name, axis, at)
        for row in rows
        for axis, at in zip(AXES, (row.select, row.shift), strict=True)
        if axis in sound_axes(sense) and at.outcome != "reached"
    ]
    found += _leaning(figures, rows) if sense.right else _pattern(sense)
    return by_gravity(found)


def _pattern(sense: PatternSense) -> Iterator[Finding]:
    mirrored = sense.mirrored_select or sense.mirrored_shift
    code = "pattern-mirrored" if mirrored else "pattern-swapped"
    turn = "See each linkage's direction for what turns it round."
    swap = "Change the two cables over, at the lever or at the box."
    text = f"The pattern comes out {sense.text}. {swap if sense.swapped else turn}"
    yield Finding(code, "fail", "pattern", text)


def _leaning(figures: SelectorFigures, rows: Sequence[GateRow]) -> Iterator[Finding]:
    """Find rods that lean too far in a gate, where both axes of the lever add up."""
    for axis, built in zip(AXES, (figures.select, figures.shift), strict=True):
        entry = built.entry
        ends = (
            ("lever", "hand_angle", entry.hand.swivel.limit_deg),
            ("box", "box_angle", entry.far.swivel.limit_deg),
        )
        for end, key, limit in ends:
            angles = [degrees(getattr(getattr(row, axis), key)) for row in rows]
            worst = int(np.argmax(angles))
            if angles[worst] <= limit:
                continue
            text = (
                f"The rod of {axis} leans {angles[worst]:.1f} deg at the {end} in gate "
                f"{rows[worst].gate.name}; its swivel allows {limit:g}. Move the swivel farther off."
            )
            where = f"{axis}, {end}"
            yield Finding("rod-swings-too-far", "fail", where, text, angles[worst], limit, "deg")


def _gate(figures: SelectorFigures, gate: str, axis: str, at: AxisResult) -> Finding:
    built = figures.select if axis == "select" else figures.shift
    unit, scale = figures.unit_of(axis)
    span = sorted(built.far_sense * value / scale for value in (at.low, at.high))
    wanted, tolerance = built.far_sense * at.wanted / scale, at.tolerance / scale
    text = (
        f"The {axis} is {at.outcome}: {span[0]:.1f} to {span[1]:.1f} {unit} arrives, "
        f"{wanted:.1f} +/- {tolerance:.1f} is wanted, {at.shortfall / scale:.1f} beyond. "
        f"{_mend(figures.reaching.get((gate, axis)), unit, scale)}"
    )
    limit = at.wanted * built.far_sense / scale
    far_off = built.far_sense * at.arrives / scale
    return Finding("gate-unreachable", "fail", f"gate {gate}", text, far_off, limit, unit)


def _mend(reaching: Reaching | None, unit: str, scale: float) -> str:
    if reaching is None:
        return "Shorten what the other axis stirs, or take a cable with less lost motion."
    ways = []
    if reaching.lever_radius is not None:
        ways.append(f"a lever hole {reaching.lever_radius:.0f} mm from the pivot")
    if reaching.box_radius is not None:
        ways.append(f"a box arm of {reaching.box_radius:.0f} mm")
    if ways:
        return f"It would be reached with {' or '.join(ways)}."
    return f"The play alone is +/- {reaching.play / scale:.1f} {unit}: take a cable with less."
