"""A sweep as a picture: force at the hand over the grid, verdicts upon it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array
from cableroute.output.pictures.style import (
    BLUE,
    GREEN,
    INK,
    ORANGE,
    RED,
    SMALL,
    dress,
    key,
    new_axes,
    plain,
)
from cableroute.study.sweep import Sweep

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Marker and colour of each verdict, so that none is told by its colour alone.
_MARKS = {"pass": ("o", GREEN), "marginal": ("^", ORANGE), "fail": ("x", RED)}
_HEIGHT = 4.6
#: How strongly force is shown, so that verdicts stand out on it.
_PALE = 0.55


def draw_sweep(found: Sweep) -> Axes:
    """Draw force and verdict: a line over one number, a map over two."""
    ax = new_axes(_HEIGHT, owner=found.cable)
    names = [plain(axis.key) for axis in found.axes]
    forces = np.array([np.nan if e.pull is None else e.pull for e in found.tried], dtype=float)
    forces[~np.isfinite(forces)] = np.nan
    forces /= found.words.newtons
    if len(found.axes) == 1:
        dress(ax, heading="Pull at the hand", x=names[0], y=found.words.force_unit)
        ax.plot(found.axes[0].values, forces, color=BLUE, linewidth=1.2, zorder=1.0)
        _mark(
            ax,
            found,
            [(each.at[0], force) for each, force in zip(found.tried, forces, strict=True)],
        )
    else:
        _draw_map(ax, found, forces, names)
    key(ax)
    return ax


def _draw_map(ax: Axes, found: Sweep, forces: Array, names: list[str]) -> None:
    down, across = (axis.values for axis in found.axes)
    dress(ax, heading="Pull at the hand", x=names[1], y=names[0])
    ax.grid(visible=False)
    grid = forces.reshape(len(down), len(across))
    if np.isfinite(grid).any():
        mesh = ax.pcolormesh(across, down, grid, cmap="Greys", alpha=_PALE, shading="nearest")
        figure = ax.get_figure(root=True)
        assert figure is not None
        bar = figure.colorbar(mesh, ax=ax, pad=0.02)
        bar.set_label(found.words.force_unit, color=INK, fontsize=SMALL)
        bar.ax.tick_params(labelsize=SMALL, colors=INK)
    _mark(ax, found, [(each.at[1], each.at[0]) for each in found.tried])


def _mark(ax: Axes, found: Sweep, places: list[tuple[float, float]]) -> None:
    for verdict, (marker, colour) in _MARKS.items():
        chosen = [p for p, e in zip(places, found.tried, strict=True) if e.verdict == verdict]
        if chosen:
            ax.plot(
                *np.array(chosen).T, marker, ms=4.5, mfc="white", mec=colour, mew=1.2, label=verdict
            )
    best = found.best
    if best is not None:
        x, y = places[found.tried.index(best)]
        ax.plot([x], [y], "*", ms=13.0, mfc=colour_of(best.verdict), mec=INK, mew=0.8, label="best")


def colour_of(verdict: str) -> str:
    """Return the colour of a verdict."""
    return _MARKS[verdict][1]
