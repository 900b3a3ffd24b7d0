"""Whether the cable's end rods reach their pins: anchor to pin against the rod that is there."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from cableroute.figures.cable import Figures
from cableroute.frozen import frozen
from cableroute.hardware.adapter import COARSE, Adapter, adapter
from cableroute.hardware.family import Family
from cableroute.linkage.build import Built
from cableroute.linkage.chain import Stroke
from cableroute.linkage.drum import Drum
from cableroute.mechanics.column import rod_buckling_load

if TYPE_CHECKING:
    from cableroute.measure.linkage_models import SwivelEntry

#: Pin of a rod end or clevis beyond the rod, screwed on as far as it goes: from memory, ISO
#: 12240-4, centre to foot less depth of thread, 2.5 to 3.4 diameters for M5 to M8 [rod diameters].
FITTING = 3.0


@frozen(kw_only=True)
class RodReach:
    """One end of the cable: how far its pin is from its anchor, and what the rod allows.

    Attributes
    ----------
    member : str
        What the rod takes hold of.
    least, most : float
        Anchor to pin over the stroke of the hand [mm].
    low, high : float
        Between which the middle of that may lie, adjuster and thread made use of [mm].
    fitting : float
        From the end of the rod to the pin [mm].
    assumed : bool
        Whether the fitting was not measured.
    thread, adjuster : float
        How far the fitting may be backed off, and the adjuster set either way [mm].
    folds : float or None
        Push at which rod and extension fold as a column between anchor and pin; None where that
        is no longer than the cable's own rod [N].
    push : float
        The push on them [N].
    sure : float
        That without what the core's stiffness adds [N].
    adapter : Adapter or None
        What joins the rod to a fitting of another thread.
    """

    member: str
    least: float
    most: float
    low: float
    high: float
    fitting: float
    assumed: bool
    thread: float
    adjuster: float
    folds: float | None
    push: float
    sure: float
    adapter: Adapter | None = None

    @property
    def middle(self) -> float:
        """Anchor to pin in the middle of its swing [mm]."""
        return (self.least + self.most) / 2

    @property
    def beyond(self) -> float:
        """How far the middle lies outside what the rod allows, below zero too near [mm]."""
        return max(self.middle - self.high, 0.0) - max(self.low - self.middle, 0.0)


@frozen(kw_only=True)
class Reaches:
    """Both ends.

    Attributes
    ----------
    ends : tuple of RodReach
        Those at which a rod takes hold of an arm or a shaft, hand end first.
    low, high : float
        Between which the two middles together may lie: what goes in at one end comes out at the
        other [mm].
    missing : str
        What is not known of the cable, so that nothing was held against it; or nothing.
    """

    ends: tuple[RodReach, ...] = ()
    low: float = 0.0
    high: float = np.inf
    missing: str = ""

    @property
    def together(self) -> float:
        """The two middles added up [mm]."""
        return sum(end.middle for end in self.ends)


def rod_reaches(built: Built, stroke: Stroke, cable: Figures) -> Reaches:
    r"""Hold anchor to pin at both ends against the rods of the cable.

    With the rod out of its guide by :math:`E` at full stroke :math:`S`, a swing :math:`s` of the
    pin, a fitting :math:`f`, thread to back it off :math:`t` and an adjuster of :math:`\pm a`, the
    middle of the swing may lie between :math:`E - S + s/2 + f - a` and
    :math:`E - s/2 + f + t + a`. The core keeps its length, so both middles together are
    :math:`2E - S + f_1 + f_2`, give or take threads and adjusters.
    """
    family = cable.cable.family
    if family is None:
        return Reaches(missing="cable data")
    if family.rod_od == 0 or cable.cable.kind != "push-pull":
        return Reaches()
    keys = ("rod_od", "rod_exposed", "stroke")
    missing = [key for key in keys if getattr(family, key) is None]
    if missing:
        return Reaches(missing=" and ".join(missing))
    ends = tuple(_ends(built, stroke, cable, family))
    spread = sum(end.adjuster for end in ends)
    sure = 2 * _exposed(family) - _stroke(family) + sum(end.fitting for end in ends)
    if len(ends) < 2:
        return Reaches(ends=ends)
    backed_off = sum(end.thread for end in ends)
    return Reaches(ends=ends, low=sure - spread, high=sure + spread + backed_off)


def _ends(built: Built, stroke: Stroke, cable: Figures, family: Family) -> list[RodReach]:
    """Return the ends that have a rod, hand end first."""
    chain, entry = built.chain, built.entry
    at, motion = chain.cable_at, stroke.cable
    ends = []
    for k, (attachment, body, swivel, drawn) in enumerate(
        (
            (chain.bodies[at].out, chain.bodies[at], entry.hand.swivel, motion.pulled),
            (
                chain.bodies[at + 1].incoming,
                chain.bodies[at + 1],
                entry.far.swivel,
                -motion.arrived,
            ),
        )
    ):
        end = chain.cable.end(attachment, at_hand=k == 0)
        if isinstance(end, Drum):
            continue
        adjuster = entry.adjusters[k] / 2 if k < len(entry.adjusters) else 0.0
        least, most = (end.neutral_length + float(f(drawn)) for f in (np.min, np.max))
        ends.append(_reach(body.name, least, most, swivel, adjuster, cable, family))
    return ends


def _reach(
    member: str,
    least: float,
    most: float,
    swivel: SwivelEntry,
    adjuster: float,
    cable: Figures,
    family: Family,
) -> RodReach:
    exposed, stroke, half = _exposed(family), _stroke(family), (most - least) / 2
    assumed = swivel.fitting is None
    fitting = FITTING * (family.rod_od or 0.0) if swivel.fitting is None else swivel.fitting
    push = max(cable.push.through.inputs) if cable.push else 0.0
    sure = max(cable.push.sure.through.inputs) if cable.push else 0.0
    return RodReach(
        member=member,
        least=least,
        most=most,
        low=exposed - stroke + half + fitting - adjuster,
        high=exposed - half + fitting + swivel.thread + adjuster,
        fitting=fitting,
        assumed=assumed,
        thread=swivel.thread,
        adjuster=adjuster,
        folds=_folds(most, cable, family) if most > exposed else None,
        push=push,
        sure=sure,
        adapter=_adapter(family, swivel),
    )


def _adapter(family: Family, swivel: SwivelEntry) -> Adapter | None:
    """Return an adapter where the fitting's thread is not the rod's, both metric and coarse."""
    rod = f"M{family.rod_od:g}"
    wanted = swivel.thread_in_fitting
    return adapter(rod, wanted) if wanted and rod in COARSE and wanted != rod else None


def _folds(length: float, cable: Figures, family: Family) -> float | None:
    if not (family.rod_od and family.rod_yield):
        return None
    load = rod_buckling_load(
        family.rod_od,
        length=length,
        modulus=family.rod_modulus,
        yield_strength=family.rod_yield,
        end=cable.cable.rod_end,
    )
    return float(load)


def _exposed(family: Family) -> float:
    return family.rod_exposed or 0.0


def _stroke(family: Family) -> float:
    return family.stroke or 0.0
