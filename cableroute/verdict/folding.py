"""Checks of what folds as a push grows: the weakest place first, then snaking and the rod."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import isfinite

from cableroute.figures.cable import Figures
from cableroute.figures.folding import GUIDE_FRICTION, Folding
from cableroute.figures.transmission import Push
from cableroute.verdict.check import OWN, PRACTICE, Check
from cableroute.verdict.limits import Limits
from cableroute.verdict.stiffness import sure

#: What helps each place.
_MENDS = {
    "guide": "Take a solid or thicker core, a closer guide, or less stroke",
    "snaking": "Take a stiffer core or a closer conduit",
    "rod": "Shorten what sticks out at full stroke, guide it, or use a thicker rod",
    "lock": "Take out bends, or pull both ways with a pair",
}
#: Friction times wrap up to which pushed cores were tried [-].
PROVEN_PUSH = 3.0
_UNPROVEN = (
    "Beyond friction times wrap of 3 no published push of a core was found, and the friction between "
    "the wires of a strand, which stiffens it, is measured by none: try it."
)


def first_to_fold(figures: Figures, folding: Folding, limits: Limits) -> Iterator[Check]:
    """Hold the push at which the weakest place gives way against the push that is wanted."""
    marginal, failing = limits.rod_safety
    words, known = figures.words, folding.guide is not None
    bare = f"; bare core of {words.length(folding.bare)}, the stroke, taken" if folding.bare else ""
    unknown = "" if known else "; the core in its guide not judged: no guide_bore or stroke"
    at = words.force(folding.at) if isfinite(folding.at) else "no push"
    check = Check(
        code="folds-first",
        name="What folds first: its push over the push wanted",
        where=folding.name,
        value=folding.times,
        marginal=marginal,
        failing=failing,
        at_least=True,
        formula="least of: core wound in its guide and in the straights, rod, lock-up; push raised "
        "until one gives way",
        source=f"Lubinski et al. 1962, Timoshenko and Gere (from memory); {OWN}; limit: {PRACTICE}",
        detail=f"at {at}, wires free to slide, liner worn{bare}{unknown}",
    )
    yield sure(
        check,
        replace(check, value=folding.times_sure),
        lambda _: (
            f"As the push grows the {folding.name} gives way first, at {words.force(folding.at)}, "
            f"{folding.times or 0.0:.1f} times the push. {_MENDS[_kind(folding.place)]}."
        ),
        added=figures.push.through.stiffness if figures.push else 0.0,
        words=words,
        of="the push",
    )
    yield from _in_guide(figures, folding)
    yield from _unproven(figures)


def _kind(place: str) -> str:
    return place.partition("-")[0]


def _in_guide(figures: Figures, folding: Folding) -> Iterator[Check]:
    """Tell what the bare core does in its guide at the hand, at the push wanted."""
    guide = folding.guide
    if guide is None:
        return
    lost, travel = float(guide.lost_push), float(guide.lost_travel)
    words = figures.words
    free = words.force(float(guide.free_load))
    yield Check(
        code="core-in-guide",
        name="Push at which the bare core folds in its guide",
        where="guide of the rod at full stroke",
        value=float(guide.folds_at),
        unit="N",
        formula="min(S_y/(1/A + 1.2·E·d·r/4EI), 0.2·EI/r²), at least π²EI/L²",
        source="Lubinski, Althouse, Logan 1962 (from memory); rod model of our own",
        detail=f"straight up to {free}; at the push wanted {words.force(lost)} and "
        f"{words.fine(travel)} go into winding at most, friction {GUIDE_FRICTION:g}",
    )


def _unproven(figures: Figures) -> Iterator[Check]:
    """Say where a push rests on what nobody has published."""
    reach = figures.apparent_friction[1] * float(figures.route.wrap)
    yield Check(
        code="push-unproven",
        name="Friction times wrap, pushing",
        value=reach,
        noting=PROVEN_PUSH,
        formula="μ·wrap at its high end",
        source="no published push beyond it was found",
        message=_UNPROVEN if reach > PROVEN_PUSH else "",
    )


def folding_checks(figures: Figures, push: Push, limits: Limits) -> Iterator[Check]:
    """Yield snaking in the bends, and the exposed rod by itself."""
    if isfinite(push.snaking_onset):
        yield Check(
            code="snaking",
            name="Snaking in the conduit",
            where="bends",
            value=None if push.lockup else push.snaking_use * push.snaking_onset,
            marginal=push.snaking_onset,
            unit="N",
            formula="F_s = 4EI/(R·r), in the bend nearest to it",
            source="He and Kyllingstad 1995 (from memory)",
        ).saying(
            lambda _: (
                f"The push passes the onset of snaking, {figures.words.force(push.snaking_onset)}, in a bend: "
                "it loses force and travel there. A stiffer core or a closer conduit mends it."
            )
        )
    if push.rod_buckling is None:
        return
    marginal, failing = limits.rod_safety
    folds = figures.words.force(push.rod_buckling)
    check = Check(
        code="rod-buckling",
        name="Exposed rod at full stroke: folding load over the push",
        where="exposed rod at full stroke",
        value=push.rod_safety,
        marginal=marginal,
        failing=failing,
        at_least=True,
        formula="Euler C·π²EI/L²; Johnson for short rods",
        source=f"Shigley, 9th ed., eqs. 4-43, 4-45, 4-46; limit: {PRACTICE}",
        detail=f"folds at {folds} ({figures.cable.rod_end})",
    )
    yield sure(
        check,
        replace(check, value=push.sure.rod_safety),
        lambda _: (
            f"The rod folds at {folds}, {push.rod_safety:.1f} times the push "
            "at the hand. Shorten what sticks out at full stroke, guide it, or use a thicker rod."
        ),
        added=push.through.stiffness,
        words=figures.words,
        of="the push",
    )
