"""Polynomials on the unit interval, held by their values at the Lobatto nodes.

A smooth curve given at a couple of dozen such nodes is known to ten digits, its energy is an
exact quadratic form of those values, and both ends are nodes, so that spans join at their clips.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.polynomial import legendre

from cableroute.arrays import Array
from cableroute.frozen import frozen


@frozen
class Nodes:
    """Nodes `s` on [0, 1] with their quadrature weights `w` and three matrices.

    `slope` gives the derivative at the nodes; `stiffness` the integral of its square as a quadratic
    form, exactly; `to_series` turns nodal values into Legendre coefficients.
    """

    s: Array
    w: Array
    slope: Array
    stiffness: Array
    to_series: Array


@lru_cache(maxsize=32)
def lobatto(degree: int) -> Nodes:
    """Return the `degree + 1` Legendre-Gauss-Lobatto nodes of the unit interval."""
    top = np.eye(degree + 1)[degree]
    inner = np.sort(legendre.legroots(legendre.legder(top)).real)
    x = np.concatenate([[-1.0], inner, [1.0]])
    values = legendre.legvander(x, degree)
    to_series = np.linalg.inv(values)
    # The weights on [-1, 1] are 2/(p(p+1) P_p(x)^2); half of that on [0, 1].
    w = 1.0 / (degree * (degree + 1) * values[:, degree] ** 2)
    slope = 2.0 * legendre.legval(x, legendre.legder(np.eye(degree + 1))).T @ to_series
    return Nodes((x + 1.0) / 2.0, w, slope, slope.T @ (w[:, None] * slope), to_series)


def value(nodal: Array, s: Array) -> Array:
    """Return the polynomials with nodal values `(p+1, k)` at the places `s` `(m,)`: `(m, k)`."""
    return _series_at(s, lobatto(len(nodal) - 1).to_series @ nodal)


def polynomial_at(nodal: Array, s: Array) -> Array:
    """Return a batch of polynomials with nodal values `(..., p+1, k)` at the places `s` `(m,)`."""
    matrix = legendre.legvander(2.0 * s - 1.0, nodal.shape[-2] - 1)
    at: Array = (matrix @ lobatto(nodal.shape[-2] - 1).to_series) @ nodal
    return at


def derivative(nodal: Array, s: Array) -> Array:
    """Return d/ds of the polynomials with nodal values `(p+1, k)` at `s` `(m,)`: `(m, k)`."""
    series = legendre.legder(lobatto(len(nodal) - 1).to_series @ nodal)
    return 2.0 * _series_at(s, np.asarray(series, dtype=np.float64))


def integral(nodal: Array, s: Array) -> Array:
    """Return the integral from 0 to `s` of the polynomials with nodal values `(p+1, k)`."""
    series = legendre.legint(lobatto(len(nodal) - 1).to_series @ nodal, lbnd=-1.0)
    return 0.5 * _series_at(s, np.asarray(series, dtype=np.float64))


def bending(nodal: Array) -> Array:
    """Return the integral of the squared derivative, for nodal values `(..., p+1, k)`: `(...)`."""
    mesh = lobatto(nodal.shape[-2] - 1)
    energy: Array = np.sum(mesh.w[:, None] * (mesh.slope @ nodal) ** 2, axis=(-2, -1))
    return energy


def _series_at(s: Array, series: Array) -> Array:
    return legendre.legvander(2.0 * s - 1.0, len(series) - 1) @ series
