"""A bending stiffness by sag as text and as plain data; its bench sheet."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Any

from cableroute.measure.readings import SagReadings
from cableroute.mechanics.sag import SagStiffness
from cableroute.output.columns import WIDTH

SAG_SHEET = """\
BENCH SHEET: BENDING STIFFNESS OF A CORE BY ITS SAG

Why        A strand's stiffness lies anywhere between that of its wires free to
           slide and that of a solid rod, 12 to 380 times apart by its make. The
           drag, the return of a throttle and the natural lay hang on it. Half
           an hour settles it.

You need   a metre of the bare core, out of its conduit, cleaned; a vice or two
           blocks with straight jaws; a rule that reads half a millimetre; a
           scale that weighs to 1 % (a kitchen scale, several metres of core).

Before     Weigh a known length: its weight in newtons over its length in metres
           goes to --weight (grams per metre times 0.00981). Straighten nothing.

Each       1. Clamp the core level, with 150 to 400 mm standing out, so that its
reading       end sags by a tenth to a half of that length. A core too stiff for
              that: hang a small known weight on its end.
           2. Let the end down slowly from level until it carries itself. Read
              the height of the core at the jaw and at the end: their difference
              is the sag.
           3. Press the end well below that, let it come up slowly until it
              carries itself, and read again. Friction between the wires holds
              it up the first time and down the second. Both readings count.
           4. Turn the core by half a turn about itself and do both again: a
              core set to a curve sags more one way than the other. Write down
              the mean of the two ways up.

Plan       Three lengths, each let down and come up: six readings. The band goes
           from the lowest to the highest, each with its doubt. Once more with
           the grease it will run in, if it runs in grease.

Care       Wires of a strand end in points: tape the end, and weigh the tape.

File       sag.csv, one line for each reading (tip_n and label may be left out):

           length_mm,sag_mm,tip_n,label
           250,28,0,let down
           250,31,0,come up

           Then:  cableroute calibrate sag.csv --stiffness --weight 0.08
           and with --into machine.toml it stands in the file as
           bending_stiffness = [low, high]

What it    The stiffness of a core with no tension, gently bent. Under load the
is not     friction between its wires holds them tighter: the high end can lie
           above what is read here. A drag measured on the cable as laid beats
           both."""


def stiffness_lines(found: SagStiffness, readings: SagReadings) -> Iterator[str]:
    """Yield a measured stiffness line by line."""
    yield f"bending stiffness   {found.low:.0f} to {found.high:.0f} N*mm2"
    yield ""
    yield f"{'reading':30} {'length':>7} {'sag':>7} {'load':>8} {'EI':>10} {'doubt':>7}"
    yield f"{'':30} {'mm':>7} {'mm':>7} {'N':>8} {'N*mm2':>10} {'%':>7}"
    for row in _rows(found, readings):
        name = textwrap.shorten(row["label"], 30, placeholder="...")
        yield (
            f"{name:30} {row['length_mm']:7.0f} {row['sag_mm']:7.1f} {row['tip_n']:8.3f} "
            f"{row['stiffness_n_mm2']:10.0f} {100 * row['doubt']:7.1f}"
        )
    yield ""
    yield from textwrap.wrap(_spread(found), WIDTH)


def stiffness_dict(found: SagStiffness, readings: SagReadings) -> dict[str, Any]:
    """Return a measured stiffness as plain data."""
    return {
        "schema": 1,
        "bending_stiffness_n_mm2": [found.low, found.high],
        "readings": list(_rows(found, readings)),
        "sentence": _spread(found),
    }


def _spread(found: SagStiffness) -> str:
    """Say whether the readings agree, and what more would help."""
    if len(found.each) == 1:
        return "One reading says nothing of the wires' friction: let the end down and let it come up, at three lengths."
    apart = float(found.each.max() / found.each.min())
    own = 1.0 + 2.0 * float(found.doubt.max())
    if apart <= own:
        return "The readings agree within their doubt."
    return (
        f"The readings are {apart:.2f} times apart, more than their doubt: friction between the "
        "wires, or a core set to a curve. The band holds them all."
    )


def _rows(found: SagStiffness, readings: SagReadings) -> Iterator[dict[str, Any]]:
    for i, label in enumerate(readings.labels):
        yield {
            "reading": i + 1,
            "label": label,
            "length_mm": float(readings.length[i]),
            "sag_mm": float(readings.sag[i]),
            "tip_n": float(readings.tip_load[i]),
            "stiffness_n_mm2": float(found.each[i]),
            "doubt": float(found.doubt[i]),
        }
