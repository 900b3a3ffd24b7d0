"""The rules that a study asks: what each machine has in hand before it fails one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.figures.order import stock_sold
from cableroute.figures.strain import strength_of
from cableroute.frozen import frozen
from cableroute.verdict.limits import Limits

#: What each rule is that every machine is held against, in words.
RULES = {
    "bend-does-not-fit": "a leg has no room for its bends",
    "stock-too-short": "the stock length does not reach",
    "working-load-pull": "the pull is above the working load",
    "working-load-push": "the push is above the working load",
    "efficiency-low": "too little of the pull arrives",
    "push-lock-up": "the push jams",
    "rod-buckling": "the exposed rod folds",
    "folds-first": "the push is too near to folding something",
    "lost-motion": "too much travel is lost",
    "wire-stress": "the wires are stressed too much",
    "push-stress": "the pushed core is stressed too much",
    "bend-ratio": "a bend is too tight for a strand to last",
    "anchor-holding": "an anchor lets go",
    "return-spring": "the spring does not bring it back",
}

#: Figures by name, each with a value for every machine.
PerMachine = Mapping[str, Array]
Margins = Iterator[tuple[str, Array]]


@frozen(eq=False)
class Rules:
    """What a cable's machines are held against.

    Parameters
    ----------
    found : CableAssessment
        The cable as read.
    limits : Limits
        Limits of the rules.
    """

    found: CableAssessment
    limits: Limits

    @property
    def figures(self) -> Figures:
        """The cable as read."""
        return self.found.figures

    @property
    def as_read(self) -> dict[str, tuple[str, bool]]:
        """Name, and whether it fails, of every rule that is asked of the cable as read only."""
        told: dict[str, tuple[str, bool]] = {}
        for check in self.found.checks:
            if check.failing is None or check.value is None or check.code in RULES:
                continue
            _, before = told.get(check.code, ("", False))
            told[check.code] = check.name, before or check.level == "fail"
        return told

    def in_hand(self, told: PerMachine) -> dict[str, Array]:
        """Return by rule what each machine has in hand; below 0 it fails, as `check` would."""
        return {
            **dict(_run(self.figures, told)),
            **dict(_pulling(self.figures, self.limits, told)),
            **dict(_pushing(self.figures, self.limits, told)),
            **dict(_bearing(self.figures, self.limits, told)),
            **dict(self._anchors(told)),
        }

    def _anchors(self, told: PerMachine) -> Margins:
        """Yield what the weaker anchor holds beyond its load, where what holds them is known."""
        push = told.get("push_bare", np.zeros_like(told["pull"]))
        loads = {
            "hand": np.maximum(told["tension_bare"], push),
            "far": np.maximum(told["far"], told.get("push_load", 0.0)),
        }
        bears = [
            (check.value, loads[check.where.partition(" ")[0]])
            for check in self.found.checks
            if check.code == "anchor-holding" and check.value is not None
        ]
        if bears:
            room = np.min([holds - load for holds, load in bears], axis=0)
            yield "anchor-holding", np.where(np.isfinite(room), room, 0.0)


def _run(figures: Figures, told: PerMachine) -> Margins:
    room, misfit = told["slack"], told["misfit"] > 0.0
    if figures.survey.moves.any():  # within the tape's doubt it is no more than marginal
        misfit &= -room > 2.0 * figures.tolerance
    yield "bend-does-not-fit", np.where(misfit, np.minimum(room, -1e-9), np.abs(room))
    if (bought := stock_taken(figures)) is not None:
        yield "stock-too-short", bought + told["stock"] - told["least"]


def _pulling(figures: Figures, limits: Limits, told: PerMachine) -> Margins:
    family, tension = figures.cable.family, told["tension_bare"]
    if family and family.max_pull:
        room = limits.working_load[1] * family.max_pull - tension
        yield "working-load-pull", np.where(np.isfinite(tension), room, 0.0)
    if figures.pull.load > 0.0:
        share = np.ones_like(told["load"])
        np.divide(told["load"], told["by_bends"], out=share, where=told["by_bends"] > 0.0)
        yield "efficiency-low", share - limits.efficiency[1]
    if "lost" in told and figures.travel:
        yield "lost-motion", limits.lost_motion[1] * figures.travel - told["lost"]


def _pushing(figures: Figures, limits: Limits, told: PerMachine) -> Margins:
    push, family = figures.push, figures.cable.family
    if push is None:
        return
    locked = np.isinf(told["push"])
    yield "push-lock-up", np.where(locked, -1.0, 1.0)
    if family and family.max_push:
        room = limits.working_load[1] * family.max_push - told["push_bare"]
        yield "working-load-push", np.where(locked, 0.0, room)  # a jam is told by its own rule
    if push.rod_buckling is not None:
        with np.errstate(divide="ignore"):
            safety = push.rod_buckling / told["push_bare"]
        yield "rod-buckling", np.where(locked, 0.0, safety - limits.rod_safety[1])
    if "folds" in told:
        yield "folds-first", told["folds"] - limits.rod_safety[1]


def _bearing(figures: Figures, limits: Limits, told: PerMachine) -> Margins:
    family, core = figures.cable.family, figures.core
    strength = strength_of(core, family) if core and family else None
    if strength is not None and "wire" in told:
        yield "wire-stress", limits.wire_stress[1] * strength - told["wire"]
    if strength is not None and "push_wire" in told:
        yield "push-stress", limits.push_stress[1] * strength - told["push_wire"]
    if "bend_room" in told:
        yield "bend-ratio", told["bend_room"]
    if "returns_at_best" in told:
        yield "return-spring", _finite(told["returns_at_best"]) - limits.return_margin[1]


def _finite(margin: Array) -> Array:
    """Return margins, those without bound as great ones."""
    return np.where(np.isfinite(margin), margin, 1e9)


def stock_taken(figures: Figures) -> float | None:
    """Return the stock length that is taken, or else the longest there is; None without a list [mm]."""
    choice = figures.order.choice
    return None if choice is None else float(choice.stock or choice.longest)


def stock_lengths(figures: Figures) -> tuple[float, ...]:
    """Return the stock lengths there are, shortest first [mm]."""
    if figures.order.choice is None:
        return ()
    return stock_sold(figures.cable.family, in_feet=figures.words.inches)
