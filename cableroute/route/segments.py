"""The two shapes a fitted route is made of: straight lines and circular arcs tangent to them."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen

#: A turn below this [rad] is straight on: it has no bend, whatever its radius.
STRAIGHT = 1e-9


@frozen(eq=False)
class Line:
    """A straight piece.

    Parameters
    ----------
    start : ndarray, shape (3,)
        Where it begins [mm].
    direction : ndarray, shape (3,)
        Unit vector towards the far end [-].
    length : float
        Its length [mm].
    """

    start: Array
    direction: Array
    length: float

    @property
    def curvature(self) -> float:
        """Zero [1/mm]."""
        return 0.0

    @property
    def end(self) -> Array:
        """Where it ends [mm]."""
        end: Array = self.start + self.length * self.direction
        return end


@frozen(eq=False)
class Arc:
    """A circular piece, tangent to its neighbours.

    Parameters
    ----------
    start : ndarray, shape (3,)
        Where the bend begins [mm].
    direction : ndarray, shape (3,)
        Unit tangent at the start [-].
    normal : ndarray, shape (3,)
        Unit vector from the start to the centre of the bend [-].
    radius : float
        Bend radius to the conduit's centreline [mm].
    turn : float
        Deflection from straight on [rad].
    """

    start: Array
    direction: Array
    normal: Array
    radius: float
    turn: float

    @property
    def length(self) -> float:
        """Arc length ``radius * turn`` [mm]."""
        return self.radius * self.turn

    @property
    def curvature(self) -> float:
        """``1 / radius`` [1/mm]."""
        return 1.0 / self.radius

    @property
    def centre(self) -> Array:
        """Centre of the bend [mm]."""
        centre: Array = self.start + self.radius * self.normal
        return centre

    @property
    def end(self) -> Array:
        """Where the bend ends [mm]."""
        rise = 2.0 * np.sin(0.5 * self.turn) ** 2
        along = np.sin(self.turn) * self.direction + rise * self.normal
        end: Array = self.start + self.radius * along
        return end


def bend_normals(directions: Array, turns: Array) -> Array:
    r"""Return the unit vectors from the start of each bend to its centre.

    With :math:`w` the unit vector of :math:`u_2 - u_1`,
    :math:`n = (w + u_1 \sin(\theta/2)) / \cos(\theta/2)`, which keeps its accuracy for small turns.

    Parameters
    ----------
    directions : ndarray, shape (..., m - 1, 3)
        Unit vectors of the legs [-].
    turns : ndarray, shape (..., m - 2)
        Turn at each corner [rad].

    Returns
    -------
    ndarray, shape (..., m - 2, 3)
        Unit normals [-]; zero where the route goes straight on.
    """
    before = directions[..., :-1, :]
    chord = directions[..., 1:, :] - before
    half = 0.5 * turns
    straight = turns <= STRAIGHT
    size = np.where(straight, 1.0, 2.0 * np.sin(half))
    normal = (chord / size[..., None] + before * np.sin(half)[..., None]) / np.cos(half)[..., None]
    return np.where(straight[..., None], 0.0, normal)


def at_both_ends(tangents: Array) -> Array:
    """Return what the corners take off each leg: the sum of the tangents at its two ends.

    Parameters
    ----------
    tangents : ndarray, shape (..., m - 2)
        Tangent length at each corner [mm].

    Returns
    -------
    ndarray, shape (..., m - 1)
        Length taken off each leg [mm].
    """
    taken = np.zeros((*tangents.shape[:-1], tangents.shape[-1] + 1))
    taken[..., 1:] += tangents
    taken[..., :-1] += tangents
    return taken


def norm(vectors: Array) -> Array:
    """Return the length of each vector.

    Parameters
    ----------
    vectors : ndarray, shape (..., 3)
        Any [mm].

    Returns
    -------
    ndarray, shape (...)
        Their lengths [mm].
    """
    length: Array = np.sqrt(np.einsum("...i,...i->...", vectors, vectors))
    return length
