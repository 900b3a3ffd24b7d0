"""Readings still to be taken by a spring scale, in the columns that a calibration reads."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees
from typing import Any

from cableroute.figures.cable import Figures
from cableroute.figures.forces import DEFAULT_LOAD, Run, pull_through
from cableroute.figures.transmission import Transmission
from cableroute.measure.readings import COLUMNS
from cableroute.output.spreadsheet import csv_text

#: Shares of the load that are hung on, in the order of the bench: each twice, mixed, so that a liner
#: running in is not mistaken for load. Four readings more than the fit needs.
_SHARES = ((1.0, "whole load"), (0.0, "no load"), (0.5, "half load"))
_ORDER = (0, 1, 2, 2, 1, 0)


def reading_rows(figures: Figures) -> Iterator[dict[str, Any]]:
    """Yield what to hang on, and the pull to expect in the label; the hand's reading is blank."""
    whole, words = figures.pull.load or DEFAULT_LOAD, figures.words
    unit = "" if words.force_unit == "N" else f" {words.force_unit}"
    wrap = round(degrees(float(figures.route.wrap)), 1)
    for which in _ORDER:
        share, name = _SHARES[which]
        shown = round(share * whole / words.newtons, 1)
        label = f"{name}: expect {_expected(figures, share * whole)}"
        yield dict(
            zip(COLUMNS, (f"{wrap:g}", f"{shown:g}{unit}", unit.strip(), label), strict=True)
        )


def _expected(figures: Figures, load: float) -> str:
    """Say what the scale should read; with nothing on the core, what was read there before."""
    if figures.cable.drag is not None and not load:
        return figures.words.force(figures.cable.drag)
    return figures.words.forces(*pull_of(figures, load).inputs)


def pull_of(figures: Figures, load: float) -> Transmission:
    """Return what one core takes at the hand to pull a load, over the range of friction."""
    run = Run(figures.cable, figures.shapes, figures.core, figures.friction)
    return pull_through(run, load=load).through


def blank_csv(figures: Figures) -> str:
    """Return the readings to take as CSV."""
    return csv_text(COLUMNS, list(reading_rows(figures)))
