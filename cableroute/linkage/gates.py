"""The table of a two-axis selector: every gate, what the cables do, what arrives at the box."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from cableroute.errors import GeometryError
from cableroute.linkage.drum import Drum
from cableroute.linkage.pattern import Gate, PatternSense, pattern_sense
from cableroute.linkage.search import nearest_change
from cableroute.linkage.selector import (
    Axis,
    Selector,
    arrives,
    at_box,
    cable_of,
    drawn,
)
from cableroute.linkage.selector_holes import with_box_radius, with_lever_radius
from cableroute.linkage.slide import Slide
from cableroute.linkage.vectors import FloatArray, norm

AXES: tuple[Axis, Axis] = ("select", "shift")

Outcome = Literal["reached", "short", "over", "off", "wrong way"]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class AxisResult:
    """One axis of one gate.

    Attributes
    ----------
    drawn : float
        Core drawn at the lever [mm].
    crosstalk : float
        The part of it that only the other axis of the lever has caused [mm].
    arrives : float
        Coordinate of the box's member, the play taken up on the way out [rad or mm].
    low, high : float
        Between which it may lie, the core anywhere in its play [rad or mm].
    wanted, tolerance : float
        The gate at the box, and how far off it may be [rad or mm].
    outcome : str
        "reached"; else "short", "over", "off" (where 0 is wanted) or "wrong way".
    shortfall : float
        How far the worse end of the band lies beyond the tolerance, 0 if reached [rad or mm].
    hand_angle, box_angle : float
        Rod to the cable's line at the lever and at the box [rad].
    """

    drawn: float
    crosstalk: float
    arrives: float
    low: float
    high: float
    wanted: float
    tolerance: float
    outcome: Outcome
    shortfall: float
    hand_angle: float
    box_angle: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class GateRow:
    """One gate of the table.

    Attributes
    ----------
    gate : Gate
        The gate.
    knob : ndarray, shape (3,)
        Displacement of the knob from neutral [mm].
    select, shift : AxisResult
        What happens on each axis.
    """

    gate: Gate
    knob: FloatArray
    select: AxisResult
    shift: AxisResult

    @property
    def reached(self) -> bool:
        """Whether both axes are within tolerance."""
        return self.select.outcome == self.shift.outcome == "reached"


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SelectorTable:
    """Every gate, and how the pattern as a whole comes out.

    Attributes
    ----------
    rows : tuple of GateRow
        In the order of the gates.
    sense : PatternSense
        As wanted, mirrored or swapped.
    """

    rows: tuple[GateRow, ...]
    sense: PatternSense


def selector_table(selector: Selector, gates: Sequence[Gate]) -> SelectorTable:
    """Work out every gate of a selector.

    Parameters
    ----------
    selector : Selector
        The selector.
    gates : sequence of Gate
        Its gates.

    Returns
    -------
    SelectorTable

    Raises
    ------
    GeometryError
        If there are no gates, or a member of the box cannot follow its cable.

    Notes
    -----
    A gate counts as reached when the *whole* band in which the play lets the box lie is within
    the gate's tolerance, which a detent that draws the box home may make severe.
    """
    if not gates:
        raise GeometryError(f"{selector.name}: expected one gate or more, got none")
    lever = np.array([gate.lever for gate in gates])
    got = np.stack(arrives(selector, lever[:, 0], lever[:, 1]), axis=-1)
    results = [_axis_results(selector, gates, lever, got, axis) for axis in (0, 1)]
    knob = selector.lever.carried(selector.lever.knob, lever[:, 0], lever[:, 1])
    rows = tuple(
        GateRow(gate=gate, knob=knob[i] - selector.lever.knob, select=select, shift=shift)
        for i, (gate, select, shift) in enumerate(zip(gates, *results, strict=True))
    )
    wanted, tolerance = [gate.box for gate in gates], [gate.tolerance for gate in gates]
    return SelectorTable(rows=rows, sense=pattern_sense(wanted, got, tolerance=tolerance))


def _axis_results(
    selector: Selector, gates: Sequence[Gate], lever: FloatArray, got: FloatArray, axis: int
) -> list[AxisResult]:
    """Work out one axis (0 select, 1 shift) of all gates."""
    cable, (across, along) = cable_of(selector, AXES[axis]), lever.T
    core = cable.pulled(selector.lever, across, along)
    alone = (
        np.where([True, False], lever, 0.0) if axis == 0 else np.where([False, True], lever, 0.0)
    )
    crosstalk = core - cable.pulled(selector.lever, alone[:, 0], alone[:, 1])
    band = _band(selector, lever, axis)
    if np.any(np.isnan(band)):
        raise GeometryError(
            f"{selector.name}: expected the box to follow {cable.name} through its lost motion, "
            "got a dead centre within it"
        )
    hand_angle = cable.rod_angle(selector.lever, across, along)
    box_angle = cable.box.rod_angle(got[:, axis])
    return [
        AxisResult(
            drawn=float(core[i]),
            crosstalk=float(crosstalk[i]),
            arrives=float(got[i, axis]),
            low=float(band[0, i]),
            high=float(band[1, i]),
            wanted=gate.box[axis],
            tolerance=gate.tolerance[axis],
            outcome=_outcome(gate.box[axis], gate.tolerance[axis], band[:, i]),
            shortfall=_beyond(gate.box[axis], gate.tolerance[axis], band[:, i]),
            hand_angle=float(hand_angle[i]),
            box_angle=float(box_angle[i]),
        )
        for i, gate in enumerate(gates)
    ]


def _band(selector: Selector, lever: FloatArray, axis: int) -> FloatArray:
    """Return the least and greatest coordinate the play leaves one member, shape (2, n)."""
    across, along = drawn(selector, lever[:, 0], lever[:, 1])
    half = cable_of(selector, AXES[axis]).lost / 2
    play = np.array([[-half], [half]])
    reach = at_box(selector, across + play * (axis == 0), along + play * (axis == 1))[axis]
    return np.sort(reach.coordinate, axis=0)


def _beyond(wanted: float, tolerance: float, band: FloatArray) -> float:
    """Return how far the worse end of the band lies beyond the tolerance."""
    return float(max(np.max(np.abs(band - wanted)) - tolerance, 0.0))


def _outcome(wanted: float, tolerance: float, band: FloatArray) -> Outcome:
    """Say what is wrong with where the band lies."""
    if _beyond(wanted, tolerance, band) == 0.0:
        return "reached"
    middle = float(np.mean(band))
    if abs(wanted) <= tolerance:
        return "off"
    if middle * wanted < 0:
        return "wrong way"
    worse = float(band[int(np.argmax(np.abs(band - wanted)))]) - wanted
    return "short" if worse * wanted < 0 else "over"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reaching:
    """What would bring one axis of a gate to the middle of its tolerance.

    Attributes
    ----------
    lever_radius : float or None
        Pivot to attachment along the lever; None if no radius does it [mm].
    box_radius : float or None
        Pivot to hole at the box; None if no radius does it or the box has no arm there [mm].
    play : float
        Half the width of the band at the box as it stands; beyond the tolerance no radius helps,
        only a cable with less lost motion [rad or mm].
    """

    lever_radius: float | None
    box_radius: float | None
    play: float


def radius_to_reach(selector: Selector, gate: Gate, axis: Axis) -> Reaching:
    """Find the radius at the lever, or at the box, with which a gate would be reached.

    Parameters
    ----------
    selector : Selector
        The selector.
    gate : Gate
        The gate, its wanted coordinate on that axis not 0.
    axis : str
        "select" or "shift".

    Returns
    -------
    Reaching

    Raises
    ------
    GeometryError
        If the box is wanted at 0 on that axis, which no radius changes.

    Notes
    -----
    One arm at a time, swivels left in place, within a quarter to four times the present radius.
    The other gates of the pattern move too: work the table again.
    """
    at = AXES.index(axis)
    if gate.box[at] == 0:
        raise GeometryError(
            f"gate {gate.name}: expected a wanted {axis} other than 0, got 0, which no radius moves"
        )
    lever = np.array([gate.lever])
    band = _band(selector, lever, at)
    half = float(np.ptp(band) / 2)
    cable = cable_of(selector, axis)

    def middle(changed: Selector) -> float:
        return float(np.mean(_band(changed, lever, at)) * np.sign(gate.box[at]))

    def search(change: Callable[[Selector, Axis, float], Selector], present: float) -> float | None:
        if half > gate.tolerance[at]:
            return None
        found = nearest_change(
            lambda r: not middle(change(selector, axis, r)) < abs(gate.box[at]), present=present
        )
        # a member that locks counts as gone too far, but a lock is not a gate reached
        locks = found is not None and np.isnan(middle(change(selector, axis, found)))
        return None if locks else found

    box = cable.box
    arm = None if isinstance(box, Drum) or isinstance(box.member, Slide) else box.member
    return Reaching(
        lever_radius=search(with_lever_radius, float(norm(cable.point - selector.lever.pivot))),
        box_radius=None if arm is None else search(with_box_radius, arm.radius),
        play=half,
    )
