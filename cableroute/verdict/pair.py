"""Checks of a pull pair: what the hand feels with both cores, and what the tauter core bears."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cableroute.figures.cable import Figures
from cableroute.figures.clips_and_anchors import Holding
from cableroute.figures.lasting import Lasting
from cableroute.figures.pair import RESERVE, PairFigures, as_felt, one_core
from cableroute.verdict.check import OWN, Check
from cableroute.verdict.force import pull_at_hand
from cableroute.verdict.holding import holding_checks
from cableroute.verdict.judge import doubt_checks, run_checks
from cableroute.verdict.lasting import lasting_checks
from cableroute.verdict.limits import Limits


def pair_checks(
    figures: Figures, pair: PairFigures, *, limits: Limits, holding: Holding, lasting: Lasting
) -> Iterator[Check]:
    """Yield every check of a pull pair."""
    taut = one_core(figures, pair)
    for check in run_checks(as_felt(figures, pair), limits):
        if check.code != "working-load-pull":
            yield check
            continue
        # the hand feels both cores; the working load is that of the tauter one alone
        yield replace(_without_limits(check), code="hand-pull")
        bears = pull_at_hand(taut, limits, reaching="The tauter core bears at the hand up to")
        yield replace(bears, name="Tension of the tauter core at the hand")
    yield from holding_checks(taut, holding, limits)
    yield from lasting_checks(taut, lasting, limits)
    yield _slack(figures, pair)
    yield from doubt_checks(as_felt(figures, pair), limits)


def _without_limits(check: Check) -> Check:
    return replace(check, marginal=None, failing=None, message="")


def _slack(figures: Figures, pair: PairFigures) -> Check:
    loose = f", by {figures.words.fine(pair.loose)}" if pair.loose else ""
    return Check(
        code="pair-slack",
        name="Preload of both cores",
        where="slack side",
        value=pair.preload,
        marginal=pair.least,
        at_least=True,
        unit="N",
        formula="P ≥ (W·I₊ + D·(I₊ + I₋))/(2L)",
        source=f"{OWN}, from capstan and equal stretch",
        detail="" if figures.cable.drag is not None else "no drag is measured, and none in it",
    ).saying(
        lambda _: (
            f"Under load the slack core goes loose{loose}: it may jump off its drum or out of "
            f"its end, and the pair is half as stiff. Set a preload of {figures.words.force(RESERVE * pair.least)}, "
            f"{RESERVE:g} times the {figures.words.force(pair.least)} that just keep both taut."
        )
    )
