"""``study``: how sure a cable's verdict is, which reading decides it, what to measure again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cableroute.arrays import Array
from cableroute.assess import CableAssessment, assess
from cableroute.errors import CableRouteError
from cableroute.figures.cable import Figures
from cableroute.figures.headed import headed
from cableroute.frozen import frozen
from cableroute.measure.bounds import MOST_MISFIT, MOST_STUDIED
from cableroute.measure.job import Job
from cableroute.study.chances import wilson
from cableroute.study.draw import BLOCK
from cableroute.study.drawn import drawn
from cableroute.study.inputs import Doubts, Input, doubts_of
from cableroute.study.lays import TRIED, LayCheck, lay_near, try_lays
from cableroute.study.model import TOLD, Model
from cableroute.study.rules import RULES, Rules, stock_lengths
from cableroute.study.sensitivity import Indices, sobol_indices
from cableroute.study.tally import Rows, Tally
from cableroute.study.what_to_measure import Advice, advise
from cableroute.verdict.limits import Limits

#: Samples if not said otherwise, and the most without being asked twice [-].
SAMPLES, MOST = 2**14, 10**6
#: Points studied at once for which so many are drawn, and how many one of a run that does not fit
#: counts for: the work grows with them [-].
POINTS, OF_MISFIT = 12, 6
#: Points of the indices at least [-].
_FEW = 64


@frozen
class Quantiles:
    """What a figure is in 5, 50 and 95 of 100 machines.

    Parameters
    ----------
    key, name, unit : str
        Which figure.
    p5, p50, p95 : float
        Infinite where a push locks up [``unit``].
    """

    key: str
    name: str
    unit: str
    p5: float
    p50: float
    p95: float


@frozen
class Chance:
    """A chance, and the 95 % interval of counting it.

    Parameters
    ----------
    code : str
        The rule.
    chance : float
        Share of the machines [-].
    interval : tuple of float
        Low and high [-].
    words : str
        What it is.
    drawn : bool
        Whether every machine was held against it, or the cable as read only.
    """

    code: str
    chance: float
    interval: tuple[float, float]
    words: str = ""
    drawn: bool = True


@frozen
class StockChance:
    """How likely a stock length is long enough.

    Parameters
    ----------
    length : float
        The length [mm].
    reaches : float
        Chance that it reaches drawn tight, with the slack wanted [-].
    lies : float
        Chance that it is as long as the machine's own shape, with the slack [-].
    """

    length: float
    reaches: float
    lies: float


@frozen(eq=False)
class Study:
    """How sure one cable's verdict is.

    Parameters
    ----------
    model : Model
        The cable, what is doubtful about it, and what it is held against.
    n : int
        Machines drawn [-].
    seed : int
        What they were drawn with [-].
    first : Rows
        The first of them, whole: all of up to ``KEPT``.
    quantiles : tuple of Quantiles
        P5, P50, P95 of every figure.
    fails : tuple of Chance
        The chance that any rule fails, then that of each, likeliest first.
    stock : tuple of StockChance
        How likely each stock length is long enough.
    indices : mapping of str to Indices
        Of each figure that varies.
    lay : LayCheck
        How far off the natural lay was, where it was worked out in full.
    advice : tuple of Advice
        What to measure again first, and what that gains.
    """

    model: Model
    n: int
    seed: int
    first: Rows
    quantiles: tuple[Quantiles, ...]
    fails: tuple[Chance, ...]
    stock: tuple[StockChance, ...]
    indices: dict[str, Indices]
    lay: LayCheck
    advice: tuple[Advice, ...]

    @property
    def doubts(self) -> Doubts:
        """What is in doubt about the cable."""
        return self.model.doubts

    @property
    def figures(self) -> Figures:
        """The cable as it was read."""
        return self.doubts.figures

    @property
    def name(self) -> str:
        """What the cable is called."""
        return self.figures.cable.name

    @property
    def inputs(self) -> tuple[Input, ...]:
        """What is in doubt."""
        return self.doubts.inputs

    @property
    def shares(self) -> Array:
        """The draw of the first machines, shape (k, inputs) [-]."""
        return self.first.shares

    @property
    def samples(self) -> dict[str, Array]:
        """Figures of the first machines; wrap in degrees."""
        return dict(self.first.figures)

    @property
    def margins(self) -> dict[str, Array]:
        """What each of them has in hand by rule; below 0 it fails."""
        return dict(self.first.margins)

    def rows(self) -> Iterator[Rows]:
        """Yield all machines block by block; those that were not kept are worked out anew."""
        for i in range(0, len(self.first.shares), BLOCK):
            yield self.first.part(slice(i, i + BLOCK))
        yield from self.model.rows(self.n, seed=self.seed, start=len(self.first.shares))


def study(
    job: Job,
    *,
    cable: str | None = None,
    n: int | None = None,
    seed: int = 0,
    limits: Limits | None = None,
    sensitive: bool = True,
    among: int = 1,
) -> Study:
    """Say how sure the verdict on a cable is.

    Machines are drawn by scrambled Sobol points from what is doubtful: every reading, from which the
    points are worked out again, friction, loads, the cable's data, its shape between tight and
    natural. Each is judged by the kernels of :func:`cableroute.assess`.

    Parameters
    ----------
    job : Job
        What was measured.
    cable : str, optional
        Which cable; the first if not given.
    n : int, optional
        Machines; rounded up to a power of two. If not given 16 384, fewer where there are very many
        points [-].
    seed : int
        The same seed gives the same numbers [-].
    limits : Limits, optional
        Limits of the rules.
    sensitive : bool
        Whether to work out Sobol indices and advice, which takes twice as long again [-].
    among : int
        Cables that are studied one after the other, where `n` is not given [-].

    Returns
    -------
    Study
        Quantiles, chances, indices, advice.

    Raises
    ------
    CableRouteError
        For a cable that is not there, or a number of machines below 2.
    """
    model = prepared(job, cable, limits)
    size = samples_of(model.doubts.figures, among=among) if n is None else rounded_up(n)
    tally = Tally(stock_lengths(model.doubts.figures))
    for rows in model.rows(size, seed=seed):
        tally.add(rows)
    indices: dict[str, Indices] = {}
    advice: tuple[Advice, ...] = ()
    if sensitive and model.doubts.inputs:
        indices = _indices(model, n=size, seed=seed)
        advice = tuple(advise(model, tally.fails, tally.first, size, indices))
    return Study(
        model,
        size,
        seed,
        tally.first,
        tuple(_quantiles(tally)),
        _fails(tally, model.rules),
        tuple(_stock(tally)),
        indices,
        _tried(model, tally.first.shares[:TRIED]),
        advice,
    )


def samples_of(figures: Figures, *, among: int = 1) -> int:
    """Return how many machines to draw of a run, which is one of so many."""
    fits = bool(figures.route.corner_fits.all())
    points = among * len(figures.route.points) * (1 if fits else OF_MISFIT)
    enough = SAMPLES * POINTS // max(points, POINTS)
    return 1 << (enough.bit_length() - 1)


def rounded_up(n: int) -> int:
    """Return the power of two that is not below a number of samples."""
    if n < 2:
        raise CableRouteError(f"n: expected 2 samples or more, got {n}")
    return 1 << (n - 1).bit_length()


def prepared(job: Job, name: str | None = None, limits: Limits | None = None) -> Model:
    """Return the machines of a cable as they may be, the first cable if no other is named."""
    limits = limits or Limits()
    found = _judged(job, name, limits)
    most, where = MOST_STUDIED, ""
    if not found.figures.route.corner_fits.all():
        most, where = MOST_MISFIT, " while its bends do not fit"
    if (count := len(found.figures.route.points)) > most:
        raise CableRouteError(
            f'cable "{found.name}": expected a run of at most {most} points to study{where}, got {count}: '
            "the run is worked out anew thousands of times for each. Measure fewer, at the corners"
        )
    doubts = doubts_of(found.figures, job)
    return Model(doubts, lay_near(found.figures, moving=not doubts.smoothed), Rules(found, limits))


def _judged(job: Job, name: str | None, limits: Limits) -> CableAssessment:
    """Judge the cable as it was read, at the headings that its linkage gives it."""
    known = [each.name for each in job.cables]
    if name is not None and name not in known:
        raise CableRouteError(f"no cable {name!r}; known: {', '.join(known)}")
    job = headed(job)
    (one,) = (each for each in job.cables if each.name == (name or known[0]))
    alone = replace(job, cables=(one,), linkages=(), selectors=())
    return assess(alone, limits=limits).cables[0]


def _quantiles(tally: Tally) -> Iterator[Quantiles]:
    for key, name, unit in TOLD:
        if key in tally.first.figures:
            yield Quantiles(key, name, unit, *tally.quantiles(key))


def _fails(tally: Tally, rules: Rules) -> tuple[Chance, ...]:
    """Return the chance that any rule fails, then that of each; those asked as read are certain."""
    n, as_read = tally.n, rules.as_read
    counted = [
        Chance(code, count / n, wilson(count, n), RULES[code])
        for code, count in tally.fails.items()
    ]
    for code, (words, fails) in as_read.items():
        chance = float(fails)
        counted.append(Chance(code, chance, (chance, chance), f"as read: {words}", drawn=False))
    surely = any(fails for _, fails in as_read.values())
    any_of_them = n if surely else tally.fail_any
    whole = Chance("any", any_of_them / n, wilson(any_of_them, n), "any rule fails")
    return (whole, *sorted(counted, key=lambda each: -each.chance))


def _stock(tally: Tally) -> Iterator[StockChance]:
    for length, (reaches, lies) in tally.long_enough.items():
        yield StockChance(length, int(reaches) / tally.n, int(lies) / tally.n)


def _indices(model: Model, *, n: int, seed: int) -> dict[str, Indices]:
    """Return indices of figures and of what is in hand by rule, from about twice n samples."""
    inputs = len(model.doubts.inputs)
    share = max(2 * n // (inputs + 2), _FEW)
    return sobol_indices(
        model.changed, inputs=inputs, n=1 << (share.bit_length() - 1), seed=seed + 1
    )


def _tried(model: Model, shares: Array) -> LayCheck:
    """Hold the lay in proportion against lays in full, where points move."""
    doubts = model.doubts
    if doubts.smoothed:
        return LayCheck()
    return try_lays(doubts.figures, model.lay, drawn(doubts, model.lay, shares).route.points)
