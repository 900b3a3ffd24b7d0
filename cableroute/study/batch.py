"""Figures of many machines at once, by the kernels and formulas of one."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.study.bearing import folds_of, return_of, wires_of
from cableroute.study.draw import BLOCK
from cableroute.study.drawn import Drawn, drawn
from cableroute.study.forces import Felt, pull_of, push_of
from cableroute.study.inputs import Doubts
from cableroute.study.lays import Lay
from cableroute.study.pairs import pair_of
from cableroute.study.travel import travel_of


def in_blocks(doubts: Doubts, lay: Lay, shares: Array) -> dict[str, Array]:
    """Return every figure of every row of shares, shape (n, inputs), block by block."""
    blocks = [
        figures_of(drawn(doubts, lay, shares[i : i + BLOCK])) for i in range(0, len(shares), BLOCK)
    ]
    return {key: np.concatenate([each[key] for each in blocks]) for key in blocks[0]}


def figures_of(machines: Drawn) -> dict[str, Array]:
    """Return the figures of each machine: forces [N], lengths and travel [mm], wrap [rad]."""
    if machines.figures.cable.kind == "pull-pair":
        pull, core, travel = pair_of(machines)
        push = None
    else:
        pull = core = pull_of(machines)
        push = push_of(machines)
        travel = {"far": machines.values["load"], **travel_of(machines, pull, push)}
    told = {**_of_the_run(machines), **_at_the_hand(pull, core), **travel}
    if push is not None:
        told |= {"push": push.hand, "push_bare": push.bare}
        told |= {"push_load": machines.values["push_load"]}
    told |= wires_of(machines, core, push)
    return told | folds_of(machines, push) | return_of(machines)


def _of_the_run(machines: Drawn) -> dict[str, Array]:
    order, values = machines.figures.order, machines.values
    with np.errstate(divide="ignore"):
        radius = 1.0 / machines.curvature
    return {
        "length": machines.length + order.slack + order.ends,
        "least": machines.tight + order.slack + order.ends,
        "wrap": machines.wrap,
        "radius": radius,
        "slack": machines.route.slacks.min(-1),
        "misfit": machines.route.misfits.any(-1).astype(np.float64),
        "stock": values["stock"],
        "load": values["load"],
    }


def _at_the_hand(pull: Felt, core: Felt) -> dict[str, Array]:
    """Force at the hand, by the bends alone, and tension of the core, which in a pair is another."""
    return {
        "pull": pull.hand,
        "by_bends": pull.bare - pull.drag,
        "tension_bare": core.bare,
    }
