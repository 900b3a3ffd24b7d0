"""Rules about what holds a cable: anchors, brackets, clips."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Finding, Level
from cableroute.verdict.holding import Anchor, Holding
from cableroute.verdict.limits import Limits

#: Where an anchor that lets go hurts someone.
_HURTS = ("brake", "steering", "throttle", "clutch")


def holding_findings(figures: Figures, holding: Holding, limits: Limits) -> Iterator[Finding]:
    """Yield what is the matter with anchors, brackets and clips.

    Parameters
    ----------
    figures : Figures
        What was worked out.
    holding : Holding
        What holds the cable.
    limits : Limits
        What to hold it against.

    Yields
    ------
    Finding
        None, one or more.
    """
    for anchor in holding.anchors:
        yield from _anchor(anchor, limits, hurts=figures.cable.controls in _HURTS)
    yield from _brackets(figures, holding, limits)
    yield from _clips(figures, holding)


def _anchor(anchor: Anchor, limits: Limits, *, hurts: bool) -> Iterator[Finding]:
    load = anchor.load.greatest
    if anchor.band is None or not isfinite(load):
        return
    low, high = anchor.band
    wanted = limits.anchor_safety * load
    bears = low if hurts else high  # of two tables, the lower where letting go hurts
    level: Level | None = "fail" if load > bears else "marginal" if low < wanted else None
    if level:
        held = f"{low:.0f} N" if round(low) == round(high) else f"{low:.0f} to {high:.0f} N"
        screws = ", or by set screws {}, {} of them".format(*anchor.screws) if anchor.screws else ""
        asks = "presses on" if anchor.load.pull >= anchor.load.push else "is drawn off"
        yield Finding(
            "anchor-holding",
            level,
            f"{anchor.load.end} anchor",
            f"The conduit {asks} it with {load:.0f} N; held by {anchor.how} it lets go at {held}, "
            f"and {limits.anchor_safety:g} times the load is wanted. Hold it by a shoulder or "
            f"nuts{screws}, and pull-test it.",
            value=bears if level == "fail" else low,
            limit=load if level == "fail" else wanted,
            unit="N",
        )


def _brackets(figures: Figures, holding: Holding, limits: Limits) -> Iterator[Finding]:
    gives = sum(anchor.bracket or 0.0 for anchor in holding.anchors)
    words = figures.words
    if not figures.travel or gives <= limits.bracket_share * figures.travel:
        return
    yield Finding(
        "bracket-gives",
        "marginal",
        "brackets",
        f"They give {words.fine(gives)} under the pull, out of {words.length(figures.travel)} travel. "
        "Brace them, or take plate of twice the thickness: eight times as stiff.",
        value=gives,
        limit=limits.bracket_share * figures.travel,
        unit="mm",
    )


def _clips(figures: Figures, holding: Holding) -> Iterator[Finding]:
    """Yield bends that nothing holds and clips too far apart; notes, as few files list every clip."""
    bare = holding.unclipped
    if len(bare):
        names = ", ".join(figures.corner_name(int(corner)) for corner in bare[:4])
        names += f" and {len(bare) - 4} more" if len(bare) > 4 else ""
        yield Finding(
            "bend-unclipped",
            "note",
            names,
            f"Nothing holds the conduit in the bend at {names}: left to itself it takes a shape of "
            "its own. Clip it on each side; the list of clips says where.",
            value=float(len(bare)),
            limit=0.0,
        )
    gaps = {two.at - one.at: (one, two) for one, two in holding.wide_gaps}
    apart = max(gaps, default=0.0)
    if apart > holding.spacing + figures.tolerance:
        widest, words = gaps[apart], figures.words
        yield Finding(
            "clip-spacing",
            "note",
            f"{widest[0].name} to {widest[1].name}",
            f"{words.length(apart)} without a clip from {widest[0].name} to {widest[1].name}; at most "
            f"{words.length(holding.spacing)} is usual. The list of clips says where to add some.",
            value=apart,
            limit=holding.spacing,
            unit="mm",
        )
