"""What a hand feels of a lever: one full cycle of force against travel, and what it tells."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_not_negative

#: What comes back to within this share of its reach has come back; our choice [-].
AT_REST = 0.01


@frozen
class FeltDetent:
    """A detent as it is felt when the hand pulls the far end out of it.

    Parameters
    ----------
    at : float
        Its bottom, in travel of the far end [mm].
    hand : float
        Where the hand is when the detent holds most [mm].
    far_rise : float
        Most it adds to the force at the far end, where it can be held [N].
    rise : float
        Most it adds to the force at the hand [N].
    snaps : bool
        Whether the far end jumps on its way out of it, the hand at rest: stretch let go, or a
        load that changes its sign across the clearance.
    """

    at: float
    hand: float
    far_rise: float
    rise: float
    snaps: bool


@frozen(eq=False)
class FeelLoop:
    """One full cycle of the hand, as it repeats: first pulling, then back.

    A pull cable goes from rest and back to rest; a push-pull cable from the pushed end of the
    travel to the pulled end and back. The turning place stands in the arrays twice, with the force
    before and after turning.

    Parameters
    ----------
    hand_travel : ndarray, shape (2 n,)
        Travel of the hand, pulling being above zero; n places out, n back [mm].
    hand_force : ndarray, shape (2 n,)
        Force of the hand on the core, above zero for a pull [N].
    far_travel : ndarray, shape (2 n,)
        Travel of the far end [mm].
    lost : tuple of float
        Hand travel before the far end follows: turning back from the pulled end, and setting out
        from the other [mm].
    hysteresis : float
        Work lost in a cycle, the area of the loop [N*mm].
    greatest : float
        Greatest force of the hand, pulling or pushing [N].
    detents : tuple of FeltDetent
        What is felt of the detents that the far end is pulled out of.
    pull_only : bool
        Whether the core cannot push.
    """

    hand_travel: Array
    hand_force: Array
    far_travel: Array
    lost: tuple[float, float]
    hysteresis: float
    greatest: float
    detents: tuple[FeltDetent, ...]
    pull_only: bool

    @property
    def far_reach(self) -> tuple[float, float]:
        """Least and greatest travel of the far end [mm]."""
        return float(self.far_travel.min()), float(self.far_travel.max())

    @property
    def returns(self) -> bool:
        """Whether the far end comes back: by its spring alone where the core only pulls."""
        low, high = self.far_reach
        return not self.pull_only or low <= AT_REST * high

    def left_at(self, resistance: float = 0.0) -> float:
        """Return where the far end stays when the hand lets go at the pulled end.

        Parameters
        ----------
        resistance : float
            What the hand lever itself resists with, as a force on the core [N].

        Returns
        -------
        float
            Travel of the far end; its least where all comes back [mm].

        Raises
        ------
        CableRouteError
            For a resistance below zero.
        """
        check_not_negative(resistance, name="resistance of the lever")
        back = len(self.far_travel) // 2
        force, far = self.hand_force[back:], self.far_travel[back:]
        stuck = np.flatnonzero(force <= resistance)
        if len(stuck) == 0:
            return float(far[-1])
        i = int(stuck[0])
        if i == 0:
            return float(far[0])
        share = (force[i - 1] - resistance) / (force[i - 1] - force[i])
        return float(far[i - 1] + share * (far[i] - far[i - 1]))
