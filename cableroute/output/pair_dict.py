"""What is peculiar to a pull pair as plain data, ready for JSON."""

from __future__ import annotations

from typing import Any

from cableroute.pairs import PairFigures


def pair_dict(pair: PairFigures) -> dict[str, Any]:
    """Return a pair's own figures, tensions at high friction.

    Parameters
    ----------
    pair : PairFigures
        What was worked out.

    Returns
    -------
    dict
        Preload, and force and tensions pulled out, back and without a load.
    """
    ways = {"out": pair.out, "back": pair.back, "empty": pair.empty}
    return {
        "preload_n": pair.preload,
        "least_preload_n": pair.least,
        "loose_mm": pair.loose,
        **{
            name: {
                "hand_n": float(way.hand[1]),
                "added_n": float(way.added[1]),
                "pulled_hand_n": float(way.pulled_hand[1]),
                "pulled_far_n": float(way.pulled_far[1]),
                "slack_hand_n": float(way.slack_hand[1]),
                "slack_far_n": float(way.slack_far[1]),
                "bracket_hand_n": float(way.bracket_hand[1]),
                "bracket_far_n": float(way.bracket_far[1]),
            }
            for name, way in ways.items()
        },
    }
