"""Checks of what holds a cable: anchors, brackets, clips."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from math import isfinite

from cableroute.figures.cable import Figures
from cableroute.figures.clips_and_anchors import Anchor, Holding
from cableroute.measure.wording import Words
from cableroute.verdict.check import PRACTICE, Check, finite
from cableroute.verdict.limits import Limits
from cableroute.verdict.stiffness import sure

#: Where an anchor that lets go hurts someone.
_HURTS = ("brake", "steering", "throttle", "clutch")
_SCREWS = "screws: two tables that disagree two- to threefold, the lower taken"


def holding_checks(figures: Figures, holding: Holding, limits: Limits) -> Iterator[Check]:
    """Yield what anchors carry, how far brackets give, and which bends and lengths have no clip."""
    for anchor in holding.anchors:
        yield from _anchor(anchor, limits, figures.words, hurts=figures.cable.controls in _HURTS)
    yield from _brackets(figures, holding, limits)
    yield _unclipped(figures, holding)
    yield _spacing(figures, holding)


def _anchor(anchor: Anchor, limits: Limits, words: Words, *, hurts: bool) -> Iterator[Check]:
    load = anchor.load
    drawn = f", drawn off by {words.force(load.push)} pushing" if load.push else ""
    screws = (
        "; set screws {} that hold twice that: {}".format(*anchor.screws) if anchor.screws else ""
    )
    yield Check(
        code="anchor-load",
        name=f"Load on the {load.end} anchor",
        where=f"{load.end} anchor",
        value=finite(load.pull),
        unit="N",
        formula="the core's force at that end, the other way",
        source=f"statics; {_SCREWS}" if screws else "statics",
        detail=f"pressed out of the run pulling{drawn}{screws}",
    )
    if anchor.band is None or not isfinite(load.greatest):
        return
    low, high = anchor.band
    bears = low if hurts else high  # of two tables, the lower where letting go hurts
    wanted = limits.anchor_safety * load.greatest
    held = words.forces(low, high)
    asks = "presses on" if load.pull >= load.push else "is drawn off"
    mend = ", or by set screws {}, {} of them".format(*anchor.screws) if anchor.screws else ""
    check = Check(
        code="anchor-holding",
        name=f"Holding of the {load.end} anchor",
        where=f"{load.end} anchor",
        value=bears,
        marginal=wanted * bears / low if low else wanted,
        failing=load.greatest,
        at_least=True,
        unit="N",
        formula=f"force at which it lets go, {'low' if hurts else 'high'} end; "
        f"{limits.anchor_safety:g} times the load wanted of the low end",
        source=f"{_SCREWS}; factor: {PRACTICE}",
        detail=f"{anchor.how}, {held}",
    )
    less = anchor.sure / load.greatest if load.greatest else 1.0
    without = replace(check, marginal=less * (check.marginal or 0.0), failing=anchor.sure)
    yield sure(
        check,
        without,
        lambda _: (
            f"The conduit {asks} it with {words.force(load.greatest)}; held by {anchor.how} it lets go "
            f"at {held}, and {limits.anchor_safety:g} times the load is wanted. Hold it by a shoulder or "
            f"nuts{mend}, and pull-test it."
        ),
        added=load.greatest - anchor.sure,
        words=words,
        of="that load",
    )


def _brackets(figures: Figures, holding: Holding, limits: Limits) -> Iterator[Check]:
    known = [anchor.bracket for anchor in holding.anchors if anchor.bracket is not None]
    words, travel = figures.words, figures.travel
    if not known or not travel:
        return
    yield Check(
        code="bracket-gives",
        name="Brackets give under the pull",
        where="brackets",
        value=sum(known),
        marginal=limits.bracket_share * travel,
        unit="mm",
        formula="F/k; of a plate, k = E·b·t³/(4L³)",
        source="cantilever, any table of beams (from memory); limit: our own choice",
    ).saying(
        lambda c: (
            f"They give {words.fine(c.value or 0.0)} under the pull, out of "
            f"{words.length(travel)} travel. Brace them, or take plate of twice the thickness: eight "
            "times as stiff."
        )
    )


def _unclipped(figures: Figures, holding: Holding) -> Check:
    """Count bends that nothing holds; a note, as few files list every clip."""
    bare = holding.unclipped
    names = ", ".join(figures.corner_name(int(corner)) for corner in bare[:4])
    names += f" and {len(bare) - 4} more" if len(bare) > 4 else ""
    return Check(
        code="bend-unclipped",
        name="Bends without a clip",
        where=names or "whole run",
        value=float(len(bare)),
        noting=0.0,
        formula="no anchor or clip in the bend or close to it",
        source=PRACTICE,
    ).saying(
        lambda _: (
            f"Nothing holds the conduit in the bend at {names}: left to itself it takes a "
            "shape of its own. Clip it on each side; the list of clips says where."
        )
    )


def _spacing(figures: Figures, holding: Holding) -> Check:
    own = [clip for clip in holding.clips if clip.kind != "suggested"]
    one, two = max(pairwise(own), key=lambda pair: pair[1].at - pair[0].at)
    words, place = figures.words, f"{one.name} to {two.name}"
    why = "is usual"
    if holding.spacing == holding.keeps_travel:
        why = "keeps what the conduit eats of the travel, moving in its bends, within 5 %"
    return Check(
        code="clip-spacing",
        name="Clips apart",
        where=place,
        value=two.at - one.at,
        noting=holding.let_pass,
        unit="mm",
        formula="(384·EI·f/w)^¼ for a sag of 5 mm, at most 24 in, and no wider than where the conduit "
        "eats 5 % of the travel, where that is no closer than clips are set; + the tape's tolerance",
        source="table of beams (from memory); AC 43.13-1B para. 11-96a, for wiring; travel: own "
        "derivation",
    ).saying(
        lambda c: (
            f"{words.length(c.value or 0.0)} without a clip from {place}; at most "
            f"{words.length(holding.spacing)} {why}. The list of clips says where to add some."
        )
    )
