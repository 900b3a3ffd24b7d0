"""Travel of one cable: what is needed, what the far end resists with, what is lost on the way."""

from __future__ import annotations

from dataclasses import replace
from math import isfinite
from typing import TYPE_CHECKING

import numpy as np

from cableroute.hardware.family import Family
from cableroute.measure.job import Cable
from cableroute.mechanics.anchors import (
    bracket_stiffness,
    bracket_travel,
)
from cableroute.mechanics.conduit_shift import conduit_shift
from cableroute.mechanics.far_load import Detent, FarLoad
from cableroute.mechanics.lost_motion import (
    LostMotion,
    clearance_travel,
    lost_motion,
    worn_clearance,
)
from cableroute.mechanics.push_travel import PushTravel, push_travel
from cableroute.route.pieces import Route
from cableroute.units import MM_PER_UNIT

if TYPE_CHECKING:
    from cableroute.figures.forces import Run
    from cableroute.figures.transmission import Transmission
    from cableroute.measure.load_models import AnchorEntry, AnchorsEntry, BracketEntry, ResistsEntry
    from cableroute.measure.wording import Words

#: Spacing of clips where it makes no difference: an unbroken conduit that curls [mm].
ANY_SPACING = 300.0
#: Millimetres in a metre, for torques in N m and weights in N/m.
PER_METRE = float(MM_PER_UNIT["m"])


def travel_of(cable: Cable) -> float | None:
    """Return the travel needed, or else the cable's stroke [mm]."""
    return cable.travel or (cable.family.stroke if cable.family else None)


def travel_assumed(cable: Cable, words: Words) -> tuple[str, ...]:
    """Say that the cable's stroke stands for a travel that is not given, where it does."""
    stroke = None if cable.travel else travel_of(cable)
    if stroke is None:
        return ()
    return (f"no travel is given: the cable's stroke, {words.length(stroke)}, is taken for it",)


def reach_of(cable: Cable) -> float:
    """Return how far the far end goes from rest; of what works both ways, half the travel [mm]."""
    return (travel_of(cable) or 0.0) * (1.0 if cable.kind == "pull" else 0.5)


def far_load(entry: ResistsEntry) -> FarLoad:
    """Return what the far end resists with, as the mechanics take it."""
    return FarLoad(
        preload=entry.preload,
        rate=entry.spring,
        friction=entry.friction,
        dead=entry.dead,
        detents=tuple(Detent(each.at, each.depth, each.width) for each in entry.detents),
    )


def travel_lost(
    run: Run,
    *,
    pull: Transmission,
    pushed: PushTravel | None,
    push: Transmission | None,
) -> LostMotion | None:
    """Work out lost motion; a cable that only pulls never crosses its clearance."""
    cable, family, core = run.cable, run.cable.family, run.core
    if core is None or family is None or not isfinite(pull.inputs[1]):
        return None
    lost = lost_motion(
        run.shapes.tight,
        load=pull.load,
        friction=run.apparent[1],
        clearance=0.0,
        axial_stiffness=core.axial_stiffness,
        conduit_stiffness=family.conduit_axial,
    )
    crossing = worn = 0.0
    if cable.kind == "push-pull":
        wear = clearance_travel(run.shapes.wraps[1], clearance=worn_clearance(family.clearance))
        crossing, worn = float(wear[0]), float(wear[1] - wear[0])
    other = None
    if pushed and push:
        given = brackets_give(cable.anchors, hand=push.inputs[1], far=push.load) or 0.0
        other = float(pushed.total) + given
    return replace(
        lost,
        clearance=crossing,
        bracket=brackets_give(cable.anchors, hand=pull.inputs[1], far=pull.load),
        other_way=other if other is not None and isfinite(other) else None,
        shift=conduit_curls(
            family,
            run.shapes.tight,
            loads=(pull.load, push.load if push else 0.0),
            friction=run.apparent[1],
        ),
        worn=worn,
    )


def conduit_curls(
    family: Family, route: Route, *, loads: tuple[float, float], friction: float
) -> tuple[float, float] | None:
    """Travel that conduits eat by curling, new and stiff to worn and slack, both ways [mm]."""
    if family.conduit_stiffness is None:
        return None
    slack, stiff = family.conduit_stiffness_range or (family.conduit_stiffness,) * 2
    new, worn = worn_clearance(family.clearance).tolist()

    def curls(stiffness: float, clearance: float) -> float:
        shifts = conduit_shift(
            route,
            load=np.array(loads),
            friction=friction,
            clip_spacing=ANY_SPACING,
            clearance=clearance,
            conduit_stiffness=stiffness,
        )
        return float(shifts.eccentric.sum())

    return curls(stiff, new), curls(slack, worn)


def push_travel_lost(run: Run, *, load: float) -> PushTravel | None:
    """Work out what pushing loses to core and conduit."""
    cable, family, core = run.cable, run.cable.family, run.core
    if core is None or family is None or cable.kind != "push-pull":
        return None
    return push_travel(
        run.shapes.tight,
        load=load,
        friction=run.apparent[1],
        bending_stiffness=core.bending_stiffness,
        axial_stiffness=core.axial_stiffness,
        clearance=family.clearance,
        conduit_stiffness=family.conduit_axial,
    )


def brackets_give(anchors: AnchorsEntry | None, *, hand: float, far: float) -> float | None:
    """Travel that the brackets swallow under the pull; None where none is known [mm]."""
    if anchors is None:
        return None
    ends = ((anchors.hand, hand), (anchors.far, far))
    known = [give for end, force in ends if (give := gives(end, force)) is not None]
    return sum(known) if known else None


def gives(entry: AnchorEntry | None, pull: float) -> float | None:
    """How far one bracket gives [mm]."""
    if entry is None or entry.bracket is None or not isfinite(pull):
        return None
    return float(bracket_travel(pull, stiffness=stiffness_of(entry.bracket)))


def stiffness_of(bracket: BracketEntry) -> float:
    """Return the stiffness of a bracket, as measured or of its plate [N/mm]."""
    if bracket.stiffness is not None:
        return bracket.stiffness
    return float(
        bracket_stiffness(
            length=bracket.length or 0.0,
            width=bracket.width or 0.0,
            thickness=bracket.thickness or 0.0,
            modulus=bracket.modulus,
        )
    )
