"""What holds one cable: clips along the run, and the anchors at its ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.figures.cable import Figures
from cableroute.figures.travel import PER_METRE, gives
from cableroute.frozen import frozen
from cableroute.measure.wording import Words
from cableroute.mechanics.anchors import (
    AnchorLoad,
    anchor_loads,
)
from cableroute.mechanics.clip_places import Clip, clip_list, unclipped_bends
from cableroute.mechanics.clip_spacing import WIRING_SPACING, widest_spacing
from cableroute.mechanics.conduit_shift import spacing_for_travel
from cableroute.mechanics.end_fixings import (
    bolt_tension_from_torque,
    bulkhead_holding,
    clamp_holding,
    set_screw_holding,
    set_screws_needed,
)

if TYPE_CHECKING:
    from cableroute.measure.load_models import AnchorEntry

#: Height of a nut over its thread's diameter where it is not given: a thin lock nut; from memory
#: (ISO 4035) [-].
THIN_NUT = 0.5


#: Share of the travel that a conduit moving between its clips may eat; our own choice [-].
SHARE_EATEN = 0.05
#: Nobody sets clips closer than this: where the travel would ask for it, they are no remedy, and the
#: lost motion says what is; our own choice [mm].
LEAST_SPACING = 100.0

#: Set screw whose number is told where the file names none; our own choice.
USUAL_SCREW = "M5"
#: Nobody sets more of them in one end: a force that asks for more is told by other findings; our own
#: choice [-].
MOST_SCREWS = 12


@frozen
class Anchor:
    """What one end of the conduit carries, and what holds it.

    Parameters
    ----------
    load : AnchorLoad
        What the conduit asks of it, at high friction.
    sure : float
        The greatest of that without what the core's stiffness adds [N].
    how : str
        What holds it, in words; empty where that is not said.
    band : tuple of float or None
        Low and high of the force at which it lets go, no safety factor in them; None where what
        holds it is not said [N].
    bracket : float or None
        How far its bracket gives under the pull; None where the bracket is not known [mm].
    screws : tuple of (str, int) or None
        Size of set screw, and how many of them hold twice the load by the lower of two tables; None
        where the load has no bounds, or asks for more than are ever set [-].
    """

    load: AnchorLoad
    sure: float
    how: str = ""
    band: tuple[float, float] | None = None
    bracket: float | None = None
    screws: tuple[str, int] | None = None

    @property
    def safety(self) -> float | None:
        """Low end of the holding over the load; None where either is not known [-]."""
        greatest = self.load.greatest
        if self.band is None or not np.isfinite(greatest):
            return None
        return self.band[0] / greatest if greatest > 0.0 else float("inf")


@frozen(eq=False)
class Holding:
    """What holds a cable along its run and at its ends.

    Parameters
    ----------
    clips : tuple of Clip
        Anchors, the user's clips and the clips still wanted, from the hand end.
    unclipped : ndarray of int
        Corners of the bends that nothing holds [-].
    spacing : float
        Widest spacing of clips, by sag and by the travel that the conduit eats [mm].
    let_pass : float
        The same with the tape's tolerance: no clip is asked for below it [mm].
    anchors : tuple of Anchor
        That of the hand end and that of the far end.
    keeps_travel : float
        Spacing at which a conduit that moves eats its share of the travel; infinite where none does
        [mm].
    """

    clips: tuple[Clip, ...]
    unclipped: IntArray
    spacing: float
    let_pass: float
    anchors: tuple[Anchor, Anchor]
    keeps_travel: float = float("inf")


def holding_of(figures: Figures) -> Holding:
    """List the clips of a cable, and hold its anchors' loads against what they bear."""
    cable, route, family = figures.cable, figures.route, figures.cable.family
    loads = _loads(figures)
    sure = [each.greatest for each in (_loads(figures.sure) if figures.stiffens else loads)]
    stiffness = family.conduit_stiffness if family else None
    spacing = WIRING_SPACING
    if family and stiffness and family.weight_n_per_m:
        weight = family.weight_n_per_m / PER_METRE
        spacing = float(widest_spacing(conduit_stiffness=stiffness, weight=weight))
    keeps = _keeps_travel(figures)
    spacing = min(spacing, keeps) if keeps >= LEAST_SPACING else spacing
    let_pass = spacing * (1.0 + 1e-9) + figures.tolerance
    pulls, pushes = _at_corners(figures)
    clips = clip_list(
        route,
        ends=loads,
        pull=pulls,
        push=pushes,
        spacing=let_pass,
        fixes=cable.fixes,
        names=[cable.point_name(i) for i in range(len(cable.points))],
        conduit_stiffness=_springing_back(figures),
    )
    ends = cable.anchors
    return Holding(
        clips=clips,
        unclipped=unclipped_bends(route, fixes=cable.fixes),
        spacing=spacing,
        let_pass=let_pass,
        anchors=(
            _anchor(loads[0], sure[0], ends.hand if ends else None, figures.words),
            _anchor(loads[1], sure[1], ends.far if ends else None, figures.words),
        ),
        keeps_travel=keeps,
    )


def _loads(figures: Figures) -> tuple[AnchorLoad, AnchorLoad]:
    """Return what the conduit asks of its two anchors, at high friction."""
    push = figures.push.through if figures.push else None
    return anchor_loads(
        hand_pull=figures.pull.inputs[1],
        far_pull=figures.pull.load,
        hand_push=push.inputs[1] if push else 0.0,
        far_push=push.load if push else 0.0,
    )


def _keeps_travel(figures: Figures) -> float:
    """Spacing of clips that keeps what a moving conduit eats within its share of the travel [mm].

    Only of a conduit whose axial stiffness is known: of any other there is a bound that says nothing.
    """
    family, travel = figures.cable.family, figures.travel
    if family is None or not (travel and family.conduit_axial and family.conduit_stiffness):
        return float("inf")
    ends = family.conduit_stiffness_range or (family.conduit_stiffness,)
    return float(
        spacing_for_travel(
            figures.route,
            load=figures.pull.load,
            friction=figures.apparent_friction[1],
            travel=SHARE_EATEN * travel,
            clearance=family.clearance,
            conduit_stiffness=min(ends),
            conduit_axial=family.conduit_axial,
        )
    )


def _springing_back(figures: Figures) -> float | None:
    """Bending stiffness with which a bend springs back, its stiff end: conduit and core [N*mm^2]."""
    family = figures.cable.family
    if family is None or family.conduit_stiffness is None:
        return None
    ends = family.conduit_stiffness_range or (family.conduit_stiffness,)
    return max(ends) + (figures.core.locked_stiffness if figures.core else 0.0)


def _at_corners(figures: Figures) -> tuple[Array, Array]:
    """Pull and push on the core at the hand side of each bend, at high friction."""
    pulls = figures.pulls[1, 1:-1:2]
    pushes = np.zeros_like(pulls)
    if figures.pushes is not None:
        pushes = figures.pushes[1, 1:-1:2]
        # where it locks up no force is defined, and the verdict says so
        held = figures.push.through.held[1] if figures.push else 0.0
        pushes = np.where(np.isfinite(pushes), pushes, 0.0) + held
    return pulls + figures.pull.held[1], pushes


def _anchor(load: AnchorLoad, sure: float, entry: AnchorEntry | None, words: Words) -> Anchor:
    size = entry.set_screws.size if entry and entry.set_screws else USUAL_SCREW
    count = set_screws_needed(load.greatest, size=size) if np.isfinite(load.greatest) else None
    screws = (size, count) if count is not None and count <= MOST_SCREWS else None
    if entry is None:
        return Anchor(load, sure, screws=screws)
    how, band = _hold(entry, words)
    return Anchor(load, sure, how, band, gives(entry, load.pull), screws)


def _hold(entry: AnchorEntry, words: Words) -> tuple[str, tuple[float, float] | None]:
    """Return what holds an end, in words, and the force at which it lets go."""
    if screws := entry.set_screws:
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
        return f"a clamp of {bolts} at {words.force(tension)}", (held, held)
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
