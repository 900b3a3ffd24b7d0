"""A curved conduit with a taut core on its axis, between clips: how far the hand draws the core in.

Own model, independent of the closed forms in ``cableroute.mechanics.conduit_shift``: offsets w,
outwards, and v, along the run, at every few millimetres of a straight, a bend and a straight take the
least of

    integral of EI/2 (w'' + k^2 w)^2 + EA/2 (v' + k w)^2,  less the work of the core,
    F times what its path shortens

with v = w = 0 at both ends, and w = 0 at the clips, of which two stand half a span off the middle of the bend. The core is inextensible, free of friction and concentric.

Run ``python tests/rod_models/conduit_pair.py`` to settle the cases again and store them.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
from scipy.sparse import bmat, csc_matrix, diags
from scipy.sparse.linalg import spsolve

CASES = Path(__file__).with_name("conduit_pair.json")


@dataclass(frozen=True)
class Case:
    """One bend between two straights, clipped at even spaces."""

    force: float = 120.0
    radius: float = 160.0
    turn_deg: float = 90.0
    lead: float = 300.0
    spacing: float = 60.0
    bending: float = 3e5  # EI of the conduit
    axial: float = 7.5e5  # EA of the conduit
    step: float = 1.0


def settle(case: Case) -> dict[str, float]:
    """Return the travel lost, the thrust of the conduit, and its greatest shift sideways."""
    h, arc = case.step, case.radius * np.radians(case.turn_deg)
    n = round((2.0 * case.lead + arc) / h) + 1
    s = np.arange(n) * h - 0.5 * (n - 1) * h
    k = np.where(np.abs(s) <= 0.5 * arc, 1.0 / case.radius, 0.0)
    second = diags([1.0, -2.0, 1.0], [0, 1, 2], shape=(n - 2, n)) / h**2
    bent = csc_matrix(second + diags(k[1:-1] ** 2, 1, shape=(n - 2, n)))
    slope = diags([-1.0, 1.0], [0, 1], shape=(n - 1, n)) / h
    mean = diags([0.5, 0.5], [0, 1], shape=(n - 1, n)) @ diags(k)
    stretch = bmat([[slope, mean]], format="csc")  # of v and w
    stiff = case.axial * h * (stretch.T @ stretch)
    stiff += bmat([[csc_matrix((n, n)), None], [None, case.bending * h * (bent.T @ bent)]])
    pull = -case.force * h * np.concatenate((np.zeros(n), k))
    places = (np.arange(-n, n) + 0.5) * case.spacing
    places = places[np.abs(places) < s[-1]]
    clips = np.zeros(n, dtype=bool)
    clips[np.round((places - s[0]) / h).astype(int)] = True
    clips[[0, -1]] = True
    ends = np.zeros(n, dtype=bool)
    ends[[0, -1]] = True
    free = np.flatnonzero(~np.concatenate((ends, clips)))
    moved = np.zeros(2 * n)
    moved[free] = spsolve(csc_matrix(stiff)[free][:, free], pull[free])
    strain = stretch @ moved
    return {
        "travel": float(-h * k @ moved[n:]),
        "thrust": float(-case.axial * strain.mean()),
        "shift": float(np.abs(moved[n:]).max()),
    }


def cases() -> list[Case]:
    """What is stored: clips close and far, conduits that carry their thrust and that hardly do."""
    return [
        *(Case(spacing=spacing) for spacing in (40.0, 60.0, 100.0, 200.0, 300.0)),
        *(Case(spacing=spacing, axial=10.0) for spacing in (40.0, 60.0, 100.0)),
        Case(spacing=200.0, turn_deg=30.0, axial=10.0),
        Case(spacing=100.0, bending=3e4),
    ]


if __name__ == "__main__":
    stored = [{"case": asdict(case), "settled": settle(case)} for case in cases()]
    CASES.write_text(json.dumps(stored, indent=1) + "\n")
