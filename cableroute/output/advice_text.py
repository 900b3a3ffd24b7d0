"""Suggestions as text, for a terminal of 80 columns, and as plain data."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import degrees
from typing import Any

from cableroute.assess import CableAssessment
from cableroute.measure.wording import Words
from cableroute.output.columns import WIDTH
from cableroute.route.repair import MOST_FREEDOMS, Repair
from cableroute.verdict.advice import Advice, Change

#: Bends and points shown for one cable; all are in the JSON.
MOST_SHOWN = 6
#: Said wherever force is the matter.
RADIUS_ALONE = (
    "A wider radius alone does not lower the force: only less turn does. Friction multiplies by "
    "exp(mu * turn), whatever the radius."
)


@dataclass(frozen=True, slots=True, eq=False)
class Suggestion:
    """What is suggested for one cable.

    Parameters
    ----------
    before : CableAssessment
        The cable as measured.
    repair : Repair
        What to move.
    after : CableAssessment or None
        The cable with the points moved and judged again; None where nothing moves.
    advice : Advice
        What would make it easier to pull.
    """

    before: CableAssessment
    repair: Repair
    after: CableAssessment | None
    advice: Advice


def advice_lines(suggestions: Sequence[Suggestion]) -> Iterator[tuple[str, str]]:
    """Yield the suggestions line by line, each after the verdict that may colour it.

    Parameters
    ----------
    suggestions : sequence of Suggestion
        One for each cable.

    Yields
    ------
    tuple of (str, str)
        ``pass``, ``marginal``, ``fail`` or nothing, and the line.
    """
    for suggestion in suggestions:
        verdict = suggestion.before.verdict
        yield verdict, f"{verdict.upper():9}{suggestion.before.figures.cable.name}"
        for indent, text in _cable(suggestion):
            pad = " " * indent
            for line in textwrap.wrap(
                text, WIDTH, initial_indent=pad, subsequent_indent=pad + "  "
            ):
                yield "", line
        yield "", ""
    yield from (("", line) for line in textwrap.wrap(RADIUS_ALONE, WIDTH))


def _cable(suggestion: Suggestion) -> Iterator[tuple[int, str]]:
    yield from _moves(suggestion)
    advice, words = suggestion.advice, suggestion.before.figures.words
    zones = bool(suggestion.before.figures.clearances)
    if advice.bends:
        yield 2, f"Bends by what they cost, at friction {advice.friction:g}:"
    for bend in advice.bends[:MOST_SHOWN]:
        turn = f"{degrees(bend.turn):.0f} deg"
        yield (
            4,
            f"{bend.at}: {turn}, {100 * bend.cost:.0f} % more force, {bend.force:.0f} N at the hand",
        )
    gains = [change for change in advice.omissions if change.force >= 0.5]
    if gains:
        yield 2, "Leaving out a point (the lay between its neighbours must still be held):"
    for change in gains[:MOST_SHOWN]:
        yield 4, f"without {change.at}: {_gain(change, zones=zones)}"
    if advice.omissions and not gains:
        yield 2, "Leaving out a point gains nothing."
    if advice.force_is_trouble and not advice.sweeps:
        yield 2, "No two bends can be made one wider sweep with less wrap."
    for change in advice.sweeps[:MOST_SHOWN]:
        place = ", ".join(words.length(value) for value in change.point)
        radius = words.length(change.radius)
        yield (
            2,
            (
                f"One sweep of {radius} radius instead of the bends at {change.at}, its corner at "
                f"({place}): {_gain(change, zones=zones)}"
            ),
        )


def _moves(suggestion: Suggestion) -> Iterator[tuple[int, str]]:
    repair, after = suggestion.repair, suggestion.after
    words = suggestion.before.figures.words
    farthest = words.length(repair.farthest)
    if after is not None:
        yield 2, "The smallest moves found that make every bend fit (tried again after rounding):"
        cable = suggestion.before.figures.cable
        for i in sorted(_moved(repair)):
            to = ", ".join(words.length(value) for value in after.figures.cable.points[i])
            yield 4, f"{cable.point_name(i)}: {_way(repair.moves[i], words)}, to ({to})"
        yield 2, f"With these the verdict is {after.verdict}."
        for finding in after.findings:
            if finding.level == "fail":
                yield 4, f"fail: {finding.where}: {finding.message}"
        if any({check.start, check.end} & _moved(repair) for check in cable.checks):
            yield 2, "Check distances taped to a moved point no longer hold: tape them again."
    elif repair.fits:
        yield 2, "Every bend fits: no point need move."
    elif repair.freedoms == 0:
        yield (
            2,
            (
                "Some bends do not fit, and no point near them may move: mark one with move = "
                '"x", "y", "z" or "free", or choose a cable that may be bent tighter.'
            ),
        )
    elif repair.freedoms > MOST_FREEDOMS:
        yield (
            2,
            (
                "Too many points lie near bends that do not fit to say which should move: measure "
                "fewer points, at the corners."
            ),
        )
    else:
        short = f"; {words.length(repair.shortfall)} of leg would still lack"
        yield (
            2,
            (
                f"Some bends do not fit, and no moves of up to {farthest} were found that make all "
                f"fit{short if repair.shortfall >= 0.5 else ''}. Let more points move, or choose a "
                "cable that may be bent tighter."
            ),
        )


def _moved(repair: Repair) -> set[int]:
    return set(repair.distances.nonzero()[0].tolist())


def _way(move: Any, words: Words) -> str:
    """Words such as ``12 mm up and 3 mm aft``."""
    ways = (("fore", "aft"), ("left", "right"), ("up", "down"))
    parts = [
        f"{words.length(abs(step))} {pair[0] if step > 0 else pair[1]}"
        for step, pair in zip(move, ways, strict=True)
        if abs(step) >= 0.05
    ]
    return " and ".join(parts)


def _gain(change: Change, *, zones: bool) -> str:
    parts = ["every bend fits" if change.fits else "but bends do not fit"]
    if change.blocked:
        parts.append(f"but too near the {', '.join(change.blocked)}")
    elif zones:
        parts.append("keeps clear of every solid")
    gain = f"{degrees(change.wrap):.0f} deg less wrap, {change.force:.0f} N less"
    return "; ".join([gain, *parts])


def advice_dict(suggestions: Sequence[Suggestion]) -> dict[str, Any]:
    """Return the suggestions as nested dictionaries, ready for JSON.

    Parameters
    ----------
    suggestions : sequence of Suggestion
        One for each cable.

    Returns
    -------
    dict
        Numbers, strings, lists and None only.
    """
    return {"schema": 1, "note": RADIUS_ALONE, "cables": [_one(item) for item in suggestions]}


def _one(suggestion: Suggestion) -> dict[str, Any]:
    repair, after, advice = suggestion.repair, suggestion.after, suggestion.advice
    cable = suggestion.before.figures.cable
    return {
        "name": cable.name,
        "verdict": suggestion.before.verdict,
        "verdict_after": after.verdict if after else None,
        "fits": bool(suggestion.before.figures.route.fits),
        "fits_after": repair.fits,
        "shortfall_mm": repair.shortfall,
        "farthest_mm": repair.farthest,
        "moves": [
            {
                "at": cable.point_name(i),
                "point": i + 1,
                "move_mm": repair.moves[i].tolist(),
                "distance_mm": float(repair.distances[i]),
                "to_mm": after.figures.cable.points[i].tolist(),
            }
            for i in sorted(_moved(repair))
            if after
        ],
        "friction": advice.friction,
        "bends": [
            {
                "at": bend.at,
                "turn_deg": degrees(bend.turn),
                "cost": bend.cost,
                "force_n": bend.force,
            }
            for bend in advice.bends
        ],
        "leave_out": [_change(change) for change in advice.omissions],
        "sweeps": [
            {**_change(change), "point_mm": list(change.point), "radius_mm": change.radius}
            for change in advice.sweeps
        ],
        "force_is_trouble": advice.force_is_trouble,
    }


def _change(change: Change) -> dict[str, Any]:
    return {
        "at": change.at,
        "wrap_saved_deg": degrees(change.wrap),
        "force_saved_n": change.force,
        "fits": change.fits,
        "too_near": list(change.blocked),
    }
