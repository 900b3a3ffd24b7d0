"""The table of a two-axis selector: every gate, what the cables do, what arrives at the box."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.pattern import Gate, PatternSense, pattern_sense
from cableroute.linkage.selector import (
    Axis,
    Selector,
    arrives,
    at_box,
    cable_of,
    drawn,
)

AXES: tuple[Axis, Axis] = ("select", "shift")

Outcome = Literal["reached", "short", "over", "off", "wrong way"]


@frozen(eq=False, kw_only=True)
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


@frozen(eq=False, kw_only=True)
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
    knob: Array
    select: AxisResult
    shift: AxisResult

    @property
    def reached(self) -> bool:
        """Whether both axes are within tolerance."""
        return self.select.outcome == self.shift.outcome == "reached"


@frozen(eq=False, kw_only=True)
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
    selector: Selector, gates: Sequence[Gate], lever: Array, got: Array, axis: int
) -> list[AxisResult]:
    """Work out one axis (0 select, 1 shift) of all gates."""
    cable, (across, along) = cable_of(selector, AXES[axis]), lever.T
    core = cable.pulled(selector.lever, across, along)
    alone = (
        np.where([True, False], lever, 0.0) if axis == 0 else np.where([False, True], lever, 0.0)
    )
    crosstalk = core - cable.pulled(selector.lever, alone[:, 0], alone[:, 1])
    band = play_band(selector, lever, axis)
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


def play_band(selector: Selector, lever: Array, axis: int, *, more: ArrayLike = 0.0) -> Array:
    """Find the least and greatest coordinate that the play leaves one member of the box.

    Parameters
    ----------
    selector : Selector
        The selector.
    lever : ndarray, shape (n, 2)
        Lever angles of the gates, select and shift [rad].
    axis : int
        0 for select, 1 for shift [-].
    more : array-like, shape (...), optional
        Conduit let out at that cable's adjusters besides what already is [mm].

    Returns
    -------
    ndarray, shape (..., 2, n)
        Low, then high; nan where the box cannot follow [rad or mm].
    """
    travels = list(drawn(selector, lever[:, 0], lever[:, 1]))
    cables = selector.select, selector.shift
    travels = [u + cable.let_out for u, cable in zip(travels, cables, strict=True)]
    half = cables[axis].lost / 2
    off = np.asarray(more, dtype=np.float64)[..., None, None] + np.array([[-half], [half]])
    travels[1 - axis] = travels[1 - axis] + 0 * off
    travels[axis] = travels[axis] + off
    return np.sort(at_box(selector, *travels)[axis].coordinate, axis=-2)


def _beyond(wanted: float, tolerance: float, band: Array) -> float:
    """Return how far the worse end of the band lies beyond the tolerance."""
    return float(max(np.max(np.abs(band - wanted)) - tolerance, 0.0))


def _outcome(wanted: float, tolerance: float, band: Array) -> Outcome:
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
