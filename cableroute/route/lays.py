"""Curves of least bending energy as they were found: lengths, turns, places along them."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
from numpy.polynomial import legendre

from cableroute.arrays import Array, BoolArray, IntArray, TextArray
from cableroute.frozen import frozen
from cableroute.route._closure import unit
from cableroute.route._descend import SettledCurves
from cableroute.route._lobatto import lobatto, polynomial_at


@frozen(eq=False)
class Lays:
    """Curves of least bending energy; a batch of them where arrays have leading axes.

    Parameters
    ----------
    points : ndarray, shape (..., n, 3)
        The points they go through [mm].
    nodes : ndarray, shape (..., n - 1, p + 1, 3)
        Unit tangents at the Lobatto nodes of each span [-].
    span_lengths : ndarray, shape (..., n - 1)
        Length of cable in each span [mm].
    pull_over_ei : ndarray, shape (...)
        Force along the cable with which it draws in more, over EI: 0 where it lies free, below 0
        where it is pushed together [1/mm^2].
    wraps : ndarray, shape (..., n - 1)
        Turn of each span, the integral of curvature over length [rad].
    radii : ndarray, shape (..., n - 1)
        Least bend radius of each span; inf for a straight one [mm].
    settled : ndarray of bool, shape (...)
        Whether the least energy was reached [-].
    steps : ndarray of int, shape (...)
        Newton steps taken [-].
    last_turn : ndarray, shape (...)
        Largest turn of a tangent in the last step [rad].
    doubt : ndarray of str, shape (...)
        What is wrong with one that has not settled, or nothing [-].
    begun : SettledCurves or None
        The coarse curves of no given length that they were found by; those of one cable are not kept.
    """

    points: Array
    nodes: Array
    span_lengths: Array
    pull_over_ei: Array
    wraps: Array
    radii: Array
    settled: BoolArray
    steps: IntArray
    last_turn: Array
    doubt: TextArray
    begun: SettledCurves | None = None

    @property
    def length(self) -> Array:
        """Length along each cable, shape (...) [mm]."""
        return np.asarray(self.span_lengths.sum(-1))

    @property
    def wrap(self) -> Array:
        """Sum of the unsigned turns, shape (...) [rad]."""
        return np.asarray(self.wraps.sum(-1))

    @property
    def min_radius(self) -> Array:
        """Least bend radius, shape (...); inf for a straight cable [mm]."""
        return np.asarray(self.radii.min(-1))

    @property
    def tangents(self) -> Array:
        """Unit tangents at the points, shape (..., n, 3) [-]."""
        return np.concatenate([self.nodes[..., 0, :], self.nodes[..., -1:, -1, :]], axis=-2)

    def one(self, cable: int) -> Lays:
        """Return one cable of a batch.

        Parameters
        ----------
        cable : int
            Which, the first being 0 [-].
        """
        arrays = (each.name for each in fields(self) if each.name != "begun")
        return Lays(**{name: getattr(self, name)[cable] for name in arrays})

    def places(self, samples: int = 41) -> Array:
        """Return places along each span, its ends included.

        Parameters
        ----------
        samples : int, default 41
            Places a span, evenly spaced by length, at least 2 [-].

        Returns
        -------
        ndarray, shape (..., n - 1, samples, 3)
            Points on the conduit's centreline [mm].
        """
        s = np.linspace(0.0, 1.0, samples)
        series = lobatto(self.nodes.shape[-2] - 1).to_series @ self.nodes
        grown = legendre.legint(series, lbnd=-1.0, axis=-2)
        along = 0.5 * (legendre.legvander(2.0 * s - 1.0, grown.shape[-2] - 1) @ grown)
        spaced: Array = self.span_lengths[..., None, None] * along
        placed: Array = self.points[..., :-1, None, :] + spaced
        return placed

    def ways(self, samples: int = 41) -> Array:
        """Return unit tangents at the places of :meth:`places`.

        Parameters
        ----------
        samples : int, default 41
            Places a span, evenly spaced by length, at least 2 [-].

        Returns
        -------
        ndarray, shape (..., n - 1, samples, 3)
            Directions towards the far end [-].
        """
        return unit(polynomial_at(self.nodes, np.linspace(0.0, 1.0, samples)))
