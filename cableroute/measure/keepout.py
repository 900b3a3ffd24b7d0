"""Space to keep out of: boxes, spheres and capsules, with the distance from them."""

from __future__ import annotations

from typing import Protocol

import numpy as np

from cableroute.arrays import Array
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
        length2 = float(axis @ axis)
        share = (points - self.start) @ axis / (length2 or 1.0)  # a sphere has no axis
        foot = self.start + np.clip(share, 0.0, 1.0)[..., None] * axis
        apart: Array = np.linalg.norm(points - foot, axis=-1)
        return apart - self.radius


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
