"""The least-squares adjustment of taped lengths, shared by one point and a whole network.

Lengths are straight, between points that move linearly with the unknowns.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.errors import SolverError
from cableroute.frozen import frozen
from cableroute.measure._checks import Readings

#: A step that promises no more than this of chi-square is the last: 1e-10 of the doubt [-].
NO_GAIN = 1e-20

#: Part of the best-known direction's gain below which a direction is not measured [-].
NOTHING = 1e-8


@frozen(eq=False)
class Tapes:
    """Taped lengths ``|motion p + offset|`` of straight lines whose ends move with unknowns p.

    Parameters
    ----------
    motion : ndarray, shape (k, 3, p)
        How each line's end-to-end vector moves with the unknowns [-].
    offset : ndarray, shape (k, 3)
        That vector where all unknowns are 0 [mm].
    distances, sigma : ndarray, shape (k,)
        What the tape said, and its standard deviation [mm].
    """

    motion: Array
    offset: Array
    distances: Array
    sigma: Array

    @classmethod
    def to_point(cls, readings: Readings) -> Tapes:
        """Give the tapes from known nodes to the one point sought."""
        motion = np.broadcast_to(np.eye(3), (len(readings.nodes), 3, 3))
        return cls(motion, -readings.nodes, readings.distances, readings.sigma)

    def only(self, keep: BoolArray | Sequence[bool]) -> Tapes:
        """Give some of the tapes."""
        parts = (self.motion, self.offset, self.distances, self.sigma)
        return Tapes(*(part[np.asarray(keep)] for part in parts))

    def _lines(self, p: Array) -> tuple[Array, Array]:
        """Lengths, shape (k,) [mm], and unit vectors, shape (k, 3) [-]."""
        vectors = self.motion @ p + self.offset
        lengths = np.maximum(np.sqrt((vectors**2).sum(axis=-1)), 1e-9)
        return lengths, vectors / lengths[:, None]

    def lengths(self, p: Array) -> Array:
        """Compute the lengths, shape (k,) [mm]."""
        return self._lines(p)[0]

    def residuals(self, p: Array) -> Array:
        """Measured minus computed, shape (k,) [mm]."""
        return self.distances - self.lengths(p)

    def misfits(self, p: Array) -> Array:
        """Residuals in units of sigma, shape (k,) [-]."""
        return self.residuals(p) / self.sigma

    def chi2(self, p: Array) -> float:
        """Sum of the squared misfits [-]."""
        return float((self.misfits(p) ** 2).sum())

    def _landscape(self, p: Array) -> tuple[float, Array, Array]:
        """Half of chi-square, its gradient and its exact Hessian."""
        lengths, unit = self._lines(p)
        stretch = lengths - self.distances
        weight = self.sigma**-2
        pull = (weight * stretch)[:, None] * unit
        along = (weight * self.distances / lengths)[:, None, None]
        across = (weight * stretch / lengths)[:, None, None]
        stiffness = along * unit[:, :, None] * unit[:, None, :] + across * np.eye(3)
        turned = self.motion.transpose(0, 2, 1)
        gradient: Array = (turned @ pull[:, :, None]).sum(axis=0)[:, 0]
        hessian: Array = (turned @ stiffness @ self.motion).sum(axis=0)
        return 0.5 * float(weight @ stretch**2), gradient, hessian

    def solve(self, start: Array, *, steps: int = 2000) -> Array:
        """Go down to the nearest least-squares solution.

        Newton steps in the eigenvectors of the Hessian, uphill curvatures taken as downhill
        ones, each step halved until it does not climb.
        """
        close = 1e-9 * float(self.distances.max())
        p = start
        here = self._landscape(p)
        for _ in range(steps):
            curvature, axes = np.linalg.eigh(here[2])
            curvature = np.abs(curvature)
            curvature = np.maximum(curvature, 1e-12 * curvature.max())
            step: Array = -axes @ ((axes.T @ here[1]) / curvature)
            promised = -float(here[1] @ step)
            there = self._landscape(p + step)
            while there[0] > here[0] and np.abs(step).max() > close:
                step = 0.5 * step
                there = self._landscape(p + step)
            p, here = p + step, there
            if np.abs(step).max() <= close or promised <= NO_GAIN:
                return p
        raise SolverError(
            f"the distances do not settle: after {steps} steps the point still moves "
            f"{np.abs(step).max():.2g} mm (wanted {close:.2g} mm)"
        )

    def _svd(self, p: Array) -> tuple[Array, Array, Array]:
        """Decompose the Jacobian of the misfits; readings that say nothing new are zeroed."""
        unit = self._lines(p)[1]
        jacobian = (unit[:, None, :] @ self.motion)[:, 0] / self.sigma[:, None]
        u, gain, axes = np.linalg.svd(jacobian, full_matrices=False)
        return u * (gain > NOTHING * gain[0]), gain, axes

    def normalised(self, p: Array) -> Array:
        """Divide misfits by their own standard deviation; 0 where nothing checks them [-]."""
        spare = 1.0 - (self._svd(p)[0] ** 2).sum(axis=-1)
        checked = spare > 1e-6
        return np.where(checked, self.misfits(p), 0.0) / np.sqrt(np.where(checked, spare, 1.0))

    def doubts(self, p: Array) -> tuple[Array, Array]:
        """Give the principal semi-axes, shape (p,) [mm], and directions, shape (p, p) [-].

        Along each direction (a row) the smaller of the first-order doubt and of the move that
        costs one sigma through the curvature of the spheres alone, after the better-known
        directions have given way. Infinite where neither holds the point.
        """
        u, gain, axes = self._svd(p)
        lengths, unit = self._lines(p)
        moved = self.motion @ axes.T
        bent = (moved**2).sum(axis=1) - (unit[:, :, None] * moved).sum(axis=1) ** 2
        bent /= 2.0 * (lengths * self.sigma)[:, None]
        taken = np.triu(u.T @ bent, k=1)
        total = (bent**2).sum(axis=0)
        held = np.maximum(total - (taken**2).sum(axis=0), 0.0)
        with np.errstate(divide="ignore"):
            curved = np.where(held > 1e-9 * total, held, 0.0) ** -0.25
            straight = 1.0 / np.where(gain > NOTHING * gain[0], gain, 0.0)
        return np.minimum(straight, curved), axes

    def covariance(self, p: Array) -> Array:
        """Give the covariance of the unknowns from their finite `doubts`, shape (p, p) [mm^2]."""
        doubts, axes = self.doubts(p)
        out: Array = (axes.T * doubts**2) @ axes
        return out
