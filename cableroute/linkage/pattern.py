"""The gates of a two-axis selector, and the name of a pattern that comes out turned.

Two axes: *select* goes across, from column to column, above zero to the left; *shift* goes along a
column, from row to row, above zero forward.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import product
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen

#: Something along the two axes: (select, shift).
Pair: TypeAlias = tuple[float, float]


@frozen(kw_only=True)
class Gate:
    """One position of the pattern.

    Parameters
    ----------
    name : str
        "1", "R", "neutral".
    lever : tuple of float
        Lever angle (select, shift) from neutral [rad].
    box : tuple of float
        Wanted coordinate of the box's two members, from neutral [rad or mm].
    tolerance : tuple of float
        How far the box may be off and still be in the gate, each way [rad or mm].
    press : bool, default False
        Whether the lever must be pressed (lifted, a ring pulled) to pass.

    Raises
    ------
    GeometryError
        If a number is not finite, or a tolerance is not above 0.
    """

    name: str
    lever: Pair
    box: Pair
    tolerance: Pair
    press: bool = False

    def __post_init__(self) -> None:
        for what in ("lever", "box", "tolerance"):
            value = getattr(self, what)
            if len(value) != 2 or not np.all(np.isfinite(value)):
                raise GeometryError(
                    f"gate {self.name}, {what}: expected two finite numbers, got {value!r}"
                )
        if min(self.tolerance) <= 0:
            raise GeometryError(
                f"gate {self.name}, tolerance: expected above 0, got {self.tolerance!r}"
            )


def spread(count: int, *, step: float, neutral: float | None = None) -> tuple[float, ...]:
    """Return evenly spaced offsets of columns or rows, the first at the left or forward.

    ``step * (neutral - i)``

    Parameters
    ----------
    count : int
        How many, 1 or more [-].
    step : float
        From one to the next [any].
    neutral : float, optional
        Index that lies at 0; by default the middle, which may lie between two [-].

    Returns
    -------
    tuple of float

    Raises
    ------
    GeometryError
        If the count is below 1.

    Examples
    --------
    >>> spread(3, step=40)
    (40.0, 0.0, -40.0)
    """
    if count < 1:
        raise GeometryError(f"gate pattern: expected 1 or more columns and rows, got {count}")
    zero = (count - 1) / 2 if neutral is None else neutral
    return tuple(float(step * (zero - i)) for i in range(count))


def gate_pattern(
    columns: Sequence[Sequence[str]],
    *,
    lever_columns: Sequence[float],
    lever_rows: Sequence[float],
    box_columns: Sequence[float],
    box_rows: Sequence[float],
    tolerance: Pair,
    press: Iterable[str] = (),
) -> tuple[Gate, ...]:
    """Lay out the gates of a pattern, column by column.

    Parameters
    ----------
    columns : sequence of sequence of str
        Names, leftmost column first, forward row first; "" where there is no gate.
    lever_columns, lever_rows : sequence of float
        Lever angle of every column (select) and every row (shift) [rad].
    box_columns, box_rows : sequence of float
        Wanted coordinate of the box's members for every column and row [rad or mm].
    tolerance : tuple of float
        As in `Gate`, the same for all [rad or mm].
    press : iterable of str, optional
        Names of the gates that want a press to pass.

    Returns
    -------
    tuple of Gate

    Raises
    ------
    GeometryError
        If the offsets do not match the names, a name comes twice, or a pressed gate is unknown.

    Examples
    --------
    >>> gates = gate_pattern([("1", "2"), ("R", "")], lever_columns=(0.1, -0.1),
    ...     lever_rows=(0.3, -0.3), box_columns=(8, -8), box_rows=(0.2, -0.2), tolerance=(1, 0.02),
    ...     press=["R"])
    >>> [(gate.name, gate.lever, gate.press) for gate in gates]
    [('1', (0.1, 0.3), False), ('2', (0.1, -0.3), False), ('R', (-0.1, 0.3), True)]
    """
    rows = max((len(column) for column in columns), default=0)
    for what, offsets, count in (
        ("lever columns", lever_columns, len(columns)),
        ("box columns", box_columns, len(columns)),
        ("lever rows", lever_rows, rows),
        ("box rows", box_rows, rows),
    ):
        if len(offsets) != count or count == 0:
            raise GeometryError(
                f"gate pattern, {what}: expected {count} offsets, got {len(offsets)}"
            )
    pressed = set(press)
    gates = tuple(
        Gate(
            name=name,
            lever=(lever_columns[c], lever_rows[r]),
            box=(box_columns[c], box_rows[r]),
            tolerance=tolerance,
            press=name in pressed,
        )
        for c, column in enumerate(columns)
        for r, name in enumerate(column)
        if name
    )
    _check_names([gate.name for gate in gates], pressed)
    return gates


def _check_names(names: list[str], pressed: set[str]) -> None:
    """Refuse a name used twice, and a press-to-pass for a gate that is not there."""
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise GeometryError(f"gate pattern: expected every name once, got {twice} more than once")
    unknown = sorted(pressed - set(names))
    if unknown:
        raise GeometryError(f"gate pattern, press: expected names of gates, got {unknown}")


def facing_aft(gates: Iterable[Gate]) -> tuple[Gate, ...]:
    """Return the same pattern as worked by a driver who faces aft: both lever axes turn round.

    Parameters
    ----------
    gates : iterable of Gate
        The pattern as the driver sees it, forward being where the driver looks.

    Returns
    -------
    tuple of Gate
        With the lever angles as the machine sees them.

    Examples
    --------
    >>> gate = Gate(name="1", lever=(0.1, 0.3), box=(8, 0.2), tolerance=(1, 0.02))
    >>> facing_aft([gate])[0].lever
    (-0.1, -0.3)
    """
    return tuple(replace(gate, lever=(-gate.lever[0], -gate.lever[1])) for gate in gates)


@frozen(kw_only=True)
class PatternSense:
    """How a pattern comes out against how it was wanted.

    Attributes
    ----------
    swapped : bool
        Whether what should select shifts, and the other way about.
    mirrored_select, mirrored_shift : bool
        Whether the box's selecting (shifting) member goes the wrong way.
    misfit : float
        What is left unexplained, 0 if the pattern fits exactly, about 1 if nothing fits [-].
    """

    swapped: bool
    mirrored_select: bool
    mirrored_shift: bool
    misfit: float

    @property
    def right(self) -> bool:
        """Whether the pattern comes out the way it was wanted."""
        return not (self.swapped or self.mirrored_select or self.mirrored_shift)

    @property
    def text(self) -> str:
        """The name of it in plain words."""
        mirror = {
            (False, False): "",
            (True, False): "mirrored side to side (select)",
            (False, True): "mirrored forward and aft (shift)",
            (True, True): "mirrored both ways",
        }[self.mirrored_select, self.mirrored_shift]
        words = ["axes swapped"] if self.swapped else []
        words += [mirror] if mirror else []
        return " and ".join(words) or "as wanted"


def pattern_sense(
    wanted: ArrayLike, got: ArrayLike, *, tolerance: ArrayLike = (0.0, 0.0)
) -> PatternSense:
    """Name the turn or mirroring that best explains how a pattern came out.

    Each axis is scaled by its largest travel, then all eight ways of laying a pattern on a cross
    (swapped or not, each axis mirrored or not) are tried and the closest is taken.

    Parameters
    ----------
    wanted, got : array-like, shape (n, 2)
        (select, shift) of every gate at the box, wanted and as it arrives [any].
    tolerance : array-like, shape (2,) or (n, 2), optional
        Travel that counts as none, so that crosstalk is not taken for a pattern [any].

    Returns
    -------
    PatternSense

    Raises
    ------
    GeometryError
        If the two are not pairs for the same gates.

    Notes
    -----
    A pattern with one column, or one that is its own mirror image gate for gate, cannot tell some
    of the eight apart; the plainest of those that fit equally is named. Where the axes
    are swapped, "mirrored" compares an axis with what was wanted of the other one, sign for sign.

    Examples
    --------
    >>> pattern_sense([(1, 1), (1, -1), (-1, 1)], [(-9, 2), (-9, -2), (9, 2)]).text
    'mirrored side to side (select)'
    """
    want, have = np.asarray(wanted, dtype=np.float64), np.asarray(got, dtype=np.float64)
    if want.shape != have.shape or want.ndim != 2 or want.shape[-1] != 2 or not want.size:
        raise GeometryError(
            f"pattern: expected (select, shift) for the same gates, got shapes {np.shape(wanted)} "
            f"and {np.shape(got)}"
        )
    want, have = _scaled(want), _scaled(np.where(np.abs(have) > np.asarray(tolerance), have, 0.0))
    best = PatternSense(
        swapped=False, mirrored_select=False, mirrored_shift=False, misfit=float("inf")
    )
    for swapped, shift, select in product((False, True), repeat=3):
        signs = np.array([-1.0 if select else 1.0, -1.0 if shift else 1.0])
        misfit = float(np.sqrt(np.mean((have - signs * (want[:, ::-1] if swapped else want)) ** 2)))
        if misfit < best.misfit - 1e-9:
            best = PatternSense(
                swapped=swapped, mirrored_select=select, mirrored_shift=shift, misfit=misfit
            )
    return best


def _scaled(pairs: Array) -> Array:
    """Return the pattern with the largest travel of each axis made 1 (an unmoved axis stays 0)."""
    size = np.max(np.abs(pairs), axis=0)
    return np.asarray(pairs / np.where(size > 0, size, 1.0))
