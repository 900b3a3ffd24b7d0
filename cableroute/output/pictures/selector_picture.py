"""The pattern of a selector: as the knob is moved, and as it comes out at the box."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import SelectorAssessment
from cableroute.figures.selector import SelectorFigures, sound_axes
from cableroute.frozen import frozen
from cableroute.linkage.bind import build_selector
from cableroute.linkage.build import hand_way
from cableroute.linkage.direction import way
from cableroute.linkage.gates import AXES, AxisResult, GateRow
from cableroute.linkage.pattern import Gate
from cableroute.output.pictures.labels import Label, place_labels
from cableroute.output.pictures.projection import densely
from cableroute.output.pictures.style import (
    BLUE,
    GREEN,
    GREY,
    HEADING,
    INK,
    KEY_ROOM,
    LETTERS,
    PALE,
    RED,
    SMALL,
    arrow,
    dress,
    key,
    new_axes,
    panels,
    plain,
    shown_unit,
)
from cableroute.output.pictures.views import set_limits

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Room round the pattern at the box, as a share of its span [-].
_ROOM = 0.3
#: Points spread over a unit square.
_GRID = np.stack(np.meshgrid(np.linspace(0.0, 1.0, 7), np.linspace(0.0, 1.0, 7)), -1).reshape(-1, 2)
#: What the driver calls what is drawn to the right and upwards.
_DRIVER = ("to the driver's right", "ahead of the driver", "up")


@frozen(eq=False)
class Paper:
    """How a selector lies on the paper: as its driver sees it, or looks at it.

    Parameters
    ----------
    right, up : ndarray, shape (3,)
        What is drawn to the right and upwards, in the machine's frame [-].
    words : tuple of str
        What these are for the driver.
    upright : bool
        Whether selecting goes across the paper and shifting up and down it, not the other way.
    signs : tuple of int
        +1 where selecting (shifting) the wanted way goes to the right or upwards, else -1 [-].
    """

    right: Array
    up: Array
    words: tuple[str, str]
    upright: bool
    signs: tuple[int, int]

    def seen(self, points: Array) -> Array:
        """Return points as they lie on the paper."""
        return np.asarray(points @ np.stack((self.right, self.up)).T)


def paper_of(figures: SelectorFigures) -> Paper:
    """Return how a selector is laid on the paper."""
    entries = figures.select.entry, figures.shift.entry
    ahead = np.array([*entries[0].hand.facing[:2], 0.0])
    ahead /= np.linalg.norm(ahead)
    frame = np.stack((np.cross(ahead, (0.0, 0.0, 1.0)), ahead, (0.0, 0.0, 1.0)))
    ways = np.stack([hand_way(entry) for entry in entries])
    moves = frame @ ways.T  # of right, ahead and up, how much selecting and shifting go that way
    first, second = sorted(np.argsort(np.abs(moves).max(axis=1))[1:].tolist())
    seen = moves[[first, second]]
    upright = bool(abs(seen[0, 0]) >= abs(seen[0, 1]))
    select, shift = (0, 1) if upright else (1, 0)
    return Paper(
        right=frame[first],
        up=frame[second],
        words=(_DRIVER[first], _DRIVER[second]),
        upright=upright,
        signs=(1 if seen[select, 0] >= 0 else -1, 1 if seen[shift, 1] >= 0 else -1),
    )


def draw_selector(result: SelectorAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw the gates as the knob is moved, and beside that what arrives at the box."""
    figures = result.figures
    paper = paper_of(figures)
    ax = ax or new_axes(5.2, owner=figures.entry.name, left=0.04)
    sense = figures.table.sense.text if figures.table else "the box cannot follow"
    ax.set_title(f"Pattern: {sense}", loc="left", fontsize=HEADING, color=INK, pad=KEY_ROOM)
    knob, box = panels(ax, 2, left=0.62, below=0.1)
    selector, gates = build_selector(figures.entry, select=figures.select, shift=figures.shift)

    def moved(select: Array, shift: Array) -> Array:
        lever = selector.lever
        return paper.seen(lever.carried(lever.knob, select, shift) - lever.knob)

    _draw_knob(knob, gates, moved, paper, unit=unit)
    _draw_box(box, figures, gates, paper)
    ax.fill([], [], **_GOAL, label="wanted, with tolerance")
    for reached, words in ((True, "arrives in its gate"), (False, "misses it")):
        ax.fill([], [], **_look(reached), label=words)
    key(ax)
    return ax


def gate_at_box(
    figures: SelectorFigures, gate: Gate, row: GateRow | None
) -> tuple[Array, Array | None]:
    """Return where the box wants a gate and where it arrives, above 0 the way that is wanted."""
    scales = np.array([figures.unit_of(axis)[1] for axis in AXES])
    senses = np.array([figures.select.far_sense, figures.shift.far_sense])
    middle, tolerance = senses * gate.box / scales, np.array(gate.tolerance) / scales
    wanted = np.stack((middle - tolerance, middle + tolerance), axis=1)
    if row is None:
        return wanted, None
    band = np.array([[at.low, at.high] for at in (row.select, row.shift)])
    return wanted, np.sort(band * (senses / scales)[:, None], axis=1)


_GOAL: dict[str, Any] = {"fc": "none", "ec": GREEN, "lw": 1.6, "ls": (0, (4, 1.5))}


def _look(reached: bool) -> dict[str, Any]:
    colour, hatch = (BLUE, "////") if reached else (RED, "xxxx")
    return {"fc": "white", "ec": colour, "hatch": hatch, "lw": 1.4}


def _draw_knob(
    ax: Axes,
    gates: Sequence[Gate],
    moved: Callable[[Array, Array], Array],
    paper: Paper,
    *,
    unit: str,
) -> None:
    """Draw slots and gates as the driver sees them."""
    scale, name = shown_unit(unit)
    lever = np.array([gate.lever for gate in gates])
    knob = moved(lever[:, 0], lever[:, 1]) / scale
    columns = np.unique(lever[:, 0])
    slots = [moved(columns, 0.0 * columns) / scale]  # across at neutral, then each gate's own
    shares = np.linspace(0.0, 1.0, 9)
    slots += [moved(np.full(9, select), shares * shift) / scale for select, shift in lever]
    dress(ax, heading="", x=f"{paper.words[0]} [{name}]", y=f"{paper.words[1]} [{name}]")
    ax.set_title("knob", loc="left", fontsize=LETTERS, color=INK, pad=4.0)
    every = np.concatenate((*slots, knob))
    set_limits(ax, every.min(axis=0), every.max(axis=0), room=(30.0, 30.0))
    for slot in slots:
        ax.plot(*slot.T, color=PALE, lw=9.0, solid_capstyle="round", zorder=1.0)
    pressed = np.array([gate.press for gate in gates])
    ax.plot(*knob.T, "o", ms=8.0, mfc="white", mec=INK, mew=1.4, zorder=3.0)
    ax.plot(*knob[pressed].T, "o", ms=12.5, mfc="none", mec=INK, mew=1.0, zorder=3.0)
    labels = []
    for (x, y), gate in zip(knob.tolist(), gates, strict=True):
        words = plain(gate.name) + (" (press)" if gate.press else "")
        labels.append(Label(x, y, words, towards=np.copysign(0.5 * np.pi, y)))
    place_labels(ax, labels, avoid=np.concatenate([densely(slot) for slot in slots]))


def _draw_box(ax: Axes, figures: SelectorFigures, gates: Sequence[Gate], paper: Paper) -> None:
    """Draw what the box wants and what arrives, laid out as the knob is moved."""
    order = [0, 1] if paper.upright else [1, 0]
    rows = {row.gate.name: row for row in figures.table.rows} if figures.table else {}
    pairs = [gate_at_box(figures, gate, rows.get(gate.name)) for gate in gates]
    names = [_axis_name(figures, i) for i in order]
    dress(ax, heading="", x=names[0], y=names[1])
    ax.set_title("box", loc="left", fontsize=LETTERS, color=INK, pad=4.0)
    _set_box_limits(ax, [each[order] for pair in pairs for each in pair if each is not None], paper)
    labels, busy = [], []
    for gate, (wanted, band) in zip(gates, pairs, strict=True):
        goal, words, row = _corners(wanted[order]), plain(gate.name), rows.get(gate.name)
        x, y = goal.mean(axis=0).tolist()
        ax.fill(*goal.T, **_GOAL, zorder=2.0)
        busy += [goal[0] + _GRID * (goal[2] - goal[0])]
        if band is not None and row is not None:
            spot = _corners(band[order])
            u, v = spot.mean(axis=0).tolist()
            ax.fill(*spot.T, **_look(row.reached), zorder=3.0)
            busy.append(spot)
            if not row.reached:
                arrow(ax, np.array([x, y]), np.array([u, v]), colour=GREY, width=0.8)
                busy.append(densely(np.array([[x, y], [u, v]])))
                aside = Label(x, y, f"{words} wanted", SMALL, towards=_outwards(ax, y), aside=True)
                labels.append(aside)
                words += " arrives" + _misses(figures, row)
            x, y = u, v
        labels.append(Label(x, y, words, towards=_outwards(ax, y)))
    labels.sort(key=lambda label: label.aside)
    place_labels(ax, labels, avoid=np.concatenate(busy))


def _corners(spans: Array) -> Array:
    (x0, x1), (y0, y1) = spans.tolist()
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])


def _set_box_limits(ax: Axes, spans: Sequence[Array], paper: Paper) -> None:
    every = np.concatenate(spans, axis=1)
    low, high = every.min(axis=1), every.max(axis=1)
    room = _ROOM * (high - low)
    limits = np.stack((low - room, high + room), axis=1)
    ax.set_xlim(*limits[0][:: paper.signs[0 if paper.upright else 1]])
    ax.set_ylim(*limits[1][:: paper.signs[1 if paper.upright else 0]])


def _axis_name(figures: SelectorFigures, index: int) -> str:
    entry = (figures.select, figures.shift)[index].entry
    return f"{plain(entry.far.name)}, {way(entry.wanted.far)} [{figures.unit_of(AXES[index])[0]}]"


def _misses(figures: SelectorFigures, row: GateRow) -> str:
    """Say what is wrong on each axis that goes the right way."""
    assert figures.table is not None
    sound = sound_axes(figures.table.sense)
    results: tuple[AxisResult, AxisResult] = (row.select, row.shift)
    return "".join(
        f"\n{axis} {at.outcome}"
        for axis, at in zip(AXES, results, strict=True)
        if axis in sound and at.outcome != "reached"
    )


def _outwards(ax: Axes, y: float) -> float:
    """Return the direction on the paper away from the row in the middle."""
    low, high = ax.get_ylim()
    above = (y - 0.5 * (low + high)) * (high - low) >= 0.0
    return 0.5 * np.pi if above else -0.5 * np.pi
