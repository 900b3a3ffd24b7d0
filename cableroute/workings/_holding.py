"""What holds one cable: clips along the run, and the anchors at its ends."""

from __future__ import annotations

from math import isfinite

import numpy as np

from cableroute.measure.load_models import AnchorEntry, AnchorsEntry, BracketEntry
from cableroute.measure.wording import Words
from cableroute.mechanics.anchors import (
    AnchorLoad,
    anchor_loads,
    bracket_stiffness,
    bracket_travel,
)
from cableroute.mechanics.clip_places import clip_list, unclipped_bends
from cableroute.mechanics.clip_spacing import WIRING_SPACING, widest_spacing
from cableroute.mechanics.holding import (
    bolt_tension_from_torque,
    bulkhead_holding,
    clamp_holding,
    set_screw_holding,
    set_screws_needed,
)
from cableroute.route.pieces import Array
from cableroute.units import MM_PER_UNIT
from cableroute.verdict.figures import Figures, Transmission
from cableroute.verdict.holding import Anchor, Holding
from cableroute.workings._forces import pulls_along, pushes_along

#: Height of a nut over its thread's diameter where it is not given: a thin lock nut; from memory
#: (ISO 4035) [-].
THIN_NUT = 0.5
#: Set screw whose number is told where the file names none; our own choice.
USUAL_SCREW = "M5"
#: Millimetres in a metre, for torques in N m and weights in N/m.
PER_METRE = float(MM_PER_UNIT["m"])


def holding_of(figures: Figures) -> Holding:
    """List the clips of a cable, and hold its anchors' loads against what they bear."""
    cable, route, family = figures.cable, figures.route, figures.cable.family
    push = figures.push.through if figures.push else None
    loads = anchor_loads(
        hand_pull=figures.pull.inputs[1],
        far_pull=figures.pull.load,
        hand_push=push.inputs[1] if push else 0.0,
        far_push=push.load if push else 0.0,
    )
    stiffness = family.conduit_stiffness if family else None
    spacing = WIRING_SPACING
    if family and stiffness and family.weight_n_per_m:
        weight = family.weight_n_per_m / PER_METRE
        spacing = float(widest_spacing(conduit_stiffness=stiffness, weight=weight))
    pulls, pushes = _at_corners(figures)
    clips = clip_list(
        route,
        ends=loads,
        pull=pulls,
        push=pushes,
        spacing=spacing,
        fixes=cable.fixes,
        names=[cable.point_name(i) for i in range(len(cable.points))],
        conduit_stiffness=stiffness + figures.core.bending_stiffness
        if stiffness and figures.core
        else stiffness,
    )
    ends = cable.anchors
    return Holding(
        clips=clips,
        unclipped=unclipped_bends(route, fixes=cable.fixes),
        spacing=spacing,
        anchors=(
            _anchor(loads[0], ends.hand if ends else None, figures.words),
            _anchor(loads[1], ends.far if ends else None, figures.words),
        ),
    )


def brackets_give(anchors: AnchorsEntry | None, pull: Transmission) -> float | None:
    """Travel that the brackets swallow under the pull; None where none is known [mm]."""
    if anchors is None:
        return None
    ends = ((anchors.hand, pull.inputs[1]), (anchors.far, pull.load))
    gives = [_gives(end, force) for end, force in ends]
    known = [give for give in gives if give is not None]
    return sum(known) if known else None


def _gives(entry: AnchorEntry | None, pull: float) -> float | None:
    """How far one bracket gives [mm]."""
    if entry is None or entry.bracket is None or not isfinite(pull):
        return None
    return float(bracket_travel(pull, stiffness=stiffness_of(entry.bracket)))


def _at_corners(figures: Figures) -> tuple[Array, Array]:
    """Pull and push on the core at the hand side of each bend, at high friction."""
    friction, drag = figures.friction[1], figures.pull.drag
    pulls = _pulls(figures) + drag
    if figures.push is None:
        return pulls, np.zeros_like(pulls)
    pushes = pushes_along(
        figures.cable,
        figures.route,
        figures.core,
        load=figures.push.through.load,
        friction=friction,
    )[1:-1:2]
    # where it locks up no force is defined, and the verdict says so
    return pulls, np.where(np.isfinite(pushes), pushes, 0.0) + drag


def _pulls(figures: Figures) -> Array:
    """Pull at the hand side of each bend, drag left out; infinite where it has no bounds."""
    pulls = pulls_along(
        figures.route, figures.core, load=figures.pull.load, friction=figures.friction[1]
    )
    return pulls[1:-1:2]


def _anchor(load: AnchorLoad, entry: AnchorEntry | None, words: Words) -> Anchor:
    size = entry.screws.size if entry and entry.screws else USUAL_SCREW
    screws = None
    if np.isfinite(load.greatest):
        screws = (size, set_screws_needed(load.greatest, size=size))
    if entry is None:
        return Anchor(load, screws=screws)
    how, band = _hold(entry, words)
    return Anchor(load, how, band, _gives(entry, load.pull), screws)


def _hold(entry: AnchorEntry, words: Words) -> tuple[str, tuple[float, float] | None]:
    """Return what holds an end, in words, and the force at which it lets go."""
    if screws := entry.screws:
        band = set_screw_holding(screws.size, count=screws.count, on=screws.on)
        screw = "set screw" if screws.count == 1 else "set screws"
        place = "in a groove" if screws.on == "groove" else "on a smooth sleeve"
        return f"{screws.count} {screw} {screws.size} {place}", band
    if clamp := entry.clamp:
        tension = clamp.tension
        if tension is None:
            torque, diameter = (clamp.torque or 0.0) * PER_METRE, clamp.diameter or 0.0
            tension = float(bolt_tension_from_torque(torque, diameter=diameter))
        held = float(clamp_holding(tension, friction=clamp.friction, bolts=clamp.bolts))
        bolts = "1 bolt" if clamp.bolts == 1 else f"{clamp.bolts} bolts"
        return f"a clamp of {bolts} at {tension:.0f} N", (held, held)
    if bulkhead := entry.bulkhead:
        held = float(
            bulkhead_holding(
                bulkhead.diameter,
                pitch=bulkhead.pitch,
                yield_strength=bulkhead.strength,
                nut=bulkhead.nut or THIN_NUT * bulkhead.diameter,
            )
        )
        across = words.plain(bulkhead.diameter).removesuffix(" mm")
        thread = f"{across} x {words.plain(bulkhead.pitch)}"
        return f"a thread of {thread} and nuts", (held, held)
    return "", None


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
