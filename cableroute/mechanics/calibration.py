"""Friction and zero-load drag from spring-scale readings, with their doubt."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray
from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.mechanics._friction_fit import CONFIDENCE, Fit, model
from cableroute.mechanics.capstan import check_not_negative

#: A spring scale's own doubt: a step of its dial [N] and a share of its reading [-]. Only their
#: proportion counts, as the readings' scatter is estimated. Common practice, no source.
SCALE_STEP = 0.5
SCALE_SHARE = 0.02
#: At most this share of the readings is left out; more are no outliers but the rule [-].
MOST_LEFT_OUT = 0.25


@frozen(eq=False)
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
    used: BoolArray
    studentised: Array
    limit: float
    scatter: float
    r_squared: float
    wrap_pattern: float
    load_pattern: float

    @property
    def fitted(self) -> Array:
        """Hand forces by the fit [N]."""
        return model(self.wrap, self.load, self.friction, self.drag)

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
        """Whether capstan with a constant drag accounts for the readings, with a friction there is."""
        return self.r_squared >= 0.9 and not self.patterns and self.friction >= 0.0


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
        fit = Fit.of(data, used)
        limit, studentised = fit.limit, fit.studentised(data)
        sizes = np.where(used, np.abs(studentised), 0.0)
        worst = int(np.argmax(sizes))
        most = int(MOST_LEFT_OUT * len(data))
        if sizes[worst] <= limit or np.sum(~used) >= most:
            return _result(data, used, fit, studentised)
        used[worst] = False


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


def _result(data: Array, used: BoolArray, fit: Fit, studentised: Array) -> Calibration:
    kept = data[used]
    wrap, load, hand, doubt = kept.T
    spread = hand - np.average(hand, weights=doubt**-2)
    total = float(np.sum((spread / doubt) ** 2))
    forces = model(wrap, load, fit.mu, 0.0) / doubt
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
