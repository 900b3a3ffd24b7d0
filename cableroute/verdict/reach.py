"""Checks of a cable's end rods: whether they reach their pins, bottom, or fold so far out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cableroute.figures.reach import Reaches, RodReach
from cableroute.measure.wording import Words
from cableroute.verdict.check import CABLE_DATA, Check
from cableroute.verdict.limits import Limits
from cableroute.verdict.stiffness import sure

_FORMULA = (
    "middle of the pin's swing within E - S + s/2 + f - a and E - s/2 + f + t + a: rod out at full "
    "stroke E, stroke S, swing s, fitting f, thread to back it off t, adjuster a"
)
_FITTING = "a fitting not given: three rod diameters, from memory, ISO 12240-4"


def reach_checks(reaches: Reaches, words: Words) -> Iterator[Check]:
    """Yield whether the rods reach their pins at both ends of the stroke."""
    if reaches.missing:
        yield Check(
            code="rod-reach-unknown",
            name="Anchor to pin against the rods",
            where="rods",
            message=f"Whether the rods reach their pins is not looked at, as {reaches.missing} "
            "of the cable is not known: measure them on the cable, and give them.",
        )
    for end in reaches.ends:
        yield from _one_end(end, words)
    if len(reaches.ends) == 2 and not any(end.beyond for end in reaches.ends):
        yield _both_ends(reaches, words)


def _one_end(end: RodReach, words: Words) -> Iterator[Check]:
    yield Check(
        code="rod-reach",
        name="Anchor to pin beyond what the rod gives",
        where=end.member,
        value=abs(end.beyond),
        failing=0.0,
        unit="mm",
        formula=_FORMULA,
        source=f"{CABLE_DATA}; {_FITTING}",
        detail=f"{words.length(end.middle)} in mid-swing, {_span(end.least, end.most, words)} over the "
        f"stroke; {_span(end.low, end.high, words)} allowed in mid-swing",
    ).saying(lambda _: _out_of_reach(end, words))
    if end.assumed and not end.beyond:
        yield Check(
            code="rod-reach-assumed",
            name="Fitting on the rod",
            where=end.member,
            message=f"The pin is taken as {words.length(end.fitting)} beyond the end of the rod, three "
            f"rod diameters. Measure it (swivel.fitting): with it the anchor may stand "
            f"{band(end, words)} from the pin in mid-swing, and stands {words.length(end.middle)} off.",
        )
    if end.adapter is not None:
        yield _adapter(end)
    yield from _folding(end, words)


def _adapter(end: RodReach) -> Check:
    """List what to turn where the threads of rod and fitting differ."""
    turned = end.adapter
    assert turned is not None
    return Check(
        code="adapter",
        name="Adapter from the rod to its fitting",
        where=end.member,
        formula="thread engaged: 2 A/(pi/2 (d - 0.65 p)), one diameter at least; wall of 1.25 times "
        "the thread's area, 1.5 diameters at least",
        source="FED-STD-H28/2 and ISO 898-1, from memory; wall and tap drill: common practice, no source",
        message=f"The rod is {turned.rod}, the fitting {turned.fitting}: turn an adapter of steel as "
        f"good as the rod's. Bore {turned.bore:g} mm, {turned.depth:g} mm deep, tapped {turned.rod}, "
        f"{turned.engaged:g} mm of it engaged; {turned.outside:g} mm outside at least; stud "
        f"{turned.fitting}, {turned.stud:g} mm engaged; {turned.length:g} mm over all. Count what it "
        "adds in swivel.fitting.",
    )


def band(end: RodReach, words: Words) -> str:
    """Return between which distances the anchor may stand from the pin."""
    return f"{_span(end.low, end.high, words)}"


def _span(low: float, high: float, words: Words) -> str:
    """Return from one length to another, the unit once where it is millimetres."""
    return f"{words.length(low).removesuffix(' mm')} to {words.length(high)}"


def _out_of_reach(end: RodReach, words: Words) -> str:
    off = abs(end.beyond)
    swing = f"{_span(end.least, end.most, words)} from anchor to pin over the stroke"
    if end.low > end.high:
        return f"{swing}: more than the cable's stroke. Take less range, or a shorter arm."
    what = (
        f"The rod bottoms in its guide: {swing}, {words.length(off)} too near. Move the anchor {words.length(off)} back"
        if end.beyond < 0
        else f"The rod does not reach its pin: {swing}, {words.length(off)} too far. Move the anchor "
        f"{words.length(off)} nearer, or lengthen the rod by as much (swivel.fitting)"
    )
    counted = f"fitting of {words.length(end.fitting)}"
    counted += " (taken as three rod diameters)" if end.assumed else ""
    if end.adjuster:
        counted += f", adjuster +/- {words.length(end.adjuster)}"
    counted += f", {words.length(end.thread)} of thread" if end.thread else ""
    return f"{what}: it may stand {band(end, words)} from the pin in mid-swing, {counted}."


def _both_ends(reaches: Reaches, words: Words) -> Check:
    """Hold both ends together: the core keeps its length."""
    first, second = reaches.ends
    off = max(reaches.together - reaches.high, 0.0) - max(reaches.low - reaches.together, 0.0)
    way = "nearer to its pin" if off > 0 else "farther from its pin"
    return Check(
        code="rods-together",
        name="Both rods together beyond what the core gives",
        where="rods",
        value=abs(off),
        failing=0.0,
        unit="mm",
        formula="anchor to pin in mid-swing, both ends, against 2 E - S and both fittings",
        source=f"{CABLE_DATA}; {_FITTING}",
        detail=f"{words.length(reaches.together)}, {_span(reaches.low, reaches.high, words)} allowed",
    ).saying(
        lambda _: (
            f"Each rod would reach, but not both: {words.length(first.middle)} at {first.member} and "
            f"{words.length(second.middle)} at {second.member} are {words.length(reaches.together)}, and the core "
            f"with its threads and adjusters gives {_span(reaches.low, reaches.high, words)}. Move "
            f"one anchor {words.length(abs(off))} {way}."
        )
    )


def _folding(end: RodReach, words: Words) -> Iterator[Check]:
    """Hold the rod with its extension as a column, where it is longer than the cable's own."""
    if end.folds is None or end.push <= 0:
        return
    marginal, failing = Limits().rod_safety
    folds = words.force(end.folds)
    check = Check(
        code="rod-extension-folds",
        name="Rod out to its pin: folding load over the push",
        where=end.member,
        value=end.folds / end.push,
        marginal=marginal,
        failing=failing,
        at_least=True,
        formula="Euler C·π²EI/L² from anchor to pin, pulled out; Johnson for short rods",
        source="Shigley, Mechanical Engineering Design; limits: common practice, no source",
        detail=f"folds at {folds} over {words.length(end.most)}",
    )
    yield sure(
        check,
        replace(check, value=end.folds / end.sure if end.sure > 0.0 else None),
        lambda check: (
            f"With {words.length(end.most)} from anchor to pin the rod folds at {folds}, "
            f"{check.value:.1f} times the push. Move the anchor nearer, or guide the rod."
        ),
        added=end.push - end.sure,
        words=words,
        of="the push",
    )
