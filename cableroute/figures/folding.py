"""What folds first as a push grows, and how far that is from the push that is wanted."""

from __future__ import annotations

from math import inf, isfinite

import numpy as np

from cableroute.figures.cable import Figures
from cableroute.figures.strain import strength_of
from cableroute.frozen import frozen
from cableroute.hardware.family import Family
from cableroute.mechanics.construction import CoreSection
from cableroute.mechanics.core_in_guide import CoreInGuide, core_in_guide, wound_limit
from cableroute.mechanics.fold_order import PLACES, FoldOrder, fold_order
from cableroute.mechanics.lost_motion import worn_clearance
from cableroute.mechanics.validity import ELASTIC

#: Each of the places that can give way, in words.
NAMES = {
    "guide-hand": "core in its guide at the hand",
    "guide-far": "core in its guide at the far end",
    "snaking": "core winding in the conduit's straights",
    "rod-hand": "exposed rod at the hand",
    "rod-far": "exposed rod at the far end",
    "lock-up": "lock-up of the run",
}
#: Friction of the bare core on its guide, steel on greased steel, the high end; from memory (Marks;
#: Bowden and Tabor) [-].
GUIDE_FRICTION = 0.15


@frozen(eq=False)
class Folding:
    """What gives way as a push grows.

    Parameters
    ----------
    order : FoldOrder
        Push at which each place gives way, at high friction, slack wires and a worn liner.
    push : tuple of float
        Push at the far end and at the hand, at high friction [N].
    sure : float
        That at the hand without what the core's stiffness adds [N].
    guide : CoreInGuide or None
        What the bare core does in its guide at the hand; None where the guide is not known.
    bare : float or None
        Bare core within it, taken to be the stroke [mm].
    """

    order: FoldOrder
    push: tuple[float, float]
    sure: float
    guide: CoreInGuide | None
    bare: float | None

    @property
    def place(self) -> str:
        """What gives way first, of :data:`~cableroute.mechanics.fold_order.PLACES`."""
        return PLACES[int(self.order.first)]

    @property
    def name(self) -> str:
        """The same in words."""
        return NAMES[self.place]

    @property
    def at(self) -> float:
        """Push at the hand at which it does; of a lock-up the load that no push gets through [N]."""
        hand = float(self.order.hand[int(self.order.first)])
        return hand if isfinite(hand) else float(self.order.far[int(self.order.first)])

    @property
    def times(self) -> float | None:
        """That over the push; None where nothing gives way, or nothing is pushed [-]."""
        return self._times(self.push[1])

    @property
    def times_sure(self) -> float | None:
        """The same over the push without what the core's stiffness adds [-]."""
        return self._times(self.sure)

    def _times(self, hand: float) -> float | None:
        one = self.push[0] if self.place == "lock-up" else hand
        if not isfinite(one):
            return 0.0
        return self.at / one if one > 0.0 and isfinite(self.at) else None


def folding_of(figures: Figures) -> Folding | None:
    """Find what folds first; None for a cable that only pulls, or without cable data."""
    family, core, push = figures.cable.family, figures.core, figures.push
    if push is None or family is None or core is None:
        return None
    strength = strength_of(core, family)
    if strength is None:
        return None
    sets = ELASTIC * strength
    worn = float(worn_clearance(family.clearance)[1])
    wire = {
        "bending_stiffness": core.bending_stiffness,
        "area": core.area,
        "wire_diameter": core.wire_diameter,
        "yield_strength": sets,
        "modulus": core.modulus,
    }
    guide = _in_guide(figures, family, core, wire)
    rod = inf if push.rod_buckling is None else push.rod_buckling
    bears = inf if guide is None else float(guide.folds_at)
    order = fold_order(
        figures.route,
        friction=figures.apparent_friction[1],
        bending_stiffness=core.bending_stiffness,
        clearance=worn,
        wound=wound_limit(worn, **wire),
        guide_hand=bears,
        guide_far=bears,
        rod_hand=rod,
        rod_far=rod,
    )
    wanted = push.through.load, push.through.inputs[1]
    sure = push.through.sure.inputs[1]
    return Folding(order, wanted, sure, guide, family.stroke if guide else None)


def _in_guide(
    figures: Figures, family: Family, core: CoreSection, wire: dict[str, float]
) -> CoreInGuide | None:
    """Return what the bare core does at the hand's guide; None where its bore is not known."""
    if not family.guide_bore or not family.stroke or family.guide_bore <= core.diameter:
        return None
    hand = figures.push.through.inputs[1] if figures.push else 0.0
    return core_in_guide(
        hand if np.isfinite(hand) else 0.0,
        length=family.stroke,
        bore=family.guide_bore,
        core_diameter=core.diameter,
        friction=GUIDE_FRICTION,
        **wire,
    )
