"""What a cable makes of a force on its way from the hand, and the push that must not fold it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import inf, isfinite

from cableroute.frozen import frozen


@frozen
class Transmission:
    """A load moved at the far end and what that takes at the hand, over the friction range.

    Parameters
    ----------
    load : float
        Force at the far end [N].
    inputs : tuple of float
        Force at the hand at low and at high friction; infinite where it locks up [N].
    drag : float
        What of that is measured drag, there at any load [N].
    stiffness : float
        What of the high one the core's stiffness adds at most, where no drag is measured [N].
    far_stiffness : float
        What of the load it adds; of the tauter core of a pull pair only [N].
    """

    load: float
    inputs: tuple[float, float]
    drag: float = 0.0
    stiffness: float = 0.0
    far_stiffness: float = 0.0

    @property
    def sure(self) -> Transmission:
        """The same without what stiffness adds, which is an upper figure and measured by nobody."""
        low, high = self.inputs
        bare = high - self.stiffness if isfinite(high) else high
        return Transmission(self.load - self.far_stiffness, (low, bare), self.drag)

    @property
    def efficiencies(self) -> tuple[float, float]:
        """Far-end force over hand force at high and at low friction [-]."""
        return self._shares(self.inputs)

    @property
    def passed(self) -> tuple[float, float]:
        """The same without a measured drag: what bends and stiffness let through of this load [-]."""
        return self._shares(hand - self.drag for hand in self.inputs)

    @property
    def by_bends(self) -> tuple[float, float]:
        """The same without stiffness: the share that bends let through at any load [-]."""
        return self._shares(hand - held for hand, held in zip(self.inputs, self.held, strict=True))

    @property
    def held(self) -> tuple[float, float]:
        """What of the force at the hand the bends do not make, at low and at high friction [N]."""
        return self.drag, self.drag + self.stiffness

    def _shares(self, hands: Iterable[float]) -> tuple[float, float]:
        low, high = (self.load / hand if hand > 0.0 else 1.0 for hand in hands)
        return high, low


@frozen
class Push:
    """A push: its transmission, and what may fold.

    Parameters
    ----------
    through : Transmission
        Load and hand force.
    snaking_onset : float
        Push at which the core starts to snake in the bend that comes nearest to it, of like bends
        the widest; infinite if not known [N].
    snaking_use : float
        Push over onset where it is nearest to it, at high friction [-].
    rod_buckling : float or None
        Push at which the exposed rod folds; None without rod data [N].
    """

    through: Transmission
    snaking_onset: float
    snaking_use: float
    rod_buckling: float | None

    @property
    def lockup(self) -> bool:
        """Whether the core locks up at high friction."""
        return self.through.inputs[1] == inf

    @property
    def sure(self) -> Push:
        """The same without what stiffness adds to the push."""
        return replace(self, through=self.through.sure)

    @property
    def rod_safety(self) -> float | None:
        """Buckling load over the push at the hand at high friction; None without a push [-]."""
        if self.rod_buckling is None or self.lockup:
            return None
        hand = self.through.inputs[1]
        return self.rod_buckling / hand if hand > 0.0 else None
