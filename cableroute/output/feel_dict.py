"""The feel of a lever as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from cableroute.arrays import Array
from cableroute.figures.feel import CableFeel
from cableroute.mechanics.felt import FeelLoop
from cableroute.verdict.check import Verdict


def feel_dict(feel: CableFeel, *, verdict: Verdict) -> dict[str, Any]:
    """Return the feel of one cable as plain data."""
    cable, load = feel.figures.cable, feel.load
    return {
        "name": cable.name,
        "kind": cable.kind,
        "verdict": verdict,
        "friction": list(feel.figures.friction),
        "far_load": {
            "given": cable.resists is not None,
            "preload_n": load.preload,
            "rate_n_per_mm": load.rate,
            "friction_n": load.friction,
            "dead_n": load.dead,
        },
        "travel_mm": feel.travel,
        "arrives_mm_range": [arriving(loop) for loop in feel.loops],
        "stiffness_left_out_n": list(feel.stiffness) if feel.stiffness else None,
        "greatest_n_range": [loop.greatest for loop in feel.loops],
        "lost_turning_back_mm_range": [loop.lost[0] for loop in feel.loops],
        "lost_setting_out_mm_range": [loop.lost[1] for loop in feel.loops],
        "work_lost_mj_range": [loop.hysteresis for loop in feel.loops],
        "returns": feel.returns,
        "left_out_mm_range": list(feel.left_out) if feel.high.pull_only else None,
        "detents": list(_detents(feel)),
        "hand_travel_mm": _numbers(feel.high.hand_travel),
        "hand_force_n": _numbers(feel.high.hand_force),
        "far_travel_mm": _numbers(feel.high.far_travel),
        "low_friction": {
            "hand_force_n": _numbers(feel.low.hand_force),
            "far_travel_mm": _numbers(feel.low.far_travel),
        },
        "notes": list(feel.notes),
    }


def arriving(loop: FeelLoop) -> float:
    """Return how far the far end moves in a cycle."""
    low, high = loop.far_reach
    return high - low


def _detents(feel: CableFeel) -> Iterable[dict[str, Any]]:
    """Yield every detent; null where the far end does not get out of it."""
    for detent in feel.load.detents:
        felt = [
            next((each for each in loop.detents if each.at == detent.at), None)
            for loop in feel.loops
        ]
        yield {
            "at_mm": detent.at,
            "depth_n": detent.depth,
            "width_mm": detent.width,
            "felt_at_hand_mm_range": [each and each.hand for each in felt],
            "felt_n_range": [each and each.rise for each in felt],
            "snaps": any(each.snaps for each in felt if each),
        }


def _numbers(values: Array) -> list[float]:
    return [round(value, 6) + 0.0 for value in values.tolist()]
