"""What is peculiar to a pull pair: its preload, the tauter core, the force the other way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cableroute.assess import CableAssessment
from cableroute.measure.wording import Words
from cableroute.table.figure import Figure, Group, Row
from cableroute.table.forces import hand_told

if TYPE_CHECKING:
    from cableroute.figures.pair import PairFigures
    from cableroute.mechanics.pull_pair import PullPair

PRELOAD: Figure[PairFigures] = Figure("preload_n", "preload", "N", lambda pair: pair.preload)
LEAST: Figure[PairFigures] = Figure("least_preload_n", "", "N", lambda pair: pair.least)
TENSION: Figure[PairFigures] = Figure(
    "tauter_core_n", "tauter core", "N", lambda pair: pair.tensions[1]
)

#: Tensions at high friction, as worked out without a measured drag.
_WAY: tuple[Figure[PullPair], ...] = (
    Figure("hand_n", "", "N", lambda way: float(way.hand[1])),
    Figure("added_n", "", "N", lambda way: float(way.added[1])),
    Figure("pulled_hand_n", "", "N", lambda way: float(way.pulled_hand[1])),
    Figure("pulled_far_n", "", "N", lambda way: float(way.pulled_far[1])),
    Figure("slack_hand_n", "", "N", lambda way: float(way.slack_hand[1])),
    Figure("slack_far_n", "", "N", lambda way: float(way.slack_far[1])),
    Figure("bracket_hand_n", "", "N", lambda way: float(way.bracket_hand[1])),
    Figure("bracket_far_n", "", "N", lambda way: float(way.bracket_far[1])),
)
_OUT: Group[PairFigures, PullPair] = Group("out", lambda pair: pair.out, _WAY)
_BACK: Group[PairFigures, PullPair] = Group("back", lambda pair: pair.back, _WAY)
_EMPTY: Group[PairFigures, PullPair] = Group("empty", lambda pair: pair.empty, _WAY)

PAIR: Group[CableAssessment, PairFigures] = Group(
    "pair",
    lambda cable: cable.pair,
    (
        PRELOAD,
        LEAST,
        Figure("loose_mm", "", "mm", lambda pair: pair.loose),
        TENSION,
        *(Figure(way.key, "", "", way.plain) for way in (_OUT, _BACK, _EMPTY)),
    ),
)


def _other_way(cable: CableAssessment, words: Words) -> str | None:
    return hand_told(cable.pair.ways[1], words) if cable.pair else None


def _tauter_core(cable: CableAssessment, words: Words) -> str | None:
    """Say what the core that carries more bears, which is what its working load is held against."""
    return f"{words.forces(*cable.pair.tensions)} at the hand, at most" if cable.pair else None


def _preload(cable: CableAssessment, words: Words) -> str | None:
    pair = cable.pair
    if pair is None:
        return None
    return f"{PRELOAD.told(pair, words)} in both cores; {LEAST.told(pair, words)} keep both taut"


def _buy(cable: CableAssessment, _: Words) -> str | None:
    return "two of that length, and two conduits to run" if cable.pair else None


PAIR_ROWS = (
    Row("other way", _other_way),
    Row("tauter core", _tauter_core),
    Row("preload", _preload),
    Row("buy", _buy),
)
