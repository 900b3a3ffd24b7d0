"""Checks of a selector: whether every gate is reached, and no rod leans too far in any."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import degrees

import numpy as np

from cableroute.figures.selector import SelectorFigures, sound_axes
from cableroute.linkage.gate_mends import AxisMend, GateMends
from cableroute.linkage.gates import AXES, AxisResult, GateRow
from cableroute.linkage.pattern import PatternSense
from cableroute.verdict.check import OWN, Check
from cableroute.verdict.linkage import rod_lean, unclosed


def selector_checks(figures: SelectorFigures) -> Iterator[Check]:
    """Yield every check of one selector."""
    if figures.table is None:
        yield unclosed((figures.fault,))
        return
    sense, rows = figures.table.sense, figures.table.rows
    for row in rows:
        for axis, at in zip(AXES, (row.select, row.shift), strict=True):
            if axis in sound_axes(sense):
                yield _gate(figures, row.gate.name, axis, at)
    yield _pattern(sense)
    if figures.mends:
        yield _mended(figures, figures.mends)
    if sense.right:
        yield from _leaning(figures, rows)


def _pattern(sense: PatternSense) -> Check:
    mirrored = sense.mirrored_select or sense.mirrored_shift
    turn = "See each linkage's direction for what turns it round."
    swap = "Change the two cables over, at the lever or at the box."
    return Check(
        code="pattern-mirrored" if mirrored or sense.right else "pattern-swapped",
        name="Axes of the pattern that come out wrong",
        where="pattern",
        value=0.0 if sense.right else 1.0,
        failing=0.0,
        formula="each axis of the knob against what it moves at the box",
        source=OWN,
        detail=sense.text,
    ).saying(lambda _: f"The pattern comes out {sense.text}. {swap if sense.swapped else turn}")


def _leaning(figures: SelectorFigures, rows: Sequence[GateRow]) -> Iterator[Check]:
    """Yield how far each rod leans in the gates, where both axes of the lever add up."""
    for axis, built in zip(AXES, (figures.select, figures.shift), strict=True):
        entry = built.entry
        ends = (
            ("lever", "hand_angle", entry.hand.swivel.limit_deg),
            ("box", "box_angle", entry.far.swivel.limit_deg),
        )
        for end, key, limit in ends:
            angles = [degrees(getattr(getattr(row, axis), key)) for row in rows]
            worst = int(np.argmax(angles))
            said = f"The rod of {axis} leans {angles[worst]:.1f} deg at the {end} in gate "
            said += f"{rows[worst].gate.name}; its swivel allows {limit:g}. Move the swivel farther off."
            lean = rod_lean(angles[worst], limit=limit, where=f"{axis}, {end}")
            yield replace(lean, message=said) if lean.level == "fail" else lean


def _gate(figures: SelectorFigures, gate: str, axis: str, at: AxisResult) -> Check:
    built = figures.built(axis)
    unit, scale = figures.unit_of(axis)
    span = sorted(built.far_sense * value / scale for value in (at.low, at.high))
    wanted, tolerance = built.far_sense * at.wanted / scale, at.tolerance / scale
    beyond = at.shortfall / scale
    return Check(
        code="gate-unreachable",
        name=f"Beyond the tolerance of gate {gate}, {axis}",
        where=f"gate {gate}",
        value=beyond,
        failing=0.0,
        unit=unit,
        formula="where the play leaves the box, against the gate and its tolerance",
        source=OWN,
        detail=f"{span[0]:.1f} to {span[1]:.1f} {unit} arrives, {wanted:.1f} +/- {tolerance:.1f} wanted",
    ).saying(
        lambda _: (
            f"The {axis} is {at.outcome}: {span[0]:.1f} to {span[1]:.1f} {unit} arrives, "
            f"{wanted:.1f} +/- {tolerance:.1f} is wanted, {beyond:.2g} beyond. "
            "What reaches every gate at once is said under the pattern."
        )
    )


def _mended(figures: SelectorFigures, mends: GateMends) -> Check:
    """Say the one set of changes that reaches every gate, and what the trial of it gave."""
    ways = "; ".join(_way(figures, way) for way in mends.ways)
    rows = mends.table.rows
    reached = sum(row.reached for row in rows)
    tried = (
        f"Worked through with all of it done, every one of the {len(rows)} gates is reached"
        if reached == len(rows)
        else f"Worked through so, {reached} of {len(rows)} gates are reached"
    )
    return Check(
        code="gate-mends",
        name="What reaches every gate",
        where="pattern",
        formula="adjusters in quarter millimetres first, then holes to the millimetre, the table "
        "worked again with them",
        source=OWN,
        message=f"{ways}. {tried}.",
    )


def _way(figures: SelectorFigures, way: AxisMend) -> str:
    """Say what is to be done to one cable, and what that leaves."""
    built = figures.built(way.axis)
    words = figures.words
    unit, scale = figures.unit_of(way.axis)
    if not way.reaches:
        return f"{way.axis}: {_beyond_help(figures, way, unit, scale)}"
    steps = []
    if way.lever_radius is not None:
        steps.append(f"put its hole in the lever {words.fine(way.lever_radius)} from the pivot")
    if way.box_radius is not None:
        steps.append(f"take a box arm of {words.fine(way.box_radius)}")
    if way.let_out:
        verb = "let out" if way.let_out > 0 else "take up"
        whole = built.entry.adjusted + way.let_out
        steps.append(
            f"{verb} {words.fine(abs(way.let_out), digits=2)} at the adjusters "
            f"(adjusted = {words.fine(whole, digits=2)})"
        )
    return (
        f"{way.axis}: {' and '.join(steps)}, swivels left where they are; the tightest gate "
        f"then has {way.spare / scale:.1f} {unit} to spare"
    )


def _beyond_help(figures: SelectorFigures, way: AxisMend, unit: str, scale: float) -> str:
    """Say why no adjuster and no hole brings every gate within reach."""
    tolerance = figures.entry.tolerance[AXES.index(way.axis)]
    play = way.play / scale
    if play > tolerance:
        return (
            f"no adjuster and no hole reaches every gate, as the play alone is +/- {play:.1f} "
            f"{unit} where +/- {tolerance:.1f} is allowed: take a cable with less lost motion"
        )
    return (
        "no adjuster, hole in the lever or box arm reaches every gate with the swivels where "
        f"they are; the nearest misses one by {-way.spare / scale:.1f} {unit}. Put the swivels "
        "farther from the lever, so that the other axis moves this core less, or space the "
        "lever's gates as the box wants them"
    )
