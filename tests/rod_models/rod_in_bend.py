"""A planar elastic rod between the two walls of a conduit, settled under pull or push and friction.

Own model, independent of the closed forms in ``cableroute.mechanics.stiff_core``: the offset u of the
core from the conduit's centreline, outwards, at every millimetre or so of the run, settles to the
least of

    integral of EI/2 (k - u'')^2 + n (k u + u'^2/2) + wall

with k the conduit's curvature and n = T - EI (k - u'')^2/2 the axial force in the core; T changes by
friction times wall force only. Walls are stiff springs outside the clearance. The core is straight
by nature; slopes against the conduit are small; nothing leaves the plane. A conduit that gives has an
offset v of its own, a bending stiffness, the opposite of the core's force in it, and clips.

Run ``python tests/rod_models/rod_in_bend.py`` to settle the cases again and store them.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
from scipy.sparse import bmat, diags
from scipy.sparse.linalg import spsolve

CASES = Path(__file__).with_name("rod_in_bend.json")
#: Rounds after which a thrust, whose contacts come and go, is taken as settled to a per cent.
ROUNDS = 600
#: Stiffness of the walls [N/mm of rod per mm], and of a clip [N/mm].
WALL, CLIP = 3e4, 1e5


@dataclass(frozen=True)
class Case:
    """One run: straight, bend, straight, bend ... straight."""

    diameter: float = 2.0
    radius: float = 160.0
    clearance: float = 0.5
    bends: int = 2
    turn_deg: float = 90.0
    straight: float = 150.0  # between bends
    lead: float = 150.0  # before the first and after the last
    friction: float = 0.1
    load: float = 0.0  # at the far end; a push is below zero
    ramp: float = 0.0  # length over which the conduit's curvature comes and goes
    sense: int = 1  # of each bend against the one before: -1 turns to and fro
    conduit: float = 3e5  # EI of the conduit, which gives between its clips
    clips: float = 0.0  # from clip to clip; 0: held everywhere
    step: float = 1.0

    @property
    def stiffness(self) -> float:
        """EI of a solid steel core."""
        return 200e3 * np.pi * self.diameter**4 / 64.0


def conduit_curvature(case: Case) -> np.ndarray:
    """Curvature at the nodes, from the far end; a step is shared by area, a ramp is centred on it."""
    arc = case.radius * np.radians(case.turn_deg)
    length = 2.0 * case.lead + case.bends * arc + (case.bends - 1) * case.straight
    s = np.arange(round(length / case.step) + 1) * case.step
    half = max(0.5 * case.ramp, 0.5 * case.step)
    curvature = np.zeros_like(s)
    for k in range(case.bends):
        start = case.lead + k * (arc + case.straight)
        for at, sign in ((start, 1.0), (start + arc, -1.0)):
            curvature += (
                case.sense**k
                * sign
                * np.clip((s - at + half) / (2.0 * half), 0.0, 1.0)
                / case.radius
            )
    return curvature


def settle(case: Case, *, rounds: int = ROUNDS) -> dict[str, float]:
    """Settle core and conduit; return the force at the hand and what each wall bears."""
    k, h, EI = conduit_curvature(case), case.step, case.stiffness
    n = len(k)
    second = diags([1.0, -2.0, 1.0], [0, 1, 2], shape=(n - 2, n), format="csc") / h**2
    first = diags([-1.0, 1.0], [0, 1], shape=(n - 1, n), format="csc") / h
    bending = h * (second.T @ second)
    held = np.zeros(n)
    held[:: round(case.clips / h) if case.clips else 1] = CLIP
    u, v, tension = np.zeros(n), np.zeros(n), np.full(n, float(case.load))
    sign = 1.0 if case.load >= 0.0 else -1.0
    inertia, half_gap = 1.0, 0.5 * case.clearance
    for _ in range(rounds):
        curvature = k.copy()
        curvature[1:-1] -= second @ (u + v)
        axial = tension - 0.5 * EI * curvature**2
        taut = h * (first.T @ diags(0.5 * (axial[1:] + axial[:-1])) @ first)
        over = np.abs(u) - half_gap
        wall = h * WALL * np.maximum(over, 0.0) * np.sign(u)  # outwards on the wall
        # the core, at u + v, has the force in it, and the conduit, at v, the opposite one
        core = EI * (bending @ (u + v) - h * (second.T @ k[1:-1])) + taut @ (u + v) + h * axial * k
        casing = case.conduit * (bending @ v) - taut @ v - h * axial * k + held * v
        slope = np.concatenate((core + wall, core + casing))
        stiff = EI * bending + taut
        hessian = bmat(
            [
                [stiff + h * diags(WALL * (over > 0.0) + inertia), stiff],
                [stiff, stiff + case.conduit * bending - taut + diags(held + h * inertia)],
            ],
            format="csc",
        )
        move = spsolve(hessian, -slope)
        move *= min(1.0, 0.2 * half_gap / np.abs(move).max())
        u, v = u + move[:n], v + move[n:]
        force = h * WALL * np.maximum(np.abs(u) - half_gap, 0.0)
        friction = case.friction * force
        rubbed = case.load + sign * (np.cumsum(friction) - 0.5 * friction)
        left = max(np.abs(move).max() / half_gap, np.abs(rubbed - tension).max() / 1e3)
        tension += 0.3 * (rubbed - tension)
        inertia = max(0.7 * inertia, 1e-6) if left < 0.05 else inertia
        if left < 1e-7:
            break
    hand = abs(case.load) + float(friction.sum())
    wrap = case.bends * np.radians(case.turn_deg)
    return {
        "hand": hand,
        "added": hand - abs(case.load) * float(np.exp(case.friction * wrap)),
        "outer": float(force[u > 0].sum()),
        "inner": float(force[u < 0].sum()),
        "unsettled": float(left),
    }


def cases() -> list[Case]:
    """What is stored: rigid conduits unloaded, pulled, pushed; bends close by; conduits that give."""
    return [
        Case(radius=150.0, bends=1, turn_deg=180.0, friction=0.001),
        Case(friction=0.25),
        Case(),
        *(Case(load=load) for load in (20.0, 120.0, 400.0, -5.0, -20.0, -40.0, -60.0, -80.0)),
        *(Case(turn_deg=30.0, load=load) for load in (0.0, 120.0, -40.0, -80.0)),
        *(Case(turn_deg=12.0, load=load) for load in (0.0, 120.0, -120.0)),
        Case(turn_deg=5.0),
        Case(turn_deg=60.0, straight=20.0),
        Case(turn_deg=60.0, straight=5.0, load=120.0),
        Case(sense=-1, straight=1.0),
        Case(sense=-1, straight=1.0, load=120.0),
        Case(sense=-1, straight=30.0),
        Case(diameter=1.6, clearance=0.7, radius=125.0, bends=1),
        Case(bends=1, turn_deg=60.0, lead=80.0, step=2.0),
        *(Case(clips=clips) for clips in (400.0, 100.0)),
        Case(clips=100.0, load=120.0),
        Case(clips=100.0, ramp=100.0, load=120.0),
        Case(clips=100.0, ramp=250.0),
    ]


if __name__ == "__main__":
    stored = [{"case": asdict(case), "settled": settle(case)} for case in cases()]
    CASES.write_text(json.dumps(stored, indent=1) + "\n")
