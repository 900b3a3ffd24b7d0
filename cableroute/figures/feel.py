"""The feel of one cable's lever, at low and at high friction."""

from __future__ import annotations

from cableroute.errors import CableRouteError
from cableroute.figures.cable import Figures
from cableroute.figures.travel import far_load, stiffness_of, travel_assumed
from cableroute.frozen import frozen
from cableroute.mechanics.far_load import FarLoad
from cableroute.mechanics.feel import feel_loop
from cableroute.mechanics.felt import AT_REST, FeelLoop


@frozen(eq=False)
class CableFeel:
    """What the hand feels of one cable over a full cycle.

    Parameters
    ----------
    figures : Figures
        The cable's figures.
    load : FarLoad
        What the far end resists with.
    travel : float
        Travel of the hand [mm].
    low, high : FeelLoop
        The cycle at low and at high friction.
    """

    figures: Figures
    load: FarLoad
    travel: float
    low: FeelLoop
    high: FeelLoop

    @property
    def loops(self) -> tuple[FeelLoop, FeelLoop]:
        """At low and at high friction."""
        return self.low, self.high

    @property
    def left_out(self) -> tuple[float, float]:
        """Where the far end stays when the hand lets go, at low and at high friction [mm]."""
        low, high = (loop.left_at(self.figures.cable.hand_resists) for loop in self.loops)
        return low, high

    @property
    def returns(self) -> bool:
        """Whether the far end comes back by itself at high friction; true of what is pushed back."""
        return not self.high.pull_only or self.left_out[1] <= AT_REST * self.high.far_reach[1]

    @property
    def stiffness(self) -> tuple[float, float] | None:
        """The most that the core's stiffness may add at the hand, under the load and without one [N].

        The cycle leaves it out; None where a measured drag has it in it.
        """
        figures = self.figures
        if figures.cable.drag is not None or figures.drag_estimate is None:
            return None
        return figures.pull.stiffness, figures.drag_estimate

    @property
    def stiffness_words(self) -> str:
        """Say what of it is left out, or nothing."""
        if self.stiffness is None:
            return ""
        loaded, unloaded = (self.figures.words.force(each) for each in self.stiffness)
        return f"left out: up to {loaded} by the core's stiffness under the load, {unloaded} without one"

    @property
    def notes(self) -> tuple[str, ...]:
        """What the cycle rests on, and where it is no longer true."""
        cable, push, words = self.figures.cable, self.figures.push, self.figures.words
        notes = list(travel_assumed(cable, words))
        if cable.resists is None:
            notes.append(
                "a load that never changes is taken; a table resists says spring, friction, detents"
            )
        if cable.drag is None:
            said = f"; {self.stiffness_words}" if self.stiffness_words else ""
            notes.append(
                f"no drag is given: the lever with no load on it is heavier than this{said}. Measure it with "
                "nothing attached"
            )
        if cable.kind == "pull-pair":
            notes.append("one cable pulls each way, both alike and without pretension")
        pushed = -float(self.high.hand_force.min())
        if push is not None and pushed > push.snaking_onset:
            notes.append(
                f"pushed with {words.force(pushed)} the core snakes from {words.force(push.snaking_onset)} "
                "on, "
                "which is left out here: more is lost"
            )
        return tuple(notes)


def work_out_feel(figures: Figures) -> CableFeel:
    """Work out what the hand feels of a cable over a full cycle."""
    cable, core, family = figures.cable, figures.core, figures.cable.family
    if core is None or family is None:
        raise CableRouteError(
            f'cable "{cable.name}": expected the cable\'s data, which its stretch comes from, got '
            "none: name a family or give a build table"
        )
    if figures.travel is None:
        raise CableRouteError(f'cable "{cable.name}": expected a travel, got none: give travel')
    load = _load(figures)
    low, high = (
        feel_loop(
            figures.route,
            far_load=load,
            travel=figures.travel,
            friction=friction,
            axial_stiffness=core.axial_stiffness,
            conduit_stiffness=family.conduit_axial,
            bracket_stiffness=_brackets(figures),
            clearance=grown * family.clearance if cable.kind == "push-pull" else 0.0,
            drag=_drag(figures),
            pull_only=cable.kind == "pull",
        )
        for friction, grown in zip(figures.apparent_friction, figures.shapes.growth, strict=True)
    )
    return CableFeel(figures, load, figures.travel, low, high)


def _brackets(figures: Figures) -> tuple[float | None, float | None]:
    """Stiffness of the brackets at the hand and at the far end, where they are known."""
    anchors = figures.cable.anchors
    ends = (anchors.hand, anchors.far) if anchors else (None, None)
    hand, far = (stiffness_of(end.bracket) if end and end.bracket else None for end in ends)
    return hand, far


def _drag(figures: Figures) -> float:
    """Drag as measured of one core; the hand moves both of a pair."""
    return (figures.cable.drag or 0.0) * (2.0 if figures.cable.kind == "pull-pair" else 1.0)


def _load(figures: Figures) -> FarLoad:
    """Return what the far end resists with; a bare load resists any pull, and a push load any push."""
    cable, pull = figures.cable, figures.pull.load
    if cable.resists is not None:
        return far_load(cable.resists)
    if cable.kind == "pull":
        return FarLoad(dead=pull)
    push = figures.push.through.load if figures.push else pull
    return FarLoad(friction=0.5 * (pull + push), dead=0.5 * (pull - push))
