"""Least squares of spring-scale readings: friction and drag."""

from __future__ import annotations

from math import nan

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.errors import CableRouteError, SolverError
from cableroute.frozen import frozen

#: Share of intervals that hold the true value, and of good sets in which nothing is named [-].
CONFIDENCE = 0.95
#: Scatter below this part of the scale's doubt is rounding in the last digit of a float [-].
_ROUNDING = 1e-9
#: The fit is settled when a step promises less than this part of the sum of squares [-].
_SETTLED = 1e-13
#: A unit of friction or drag that moves all readings by less than this part of their doubt [-].
_UNSEEN = 1e-6
_ROUNDS = 100
#: Hand over load: bounds that keep a step too far finite [-]
_MOST_RATIO = 1e100


@frozen(eq=False)
class Fit:
    """Least squares of the readings used; all residuals are over the scale's doubt."""

    mu: float
    drag: float
    slopes: Array  # of the fitted forces by mu and drag, over their doubt
    residuals: Array
    covariance: Array  # for a scatter of 1
    used: BoolArray

    @classmethod
    def of(cls, data: Array, used: BoolArray) -> Fit:
        """Gauss-Newton with step halving, from the slope of the logarithms."""
        kept = data[used]
        _check_apart(kept)
        at = _first_guess(kept)
        for _ in range(_ROUNDS):
            residuals, slopes = _linear(kept, at)
            step = np.linalg.lstsq(slopes, residuals, rcond=None)[0]
            square, gain = _square(residuals), _square(slopes @ step)
            if gain <= _SETTLED * square + _ROUNDING**2:
                break
            share = 1.0  # of the step: halved until it gains half of what the slopes promise
            while _square(_linear(kept, at + share * step)[0]) > square - share * gain / 2.0:
                share /= 2.0
            at = at + share * step
        else:
            raise SolverError(
                f"the fit did not settle: {gain:.3g} of {square:.3g} was still to gain"
            )
        residuals, slopes = _linear(kept, at)
        return cls(float(at[0]), float(at[1]), slopes, residuals, _inverse(slopes), used.copy())

    @property
    def freedom(self) -> int:
        return len(self.residuals) - 2

    @property
    def scatter(self) -> float:
        return float(np.sqrt(np.sum(self.residuals**2) / self.freedom))

    @property
    def limit(self) -> float:
        """Bonferroni's limit to a studentised residual; none without readings to spare."""
        count = len(self.residuals)
        return _student((1.0 - CONFIDENCE) / count, count - 3) if count > 3 else np.inf

    def studentised(self, data: Array) -> Array:
        """Residuals over their doubt by the other readings; of those left out, as predictions."""
        residuals, slopes = _linear(data, np.array([self.mu, self.drag]))
        leverage = np.einsum("ij,jk,ik->i", slopes, self.covariance, slopes)
        room = np.where(self.used, np.maximum(1.0 - leverage, 0.0), 1.0 + leverage)
        alone = room < 1e-9  # the fit goes through it, whatever it is
        safe = np.where(alone, 1.0, room)
        total, spare = np.sum(self.residuals**2), max(self.freedom - 1, 1)
        others = np.where(self.used, (total - residuals**2 / safe) / spare, self.scatter**2)
        doubt = np.sqrt(np.maximum(others, _ROUNDING**2) * safe)
        return np.where(alone, 0.0, residuals / doubt)

    def interval(self, which: int) -> tuple[float, float]:
        """Give the interval of friction (0) or drag (1)."""
        value = (self.mu, self.drag)[which]
        reach = _student(1.0 - CONFIDENCE, self.freedom) * self.scatter
        half = reach * float(np.sqrt(self.covariance[which, which]))
        return value - half, value + half

    def pattern(self, trend: Array) -> float:
        """Chance of what one more slope takes off the residuals, if it means nothing."""
        from scipy.stats import f

        spare = self.freedom - 1
        onto = trend - self.slopes @ (self.covariance @ (self.slopes.T @ trend))
        size = float(onto @ onto)
        if spare < 1 or size <= 1e-9 * float(trend @ trend) or self.scatter <= _ROUNDING:
            return nan
        taken = float(onto @ self.residuals) ** 2 / size
        left = max(float(self.residuals @ self.residuals) - taken, _ROUNDING**2)
        return float(f.sf(taken / (left / spare), 1, spare))


def _check_apart(data: Array) -> None:
    """Refuse readings from which friction and drag cannot both be told."""
    count = len(data)
    if count < 3:
        add = 3 - count
        raise CableRouteError(
            f"expected at least 3 readings, got {count}: add {add} more, at other loads or wraps"
        )
    wrap, load = data[:, 0], data[:, 1]
    if not (wrap * load).any():
        raise CableRouteError(
            "no reading has both bends and a load, so nothing shows friction: add readings with a "
            "load, around a bend of 90 degrees or more"
        )
    kinds = np.unique(np.where(load > 0.0, [wrap, load], 0.0), axis=1)
    if kinds.shape[1] < 2:
        raise CableRouteError(
            "all readings are at one wrap and one load, so friction cannot be told from drag: add "
            "readings at another load (the half, or none) or around other bends"
        )


def _first_guess(data: Array) -> Array:
    """Begin with no drag, and with the slope of log(hand/load) through the origin."""
    wrap, load, hand, _ = data[(data[:, 0] * data[:, 1] > 0.0) & (data[:, 2] > 0.0)].T
    slope = float(np.sum(wrap * (np.log(hand) - np.log(load)))) / max(
        float(np.sum(wrap**2)), 1e-300
    )
    most = 50.0 / float(data[:, 0].max())  # no force grows by more than e^50 to begin with
    return np.array([min(max(slope, -most), most), 0.0])


def model(wrap: Array, load: Array, mu: float, drag: float) -> Array:
    with np.errstate(over="ignore"):  # a step too far is halved
        force: Array = load * np.minimum(np.exp(mu * wrap), _MOST_RATIO) + drag
    return force


def _linear(data: Array, at: Array) -> tuple[Array, Array]:
    """Residuals and slopes there, over the scale's doubt."""
    wrap, load, hand, doubt = data.T
    force = model(wrap, load, at[0], 0.0)
    slopes = np.stack((wrap * force, np.ones_like(force)), axis=1) / doubt[:, None]
    return (hand - force - at[1]) / doubt, slopes


def _square(residuals: Array) -> float:
    with np.errstate(over="ignore"):  # a step too far is halved
        return float(np.sum(residuals**2))


def _inverse(slopes: Array) -> Array:
    """Covariance for a scatter of 1, or a complaint if the slopes are as good as parallel."""
    size = np.linalg.norm(slopes, axis=0)
    if size.min() < _UNSEEN or np.linalg.cond(slopes / size) > 1e6:
        raise CableRouteError(
            "the readings show no friction that can be told from drag: see that wrap, load and "
            "hand stand in their own columns, and add readings at other loads and wraps"
        )
    inverse: Array = np.linalg.inv((slopes / size).T @ (slopes / size)) / np.outer(size, size)
    return inverse


def _student(both_tails: float, freedom: int) -> float:
    from scipy.stats import t

    return float(t.isf(both_tails / 2.0, freedom))
