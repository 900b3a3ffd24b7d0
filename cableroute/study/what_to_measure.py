"""What to measure again first, and what it would gain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.study.draw import BLOCK
from cableroute.study.inputs import Input
from cableroute.study.model import Model
from cableroute.study.rules import RULES
from cableroute.study.sensitivity import Indices
from cableroute.study.tally import Rows

#: A rule that fails less often than this is no reason to measure again [-].
RARE = 0.001
#: Inputs tried by halving their doubt, those that decide most.
TRIED = 3
#: Rows that a gain is counted in at most.
ROWS = 4096
#: What helps to know an input better.
MEANS = {
    "friction": "hang a scale on it",
    "load": "weigh the load with a scale",
    "push_load": "weigh the load with a scale",
    "clearance": "measure bore and core",
    "stiffness": "let the core sag over an edge (cableroute calibrate has a sheet for it)",
    "shape": "clip it, or try how it lies",
    "stock": "measure the cable bought",
}


@frozen
class Advice:
    """One sentence of what to measure again, and the numbers in it.

    Parameters
    ----------
    key : str
        The input.
    text : str
        The sentence.
    rule : str
        The rule that it is for; empty where it is for a figure.
    before, after : float
        Chance of failing now, and with half the doubt; of a figure the share that the input decides
        twice [-].
    """

    key: str
    text: str
    rule: str
    before: float
    after: float


def advise(
    model: Model, fails: Mapping[str, int], first: Rows, n: int, indices: Mapping[str, Indices]
) -> Iterator[Advice]:
    """Yield what to measure again for the likeliest failure, else what decides the force."""
    worst = max(fails, key=lambda code: fails[code], default="")
    if worst and RARE <= fails[worst] / n < 1.0 and worst in indices:
        yield _for_rule(model, worst, indices[worst], first)
        return
    force = indices.get("pull")
    if force is not None:
        i = int(np.argmax(force.total[:, 0]))
        each, share = model.doubts.inputs[i], float(np.clip(force.total[i, 0], 0.0, 1.0))
        text = f"{_measure_again(each)}: {each.name} decides {100 * share:.0f} % of how the pull varies"
        yield Advice(each.key, text[0].upper() + text[1:] + ".", "", share, share)


def _for_rule(model: Model, code: str, index: Indices, first: Rows) -> Advice:
    """Halve the doubt of the inputs that decide most, and tell which gains most."""
    rows = first.shares[:ROWS]
    before = float((first.margins[code][:ROWS] < 0.0).mean())
    order = np.argsort(-index.total[:, 0])[:TRIED].tolist()
    inputs = model.doubts.inputs
    after = {i: _chance_if_halved(model, inputs[i], code, rows) for i in order}
    best = min(after, key=lambda i: after[i])
    if after[best] >= before:
        each = inputs[order[0]]
        text = (
            f"{_measure_again(each)}, but do not expect it to help: as read it is too near the "
            f"limit or beyond ({RULES[code]}: chance {_per_cent(before)})"
        )
        return Advice(each.key, text[0].upper() + text[1:] + ".", code, before, before)
    each, gained = inputs[best], after[best]
    text = (
        f"{_measure_again(each)}: with half the doubt of {each.name} the chance that {RULES[code]} falls "
        f"from {_per_cent(before)} to {_per_cent(gained)}"
    )
    return Advice(each.key, text[0].upper() + text[1:] + ".", code, before, gained)


def _chance_if_halved(model: Model, each: Input, code: str, rows: Array) -> float:
    halved = model.doubts.with_distribution(each.key, each.distribution.halved)
    other = Model(halved, model.lay, model.rules)
    hits = [
        int((other.judged(rows[i : i + BLOCK]).margins[code] < 0.0).sum())
        for i in range(0, len(rows), BLOCK)
    ]
    return sum(hits) / len(rows)


def _measure_again(each: Input) -> str:
    return MEANS.get(each.key, f"measure {each.name} again")


def _per_cent(share: float) -> str:
    return f"{100 * share:.2g} %"
