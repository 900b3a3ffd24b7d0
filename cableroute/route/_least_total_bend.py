"""The least total bend within balls: a barrier method that proves how far it is from the best.

The unknown of every point is its displacement in units of its own tolerance, ``|x_j| <= 1``, and
the bends depend on it linearly, each on three neighbouring points only::

    minimise    sum_i |d_i| + price * sum_l max(0, e_l)
    bends       d_i = base_i + coef_i0 * x_i + coef_i1 * x_(i+1) + coef_i2 * x_(i+2)
    crowding    e_l = share_(l-1) * |d_(l-1)| + share_l * |d_l| - room_l      on every leg l

That is a second-order cone programme. Its barrier replaces each norm by the smooth
``t = mu + sqrt(mu^2 + |d|^2)``, prices crowding by a logarithm on either side of ``e = 0``, and
holds the balls by ``-mu * log(1 - |x|^2)``. As ``mu`` falls the smooth problem becomes the true
one. Newton's matrix is banded, because only neighbours meet. A point that must not move has
``coef`` 0 and stays at ``x = 0`` of its own accord.

Every iterate also hands out a proof. For any prices ``0 <= lam_l <= price`` and any vectors with
``|y_i| <= 1 + share_i * (lam_i + lam_(i+1))``, no choice of ``x`` can do better than ::

    sum_i y_i . base_i - sum_j |(coef^T y)_j| - sum_l lam_l * room_l

and the slopes of the smoothed terms are such ``lam`` and ``y``.

References
----------
S. Boyd and L. Vandenberghe, *Convex Optimization*, Cambridge 2004, section 5.9 (duality with
cones) and 11.3, 11.6 (barrier method): from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import SolverError
from cableroute.frozen import frozen
from cableroute.route.pieces import at_both_ends

#: Below this total bend a relative gap asks for digits nobody can use: it is taken of this.
_LEAST_TOTAL = 0.1

#: What mu shrinks to, when centred; anything from 0.1 to 0.3 does as well.
_SHRINK = 0.2
#: Steps of Newton's method; 20 to 100 are usual.
_MOST_STEPS = 200
#: A leg's crowding ties four points of three coordinates.
_HALF_BANDWIDTH = 11


@frozen
class BendProblem:
    """The data of one least-bend problem of n points, k = n - 2 of them inner ones.

    Attributes
    ----------
    base : ndarray, shape (k, 3)
        The bends of the points as measured [-].
    coef : ndarray, shape (k, 3)
        What a unit displacement of the point before, at and after adds to each bend [-].
    share : ndarray, shape (k,)
        How much of the room of its two legs one unit of bend takes [-].
    room : ndarray, shape (n - 1,) or (0,)
        What bend each leg has room for [-]; empty when crowding is not to be counted.
    price : float
        What one unit of crowding costs, in units of bend [-].
    """

    base: Array
    coef: Array
    share: Array
    room: Array
    price: float

    def change(self, x: Array) -> Array:
        """Return what displacements add to the bends, ``coef x``, shape (k, 3)."""
        before, at, after = self.coef.T[..., None]
        change: Array = before * x[:-2] + at * x[1:-1] + after * x[2:]
        return change

    def adjoint(self, y: Array) -> Array:
        """Return ``coef^T y``, shape (n, 3)."""
        before, at, after = self.coef.T[..., None]
        out = np.zeros((len(y) + 2, 3))
        out[:-2] += before * y
        out[1:-1] += at * y
        out[2:] += after * y
        return out

    def taken(self, sizes: Array) -> Array:
        """Return how much room bends of these sizes take on every leg, shape of ``room``."""
        return at_both_ends(self.share * sizes)[: self.room.size]

    def weights(self, lam: Array) -> Array:
        """Return the price of one unit of each bend, its own and its legs', shape (k,)."""
        per_leg = lam if lam.size else np.zeros(len(self.base) + 1)
        return 1.0 + self.share * (per_leg[:-1] + per_leg[1:])

    def totals(self, x: Array) -> tuple[float, float]:
        """Return the total bend and the total crowding."""
        sizes = np.linalg.norm(self.base + self.change(x), axis=1)
        return float(sizes.sum()), float(np.maximum(self.taken(sizes) - self.room, 0.0).sum())

    def objective(self, x: Array) -> float:
        """Return the total bend and the price of the crowding."""
        bend, crowding = self.totals(x)
        return bend + self.price * crowding

    def bound(self, y: Array, lam: Array) -> float:
        """Return the lower bound of the objective that feasible dual values prove."""
        reach = np.linalg.norm(self.adjoint(y), axis=1).sum()
        return float(np.vdot(y, self.base) - reach - lam @ self.room)


@frozen
class Optimum:
    """A solution and the proof of how good it is.

    Attributes
    ----------
    x : ndarray, shape (n, 3)
        Displacements in units of the tolerances [-].
    objective, lower_bound : float
        What was reached, and what no choice can undercut [-].
    steps : int
        Newton steps taken [-].
    """

    x: Array
    objective: float
    lower_bound: float
    steps: int


@frozen
class _Smooth:
    """The smoothed objective at one place, and the pieces of its derivatives."""

    value: float
    lean: Array  # (k, 3) slope of the smoothed size of each bend
    root: Array  # (k,) sqrt(mu^2 + |d|^2)
    lam: Array  # (legs,) slope of the smoothed price of crowding
    stiffness: Array  # (legs,) and its second derivative
    slack: Array  # (n,) 1 - |x|^2


def minimise(problem: BendProblem, *, gap: float) -> Optimum:
    """Return displacements whose objective is proved to be within the gap of the least."""
    x = np.zeros((len(problem.base) + 2, 3))
    terms = 2 * len(x) + problem.room.size  # 2 * mu * terms is the gap at the exact centre
    mu, best = 0.1 * max(problem.objective(x), _LEAST_TOTAL) / terms, 0.0
    for steps in range(_MOST_STEPS):
        at = _smooth(problem, x, mu)
        step, decrement = _newton(problem, at, x, mu)
        value, bound = problem.objective(x), problem.bound(*_dual(problem, at, step))
        best = max(best, bound)
        if value - best <= gap * max(value, _LEAST_TOTAL):
            return Optimum(x, value, best, steps)
        x = _line_search(problem, x, step, mu=mu, value=at.value, decrement=decrement)
        if decrement <= 0.5 * mu and value - bound <= 4.0 * mu * terms:  # centred, and it shows
            mu *= _SHRINK
    raise SolverError(
        f"least-turn smoothing: expected a gap of {gap:g} within {_MOST_STEPS} steps, "
        f"got {value:.6g} rad, proved no better than {best:.6g}"
    )


def _smooth(problem: BendProblem, x: Array, mu: float) -> _Smooth:
    d = problem.base + problem.change(x)
    root = np.sqrt(mu**2 + np.einsum("ka,ka->k", d, d))
    slack = 1.0 - np.einsum("na,na->n", x, x)
    cost, lam, stiffness = _smooth_price(problem, problem.taken(mu + root) - problem.room, mu)
    value = float((mu + root).sum() + cost - mu * np.log(slack).sum())
    return _Smooth(value, d / root[:, None], root, lam, stiffness, slack)


def _smooth_price(problem: BendProblem, e: Array, mu: float) -> tuple[float, Array, Array]:
    """Return ``price * max(0, e)`` smoothed and summed, its slopes and second derivatives.

    The logarithms keep ``over > 0`` and ``under = over - e > 0``; the best ``over`` is the root
    of a quadratic, written so that neither loses its digits when the other is large.
    """
    if not e.size:
        return 0.0, e, e
    c = 2.0 * mu / problem.price
    far = np.sqrt(e**2 + c**2)
    over = 0.5 * (c + np.where(e > 0.0, far + e, c**2 / (far + np.abs(e))))
    under = 0.5 * (c + np.where(e < 0.0, far - e, c**2 / (far + np.abs(e))))
    cost = problem.price * over - mu * (np.log(over) + np.log(under))
    return float(cost.sum()), mu / under, mu / (over**2 + under**2)


def _newton(problem: BendProblem, at: _Smooth, x: Array, mu: float) -> tuple[Array, float]:
    """Return Newton's step and its decrement, the fall it promises times two."""
    from scipy.linalg import LinAlgError, solveh_banded

    pull = problem.weights(at.lam)[:, None] * at.lean
    gradient = (problem.adjoint(pull) + 2.0 * mu * x / at.slack[:, None]).ravel()
    try:
        step = -solveh_banded(_band(problem, at, x, mu), gradient, lower=True)
    except LinAlgError as error:
        raise SolverError(f"least-turn smoothing lost its digits at mu = {mu:.1e}") from error
    return step.reshape(x.shape), -float(gradient @ step)


def _band(problem: BendProblem, at: _Smooth, x: Array, mu: float) -> Array:
    """Return the second derivatives in lower banded form, shape (12, 3n)."""
    width = 3 * (len(x) + 2)  # a ghost point at either end makes the end legs like the others
    band = np.zeros((_HALF_BANDWIDTH + 1) * width)
    for first, block in _blocks(problem, at, x, mu):
        row, col = np.tril_indices(block.shape[1])
        where = (row - col) * width + col + first + 3 * np.arange(len(block))[:, None]
        band += np.bincount(where.ravel(), block[:, row, col].ravel(), minlength=band.size)
    return band.reshape(-1, width)[:, 3:-3]


def _blocks(problem: BendProblem, at: _Smooth, x: Array, mu: float) -> Iterator[tuple[int, Array]]:
    """Yield the second derivatives by point, bend and leg, and where the first block begins."""
    z = 1.0 / at.slack[:, None, None]
    yield 3, 2.0 * mu * z * (np.eye(3) + 2.0 * z * x[:, :, None] * x[:, None, :])

    c, k = problem.coef, len(problem.base)
    across = np.eye(3) - at.lean[:, :, None] * at.lean[:, None, :]
    across *= (problem.weights(at.lam) / at.root)[:, None, None]
    yield 3, np.einsum("ki,kj,kab->kiajb", c, c, across).reshape(k, 9, 9)

    slope = np.einsum("k,ki,ka->kia", problem.share, c, at.lean).reshape(k, 9)
    along = np.zeros((k + 1, 12))
    along[1:, :9] += slope
    along[:-1, 3:] += slope
    along = along[: problem.room.size]
    yield 0, at.stiffness[:, None, None] * along[:, :, None] * along[:, None, :]


def _dual(problem: BendProblem, at: _Smooth, step: Array) -> tuple[Array, Array]:
    """Return the slopes that Newton's step predicts, cut back to what the proof allows."""
    change = problem.change(step)
    growth = np.einsum("ka,ka->k", at.lean, change)
    lam = np.clip(at.lam + at.stiffness * problem.taken(growth), 0.0, problem.price)
    lean = at.lean + (change - growth[:, None] * at.lean) / at.root[:, None]
    lean /= np.maximum(np.linalg.norm(lean, axis=1, keepdims=True), 1.0)
    return problem.weights(lam)[:, None] * lean, lam


def _line_search(
    problem: BendProblem, x: Array, step: Array, *, mu: float, value: float, decrement: float
) -> Array:
    length = _within(x, step)
    while length > 1e-9:
        tried = x + length * step
        if _smooth(problem, tried, mu).value <= value - 0.05 * length * decrement:
            return tried
        length *= 0.5
    return x


def _within(x: Array, step: Array) -> float:
    """Return the fraction of the step, at most all of it, that stays well inside the balls."""
    a = np.einsum("na,na->n", step, step)
    b = np.einsum("na,na->n", x, step)
    c = 1.0 - np.einsum("na,na->n", x, x)
    return float(0.95 / max(0.95, ((b + np.sqrt(b**2 + a * c)) / c).max()))
