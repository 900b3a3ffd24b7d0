"""A friction calibration as text and as plain data; the bench sheet."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from math import isfinite
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.measure.wording import Words
from cableroute.mechanics.calibration import Calibration
from cableroute.output.columns import WIDTH
from cableroute.output.plain import number

#: With fewer readings beyond the two that any fit needs, agreement is cheap [-].
FEW_TO_SPARE = 3
_NEGATIVE = "none can be given: the readings contradict each other, as the fit is below 0"

BENCH_SHEET = """\
BENCH SHEET: FRICTION OF A CABLE BY SPRING SCALE

You need   the cable, its conduit and liner, as they will be used; a spring
           scale that reads twice the largest force expected; weights, or a
           second scale, for the far end; a board with round formers, or the
           machine with the conduit clipped where it will run.

Before     Hang a known weight on the scale and note what it is off by. Tare it
           in the position of use. Stroke the cable ten times end to end.

Bends      Lay the conduit around formers of the bend radius you will use. Count
           every bend in full, whichever way it turns: a quarter turn left and a
           quarter turn right are 180 degrees of wrap. Straight runs count 0.

Each       1. Hang the load on the far end, so that it is free to move.
reading    2. Pull at the hand end in line with the conduit, slowly and
              steadily, and read the scale while the core MOVES. The jerk at
              the start is stiction: not that one.
           3. Write down wrap, load and hand force. Do it three times.

Plan       Three wraps (such as 90, 180 and 360 degrees) by three loads (such as
           none, the half and the whole of the working load), three times each:
           27 readings. The least that gives an answer is 3, the least that
           shows an outlier is 4. Different wraps show friction, and readings
           with little or no load show the drag. One wrap only (a mock-up) needs
           different loads.
           Change the order about, so that a liner running in is not mistaken
           for a bend. Repeat a few dry, greased, dirty or cold, each in a file
           of its own: friction is a range.

Care       A hung weight falls: keep feet and fingers clear. A stretched scale
           lets go: wear eye protection, and stay below its range.

File       readings.csv, one line for each reading (label may be left out):

           wrap_deg,load_n,hand_n,label
           90,50,57.5,first
           90,50,58,second

           Forces in newtons, or with their unit: 5 kg, 11 lbf.
           Then:  cableroute calibrate readings.csv
           On a mock-up, leave wrap_deg out and say which route it is:
                  cableroute calibrate readings.csv --route machine.toml

Readings   wrap      load      hand      label
           ________  ________  ________  __________________________________
           ________  ________  ________  __________________________________
           ________  ________  ________  __________________________________
           ________  ________  ________  __________________________________
           ________  ________  ________  __________________________________
           ________  ________  ________  __________________________________"""


def calibration_lines(found: Calibration, labels: Sequence[str], words: Words) -> Iterator[str]:
    """Yield a calibration line by line, forces in the unit of the scale."""
    unit, per = words.force_unit, words.newtons
    low, high = found.friction_interval
    fitted = f"{found.friction:.4f}, between {low:.4f} and {high:.4f} with 95 % confidence"
    yield f"friction   {fitted if found.friction >= 0.0 else _NEGATIVE}"
    drag, least, most = (words.force(each, digits=1) for each in (found.drag, *found.drag_interval))
    yield f"drag       {drag} with no load, between {least.removesuffix(f' {unit}')} and {most}"
    yield ""
    width = 30
    yield f"{'reading':{width}} {'wrap':>7} {'load':>8} {'hand':>8} {'fit':>8} {'off':>8}"
    yield f"{'':{width}} {'deg':>7} {unit:>8} {unit:>8} {unit:>8} {unit:>8}"
    for row in _rows(found, labels):
        name = textwrap.shorten(row["label"], width, placeholder="...")
        numbers = [row[key] for key in ("load_n", "hand_n", "fitted_n", "residual_n")]
        cells = "".join(f" {each / per:8.1f}" for each in numbers)
        yield f"{name:{width}} {row['wrap_deg']:7.0f}{cells}{'' if row['used'] else ' *'}"
    yield ""
    if found.outliers:
        yield from textwrap.wrap(
            f"* left out: {_names(found, labels, words)}. Take such readings again.", WIDTH
        )
    yield from textwrap.wrap(verdict_sentence(found), WIDTH)
    yield from textwrap.wrap(_validity(found, words), WIDTH)


def calibration_dict(found: Calibration, labels: Sequence[str]) -> dict[str, Any]:
    """Return a calibration as plain data."""
    rows = list(_rows(found, labels))
    return {
        "schema": 1,
        "friction": found.friction,
        "friction_interval": list(found.friction_interval),
        "drag_n": found.drag,
        "drag_interval_n": list(found.drag_interval),
        "outliers": [row for row in rows if not row["used"]],
        "residuals": rows,
        "r_squared": found.r_squared,
        "wrap_pattern": number(found.wrap_pattern),
        "load_pattern": number(found.load_pattern),
        "explained": found.explained,
        "sentence": verdict_sentence(found),
    }


def doubt_of(found: Calibration) -> str:
    """Say why a calibration is no ground to judge a cable on, or nothing where it is one."""
    return "" if found.explained and found.friction > 0.0 else verdict_sentence(found)


def verdict_sentence(found: Calibration) -> str:
    """Say in plain words whether capstan with a constant drag explains the readings."""
    share = f"{100 * max(found.r_squared, 0.0):.1f} % of the variation"
    if found.explained:
        said = f"Capstan with a constant drag explains the readings: {share}"
        trends = (found.wrap_pattern, found.load_pattern)
        said += ", and no trend is left." if any(map(isfinite, trends)) else "."
    elif found.friction < 0.0:
        said = (
            "Capstan does NOT explain the readings: the hand force falls as the wrap grows. See "
            "that load and hand are not exchanged, and that the core moved towards the hand."
        )
    elif found.patterns:
        said = (
            f"Capstan with a constant drag explains {share}, but what it is off by is no chance: it "
            f"follows the {' and the '.join(found.patterns)}. Look for friction that changes with "
            "force, a bend not counted, or a scale that is off."
        )
    else:
        said = f"Capstan does NOT explain the readings: only {share}. Take more, with care."
    low, high = found.friction_interval
    if low <= 0.0 < high:
        said += " The friction may as well be 0 by these readings."
    spare = int(found.used.sum()) - 2
    if spare < FEW_TO_SPARE:
        more = "one reading" if spare == 1 else f"{spare} readings"
        said += f" With {more} more than the fit needs this says little: take more."
    return f"{said} {_on_drag(found)}"


def _on_drag(found: Calibration) -> str:
    if not found.has_drag:
        return "The drag is too small to be measured here."
    if found.drag < 0.0:
        return "The drag is below 0, which no cable has: see where the scale's zero is."
    return (
        "The drag is real: the cable holds back with nothing on it. Its high end goes into a file."
    )


def _validity(found: Calibration, words: Words) -> str:
    tried = (np.degrees(found.wrap), found.load / words.newtons)
    wrap, load = (_span(values[found.used]) for values in tried)
    return f"Tried at {wrap} deg and {load} {words.force_unit}; beyond that it is an extrapolation."


def _span(values: Array) -> str:
    low, high = (f"{value:.0f}" for value in (values.min(), values.max()))
    return low if low == high else f"{low} to {high}"


def _rows(found: Calibration, labels: Sequence[str]) -> Iterator[dict[str, Any]]:
    columns = {
        "wrap_deg": np.degrees(found.wrap),
        "load_n": found.load,
        "hand_n": found.hand,
        "fitted_n": found.fitted,
        "residual_n": found.residuals,
        "studentised": found.studentised,
        "used": found.used,
    }
    for i, label in enumerate(labels):
        cells = {key: values[i].item() for key, values in columns.items()}
        yield {"reading": i + 1, "label": label, **cells}


def _names(found: Calibration, labels: Sequence[str], words: Words) -> str:
    unit, per = words.force_unit, words.newtons
    return ", ".join(
        f"{labels[i]} ({found.residuals[i] / per:+.1f} {unit} from the fit)" for i in found.outliers
    )
