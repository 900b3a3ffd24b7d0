"""Checks of a linkage: its figures against what is needed and what a hand can do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import degrees, isfinite

import numpy as np

from cableroute.figures.linkage import LinkageFigures
from cableroute.figures.moved_run import MovedRun
from cableroute.figures.reach import Reaches
from cableroute.linkage.direction import way
from cableroute.linkage.mends import Mend
from cableroute.measure.wording import Words
from cableroute.verdict.check import CABLE_DATA, OWN, PRACTICE, Check
from cableroute.verdict.reach import band, reach_checks
from cableroute.verdict.stiffness import sure

#: Adjustment smaller than this is the doubt of a setting anyway [mm].
SETTING = 0.5
#: How much more than the cable was judged for may go unsaid: the arm's own swing [-].
CABLE_LOAD = 1.1
_TRUE_CIRCLES = "arms and cranks followed as true circles in space"
_SWIVEL = "limit: as given in the file, or 8 degrees, common practice, no source"


def linkage_checks(figures: LinkageFigures, *, gated: bool = False) -> Iterator[Check]:
    """Yield every check of one linkage; where a selector's gates set its neutral, none on that."""
    for checks in (_closing, _sense, _travel, _stroke, _rods, _reach, _centres, _force, _load):
        yield from checks(figures)
    if not gated:
        yield from _adjusting(figures)


def unclosed(faults: tuple[str, ...]) -> Check:
    """Return whether a geometry closes over the whole range."""
    return Check(
        code="geometry-does-not-close",
        name="Places where it does not close or does not move",
        where="geometry",
        value=float(len(faults)),
        failing=0.0,
        formula=_TRUE_CIRCLES,
        source=OWN,
    ).saying(
        lambda _: " ".join(
            f"{fault}. Move a pivot, lengthen the shorter arm, or take less range."
            for fault in faults
        )
    )


def _closing(figures: LinkageFigures) -> Iterator[Check]:
    yield unclosed(figures.faults)


def _sense(figures: LinkageFigures) -> Iterator[Check]:
    going = figures.direction
    if going is None:
        return
    wanted = way(figures.built.entry.wanted.far)
    ways = "; ".join(
        _mend(mend, moved, figures.words)
        for mend, moved in zip(figures.mends, figures.moved, strict=True)
    )
    text = f"The motion comes out mirrored: {going.text}, where {wanted} is wanted. "
    text += f"Any one of these mends it: {ways}." if ways else "No single change mends it."
    if going.across:
        text = f"{going.text}: neither {wanted} as wanted nor against it. Turn the far member."
    yield Check(
        code="linkage-across" if going.across else "linkage-mirrored",
        name="Motions the wrong way",
        where="direction",
        value=float(going.mirrored or going.across),
        failing=0.0,
        formula=_TRUE_CIRCLES,
        source=OWN,
        detail=going.text,
    ).saying(lambda _: text)


def _mend(mend: Mend, moved: MovedRun | None, words: Words) -> str:
    """Say what a mend does, to the travel and to the run of the cable that it moves."""
    before = words.fine(mend.travel_before).removesuffix(" mm")
    travel = f"travel {before} becomes {words.fine(mend.travel)}"
    end = f"cable end moves {words.length(mend.moved)}, turns {degrees(mend.turned):.0f} deg"
    if not mend.moved:
        return f"{mend.what} (the cable stays; {travel})"
    if moved is None:
        return f"{mend.what} ({end}, and its run must be led anew; {travel})"
    runs = [words.length(one) for one in moved.length]
    wraps = [f"{degrees(one):.0f}" for one in moved.wrap]
    led = ", led out and back beside its end," if moved.turns_back else ""
    costs = (
        f"its run{led} {runs[0].removesuffix(' mm')} becomes {runs[1]}, its wrap {wraps[0]} becomes {wraps[1]} deg, the "
        f"pull at its hand end {words.force(moved.pull[0])} becomes {words.force(moved.pull[1])}"
    )
    room = "" if moved.fits else ", and its bends have no room so"
    return f"{mend.what} ({end}; {costs}{room}; {travel})"


def _travel(figures: LinkageFigures) -> Iterator[Check]:
    words = figures.words
    budget = figures.budget
    if budget is None:
        return
    yield Check(
        code="linkage-travel-short",
        name="Travel that arrives",
        where="travel",
        value=budget.arrives,
        failing=budget.needed,
        at_least=True,
        unit="mm",
        formula="what the hand gives less what the cable loses",
        source=f"{_TRUE_CIRCLES}; lost motion as of the cable",
        detail=f"{words.fine(budget.given)} given, {words.fine(budget.lost)} lost",
    ).saying(
        lambda _: (
            f"The hand gives {words.fine(budget.given)}, {words.fine(budget.lost)} is lost, and the far "
            f"end needs {words.fine(budget.needed)}: {words.fine(-budget.spare)} short. Take a longer cable arm at "
            "the lever, a shorter one at the far end, or more range."
        )
    )


def _adjusting(figures: LinkageFigures) -> Iterator[Check]:
    """Say how to set the cable where one side of neutral is short and the other has to spare."""
    words = figures.words
    budget, going = figures.budget, figures.direction
    mirrored = going is not None and going.mirrored
    if budget is None or budget.spare < 0 or mirrored or figures.pulls_only:
        return
    if min(budget.spare_pull, budget.spare_push) >= -SETTING:
        return
    verb = "let out" if budget.offset > 0 else "take up"
    change = abs(budget.offset)
    text = f"One side of neutral is short: {verb} {words.fine(change)} of conduit at the adjusters"
    if not figures.built.entry.adjusters:
        yield Check(
            code="adjuster-setting",
            name="Setting of neutral",
            where="travel",
            message=f"{text}, or shift neutral.",
        )
        return
    left = budget.longer_left if budget.offset > 0 else budget.shorter_left
    short = f", which have {words.fine(left + change)} that way: {words.fine(-left)} too little."
    yield Check(
        code="adjuster-short" if left < 0 else "adjuster-setting",
        name="Thread left on the adjusters that way",
        where="travel",
        value=left + change,
        failing=change if left < 0 else None,
        at_least=True,
        unit="mm",
        message=f"{text}{short}" if left < 0 else f"{text}; {words.fine(left)} is left then.",
    )


def _stroke(figures: LinkageFigures) -> Iterator[Check]:
    words = figures.words
    budget, stroke = figures.budget, figures.stroke
    if budget is None or stroke is None:
        return
    yield Check(
        code="linkage-stroke",
        name="Core drawn against the cable's stroke",
        where="travel",
        value=budget.given,
        failing=budget.given + budget.stroke_spare,
        unit="mm",
        formula="core drawn from end to end of the lever's range, neutral in the stroke's middle",
        source=CABLE_DATA,
    ).saying(
        lambda _: (
            f"The lever moves the core {words.fine(budget.given)}, the cable's stroke is "
            f"{words.length(stroke)}: the cable becomes the stop. Shorten the lever's range or its cable arm."
        )
    )


def _rods(figures: LinkageFigures) -> Iterator[Check]:
    entry, bodies = figures.built.entry, figures.built.chain.bodies
    at = figures.built.chain.cable_at
    ends = (
        (bodies[at].name, figures.hand_angle, entry.hand.swivel.limit_deg),
        (bodies[at + 1].name, figures.far_angle, entry.far.swivel.limit_deg),
    )
    for name, angles, limit in ends:
        worst = int(np.argmax(angles))
        place = f"{degrees(float(figures.hand[worst])):.0f} deg of {entry.hand.name}"
        lean = rod_lean(degrees(float(angles[worst])), limit=limit, where=name)
        within = within_band(figures.reaches, name, figures.words)
        yield replace(lean, message=_leaning(lean, place, within)) if lean.level == "fail" else lean
    for (name, _, limit), load in zip(ends, figures.swivels, strict=True):
        yield Check(
            code="swivel-load",
            name="Side load on the swivel where the rod leans most",
            where=name,
            value=load if isfinite(load) else None,
            unit="N",
            formula="2F·sin(α/2), α up to the swivel's stop",
            source=OWN,
            detail=f"up to {limit:g} deg",
        )


def _reach(figures: LinkageFigures) -> Iterator[Check]:
    yield from reach_checks(figures.reaches, figures.words)


def _leaning(lean: Check, place: str, within: str) -> str:
    return (
        f"The rod leans {lean.value:.1f} deg from the cable's line at {place}; its swivel allows "
        f"{lean.limit:g}. Move the anchor farther off{within} or into line, or shorten the arm."
    )


def within_band(reaches: Reaches, member: str, words: Words) -> str:
    """Say how far off the anchor of a member may be moved, where that is known."""
    ends = [end for end in reaches.ends if end.member == member]
    return (
        f" (the rod gives {band(ends[0], words)} from anchor to pin in mid-swing)" if ends else ""
    )


def rod_lean(angle: float, *, limit: float, where: str) -> Check:
    """Hold how far a rod leans against what its swivel allows [deg]."""
    return Check(
        code="rod-swings-too-far",
        name="Lean of the rod",
        where=where,
        value=angle,
        failing=limit,
        unit="deg",
        formula="rod to the line of its swivel, the most of it over the stroke",
        source=_SWIVEL,
    )


def _centres(figures: LinkageFigures) -> Iterator[Check]:
    for centre in figures.centres:
        at = degrees(centre.hand)
        text = f"At {at:.1f} deg {centre.joint} stands in line with {centre.member}"
        locks = centre.kind == "lock"
        text += (
            ", which it drives: it locks there. Keep the range short of it."
            if locks
            else ": past it the motion comes back. Shorten the range unless that is the purpose."
        )
        yield Check(
            code="linkage-lock" if locks else "linkage-over-centre",
            name="Dead centres in the range",
            where=centre.member,
            value=1.0,
            marginal=None if locks else 0.0,
            failing=0.0 if locks else None,
            formula=_TRUE_CIRCLES,
            source=OWN,
            detail=f"at {at:.1f} deg of the hand",
            message=text,
        )


def _force(figures: LinkageFigures) -> Iterator[Check]:
    limit, force = figures.hand_limit, figures.hand_forces[1]
    if limit is None:
        return
    words, far = figures.words, max(figures.far_at_limit or 0.0, 0.0)
    span = words.forces(limit.low, limit.high)
    amount = words.force(force) if isfinite(force) else "more than any hand can give, as it locks"
    check = Check(
        code="hand-force",
        name="Force at the grip",
        where=figures.built.entry.hand.name,
        value=force,
        marginal=limit.low,
        failing=limit.high,
        unit="N",
        formula="load over the ratio of speeds, the cable's friction and drag in it; pins frictionless",
        source=limit.source,
    )
    yield sure(
        check,
        replace(check, value=figures.hand_sure),
        lambda _: (
            f"The hand needs {amount}; published for a {limit.name}, {limit.effort}: {span} "
            f"({limit.source}). With {words.force(limit.low)} at the hand {words.force(far)} arrives. "
            "Lengthen the handle, or drill the lever's cable hole nearer to its pivot if travel is left."
        ),
        added=force - figures.hand_sure,
        words=words,
    )


def _load(figures: LinkageFigures) -> Iterator[Check]:
    """Say if the cable was judged for less than the far arm puts on it."""
    load, judged = figures.core_load, figures.cable_load
    words = figures.words
    amount = words.force(load) if isfinite(load) else "more than any cable carries, as it locks,"
    yield Check(
        code="linkage-load",
        name="Load that the far arm puts on the core",
        where=figures.built.entry.cable,
        value=load,
        marginal=CABLE_LOAD * judged,
        unit="N",
        formula="load of the far member over its arm's speed",
        source=f"what the cable was judged for, and {CABLE_LOAD - 1.0:.0%} for the arm's own swing: "
        f"{PRACTICE}",
    ).saying(
        lambda _: (
            f"The far arm puts {amount} on the core; the cable is judged for {words.force(judged)}. "
            "Set its load and push_load to that, as snaking and the rod depend on it."
        )
    )
