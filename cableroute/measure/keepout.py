"""Space to keep out of: boxes, spheres and capsules, with the distance from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Any, Protocol

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.frozen import frozen


class Shape(Protocol):
    """A solid that can tell how far points are from its surface."""

    def distance(self, points: Array) -> Array:
        """Return the distance of points from the surface."""


@frozen(eq=False)
class Box:
    """A box with its faces along the axes.

    Parameters
    ----------
    low : ndarray, shape (3,)
        Corner with the least coordinates [mm].
    high : ndarray, shape (3,)
        Corner with the greatest coordinates [mm].
    """

    low: Array
    high: Array

    def distance(self, points: Array) -> Array:
        """Return the distance of points from the surface."""
        outside = np.maximum(self.low - points, points - self.high)
        apart: Array = np.linalg.norm(np.maximum(outside, 0.0), axis=-1)
        depth: Array = np.minimum(outside.max(-1), 0.0)
        return apart + depth


@frozen(eq=False)
class Capsule:
    """A round bar with round ends; a sphere when both ends are one point.

    Parameters
    ----------
    start : ndarray, shape (3,)
        One end of its axis [mm].
    end : ndarray, shape (3,)
        The other end [mm].
    radius : float
        Its radius [mm].
    """

    start: Array
    end: Array
    radius: float

    def distance(self, points: Array) -> Array:
        """Return the distance of points from the surface."""
        axis = self.end - self.start
        length2 = np.einsum("...i,...i->...", axis, axis)
        along = np.einsum("...i,...i->...", points - self.start, axis)
        share = along / np.where(length2 > 0.0, length2, 1.0)  # a sphere has no axis
        foot = self.start + np.clip(share, 0.0, 1.0)[..., None] * axis
        apart: Array = np.linalg.norm(points - foot, axis=-1)
        return apart - self.radius


def distances(solids: Sequence[Shape], which: IntArray, points: Array) -> Array:
    """Return how far places are from a solid each, those of one kind asked at once.

    Parameters
    ----------
    solids : sequence of Box or Capsule
        The solids.
    which : ndarray of int, shape (k,)
        Which of them each row of points is held against [-].
    points : ndarray, shape (k, n, 3)
        The places [mm].

    Returns
    -------
    ndarray, shape (k, n)
        Distances from their surfaces [mm].

    Examples
    --------
    >>> ball = Capsule(np.zeros(3), np.zeros(3), 2.0)
    >>> box = Box(np.zeros(3), np.ones(3))
    >>> distances((ball, box), np.array([1, 0]), np.full((2, 1, 3), [0.0, 3.0, 0.0])).tolist()
    [[2.0], [1.0]]
    """
    kinds = np.array([solid.__class__.__name__ for solid in solids])[which]
    found = np.empty(points.shape[:-1])
    for kind in (Box, Capsule):
        rows = np.flatnonzero(kinds == kind.__name__)
        if len(rows):
            own = [solids[i] for i in which[rows].tolist()]
            found[rows] = _stacked(kind, own).distance(points[rows])
    return found


def _stacked(kind: type[Box | Capsule], solids: Sequence[Shape]) -> Shape:
    """Return solids of one kind as one whose figures are arrays."""
    figures: dict[str, Any] = {
        each.name: np.array([getattr(one, each.name) for one in solids])[:, None]
        for each in fields(kind)
    }
    return kind(**figures)


@frozen(eq=False)
class KeepOut:
    """A solid to keep out of.

    Parameters
    ----------
    name : str
        What it is, as "exhaust".
    shape : Shape
        The solid.
    distance : float
        Distance to keep from its surface to the conduit's [mm].
    temperature : float or None
        How hot it gets [degC].
    """

    name: str
    shape: Shape
    distance: float
    temperature: float | None = None
