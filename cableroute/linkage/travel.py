"""How much moves: what the hand gives, less what is lost, against what the far arm needs."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.vectors import check_not_negative, check_positive, check_span


def arriving(pulled: ArrayLike, *, lost: float) -> Array:
    """Return the travel that arrives when the core starts in the middle of its free play.

    ``v = u - clip(u, -lost/2, lost/2)``

    Parameters
    ----------
    pulled : array-like, shape (...)
        Core drawn at the hand since neutral, pulled above zero [mm].
    lost : float
        Whole free play between pulled and pushed [mm].

    Returns
    -------
    ndarray, shape (...)
        [mm]

    Notes
    -----
    From one end of the stroke to the other the swing that arrives is the swing given less `lost`.
    The core may lie anywhere half of `lost` either side of what its load holds it to.

    Examples
    --------
    >>> arriving([-20, 0.5, 20], lost=2).tolist()
    [-19.0, 0.0, 19.0]
    """
    u = np.asarray(pulled, dtype=np.float64)
    half = check_not_negative(lost, "lost motion") / 2
    return u - np.clip(u, -half, half)


@frozen(kw_only=True)
class Adjuster:
    """The thread at one end of the cable.

    Parameters
    ----------
    length : float
        Whole adjustment the thread allows [mm].
    set_at : float, default 0
        Where the nut stands, from the middle of the thread, above zero where the conduit has
        been lengthened [mm].

    Raises
    ------
    GeometryError
        If the nut stands off the thread.
    """

    length: float
    set_at: float = 0.0

    def __post_init__(self) -> None:
        check_not_negative(self.length, "adjuster length")
        if not abs(self.set_at) <= self.length / 2:
            raise GeometryError(
                f"adjuster set_at: expected within {self.length / 2:g} mm of the middle, "
                f"got {self.set_at!r}"
            )

    @property
    def longer(self) -> float:
        """Conduit that can still be let out [mm]."""
        return self.length / 2 - self.set_at

    @property
    def shorter(self) -> float:
        """Conduit that can still be taken up [mm]."""
        return self.length / 2 + self.set_at


@frozen(kw_only=True)
class TravelBudget:
    """Travel given, lost, needed and allowed, along the core.

    Attributes
    ----------
    given, arrives, needed, lost : float
        Whole swings: at the hand, at the far arm, wanted by the far arm; and the free play [mm].
    spare : float
        ``given - lost - needed``; below zero the hand must give that much more [mm].
    spare_pull, spare_push : float
        The same on either side of neutral, as the linkage is laid out [mm].
    offset : float
        Adjustment still to make so that both sides spare the same:
        ``(spare_push - spare_pull) / 2``, above zero where the core must arrive pulled by that
        much more (lengthen the conduit) [mm].
    stroke_spare : float
        The cable's stroke less the swing given; below zero the cable is driven to its stops [mm].
    neutral_in_stroke : float
        Where neutral sits in the swing, 0 fully pushed, 0.5 in the middle, 1 fully pulled [-].
    stroke_spare_pull, stroke_spare_push : float
        Stroke left on each side of the cable fitted at mid-stroke with the lever at neutral [mm].
    longer_left, shorter_left : float
        Adjuster range left each way, both ends together, once `offset` has been set [mm].
    """

    given: float
    lost: float
    arrives: float
    needed: float
    spare: float
    spare_pull: float
    spare_push: float
    offset: float
    stroke_spare: float
    neutral_in_stroke: float
    stroke_spare_pull: float
    stroke_spare_push: float
    longer_left: float
    shorter_left: float


def travel_budget(
    *,
    given: tuple[float, float],
    needed: tuple[float, float],
    lost: float,
    stroke: float,
    adjusters: tuple[Adjuster, ...] = (),
    let_out: float = 0.0,
) -> TravelBudget:
    """Hold the travel the hand gives against the far arm's need and the cable's stroke.

    Parameters
    ----------
    given : tuple of float
        Least and most core travel over the hand's range, pulled above zero, neutral at 0 [mm].
    needed : tuple of float
        Least and most core travel the far arm needs, the same way round [mm].
    lost : float
        Whole free play between pulled and pushed [mm].
    stroke : float
        The cable's own stroke, stop to stop [mm].
    adjusters : tuple of Adjuster, optional
        The threads at the two ends.
    let_out : float, default 0
        Conduit already let out at them; below zero taken up [mm].

    Returns
    -------
    TravelBudget

    Raises
    ------
    GeometryError
        If a span is not in order, the stroke is not above 0, or the play is negative.

    Examples
    --------
    >>> b = travel_budget(given=(-20, 20), needed=(-18, 18), lost=2, stroke=50)
    >>> b.spare, b.spare_pull, b.neutral_in_stroke, b.stroke_spare
    (2.0, 1.0, 0.5, 10.0)
    """
    low, high = check_span(*given, "travel given")
    need_low, need_high = check_span(*needed, "travel needed")
    check_positive(stroke, "cable stroke")
    half = check_not_negative(lost, "lost motion") / 2
    spare_pull = high - half + let_out - need_high
    spare_push = need_low - (low + half + let_out)
    offset = (spare_push - spare_pull) / 2
    return TravelBudget(
        given=high - low,
        lost=lost,
        arrives=max(high - low - lost, 0.0),  # where play takes all of it the far arm stands still
        needed=need_high - need_low,
        spare=spare_pull + spare_push,
        spare_pull=spare_pull,
        spare_push=spare_push,
        offset=offset,
        stroke_spare=stroke - (high - low),
        neutral_in_stroke=-low / (high - low),
        stroke_spare_pull=stroke / 2 - high,
        stroke_spare_push=stroke / 2 + low,
        longer_left=sum(a.longer for a in adjusters) - offset,
        shorter_left=sum(a.shorter for a in adjusters) + offset,
    )
