"""Every figure worked out for a linkage or a selector: what rules look at and outputs show."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cableroute.linkage.bind import box_unit
from cableroute.linkage.build import Built
from cableroute.linkage.centres import DeadCentre
from cableroute.linkage.direction import Direction
from cableroute.linkage.gates import AXES, Reaching, SelectorTable
from cableroute.linkage.hand import HandLimit
from cableroute.linkage.mends import Mend
from cableroute.linkage.pattern import PatternSense
from cableroute.linkage.selector import Axis
from cableroute.linkage.slide import Slide
from cableroute.linkage.travel import TravelBudget
from cableroute.measure.linkage_models import SelectorEntry

Array = NDArray[np.float64]


def sound_axes(sense: PatternSense) -> tuple[Axis, ...]:
    """Return the axes that go the way that is wanted, so that their gates can be judged one by one.

    Parameters
    ----------
    sense : PatternSense
        How the pattern comes out.

    Returns
    -------
    tuple of str
        Of "select" and "shift"; neither where the axes are swapped.
    """
    mirrored = sense.mirrored_select, sense.mirrored_shift
    return tuple(
        axis for axis, wrong in zip(AXES, mirrored, strict=True) if not (wrong or sense.swapped)
    )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class LinkageFigures:
    """All figures of one linkage, over the part of the hand's range in which it closes.

    Attributes
    ----------
    built : Built
        The chain and what is wanted of it.
    hand : ndarray, shape (n,)
        Positions of the hand, from low to high [rad].
    far : ndarray, shape (n,)
        Where the far member stands, the play taken up on the way out [rad or mm].
    core : ndarray, shape (n,)
        Core drawn at the hand since neutral [mm].
    arriving : ndarray, shape (n,)
        Core that has arrived at the far end [mm].
    hand_angle, far_angle : ndarray, shape (n,)
        Rod to the line of its swivel at the two ends [rad].
    pulling, pushing : ndarray, shape (2, n)
        Force at the grip while the core is pulled and pushed, at low and at high friction;
        infinite where the cable or the arm locks; nan for a cable that does not push. Of a
        pull pair "pushed" is the other core pulled [N].
    core_load : float
        Greatest force on the core at the far end anywhere in the stroke [N].
    cable_load : float
        Least of the loads that the cable itself was judged for, pulling and pushing [N].
    far_at_limit : float or None
        Least force that arrives at the working point when the hand gives its limit only [N].
    hand_limit : HandLimit or None
        The published limit that fits the effort.
    budget : TravelBudget or None
        Travel; None where the far arm cannot get to what it needs.
    stroke : float or None
        The cable's own stroke, where known [mm].
    direction : Direction or None
        Which way everything goes; None if the far member does not move.
    mends : tuple of Mend
        Changes that turn a mirrored motion round.
    ratio : float
        Path of the working point over that of the grip, over the whole range [-].
    bend : float
        Farthest that the motion strays from proportion, as a share of it [-].
    centres : tuple of DeadCentre
        Over-centre and lock positions in the hand's range.
    faults : tuple of str
        What does not close or does not move.
    """

    built: Built
    hand: Array
    far: Array
    core: Array
    arriving: Array
    hand_angle: Array
    far_angle: Array
    pulling: Array
    pushing: Array
    core_load: float
    cable_load: float
    far_at_limit: float | None
    hand_limit: HandLimit | None
    budget: TravelBudget | None
    stroke: float | None
    direction: Direction | None
    mends: tuple[Mend, ...]
    ratio: float
    bend: float
    centres: tuple[DeadCentre, ...]
    faults: tuple[str, ...]

    @property
    def name(self) -> str:
        """What the linkage is called."""
        return self.built.entry.name

    @property
    def slides(self) -> bool:
        """Whether the far member slides, in mm, and does not swing."""
        return isinstance(self.built.chain.bodies[-1].incoming, Slide)

    @property
    def pulls_only(self) -> bool:
        """Whether the cable cannot push; a spring then holds its play to one side."""
        return bool(np.all(np.isnan(self.pushing)))

    @property
    def hand_forces(self) -> tuple[float, float]:
        """Greatest force at the grip anywhere in the stroke, at low and at high friction [N]."""
        both = np.fmax(np.max(self.pulling, axis=-1), np.max(self.pushing, axis=-1))
        return float(both[0]), float(both[1])

    @property
    def far_travel(self) -> float:
        """Path of the working point over the whole stroke [mm]."""
        return float(abs(self.far[-1] - self.far[0])) * self.built.chain.work_speed

    @property
    def far_needed(self) -> float:
        """Path of the working point needed [mm]."""
        low, high = self.built.need
        return (high - low) * self.built.chain.work_speed


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SelectorFigures:
    """All figures of one selector.

    Attributes
    ----------
    entry : SelectorEntry
        What the file says.
    select, shift : Built
        Its two linkages.
    table : SelectorTable or None
        Every gate; None if the box cannot follow.
    reaching : dict of (str, str) to Reaching
        What would bring a gate within reach, by gate and axis.
    fault : str
        Why there is no table, or nothing.
    """

    entry: SelectorEntry
    select: Built
    shift: Built
    table: SelectorTable | None
    reaching: dict[tuple[str, str], Reaching]
    fault: str

    def unit_of(self, axis: str) -> tuple[str, float]:
        """Return the unit of the box's positions on an axis, and its size.

        Parameters
        ----------
        axis : str
            "select" or "shift".

        Returns
        -------
        unit : str
            "mm" for a slide, "deg" for an arm.
        scale : float
            One such unit in the far member's coordinate [mm/mm or rad/deg].
        """
        scale = box_unit(self.select if axis == "select" else self.shift)
        return ("mm" if scale == 1.0 else "deg"), scale
