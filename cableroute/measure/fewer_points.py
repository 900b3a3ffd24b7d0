"""A cable without some of its points, or with one in their place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from cableroute.measure.job import Cable

#: What a file says of each point, and what a point in the place of others has of it.
_OF_POINTS: dict[str, Any] = {
    "labels": "sweep",
    "fixes": "clip",
    "point_radii": None,
    "moves": "free",
    "tube_axes": None,
    "tube_rooms": None,
    "tubes": None,
    "headings": None,
    "passes": "through",
}


def fewer_points(cable: Cable, gone: Sequence[int], *, instead: ArrayLike | None = None) -> Cable:
    """Return a cable without neighbouring points, readings that check them left out too.

    Parameters
    ----------
    cable : Cable
        The cable.
    gone : sequence of int
        Which points it does without, the first being 0 [-].
    instead : array-like, shape (3,), optional
        Where a clip stands in their place [mm].

    Returns
    -------
    Cable
        The cable, its other points as they were.
    """
    first = min(gone)
    kept = [i for i in range(len(cable.points)) if i not in gone]
    points = cable.points[kept]
    if instead is not None:
        points = np.insert(points, first, np.asarray(instead, dtype=np.float64), axis=0)

    def of_kept(values: Any, new: Any) -> Any:
        if isinstance(values, str) or not values:
            return values
        left = [values[i] for i in kept]
        return tuple(left if instead is None else [*left[:first], new, *left[first:]])

    told = {name: of_kept(getattr(cable, name), beside) for name, beside in _OF_POINTS.items()}
    if told["passes"] and not isinstance(told["passes"], str) and instead is not None:
        passed = {cable.passes[i] for i in gone}
        how = "inside" if passed == {"inside"} else "through"
        told["passes"] = (*told["passes"][:first], how, *told["passes"][first + 1 :])
    new = int(instead is not None)
    checks = tuple(
        replace(each, start=renumbered(each.start, gone, new), end=renumbered(each.end, gone, new))
        for each in cable.checks
        if not {each.start, each.end} & set(gone)
    )
    return replace(cable, points=points, checks=checks, places=(), **told)


def renumbered(point: int, gone: Sequence[int], new: int = 0) -> int:
    """Return which point one is, that stays, when others go and a new one stands in their place."""
    return point - sum(i < point for i in gone) + new * (point > min(gone))
