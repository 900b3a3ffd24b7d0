"""Figures of many pull pairs at once: both cores for the hand, the tauter one for wires and anchors."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.forces import core_weight
from cableroute.figures.pair import RESERVE, least_of
from cableroute.mechanics._pair_sums import slack_tension, sums
from cableroute.mechanics.lost_motion import compliances
from cableroute.mechanics.pull import pull_forces
from cableroute.mechanics.pull_pair import pull_pair
from cableroute.study.drawn import Drawn
from cableroute.study.forces import Felt, added_to
from cableroute.study.travel import arriving, curls


def preload_of(machines: Drawn) -> float:
    """Return the tension of both cores as assembled: as given, or the one advised as read [N]."""
    figures = machines.figures
    if figures.cable.preload is not None:
        return figures.cable.preload
    return RESERVE * least_of(figures)


def pair_of(machines: Drawn) -> tuple[Felt, Felt, dict[str, Array]]:
    """Return what the hand feels, the tension of the tauter core, and the travel of each pair."""
    preload = preload_of(machines)
    loads = machines.values["load"], machines.values["push_load"]
    ways = [
        pull_pair(machines.route, load=load, friction=machines.apparent, preload=preload)
        for load in loads
    ]
    drag = machines.figures.cable.drag or 0.0
    stiff = [[added_to(machines, load, pushing=False) for load in way.drawn] for way in ways]
    bare = [way.dragging(drag) for way in ways]
    full = [
        way.dragging(drag, pulled=pulled, slack=slack)
        for way, (pulled, slack) in zip(ways, stiff, strict=True)
    ]
    hand = full[0][0]
    felt = Felt(hand, hand - bare[0][0], 2.0 * drag, ways[0].hand[:, None])
    taut, without, by_bends = (
        np.maximum(*each)
        for each in (
            [way[1] for way in full],
            [way[1] for way in bare],
            [way.pulled_hand for way in ways],
        )
    )
    along = pull_forces(
        machines.route,
        load=np.maximum(ways[0].pulled_far, ways[1].pulled_far),
        friction=machines.apparent,
        weight=core_weight(machines.figures.core),
    )
    tension = Felt(taut, taut - without, without - by_bends, np.maximum(along, 0.0))
    far = np.maximum(bare[0][2], bare[1][2])
    return felt, tension, {"far": far, **_travel(machines, preload)}


def _travel(machines: Drawn, preload: float) -> dict[str, Array]:
    """Travel that each pair loses, both ways, and that arrives."""
    core, family = machines.figures.core, machines.figures.cable.family
    if core is None or family is None:
        return {}
    each = sum(compliances(core.axial_stiffness, conduit_stiffness=family.conduit_axial))
    rising, falling = sums(machines.route, machines.apparent)
    assembled = preload * np.asarray(machines.route.length)
    lost = np.zeros_like(assembled)
    for key in ("load", "push_load"):
        load = machines.values[key]
        taut = load + slack_tension(load, assembled, pulled=rising, paying=falling)
        lost = lost + (taut * rising - assembled) * each
    loads = machines.values["load"] + machines.values["push_load"]
    return arriving(machines, lost + curls(machines, loads))
