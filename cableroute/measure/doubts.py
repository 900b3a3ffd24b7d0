"""What a taped place or reading leaves in doubt, in words, with the distance that would settle it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from cableroute.arrays import Array
from cableroute.measure._blunder import Blunder, Candidate
from cableroute.measure.job import FAR_OUT, Remark
from cableroute.measure.locate import Located
from cableroute.measure.wording import Words
from cableroute.units import TOLERANCE_SDS

#: A node helps a doubtful place from this share of the way along the doubt on [-].
HELPS = 0.3


def poorly_held(located: Located, nodes: Mapping[str, Array], words: Words) -> str:
    """Say how well a taped point is known, and from which node to tape it besides."""
    ways = ("forward and aft", "left and right", "up and down")
    way = ways[int(np.argmax(np.abs(located.weak_direction)))]
    free = {name: at for name, at in nodes.items() if name not in located.readings.names}
    best = most_telling(located.point, located.weak_direction, free)
    tape = (
        f"Tape it from {best} too, about {words.length(float(np.linalg.norm(nodes[best] - located.point)))}."
        if best
        else "Tape it from one more node, off that way."
    )
    return (
        f"Its place is good to {words.length(2.0 * located.doubt)} only, {way}: the nodes it is "
        f"taped from are nearly in line, or in one plane with it. {tape}"
    )


def most_telling(point: Array, way: Array, nodes: Mapping[str, Array]) -> str | None:
    """Return the node from which a tape lies most along a doubt; None if none helps."""
    shares = {}
    for name, at in nodes.items():
        line = at - point
        length = float(np.linalg.norm(line))
        shares[name] = abs(float(line @ way)) / length if length > 0 else 0.0
    best = max(shares, key=lambda name: shares[name], default=None)
    return best if best is not None and shares[best] > HELPS else None


def odd_reading(blunder: Blunder, *, sigma: float, words: Words) -> Remark:
    """Say which reading the others contradict, or all that may be the wrong one."""
    tolerance = TOLERANCE_SDS * sigma
    if blunder.certain:
        text = (
            f"The tape reading {_name(blunder.node)}, {words.length(blunder.measured)}, does not agree "
            f"with the rest: {words.length(blunder.expected)} would.{_swapped(blunder.candidates[0], tolerance)} "
            "It was left out. Tape it again."
        )
        return Remark("tape-blunder", "", text, off=blunder.candidates[0].off)
    slips = [(_swapped(each, tolerance), each) for each in blunder.candidates]
    listed = "; ".join(
        f"{_name(each.node)} reads {words.length(each.measured)}, {words.length(each.expected)} "
        f"would agree{slip}"
        for slip, each in sorted(slips, key=lambda pair: not pair[0])
    )
    text = (
        "The tape readings do not agree, and are too few to tell which is wrong. One of these: "
        f"{listed}. Tape it again."
    )
    off = min(each.off for each in blunder.candidates)
    return Remark("tape-blunder", "", text, off=off, far=FAR_OUT * tolerance)


def _name(node: object) -> str:
    return " to ".join(map(str, node)) if isinstance(node, tuple) else str(node)


def _swapped(each: Candidate, tolerance: float) -> str:
    """Say where two neighbouring digits changed over, as 548 for 458, would explain a reading."""
    if abs(each.measured - round(each.measured)) > 1e-6:
        return ""  # read in inches, or finer than a mm: those digits are not the ones on the tape
    digits = f"{each.measured:.0f}"
    for i in range(len(digits) - 1):
        other = digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]
        if other != digits and abs(float(other) - each.expected) <= 2.0 * tolerance:
            return f" (two digits changed over? {other} for {digits})"
    return ""
