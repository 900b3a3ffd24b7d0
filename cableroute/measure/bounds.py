"""How much a file may ask for, said before any of it is worked out."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from itertools import accumulate
from typing import Any

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.errors import CableRouteError, RouteFileError
from cableroute.hardware.quantities import LONGEST
from cableroute.measure.models import RouteFile
from cableroute.measure.positions import Place

#: Points closer than this [mm] are at one place.
SAME_PLACE = 1e-6
#: Directions whose sum is shorter than this [-] are opposite.
STRAIGHT_BACK = 1e-6
#: More than this turned [rad] between legs longer than this [mm] is a bend, not a sampled curve.
SHARP, APART = np.radians(10.0), 20.0
#: Bends of all runs, and their length [mm], at most; all these bounds are our own choice, far
#: beyond what machines have.
MOST_BENDS, MOST_LENGTH = 2000, 8.0 * LONGEST
#: Tables of a file at most.
MOST = {
    "cable": 150,
    "keepout": 1000,
    "tubes": 1000,
    "nodes": 1000,
    "node_tape": 100,
    "linkage": 10,
    "selector": 10,
}
#: Cables that a command takes at once where it works a second or more on each, and where it sets a
#: pair beside each.
MOST_AT_ONCE, MOST_PAIRED = 12, 100
#: Families times the points of a run to judge with each, and times what a family alone is worth.
MOST_TRIED, FAMILY_ALONE = 200_000, 1000
#: Points of a run whose every reading is put in doubt, and of one with bends that do not fit: the
#: work grows with their square, and is some eightfold there.
MOST_STUDIED, MOST_MISFIT = 60, 20
#: Points of all cables, those placed by tape, and readings to check them by.
MOST_POINTS, MOST_TAPED, MOST_CHECKS = 200_000, 200, 5000
#: Points of all cables times solids to keep out of and tubes: each is held against each.
MOST_PAIRS = 24_000


def check_size(entry: RouteFile, place: Place) -> None:
    """Refuse a file that asks for more than any machine has, naming what is too much."""
    faults = [*_tables(entry, place), *_points(entry, place)]
    if faults:
        raise RouteFileError(faults)


def check_at_once(names: Collection[str], most: int = MOST_AT_ONCE) -> None:
    """Refuse more cables than can be waited for by a command that works long on each."""
    if len(names) > most:
        raise CableRouteError(
            f"expected at most {most} cables at once, as this works long on each, got "
            f"{len(names)}: choose one",
            argument="cable",
        )


def check_tried(cable: str, *, points: int, families: int) -> None:
    """Refuse to judge a run of very many points with every family, or any run with very many."""
    if families * (points + FAMILY_ALONE) > MOST_TRIED:
        raise CableRouteError(
            f'cable "{cable}": expected fewer, got {points} points to judge with each of {families} '
            "families: thin out the points, or give a library of fewer"
        )


def _tables(entry: RouteFile, place: Place) -> Iterator[str]:
    for name, most in MOST.items():
        held = getattr(entry, name)
        if len(held) > most:
            key = list(held)[most] if isinstance(held, dict) else most
            yield f"{place((name, key))}: expected at most {most} of {name}, got {len(held)}"


def _points(entry: RouteFile, place: Place) -> Iterator[str]:
    points = [len(cable.points) for cable in entry.cable]
    taped = [sum(point.tape is not None for point in cable.points) for cable in entry.cable]
    checks = [len(cable.check) for cable in entry.cable]
    solids = len(entry.keepout) + len(entry.tubes)
    beside = MOST_PAIRS // solids if solids else MOST_POINTS
    for counts, most, what in (
        (points, MOST_POINTS, "points in all"),
        (taped, MOST_TAPED, "points placed by tape"),
        (checks, MOST_CHECKS, "readings to check by"),
        (points, beside, f"points beside {solids} tubes and solids"),
    ):
        for i, so_far in enumerate(accumulate(counts)):
            if so_far > most:
                yield f"{place(('cable', i))}: expected at most {most} {what}, got more by here"
                break


def _sharp(steps: Array, legs: Array) -> IntArray:
    """Return the points at which a run bends, as against one that is sampled along a curve."""
    ways = steps / np.maximum(legs, SAME_PLACE)[:, None]
    cosine = np.einsum("ij,ij->i", ways[1:], ways[:-1])
    long = np.minimum(legs[1:], legs[:-1]) > APART
    return np.flatnonzero(long & (cosine < np.cos(SHARP))) + 1


@dataclass(slots=True)
class InAll:
    """Bends and length of the runs checked so far.

    Parameters
    ----------
    bends : int
        How many they turn [-].
    length : float
        How long they are together [mm].
    """

    bends: int = 0
    length: float = 0.0


def check_run(
    points: Any, here: tuple[Any, ...], place: Place, faults: list[str], in_all: InAll
) -> None:
    """Find fault with a run that leads nowhere, turns straight back on itself, or asks for too much.

    What it adds to all the runs is added to `in_all`.
    """
    places = np.asarray(points, dtype=np.float64).reshape(-1, 3)
    steps = np.diff(places, axis=0)
    legs = np.linalg.norm(steps, axis=1)
    ends = np.flatnonzero(legs > SAME_PLACE)
    reach = [np.linalg.norm(places - places[end], axis=1).max() for end in (0, -1)]
    if len(steps) and min(reach) <= SAME_PLACE:
        faults.append(f"{place((*here, 'points'))}: expected two places at least, got one")
    long, before = float(legs.sum()), in_all.length
    if long > LONGEST:
        too_far = int(np.argmax(np.cumsum(legs) > LONGEST)) + 1
        faults.append(
            f"{place((*here, 'points', too_far))}: expected a run of at most {LONGEST / 1e6:g} km, got "
            "more by here; is that the unit it was measured in?"
        )
    elif before <= MOST_LENGTH < before + long:
        faults.append(
            f"{place((*here, 'points'))}: expected runs of at most {MOST_LENGTH / 1e6:g} km in all, "
            "got more with this one; is that the unit they were measured in?"
        )
    sharp = _sharp(steps, legs)
    if in_all.bends <= MOST_BENDS < in_all.bends + sharp.size:
        too_many = int(sharp[MOST_BENDS - in_all.bends])
        faults.append(
            f"{place((*here, 'points', too_many))}: expected at most {MOST_BENDS} "
            "bends in all, got more by here; are the points thousandfold what was measured?"
        )
    in_all.length += long
    in_all.bends += sharp.size
    directions = steps[ends] / legs[ends, None]
    back = np.linalg.norm(directions[1:] + directions[:-1], axis=1) < STRAIGHT_BACK
    faults += [
        f"{place((*here, 'points', int(ends[i])))}: the cable turns straight back on itself here; "
        "expected a point where the loop goes round"
        for i in np.flatnonzero(back) + 1
    ]
