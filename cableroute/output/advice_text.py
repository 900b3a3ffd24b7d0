"""Suggestions as text, for a terminal of 80 columns, and as plain data."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from math import degrees
from typing import Any

from cableroute.measure.wording import Words
from cableroute.output.columns import WIDTH
from cableroute.output.plain import JsonObject, finding_dict, number
from cableroute.route.repair import MOST_FREEDOMS, Repair
from cableroute.suggestions import LEAST_GAIN, Offer, Spare, Suggestion, numbered
from cableroute.verdict.advice import Change

#: Bends and points shown for one cable; all are in the JSON.
MOST_SHOWN = 6
#: Said wherever force is the matter.
RADIUS_ALONE = (
    "A wider radius alone does not lower the force: only less turn does. Friction multiplies by "
    "exp(mu * turn), whatever the radius."
)


def advice_lines(suggestions: Sequence[Suggestion]) -> Iterator[tuple[str, str]]:
    """Yield the suggestions line by line, each after the verdict that may colour it.

    What may be taken is numbered, through all cables.
    """
    numbers = {id(offer): number for number, (_, offer) in numbered(suggestions).items()}
    for suggestion in suggestions:
        verdict = suggestion.before.verdict
        yield verdict, f"{verdict.upper():9}{suggestion.before.figures.cable.name}"
        for indent, text in _cable(suggestion, numbers):
            pad = " " * indent
            for line in textwrap.wrap(
                text, WIDTH, initial_indent=pad, subsequent_indent=pad + "  "
            ):
                yield "", line
        yield "", ""
    yield from (("", line) for line in textwrap.wrap(RADIUS_ALONE, WIDTH))


def _cable(suggestion: Suggestion, numbers: Mapping[int, int]) -> Iterator[tuple[int, str]]:
    yield from _moves(suggestion, numbers)
    advice = suggestion.advice
    if advice.bends:
        yield 2, f"Bends by what they cost, at friction {advice.friction:g}:"
    for bend in advice.bends[:MOST_SHOWN]:
        turn = f"{degrees(bend.turn):.0f} deg"
        yield (
            4,
            f"{bend.at}: {turn}, {100 * bend.cost:.0f} % more force, "
            f"{suggestion.before.figures.words.force(bend.force)} at the hand",
        )
    yield from _omissions(suggestion, numbers)
    if advice.force_is_trouble and not advice.sweeps:
        yield 2, "No two bends can be made one wider sweep with less wrap."
    for offer in _of_kind(suggestion.offers, "sweep"):
        yield from _sweep(suggestion, offer, numbers)
    for offer in suggestion.declined:
        yield from _declined(suggestion, offer)


def _of_kind(offers: Sequence[Offer], kind: str) -> Iterator[Offer]:
    return (offer for offer in offers if offer.kind == kind)


def _omissions(suggestion: Suggestion, numbers: Mapping[int, int]) -> Iterator[tuple[int, str]]:
    """Say what leaving a point out gains, and of what cannot be taken why."""
    words, zones = suggestion.before.figures.words, bool(suggestion.before.figures.clearances)
    advice = suggestion.advice
    gains = [change for change in advice.omissions if change.force >= LEAST_GAIN]
    if gains:
        yield 2, "Leaving out a point (the lay between its neighbours must still be held):"
    for offer in _of_kind(suggestion.offers, "leave-out"):
        gain = _gain(offer.change, words, zones=zones) if offer.change else ""
        yield 4, f"{numbers[id(offer)]}. without {' and '.join(offer.at)}: {gain}"
        yield from _comes_of(suggestion, offer, words)
    for change in [each for each in gains if not each.is_good][:MOST_SHOWN]:
        yield 4, f"not without {change.at}: {_gain(change, words, zones=zones)}"
    if advice.omissions and not gains:
        yield 2, "Leaving out a point gains nothing."
    if advice.tried is not None:
        yield 2, _tried(advice.tried)


def _tried(count: int) -> str:
    if not count:
        return "It has too many points to try it without one of them: it is a survey, not a run."
    return (
        f"It has many points: only the {count} where it turns the most were tried, left out or two made "
        "one."
    )


def _sweep(
    suggestion: Suggestion, offer: Offer, numbers: Mapping[int, int]
) -> Iterator[tuple[int, str]]:
    words, zones = suggestion.before.figures.words, bool(suggestion.before.figures.clearances)
    change = offer.change
    assert change is not None
    place = ", ".join(words.length(value) for value in change.point)
    yield (
        2,
        (
            f"{numbers[id(offer)]}. One sweep of up to {words.length(change.radius)} radius instead of "
            f"the bends at {change.at}, its point at ({place}): {_gain(change, words, zones=zones)}"
        ),
    )
    yield from _comes_of(suggestion, offer, words)


def _comes_of(suggestion: Suggestion, offer: Offer, words: Words) -> Iterator[tuple[int, str]]:
    """Say the verdict where it changes, and every rule that is worse kept than before."""
    if offer.after.verdict != suggestion.before.verdict:
        yield 6, f"the verdict becomes {offer.after.verdict}"
    for check in offer.worse:
        yield 6, f"but {check.level}: {check.where}: {check.message}"


def _declined(suggestion: Suggestion, offer: Offer) -> Iterator[tuple[int, str]]:
    """Say why something that gains is not offered."""
    what = {"move": "moving", "leave-out": "leaving out", "sweep": "one sweep instead of"}[
        offer.kind
    ]
    words, spare = suggestion.before.figures.words, offer.spare
    if offer.is_graver:
        why = f"it makes the verdict {offer.found.verdict}"
    else:
        assert spare is not None
        why = f"it leaves {words.fine(spare.room)} where the tape's doubt is {words.fine(spare.doubt)}"
    yield 2, f"Not offered: {what} {' and '.join(offer.at)}, as {why}."
    for check in offer.worse if offer.is_graver else ():
        if check.level != "note":
            yield 4, f"{check.level}: {check.where}: {check.message}"


def _moves(suggestion: Suggestion, numbers: Mapping[int, int]) -> Iterator[tuple[int, str]]:
    if suggestion.move is not None:
        yield from _moved_points(suggestion, suggestion.move, numbers)
    elif not suggestion.repair.moves.any():  # else it is said among what is not offered
        yield from _no_moves(suggestion.repair, suggestion.before.figures.words)


def _moved_points(
    suggestion: Suggestion, move: Offer, numbers: Mapping[int, int]
) -> Iterator[tuple[int, str]]:
    repair, words = suggestion.repair, suggestion.before.figures.words
    yield (
        2,
        (
            f"{numbers[id(move)]}. The smallest moves found that make every bend fit (tried again "
            "after rounding):"
        ),
    )
    cable = suggestion.before.figures.cable
    for i in sorted(_moved(repair)):
        to = ", ".join(words.length(value) for value in move.cable.points[i])
        yield 4, f"{cable.point_name(i)}: {_way(repair.moves[i], words)}, to ({to})"
    if move.spare is not None:
        yield 2, _spare(move.spare, words)
    yield 2, f"With these the verdict is {move.after.verdict}."
    for finding in move.after.findings:
        if finding.level == "fail":
            yield 4, f"fail: {finding.where}: {finding.message}"
    for check in move.worse:
        if check.level != "fail" or check not in move.after.findings:
            yield 4, f"but {check.level}: {check.where}: {check.message}"
    if any({check.start, check.end} & _moved(repair) for check in cable.checks):
        yield 2, "Check distances taped to a moved point no longer hold: tape them again."


def _no_moves(repair: Repair, words: Words) -> Iterator[tuple[int, str]]:
    farthest = words.length(repair.farthest)
    if repair.fits:
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
    elif repair.is_cut_short:
        yield (
            2,
            (
                f"Some bends do not fit, and moves that make all fit were not found: the search over "
                f"{repair.freedoms} directions was ended. Measure fewer points, at the corners, or "
                'say of some that they stay (move = "no").'
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


def _spare(spare: Spare, words: Words) -> str:
    """Say the room that is left, and whether the tape may have been off by more."""
    left = f"They leave {words.fine(spare.room)} to spare where that is least"
    doubt = words.fine(spare.doubt)
    if spare.is_enough:
        return f"{left}; the tape leaves {doubt} in doubt there."
    return (
        f"{left}, less than the {doubt} that the tape leaves in doubt there: no moves within reach "
        "leave more. Measure those points again before you drill."
    )


def _moved(repair: Repair) -> set[int]:
    return set(repair.distances.nonzero()[0].tolist())


def _way(move: Any, words: Words) -> str:
    """Words such as ``12 mm up and 3 mm aft``."""
    ways = (("forward", "aft"), ("left", "right"), ("up", "down"))
    parts = [
        f"{words.length(abs(step))} {pair[0] if step > 0 else pair[1]}"
        for step, pair in zip(move, ways, strict=True)
        if abs(step) >= 0.05
    ]
    return " and ".join(parts)


def _gain(change: Change, words: Words, *, zones: bool) -> str:
    parts = ["every bend fits" if change.fits else "but bends do not fit"]
    if change.blocked:
        parts.append(f"but too near the {', '.join(change.blocked)}")
    elif zones:
        parts.append("keeps clear of every solid")
    gain = f"{degrees(change.wrap):.0f} deg less wrap, {words.force(change.force)} less"
    return "; ".join([gain, *parts])


def advice_dict(suggestions: Sequence[Suggestion]) -> dict[str, Any]:
    """Return the suggestions as nested dictionaries, ready for JSON."""
    numbers = {id(offer): number for number, (_, offer) in numbered(suggestions).items()}
    cables = [_one(item, numbers) for item in suggestions]
    return {"schema": 1, "note": RADIUS_ALONE, "cables": cables}


def _one(suggestion: Suggestion, numbers: Mapping[int, int]) -> JsonObject:
    repair, move, advice = suggestion.repair, suggestion.move, suggestion.advice
    cable = suggestion.before.figures.cable
    return {
        "name": cable.name,
        "verdict": suggestion.before.verdict,
        "verdict_after": move.after.verdict if move else None,
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
                "to_mm": move.cable.points[i].tolist(),
            }
            for i in sorted(_moved(repair))
            if move
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
        "points_tried": advice.tried,
        "search_cut_short": repair.is_cut_short,
        "options": [{"number": numbers[id(each)], **_offer(each)} for each in suggestion.offers],
        "not_offered": [_offer(each) for each in suggestion.declined],
    }


def _offer(offer: Offer) -> JsonObject:
    after, spare = offer.after.figures, offer.spare
    return {
        "kind": offer.kind,
        "at": list(offer.at),
        "verdict_after": offer.found.verdict,
        "hand_n": number(after.pull.inputs[1]),
        "wrap_deg": degrees(after.route.wrap),
        "length_mm": float(after.route.length),
        "spare_mm": spare.room if spare else None,
        "doubt_mm": spare.doubt if spare else None,
        "worse": [finding_dict(check) for check in offer.worse],
    }


def _change(change: Change) -> dict[str, Any]:
    return {
        "at": change.at,
        "wrap_saved_deg": degrees(change.wrap),
        "force_saved_n": change.force,
        "fits": change.fits,
        "too_near": list(change.blocked),
    }
