"""Figures of what holds a cable: its clips along the run and the anchors at its ends."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cableroute.mechanics.anchors import AnchorLoad
from cableroute.mechanics.clip_places import Clip


@dataclass(frozen=True, slots=True)
class Anchor:
    """What one end of the conduit carries, and what holds it.

    Parameters
    ----------
    load : AnchorLoad
        What the conduit asks of it, at high friction.
    how : str
        What holds it, in words; empty where that is not said.
    band : tuple of float or None
        Low and high of the force at which it lets go, no safety factor in them; None where what
        holds it is not said [N].
    bracket : float or None
        How far its bracket gives under the pull; None where the bracket is not known [mm].
    screws : tuple of (str, int) or None
        Size of set screw, and how many of them hold twice the load by the lower of two tables;
        None where the load has no bounds [-].
    """

    load: AnchorLoad
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


@dataclass(frozen=True, slots=True, eq=False)
class Holding:
    """What holds a cable along its run and at its ends.

    Parameters
    ----------
    clips : tuple of Clip
        Anchors, the user's clips and the clips still wanted, from the hand end.
    unclipped : ndarray of int
        Corners of the bends that nothing holds [-].
    spacing : float
        Widest spacing of clips [mm].
    anchors : tuple of Anchor
        That of the hand end and that of the far end.
    """

    clips: tuple[Clip, ...]
    unclipped: NDArray[np.intp]
    spacing: float
    anchors: tuple[Anchor, Anchor]

    @property
    def wide_gaps(self) -> tuple[tuple[Clip, Clip], ...]:
        """Neighbours among the user's own clips and anchors that are further apart than allowed."""
        own = [clip for clip in self.clips if clip.kind != "suggested"]
        return tuple(
            (one, next_one)
            for one, next_one in pairwise(own)
            if next_one.at - one.at > self.spacing * (1.0 + 1e-9)
        )
