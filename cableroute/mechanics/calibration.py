"""Friction and zero-load drag from spring-scale readings, with their doubt."""

from __future__ import annotations

from dataclasses import dataclass
from math import nan

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cableroute.errors import CableRouteError, SolverError
from cableroute.mechanics.capstan import check_not_negative
from cableroute.route.pieces import Array

#: Share of intervals that hold the true value, and of good sets in which nothing is named [-].
CONFIDENCE = 0.95
#: A spring scale's own doubt: a step of its dial [N] and a share of its reading [-]. Only their
#: proportion counts, as the readings' scatter is estimated. Common practice, no source.
SCALE_STEP = 0.5
SCALE_SHARE = 0.02
#: At most this share of the readings is left out; more are no outliers but the rule [-].
MOST_LEFT_OUT = 0.25
#: Scatter below this part of the scale's doubt is rounding in the last digit of a float [-].
_ROUNDING = 1e-9
#: The fit is settled when a step promises less than this part of the sum of squares [-].
_SETTLED = 1e-13
#: A unit of friction or drag that moves all readings by less than this part of their doubt [-].
_UNSEEN = 1e-6
_ROUNDS = 100
_MOST_RATIO = 1e100  # of hand to load: bounds that keep a step too far finite [-]


@dataclass(frozen=True, slots=True, eq=False)
class Calibration:
    r"""Capstan with a constant drag, fitted to spring-scale readings.

    Parameters
    ----------
    wrap : ndarray, shape (n,)
        Wrap of each reading [rad].
    load : ndarray, shape (n,)
        Far-end force of each [N].
    hand : ndarray, shape (n,)
        Hand force of each [N].
    friction : float
        Coefficient of friction [-]; a negative one speaks against the readings.
    friction_interval : tuple of float
        Its 95 % confidence interval [-].
    drag : float
        Hand force at no load [N].
    drag_interval : tuple of float
        Its 95 % confidence interval [N].
    used : ndarray of bool, shape (n,)
        False for outliers, which are left out [-].
    studentised : ndarray, shape (n,)
        Residual over its own doubt, judged by the other readings [-].
    limit : float
        Size of a studentised residual from which a reading is an outlier [-].
    scatter : float
        Root mean square of the residuals over the scale's own doubt [-].
    r_squared : float
        Share of the hand forces' weighted variation that the fit explains [-].
    wrap_pattern, load_pattern : float
        Chance of so clear a trend of the residuals with wrap, with load, if capstan holds [-];
        nan with too few readings to tell.
    """

    wrap: Array
    load: Array
    hand: Array
    friction: float
    friction_interval: tuple[float, float]
    drag: float
    drag_interval: tuple[float, float]
    used: NDArray[np.bool_]
    studentised: Array
    limit: float
    scatter: float
    r_squared: float
    wrap_pattern: float
    load_pattern: float

    @property
    def fitted(self) -> Array:
        """Hand forces by the fit [N]."""
        return _model(self.wrap, self.load, self.friction, self.drag)

    @property
    def residuals(self) -> Array:
        """Hand forces read less those of the fit [N]."""
        return self.hand - self.fitted

    @property
    def outliers(self) -> tuple[int, ...]:
        """Which readings are left out, the first being 0."""
        return tuple(int(i) for i in np.flatnonzero(~self.used))

    @property
    def has_drag(self) -> bool:
        """Whether the drag can be told from none."""
        low, high = self.drag_interval
        return not low <= 0.0 <= high

    @property
    def patterns(self) -> tuple[str, ...]:
        """Name what the residuals follow: wrap, load, both or nothing."""
        limit = (1.0 - CONFIDENCE) / 2.0  # two questions are asked of one set
        chances = {"wrap": self.wrap_pattern, "load": self.load_pattern}
        return tuple(name for name, chance in chances.items() if chance < limit)

    @property
    def explained(self) -> bool:
        """Whether capstan with a constant drag accounts for the readings."""
        return self.r_squared >= 0.9 and not self.patterns and self.friction_interval[1] > 0.0


def calibrate_friction(
    *, wrap: ArrayLike, load: ArrayLike, hand: ArrayLike, uncertainty: ArrayLike | None = None
) -> Calibration:
    r"""Fit friction and zero-load drag to readings of wrap, far-end load and hand force.

    :math:`F_h = F\,e^{\mu\theta} + D`, by weighted nonlinear least squares. Readings whose
    externally studentised residual exceeds Bonferroni's limit
    :math:`t_{1 - 0.05/2n,\ n - 3}` are left out one by one.

    Parameters
    ----------
    wrap : array-like, shape (n,)
        Sum of the unsigned turns between load and hand [rad].
    load : array-like, shape (n,)
        Force at the far end [N].
    hand : array-like, shape (n,)
        Force at the hand, with the core sliding towards it [N].
    uncertainty : array-like, shape (n,), optional
        How doubtful each hand force is, in proportion to the others [N]; if not given, a step
        of 0.5 N and 2 % of the reading, in quadrature.

    Returns
    -------
    Calibration
        Both constants with 95 % confidence intervals by Student's t, outliers, residuals.

    Raises
    ------
    CableRouteError
        For negative or unlike-shaped values, and for readings too few or too much alike to tell
        friction from drag.
    SolverError
        If the fit does not settle.

    Notes
    -----
    Valid for a core that slides steadily towards the hand, with drag that is the same at every
    load and wrap. Errors of load and wrap are taken as small beside those of the hand force.
    The intervals are linear in the residuals: good while friction times wrap is known to a few
    tenths. They hold the scatter of the readings, not a scale that is off at every one. As good
    readings are left out now and then, they hold the truth 94 times in a hundred (12 readings,
    2000 sets made by us).

    References
    ----------
    .. [1] Bates and Watts, Nonlinear Regression Analysis and Its Applications, 1988, chapter 2
       (Gauss-Newton, linear intervals); from memory.
    .. [2] Cook and Weisberg, Residuals and Influence in Regression, 1982, section 2.2
       (externally studentised residuals, Bonferroni's limit); from memory.

    Examples
    --------
    >>> wrap, load = np.radians([90, 180, 270, 360]), np.array([50.0, 100.0, 50.0, 100.0])
    >>> found = calibrate_friction(wrap=wrap, load=load, hand=load * np.exp(0.1 * wrap) + 3.0)
    >>> round(found.friction, 6), round(found.drag, 6), found.outliers
    (0.1, 3.0, ())
    """
    data = _data(wrap, load, hand, uncertainty)
    used = np.ones(len(data), dtype=bool)
    while True:
        fit = _Fit.of(data, used)
        limit, studentised = fit.limit, fit.studentised(data)
        sizes = np.where(used, np.abs(studentised), 0.0)
        worst = int(np.argmax(sizes))
        most = int(MOST_LEFT_OUT * len(data))
        if sizes[worst] <= limit or np.sum(~used) >= most:
            return _result(data, used, fit, studentised)
        used[worst] = False


@dataclass(frozen=True, slots=True, eq=False)
class _Fit:
    """Least squares of the readings used; all residuals are over the scale's doubt."""

    mu: float
    drag: float
    slopes: Array  # of the fitted forces by mu and drag, over their doubt
    residuals: Array
    covariance: Array  # for a scatter of 1
    used: NDArray[np.bool_]

    @classmethod
    def of(cls, data: Array, used: NDArray[np.bool_]) -> _Fit:
        """Gauss-Newton with step halving, from the slope of the logarithms."""
        kept = data[used]
        _check_apart(kept)
        at = _start(kept)
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


def _data(wrap: ArrayLike, load: ArrayLike, hand: ArrayLike, doubt: ArrayLike | None) -> Array:
    """One row for each reading: wrap, load, hand, doubt."""
    named = {"wrap": wrap, "load": load, "hand": hand}
    columns = [check_not_negative(value, name=name) for name, value in named.items()]
    if doubt is None:
        doubt = np.hypot(SCALE_STEP, SCALE_SHARE * columns[2])
    columns.append(check_not_negative(doubt, name="uncertainty"))
    shapes = [column.shape for column in columns]
    if len(set(shapes)) > 1 or columns[0].ndim != 1:
        raise CableRouteError(f"expected as many wraps as loads and hand forces, got {shapes}")
    if (columns[3] == 0.0).any():
        raise CableRouteError("uncertainty: expected more than 0 for every reading, got 0")
    return np.stack(columns, axis=1)


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


def _start(data: Array) -> Array:
    """Begin with no drag, and with the slope of log(hand/load) through the origin."""
    wrap, load, hand, _ = data[(data[:, 0] * data[:, 1] > 0.0) & (data[:, 2] > 0.0)].T
    slope = float(np.sum(wrap * (np.log(hand) - np.log(load)))) / max(
        float(np.sum(wrap**2)), 1e-300
    )
    most = 50.0 / float(data[:, 0].max())  # no force grows by more than e^50 to begin with
    return np.array([min(max(slope, -most), most), 0.0])


def _model(wrap: Array, load: Array, mu: float, drag: float) -> Array:
    with np.errstate(over="ignore"):  # a step too far is halved
        force: Array = load * np.minimum(np.exp(mu * wrap), _MOST_RATIO) + drag
    return force


def _linear(data: Array, at: Array) -> tuple[Array, Array]:
    """Residuals and slopes there, over the scale's doubt."""
    wrap, load, hand, doubt = data.T
    force = _model(wrap, load, at[0], 0.0)
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


def _result(data: Array, used: NDArray[np.bool_], fit: _Fit, studentised: Array) -> Calibration:
    kept = data[used]
    wrap, load, hand, doubt = kept.T
    spread = hand - np.average(hand, weights=doubt**-2)
    total = float(np.sum((spread / doubt) ** 2))
    forces = _model(wrap, load, fit.mu, 0.0) / doubt
    return Calibration(
        wrap=data[:, 0],
        load=data[:, 1],
        hand=data[:, 2],
        friction=fit.mu,
        friction_interval=fit.interval(0),
        drag=fit.drag,
        drag_interval=fit.interval(1),
        used=used,
        studentised=studentised,
        limit=fit.limit,
        scatter=fit.scatter,
        r_squared=1.0 - float(np.sum(fit.residuals**2)) / total if total else 0.0,
        wrap_pattern=fit.pattern(forces * wrap**2),
        load_pattern=fit.pattern(forces * wrap * load),
    )
