"""Rows of set-screw holes round a sleeve, staggered so that an anchor shifts in fine steps."""

from __future__ import annotations

from math import ceil, hypot, pi, sqrt

from cableroute.errors import CableRouteError
from cableroute.frozen import frozen

#: Least from centre to centre of two holes, from the middle of a hole to the sleeve's end, and of
#: thread under a screw: common practice, no source [screw diameters].
APART, EDGE, WALL = 2.0, 1.5, 1.0
#: More holes than this are a slip of the unit; our own bound [-].
MOST_HOLES = 500
#: What rounding may add to a count [-].
_SLOP = 1e-9


@frozen(kw_only=True)
class RowHole:
    """One hole: along the sleeve from the first one, and round it.

    Attributes
    ----------
    along : float
        From the middle of the first hole [mm].
    row : int
        Which row, the first being 0 [-].
    clock : float
        Round the sleeve from the first row [deg].
    """

    along: float
    row: int
    clock: float


@frozen(kw_only=True)
class HoleRows:
    """The holes of a sleeve.

    Attributes
    ----------
    diameter : float
        Of the screw [mm].
    step : float
        From one setting to the next [mm].
    rows, share : int
        Rows with a stagger of their own; screws that stand in the groove at one setting, each in
        a row of its own, so that there are ``rows * share`` rows in all [-].
    pitch : float
        From hole to hole in one row [mm].
    settings : int
        How many settings there are [-].
    outside : float
        Outside diameter of the sleeve that the pattern is drawn for [mm].
    least_outside : float
        The least that keeps holes of neighbouring rows apart [mm].
    everywhere : bool
        Whether a screw finds the groove wherever the end stands, as the step is no longer than
        the play of the screw in the groove.
    holes : tuple of RowHole
        All of them, along the sleeve.
    """

    diameter: float
    step: float
    rows: int
    share: int
    pitch: float
    settings: int
    outside: float
    least_outside: float
    everywhere: bool
    holes: tuple[RowHole, ...]

    @property
    def edge(self) -> float:
        """From the middle of the first hole to the sleeve's end, at least [mm]."""
        return EDGE * self.diameter

    @property
    def length(self) -> float:
        """Of the sleeve [mm]."""
        return self.holes[-1].along + 2.0 * self.edge

    @property
    def wall(self) -> float:
        """Of the sleeve, at least [mm]."""
        return WALL * self.diameter

    @property
    def closest(self) -> float:
        """Centre to centre of neighbouring rows' holes, laid flat at the outside [mm]."""
        around = pi * self.outside / (self.rows * self.share)
        return self.pitch if self.rows * self.share == 1 else hypot(self.step, around)


def hole_rows(
    *,
    diameter: float,
    groove: float,
    adjust: float,
    step: float | None = None,
    share: int = 1,
    outside: float | None = None,
) -> HoleRows:
    r"""Space and stagger the holes of a sleeve for a wanted step and range.

    In one row holes stand :math:`p \ge 2d` apart; :math:`n = \lceil 2d/s \rceil` rows, each shifted
    by the step :math:`s`, give :math:`p = n s`. Neighbouring rows are kept :math:`2d` apart too:
    :math:`\pi D/(n k) \ge \sqrt{4 d^2 - s^2}` for :math:`k` screws to a setting.

    Parameters
    ----------
    diameter : float
        Of the screw's thread [mm].
    groove : float
        Width of the groove it stands in [mm].
    adjust : float
        Range of the anchor, end to end [mm].
    step : float, optional
        From setting to setting; by default the play of the screw in the groove, so that one
        finds it wherever the end stands [mm].
    share : int, default 1
        Screws that stand in the groove at one setting and share the load [-].
    outside : float, optional
        Outside diameter of the sleeve; by default the least that will do [mm].

    Returns
    -------
    HoleRows

    Raises
    ------
    CableRouteError
        If the screw does not enter the groove, the sleeve is too thin, or there are too many holes.

    Notes
    -----
    Distances from hole to hole, to the end, and the wall are common practice, no source. Screws
    at different settings do not share the load: they bear on the groove one after the other.

    Examples
    --------
    >>> found = hole_rows(diameter=3, groove=3.5, adjust=15)
    >>> found.step, found.rows, found.pitch, found.settings
    (0.5, 12, 6.0, 31)
    """
    play = groove - diameter
    if play <= 0:
        raise CableRouteError(
            f"rows: expected a groove wider than the screw, {diameter:g} mm, got {groove:g} mm"
        )
    by = play if step is None else step
    if adjust / by > MOST_HOLES / share:
        raise CableRouteError(
            f"rows: expected {MOST_HOLES} holes at most, got {adjust / by * share:.0f}; take a "
            f"wider step than {by:g} mm"
        )
    rows = max(ceil(APART * diameter / by - _SLOP), 1)
    settings = ceil(adjust / by - _SLOP) + 1
    rows = min(rows, settings)
    around = sqrt(max((APART * diameter) ** 2 - by**2, 0.0))
    least = rows * share * around / pi if rows * share > 1 else APART * diameter
    least = max(least, APART * diameter)
    if outside is not None and outside < least:
        raise CableRouteError(
            f"rows: expected a sleeve of {least:.1f} mm outside at least for {rows * share} rows, "
            f"got {outside:g} mm; take a wider step, or fewer screws to share"
        )
    holes = tuple(
        RowHole(
            along=k * by,
            row=k % rows + rows * j,
            clock=360.0 * (k % rows + rows * j) / (rows * share),
        )
        for k in range(settings)
        for j in range(share)
    )
    return HoleRows(
        diameter=diameter,
        step=by,
        rows=rows,
        share=share,
        pitch=rows * by,
        settings=settings,
        outside=least if outside is None else outside,
        least_outside=least,
        everywhere=by <= play + _SLOP,
        holes=holes,
    )
