"""A rod pinned at both ends on the axis of a bore, pushed, settled in three dimensions.

Own model, independent of the closed forms in ``cableroute.mechanics.core_in_guide``: the offsets
(y, z) from the axis settle to the least of

    integral of EI/2 |u''|^2 - F/2 |u'|^2 + wall,

with r, EI and L all 1, so that F over Euler's load is the one number there is. The wall is a stiff
spring outside the bore; slopes are small; no friction. The load is raised step by step from a bow
with a little twist in it, and each shape is given a small shake before it settles again.

Run ``python tests/rod_models/rod_in_bore.py`` to settle the cases again and store them.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
from scipy.sparse import block_diag, bmat, csc_matrix, diags
from scipy.sparse.linalg import spsolve

CASES = Path(__file__).with_name("rod_in_bore.json")
#: Push over Euler's load, in the order in which they are reached.
LOADS = (1.1, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0, 32.0)
NODES, WALL = 241, 3e7


def settle(loads: tuple[float, ...] = LOADS, *, nodes: int = NODES) -> list[dict[str, float]]:
    """Settle the rod at each load in turn; what it comes to over what a full helix has."""
    h = 1.0 / (nodes - 1)
    x = np.linspace(0.0, 1.0, nodes)[1:-1]
    n = len(x)
    second = diags([1.0, -2.0, 1.0], [-1, 0, 1], shape=(n, n)) / h**2  # pins: no offset, no moment
    bending = block_diag([h * second.T @ second] * 2)
    taut = block_diag([-h * second] * 2)
    rng = np.random.default_rng(7)
    u = np.concatenate((np.sin(np.pi * x), 0.05 * np.sin(2.0 * np.pi * x)))
    found = []
    for ratio in loads:
        force = ratio * np.pi**2
        for half in range(2):
            u = u + 0.02 * rng.standard_normal() * np.tile(np.sin((half + 2) * np.pi * x), 2)
            u, left = _relax(u, csc_matrix(bending - force * taut), h)
        y, z = u[:n], u[n:]
        curvature = np.hypot(second @ y, second @ z).max()
        reach = np.hypot(y, z)
        wall = h * WALL * np.maximum(reach - 1.0, 0.0).sum()
        found.append(
            {
                "ratio": ratio,
                "moment": float(curvature / (0.5 * force)),
                "wall": float(wall / (0.25 * force**2)),
                "shortening": float(0.5 * (u @ (taut @ u)) / (0.25 * force)),
                "unsettled": left,
            }
        )
    return found


def _relax(u: np.ndarray, elastic: csc_matrix, h: float) -> tuple[np.ndarray, float]:
    """Newton's method on rod and wall, slowed by an inertia that fades."""
    n, inertia, left = len(u) // 2, 1e5, 1.0
    for _ in range(3000):
        y, z = u[:n], u[n:]
        reach = np.maximum(np.hypot(y, z), 1e-9)
        over = np.maximum(reach - 1.0, 0.0)
        slope = elastic @ u + h * WALL * np.tile(over / reach, 2) * u
        c, s = y / reach, z / reach
        radial, around = WALL * (over > 0.0), WALL * over / reach
        wall = bmat(
            [
                [diags(radial * c * c + around * s * s), diags((radial - around) * c * s)],
                [diags((radial - around) * c * s), diags(radial * s * s + around * c * c)],
            ]
        )
        move = spsolve(csc_matrix(elastic + h * (wall + inertia * diags(np.ones(2 * n)))), -slope)
        move *= min(1.0, 0.02 / np.abs(move).max())
        u = u + move
        left = float(np.abs(move).max() * inertia)
        inertia = max(inertia * (0.9 if np.abs(move).max() < 5e-3 else 1.05), 30.0)
        if np.abs(move).max() < 1e-8 and inertia <= 30.0:
            break
    return u, left


if __name__ == "__main__":
    CASES.write_text(json.dumps(settle(), indent=1) + "\n")
