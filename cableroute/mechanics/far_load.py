"""What the far end of a cable resists with: a spring, friction, a weight, detents."""

from __future__ import annotations

from math import isfinite

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.mechanics.capstan import check_not_negative

#: Places per detent at which its force is looked at; the crest is met to 3e-5 of the depth.
_PLACES = 401


@frozen
class Detent:
    """A place that the far end clicks into.

    Parameters
    ----------
    at : float
        Its bottom, in travel of the far end [mm].
    depth : float
        Force that gets out of it [N].
    width : float
        From its bottom to its crest, on either side [mm].

    Raises
    ------
    CableRouteError
        For a place that is not finite, a depth below zero, or a width that is not above zero.
    """

    at: float
    depth: float
    width: float

    def __post_init__(self) -> None:
        check_not_negative(self.depth, name="depth of a detent")
        if not isfinite(self.at):
            raise CableRouteError(f"place of a detent: expected mm, got {self.at!r}")
        if not (isfinite(self.width) and self.width > 0.0):
            raise CableRouteError(f"width of a detent: expected mm above 0, got {self.width!r}")

    def force(self, far: ArrayLike) -> Array:
        r"""Return the force against the pull, :math:`d \sin(\pi (x - a)/w)` within :math:`\pm w`.

        Parameters
        ----------
        far : array-like
            Travel of the far end [mm].

        Returns
        -------
        ndarray
            Force; zero at the bottom and at the crests, below zero where it draws in [N].

        Notes
        -----
        The force of a raised-cosine valley, the simplest whose force is continuous. The stiffness
        at the bottom is :math:`\pi d/w`. A ball that rides over sharp edges lets go faster.
        """
        off = (np.asarray(far, dtype=np.float64) - self.at) / self.width
        return np.where(np.abs(off) < 1.0, self.depth * np.sin(np.pi * off), 0.0)

    def places(self) -> Array:
        """Places from crest to crest, close enough to draw straight lines between [mm]."""
        return np.linspace(self.at - self.width, self.at + self.width, _PLACES)


@frozen
class FarLoad:
    """What the far end resists with; pulling is travel above zero.

    Parameters
    ----------
    preload : float
        Pull of its spring at rest; pushed from rest, a spring with preload resists alike [N].
    rate : float
        How much that grows with travel [N/mm].
    friction : float
        Coulomb friction of the mechanism, against any motion [N].
    dead : float
        A load that never changes, as a weight, against the pull; below zero it helps [N].
    detents : tuple of Detent
        Places that it clicks into.

    Raises
    ------
    CableRouteError
        For a preload, rate or friction below zero, or a dead load that is not finite.

    Examples
    --------
    >>> load = FarLoad(preload=20, rate=2, friction=5, detents=(Detent(at=10, depth=30, width=4),))
    >>> load.force([0.0, 10.0, 12.0])
    array([20., 40., 74.])
    >>> round(load.greatest(15), 2)
    79.11
    """

    preload: float = 0.0
    rate: float = 0.0
    friction: float = 0.0
    dead: float = 0.0
    detents: tuple[Detent, ...] = ()

    def __post_init__(self) -> None:
        for name in ("preload", "rate", "friction"):
            check_not_negative(getattr(self, name), name=f"{name} of the far end")
        if not isfinite(self.dead):
            raise CableRouteError(f"dead load of the far end: expected N, got {self.dead!r}")

    def force(self, far: ArrayLike) -> Array:
        r"""Return the conservative force, :math:`\pm P + k x + W + \sum` of the detents.

        Parameters
        ----------
        far : array-like
            Travel of the far end [mm].

        Returns
        -------
        ndarray
            Force against the pull, friction left out; at rest, where a spring with preload stands
            at anything between its two sides, that of the pulled side [N].
        """
        x = np.asarray(far, dtype=np.float64)
        force = self.plain_force(x)
        for detent in self.detents:
            force = force + detent.force(x)
        return force

    def plain_force(self, far: ArrayLike) -> Array:
        """Return the force as it would be without any detent.

        Parameters
        ----------
        far : array-like
            Travel of the far end [mm].

        Returns
        -------
        ndarray
            Spring and dead load [N].
        """
        x = np.asarray(far, dtype=np.float64)
        return np.where(x < 0.0, -self.preload, self.preload) + self.rate * x + self.dead

    def greatest(self, travel: float) -> float:
        """Return the greatest force that resists a pull from rest, friction included.

        Parameters
        ----------
        travel : float
            Travel of the far end [mm].

        Returns
        -------
        float
            Force [N].

        Raises
        ------
        CableRouteError
            For a travel below zero.
        """
        check_not_negative(travel, name="travel")
        return float(self.force(self.places(0.0, travel)).max()) + self.friction

    def places(self, low: float, high: float) -> Array:
        """Return where to look so that straight lines between give the force.

        Parameters
        ----------
        low, high : float
            First and last place [mm].

        Returns
        -------
        ndarray
            Places in order, both ends among them, and both sides of rest [mm].
        """
        rest = np.array([np.nextafter(0.0, -1.0), 0.0])  # the preload changes its side here
        every = np.concatenate([rest, *(detent.places() for detent in self.detents)])
        inside = every[(every > low) & (every < high)]
        return np.array(sorted({low, *inside.tolist(), high}))
