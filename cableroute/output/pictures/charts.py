"""Charts of a cable: force and bends along it, and the lengths on offer."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.figures.forces import pulls_along
from cableroute.output.pictures.labels import Label, place_labels
from cableroute.output.pictures.style import (
    BLUE,
    GREEN,
    GREY,
    INK,
    LETTERS,
    PALE,
    RED,
    SMALL,
    dress,
    key,
    new_axes,
    plain,
    shown_unit,
)
from cableroute.route.pieces import STRAIGHT, Route

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from cableroute.figures.pair import PairFigures

_ALONG = "distance from the hand end [{}]"
#: Forces from which an axis is numbered in powers of ten, which matplotlib would put into the key
#: [N or lbf].
_LONG_FORCE = 1e5


def draw_forces(result: CableAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw the force along the cable, pulling and pushing, between low and high friction."""
    figures = result.figures
    (scale, name), per = shown_unit(unit), figures.words.newtons
    along = joints(figures.route) / scale
    ax = ax or new_axes(4.2, owner=figures.cable.name)
    axis = f"force [{figures.words.force_unit}]"
    dress(ax, heading="Force, low to high friction", x=_ALONG.format(name), y=axis)
    if result.pair is None:
        pull, push = figures.pulls / per, None if figures.pushes is None else figures.pushes / per
    else:
        pull, push = _tauter_core(result.pair, figures) / per, None
    held, pushed = (each / per for each in _held(result))
    word = "pull" if result.pair is None else "pull on the tauter core"
    _band(ax, along, pull, word=word, colour=BLUE, line="-", held=held)
    if push is not None:
        _band(ax, along, push, word="push", colour=RED, line="--", held=pushed)
    bands = pull + held if push is None else np.vstack((pull + held, push + pushed))
    top = float(np.max(bands, where=np.isfinite(bands), initial=1.0))
    ax.set_xlim(along[0], along[-1])
    ax.set_ylim(0.0, 1.25 * top)
    if top > _LONG_FORCE:
        many = 10 ** (3 * ((len(str(int(top))) - 1) // 3))
        ax.yaxis.set_major_formatter(lambda force, _: f"{force / many:g}")
        ax.set_ylabel(f"force [{many:.0e} {figures.words.force_unit}]")
    if not np.isfinite(bands).all():
        _tell_lockup(ax)
    key(ax)
    _name_bends(ax, figures, along, curves=bands)
    return ax


def draw_radius(result: CableAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw the radius of each bend along the cable against the least allowed, tighter upwards."""
    figures = result.figures
    route = figures.route
    scale, name = shown_unit(unit)
    along = joints(route) / scale
    ax = ax or new_axes(3.8, owner=figures.cable.name)
    words = f"bend radius [{name}]"
    dress(ax, heading="Bends along the cable", x=_ALONG.format(name), y=words)
    bent = np.zeros(len(along) - 1)
    bent[1::2] = np.where(route.turns > STRAIGHT, scale / route.radii, 0.0)
    limits = np.full(len(along) - 1, scale / figures.cable.bend_radius)
    limits[1::2] = scale / route.wanted_radii
    along, bent, limits = _gravest_steps(along, bent, limits)
    ax.stairs(bent, along, fill=True, facecolor=PALE, edgecolor=BLUE, linewidth=1.8, label="cable")
    ax.stairs(limits, along, color=RED, linestyle="--", baseline=None, label="least radius allowed")
    tightest = float(max(bent.max(), limits.max()))
    ax.set_xlim(along[0], along[-1])
    ax.set_ylim(0.0, 1.45 * tightest)
    _mark_radii(ax, [tightest, float(limits.min()), 0.5 * tightest, 0.25 * tightest])
    key(ax)
    curves = [np.interp(joints(route) / scale, along, _ends(each)) for each in (bent, limits)]
    _name_bends(ax, figures, joints(route) / scale, curves=np.vstack(curves))
    return ax


#: Steps of a chart at most: more than any paper shows [-].
MOST_STEPS = 8000


def _gravest_steps(along: Array, bent: Array, limits: Array) -> tuple[Array, Array, Array]:
    """Make few steps of very many: the tightest bend of several, and the strictest limit."""
    many = -(-len(bent) // MOST_STEPS)
    if many == 1:
        return along, bent, limits
    first = np.arange(0, len(bent), many)
    edges = np.append(along[first], along[-1])
    return edges, np.maximum.reduceat(bent, first), np.minimum.reduceat(limits, first)


def _mark_radii(ax: Axes, bends: list[float]) -> None:
    """Name heights, which are drawn as 1/R, by their radius; of two that are close, the first."""
    kept: list[float] = []
    for bend in bends:
        if all(abs(bend - other) > 0.08 * bends[0] for other in kept):
            kept.append(bend)
    ax.set_yticks([0.0, *kept], ["straight", *(f"{1.0 / bend:.3g}" for bend in kept)])


def draw_stock(result: CableAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw the stock lengths round the one chosen against the two shapes, the slack and the doubt."""
    figures = result.figures
    order = figures.order
    scale, name = shown_unit(unit)
    rungs = np.array(_rungs(figures)) / scale
    need, doubt = order.need / scale, order.doubt / scale
    least, lies = (order.least + order.ends) / scale, (order.lay + order.ends) / scale
    ax = ax or new_axes(1.9 + 0.35 * len(rungs), owner=figures.cable.name, left=0.28)
    dress(ax, heading="Length to order", x=f"{order.measure} length [{name}]", y="")
    ax.axvspan(need - doubt, need + doubt, color=PALE, label="doubt of the tape")
    ax.axvline(need, color=INK, linewidth=0.9, label="drawn tight")
    ax.axvline(least, color=RED, linewidth=1.4, linestyle="--", label="least")
    ax.axvline(lies, color=GREEN, linewidth=0.9, label="left to itself")
    every = np.append(rungs, (need, least, lies))
    room = 0.12 * max(float(np.ptp(every)), 0.05 * need)
    ax.set_xlim(float(every.min()) - room, float(every.max()) + room)
    ax.set_ylim(-0.6, max(len(rungs), 1) - 0.4)
    chosen = order.choice.stock if order.choice else None
    words = [_rung_words(figures, length) for length in (rungs * scale).tolist()]
    ax.set_yticks(range(len(rungs)), words)
    for row, (length, tick) in enumerate(zip(rungs.tolist(), ax.get_yticklabels(), strict=True)):
        served = chosen is not None and abs(chosen - length * scale) < 1e-6
        tick.set_fontweight("bold" if served else "normal")
        colour = BLUE if served else GREY
        ax.plot([lies, length], [row, row], color=colour, linewidth=3.0 if served else 1.2)
        ax.plot(length, row, "o", markersize=8, mfc=BLUE if served else "white", mec=colour)
    if not len(rungs):
        why = "cut to length" if order.cut else "no stock list is known"
        ax.text(need, 0.0, f"  {why}", fontsize=LETTERS, color=INK)
    key(ax)
    return ax


def joints(route: Route) -> Array:
    """Return the distance from the hand end to every joint of line and arc."""
    lengths = np.empty(2 * len(route.legs) - 1)
    lengths[0::2], lengths[1::2] = np.maximum(route.straights, 0.0), route.arc_lengths
    return np.concatenate(([0.0], np.cumsum(lengths)))


def _tauter_core(pair: PairFigures, figures: Figures) -> Array:
    """Pull in the tauter core of a pair at every joint, at low and at high friction."""
    far = np.maximum(pair.out.pulled_far, pair.back.pulled_far)
    return np.stack(
        [
            # the model of a pair leaves the core's weight out
            pulls_along(figures.route, None, load=float(load), friction=friction)
            for load, friction in zip(far, figures.apparent_friction, strict=True)
        ]
    )


def _held(result: CableAssessment) -> tuple[Array, Array]:
    """Drag and stiffness in the force at the hand, pulling and pushing, low and high, (2, 1) each."""
    figures = result.figures
    if result.pair is not None:
        one = np.array(result.pair.held)[:, None]
        return one, one
    push = figures.push.through if figures.push else figures.pull
    return np.array(figures.pull.held)[:, None], np.array(push.held)[:, None]


def _band(
    ax: Axes, along: Array, forces: Array, *, word: str, colour: str, line: str, held: Array
) -> None:
    """Draw a force between low and high friction, drag and stiffness as a step at the hand."""
    if held.any():
        along = np.concatenate((along[:1], along))
        forces = np.concatenate((forces[:, :1] + held, forces), axis=1)
    low, high = np.where(np.isfinite(forces), forces, np.nan)
    hatch = None if line == "-" else "////"
    ax.fill_between(along, low, high, facecolor=colour, alpha=0.18, edgecolor=colour, hatch=hatch)
    ax.plot(along, high, color=colour, linewidth=2.2, linestyle=line, label=word)
    ax.plot(along, low, color=colour, linewidth=1.1, linestyle=line)


def _tell_lockup(ax: Axes) -> None:
    ax.text(
        0.02,
        0.05,
        "where a line is missing the core has locked up",
        transform=ax.transAxes,
        fontsize=LETTERS,
        color=RED,
    )


#: Bends that are shaded and named: more can be told apart by nobody [-].
MOST_NAMED = 100


def _name_bends(ax: Axes, figures: Figures, along: Array, *, curves: Array) -> None:
    """Shade the bends and name them along the top."""
    top = ax.get_ylim()[1]
    labels = []
    for i in np.argsort(-figures.route.turns, kind="stable")[:MOST_NAMED].tolist():
        if figures.route.turns[i] > STRAIGHT:
            start, end = along[2 * i + 1 : 2 * i + 3].tolist()
            ax.axvspan(start, end, color=PALE, alpha=0.6, linewidth=0.0, zorder=0)
            words, middle = plain(figures.corner_name(i)), 0.5 * (start + end)
            labels.append(Label(middle, 0.99 * top, words, SMALL, band=True))
    finite = np.where(np.isfinite(curves), curves, 0.0)
    fine = np.linspace(along[0], along[-1], 200)
    drawn = [np.column_stack((fine, np.interp(fine, along, curve))) for curve in finite]
    place_labels(ax, labels, avoid=np.vstack(drawn))


def _ends(steps: Array) -> Array:
    """Give a stepped curve a value at every joint: the higher of the two that meet there."""
    return np.asarray(np.maximum(np.append(steps, steps[-1]), np.insert(steps, 0, steps[0])))


def _rungs(figures: Figures) -> list[float]:
    """Stock lengths to show, short to long: the chosen one and its neighbours."""
    choice = figures.order.choice
    if choice is None:
        return []
    rungs = {length for length, _ in choice.ladder}
    return sorted(rungs | {choice.longest if choice.stock is None else choice.stock})


def _rung_words(figures: Figures, length: float) -> str:
    """Say what a stock length leaves or lacks, as the length to order is told."""
    order, told = figures.order, figures.words.length
    lacks, spare = order.least + order.ends - length, length - order.ends - order.lay
    rest = f"leaves {told(spare)}" if spare >= 0.0 else "drawn tighter"
    return f"{told(length)}: {figures.words.lacking(lacks) + ' short' if lacks > 0.0 else rest}"
