"""One set of changes to a selector with which every gate is reached: adjuster first, then a hole."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.drum import Drum
from cableroute.linkage.gates import AXES, SelectorTable, play_band, selector_table
from cableroute.linkage.pattern import Gate
from cableroute.linkage.search import SCAN
from cableroute.linkage.selector import Axis, Selector, cable_of
from cableroute.linkage.selector_holes import (
    lever_pivot,
    with_box_radius,
    with_cable,
    with_lever_radius,
)
from cableroute.linkage.slide import Slide
from cableroute.linkage.vectors import norm

#: Steps in which an adjuster is set, a quarter turn of a 1 mm thread: common practice, no source [mm].
SETTING_STEP = 0.25
#: Most settings looked at each way, and most holes about the best of a coarse look: of an arm too long
#: for a hole each millimetre, they are further apart; our own choice [-].
MOST_SETTINGS, MOST_HOLES = 400, 200


@frozen(kw_only=True)
class Thread:
    """What the adjusters of one cable still allow.

    Attributes
    ----------
    longer, shorter : float
        Conduit that can still be let out and taken up; infinite where no thread is known [mm].
    """

    longer: float = np.inf
    shorter: float = np.inf


@frozen(kw_only=True)
class AxisMend:
    """What is to be done to one cable of a selector.

    Attributes
    ----------
    axis : str
        "select" or "shift".
    let_out : float
        Conduit to let out besides what already is, below zero to take up [mm].
    lever_radius, box_radius : float or None
        Pivot to the hole in the lever, and in the box's arm; None where it stays [mm].
    spare : float
        The least that any gate then has left of its tolerance; below zero it is not reached
        [rad or mm].
    play : float
        Half of the widest band in which the play lets the box lie, as it stands [rad or mm].
    """

    axis: Axis
    let_out: float
    lever_radius: float | None
    box_radius: float | None
    spare: float
    play: float

    @property
    def reaches(self) -> bool:
        """Whether every gate is then reached on that axis."""
        return self.spare >= 0


@frozen(eq=False, kw_only=True)
class GateMends:
    """One set of changes, and the table with all of them made.

    Attributes
    ----------
    ways : tuple of AxisMend
        One for each axis that misses a gate.
    table : SelectorTable
        Every gate with the changes that reach made.
    """

    ways: tuple[AxisMend, ...]
    table: SelectorTable


def mend_gates(
    selector: Selector,
    gates: Sequence[Gate],
    *,
    axes: Iterable[Axis],
    threads: Mapping[Axis, Thread],
    leans: Mapping[Axis, tuple[float, float]],
) -> GateMends:
    """Find what reaches all gates at once, and try it.

    Parameters
    ----------
    selector : Selector
        The selector.
    gates : sequence of Gate
        Its gates.
    axes : iterable of str
        The axes that miss a gate.
    threads : mapping of str to Thread
        What is left of the adjusters of each.
    leans : mapping of str to tuple of float
        How far the rod of each may lean at the lever and at the box [rad].

    Returns
    -------
    GateMends

    Notes
    -----
    For each axis the adjuster alone is tried first; if no setting of it reaches every gate, the
    hole in the lever with the adjuster set anew, then the hole in the box's arm. Of those that
    reach, the one with the most to spare is taken. Swivels stay where they are. A shifting arm
    that rides on the selecting shaft is mended after it.
    """
    ways = []
    for axis in sorted(axes, key=AXES.index):
        search = _Search(selector, gates, axis, threads[axis], leans[axis])
        way = search.best()
        ways.append(way)
        if way.reaches:
            selector = applied(selector, way)
    return GateMends(ways=tuple(ways), table=selector_table(selector, gates))


def applied(selector: Selector, way: AxisMend) -> Selector:
    """Make one of the changes.

    Parameters
    ----------
    selector : Selector
        The selector.
    way : AxisMend
        The change.

    Returns
    -------
    Selector
    """
    if way.lever_radius is not None:
        selector = with_lever_radius(selector, way.axis, way.lever_radius)
    if way.box_radius is not None:
        selector = with_box_radius(selector, way.axis, way.box_radius)
    cable = cable_of(selector, way.axis)
    return with_cable(selector, way.axis, replace(cable, let_out=cable.let_out + way.let_out))


class _Search:
    """The search for one axis."""

    def __init__(
        self,
        selector: Selector,
        gates: Sequence[Gate],
        axis: Axis,
        thread: Thread,
        leans: tuple[float, float],
    ) -> None:
        self.selector, self.axis = selector, axis
        self.at = AXES.index(axis)
        self.lever = np.array([gate.lever for gate in gates])
        self.wanted = np.array([gate.box[self.at] for gate in gates])
        self.tolerance = np.array([gate.tolerance[self.at] for gate in gates])
        self.settings = self._settings(thread)
        band = play_band(selector, self.lever, self.at)
        self.play = float(np.ptp(band, axis=0).max() / 2)
        hand, box = self._leaning(selector, band[None])
        self.leans = max(leans[0], hand), max(leans[1], float(box[0]))  # no worse than it is

    def _settings(self, thread: Thread) -> Array:
        """Return where the adjusters can be set, nearest to where they stand first."""
        across, along = self.lever.T
        pulled = cable_of(self.selector, self.axis).pulled(self.selector.lever, across, along)
        reach = float(np.max(np.abs(pulled)))
        down, up = (
            min(int(min(left, reach) / SETTING_STEP), MOST_SETTINGS)
            for left in (max(thread.shorter, 0.0), max(thread.longer, 0.0))
        )
        steps = np.arange(-down, up + 1)
        return np.asarray(SETTING_STEP * steps[np.argsort(np.abs(steps), kind="stable")])

    def best(self) -> AxisMend:
        """Return the first kind of change that reaches every gate, or the nearest to it."""
        ways = [self._way(self.selector)]
        for mends in (self._lever_holes, self._box_holes):
            if not ways[-1].reaches:
                ways += mends()
        return next((way for way in ways if way.reaches), max(ways, key=lambda way: way.spare))

    def _way(
        self,
        changed: Selector,
        *,
        lever_radius: float | None = None,
        box_radius: float | None = None,
    ) -> AxisMend:
        """Set the adjusters of a changed selector as well as they can be."""
        spare = self._spare(changed)
        best = int(np.argmax(spare))
        return AxisMend(
            axis=self.axis,
            let_out=float(self.settings[best]),
            lever_radius=lever_radius,
            box_radius=box_radius,
            spare=float(spare[best]),
            play=self.play,
        )

    def _spare(self, changed: Selector) -> Array:
        """Return the least that any gate has left of its tolerance, at each setting."""
        band = play_band(changed, self.lever, self.at, more=self.settings)
        off = np.abs(band - self.wanted).max(axis=-2)
        spare = np.min(self.tolerance - off, axis=-1)
        hand, box = self._leaning(changed, band)
        fits = (hand <= self.leans[0]) & (box <= self.leans[1])
        return np.where(np.isnan(spare) | ~fits, -np.inf, spare)

    def _leaning(self, changed: Selector, band: Array) -> tuple[float, Array]:
        """Return how far the rod leans at the most, at the lever and (each setting) at the box."""
        cable = cable_of(changed, self.axis)
        hand = cable.rod_angle(changed.lever, self.lever[:, 0], self.lever[:, 1])
        return float(hand.max()), cable.box.rod_angle(band).max(axis=(-2, -1))

    def _lever_holes(self) -> Iterator[AxisMend]:
        cable = cable_of(self.selector, self.axis)
        present = float(norm(cable.point - lever_pivot(self.selector, self.axis)))
        yield self._hole(
            present,
            lambda r: self._way(with_lever_radius(self.selector, self.axis, r), lever_radius=r),
        )

    def _box_holes(self) -> Iterator[AxisMend]:
        box = cable_of(self.selector, self.axis).box
        if isinstance(box, Drum) or isinstance(box.member, Slide):
            return
        yield self._hole(
            box.member.radius,
            lambda r: self._way(with_box_radius(self.selector, self.axis, r), box_radius=r),
        )

    def _hole(self, present: float, way: Callable[[float], AxisMend]) -> AxisMend:
        """Return the hole, to the millimetre, that leaves the most: coarsely, then about it."""
        coarse = np.unique(np.maximum(np.round(present * SCAN), 1.0))
        ways = [_tried(way, float(radius)) for radius in coarse]
        best = int(np.argmax([-np.inf if each is None else each.spare for each in ways]))
        low, high = coarse[max(best - 1, 0)], coarse[min(best + 1, coarse.size - 1)]
        step = max(np.ceil((high - low) / MOST_HOLES), 1.0)
        fine = [_tried(way, float(radius)) for radius in np.arange(low, high + 1, step)]
        return max((each for each in fine if each is not None), key=lambda each: each.spare)


def _tried(way: Callable[[float], AxisMend], radius: float) -> AxisMend | None:
    """Return the way with that hole; None where the hole comes to lie on the swivel."""
    try:
        return way(radius)
    except GeometryError:
        return None
