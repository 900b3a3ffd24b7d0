"""What is doubtful about a cable, by default and why, and as the file says instead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from difflib import get_close_matches

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import CableRouteError
from cableroute.figures.cable import Figures
from cableroute.frozen import frozen
from cableroute.measure.frame_models import DoubtEntry, Quantity
from cableroute.measure.job import Job
from cableroute.measure.models import RouteFile
from cableroute.route.fillet import COINCIDENT
from cableroute.route.pieces import Route
from cableroute.study.distributions import Distribution
from cableroute.study.lying import lying_harder
from cableroute.study.redrawn_points import AXES, Reading, Survey
from cableroute.units import TOLERANCE_SDS, parse_force, parse_length

#: Share by which a load may be off: our own choice, as loads are mostly guessed [-].
LOAD_SHARE = 0.10
#: Share by which the clearance of a new cable may be off: our own choice, as bore and core are each
#: made to some hundredths of a millimetre [-].
CLEARANCE_SHARE = 0.20
#: What a stock length may be off by: common practice, no source [mm].
STOCK_OFF = 10.0
#: First words of the keys of readings.
_READINGS = ("points", "nodes", "node_tape")
#: Points as worked out again may differ by this from those that are judged, by rounding [mm].
_SAME = 1e-3


@frozen
class Input:
    """One number that is in doubt.

    Parameters
    ----------
    key : str
        How it is asked for, as ``friction`` or ``points.3.z``.
    name : str
        What it is, in words.
    distribution : Distribution
        What it may be [``unit``].
    unit : str
        Its unit.
    reason : str
        Why it is taken so.
    """

    key: str
    name: str
    distribution: Distribution
    unit: str
    reason: str


@frozen(eq=False)
class Doubts:
    """All that is doubtful about one cable.

    Parameters
    ----------
    figures : Figures
        The cable as it was read.
    inputs : tuple of Input
        What is in doubt, width 0 left out.
    fixed : mapping of str to float
        Inputs that are not, by key.
    survey : Survey or None
        How points follow from readings; None where they are coordinates.
    smoothed : bool
        Whether the points were smoothed, so that the doubt is one of the whole run.
    lying : Route or None
        The shape in which it lies, where pushing along that may take more than along the tight run.
    """

    figures: Figures
    inputs: tuple[Input, ...]
    fixed: Mapping[str, float]
    survey: Survey | None
    smoothed: bool
    lying: Route | None = None

    def values(self, shares: Array) -> dict[str, Array]:
        """Return every input's value for rows of shares, shape (n, inputs), by key."""
        found = {each.key: each.distribution.at(shares[:, i]) for i, each in enumerate(self.inputs)}
        n = len(shares)
        return found | {key: np.full(n, value) for key, value in self.fixed.items()}

    def points(self, values: Mapping[str, Array]) -> Array:
        """Return the points of each machine, shape (n, points, 3); twins stay twins [mm]."""
        read, steady = self.figures.cable.points, self.figures.survey.points
        if self.smoothed:
            return np.broadcast_to(steady, (len(values["friction"]), *steady.shape))
        if self.survey is not None:
            placed = self.survey.points(lambda key: values[key], read)
        else:
            placed = _by_coordinates(read, values)
        apart = np.linalg.norm(np.diff(read, axis=0), axis=1) > COINCIDENT
        first = np.concatenate(([0], np.where(apart, np.arange(1, len(read)), 0)))
        placed = np.broadcast_to(placed, (len(values["friction"]), *read.shape))
        return placed[:, np.maximum.accumulate(first)]

    def moves(self, i: int) -> bool:
        """Whether an input moves points: a reading does, what belongs to the cable does not."""
        return self.inputs[i].key.partition(".")[0] in _READINGS

    def with_distribution(self, key: str, distribution: Distribution) -> Doubts:
        """Return the same with another doubt of one input."""
        changed = (
            replace(each, distribution=distribution) if each.key == key else each
            for each in self.inputs
        )
        return replace(self, inputs=tuple(changed))


def _by_coordinates(read: Array, values: Mapping[str, Array]) -> Array:
    rows = [
        np.stack([values.get(f"points.{j}.{axis}", np.asarray(x)) for axis, x in _named(point)], -1)
        if any(f"points.{j}.{axis}" in values for axis in AXES)
        else point
        for j, point in enumerate(read, start=1)
    ]
    return np.stack(np.broadcast_arrays(*rows), axis=-2)


def _named(point: Array) -> Iterator[tuple[str, float]]:
    return zip(AXES, point.tolist(), strict=True)


def doubts_of(figures: Figures, job: Job) -> Doubts:
    """List what is doubtful about a cable: readings, friction, load, cable data, shape, stock."""
    smoothed = bool(figures.survey.moves.any() or figures.survey.failure)
    survey = None if smoothed else _survey_of(figures, job)
    inputs = [*_of_the_run(figures, job, survey, smoothed), *_of_the_cable(figures)]
    given = job.as_read.study if job.as_read else {}
    own = _as_given(inputs, given, figures.cable.name, job)
    in_doubt = tuple(each for each in own if each.distribution.width > 0.0)
    fixed = {each.key: each.distribution.centre for each in own if each not in in_doubt}
    return Doubts(figures, in_doubt, fixed, survey, smoothed, lying_harder(figures))


def _survey_of(figures: Figures, job: Job) -> Survey | None:
    """Return the readings that give the points which are judged; None where these are changed."""
    cable, file = figures.cable, job.as_read
    entry = next((each for each in file.cable if each.name == cable.name), None) if file else None
    if file is None or entry is None or cable.is_drawn:
        return None
    if len(entry.points) != len(cable.points):
        return None
    survey = Survey(file, entry, cable.family.conduit_od if cable.family else 0.0)
    known = {each.key: np.asarray(each.value) for each in survey.readings()}
    again = survey.points(lambda key: known[key], cable.points)
    return survey if np.abs(again - cable.points).max() <= _SAME else None


def _of_the_run(
    figures: Figures, job: Job, survey: Survey | None, smoothed: bool
) -> Iterator[Input]:
    """Yield the readings; of a smoothed survey what it leaves open of the whole run."""
    cable, sd = figures.cable, figures.tolerance / TOLERANCE_SDS
    if smoothed:
        yield from _of_a_smoothed_run(figures)
        return
    if survey is not None:
        for each in survey.readings():
            why = "one reading, good to the tape's tolerance"
            if each.unit == "deg":
                why = "read along the skin of the tube, good to the tape's tolerance"
            yield _reading(each, figures, why)
        return
    why = "a coordinate, good to the tape's tolerance"
    for j, point in enumerate(cable.points, start=1):
        for axis, value in _named(point) if point.any() else ():
            yield _reading(Reading(f"points.{j}.{axis}", value, sd), figures, why)


def _reading(each: Reading, figures: Figures, why: str) -> Input:
    head, number, *rest = each.key.split(".")
    words = each.key.replace(".", " ").replace("_", " ")
    if head == "points":
        words = " ".join((figures.cable.point_name(int(number) - 1), *rest))
    spread = Distribution("normal", (each.value, each.sd))
    return Input(each.key, words, spread, each.unit, why)


def _of_a_smoothed_run(figures: Figures) -> Iterator[Input]:
    """Yield how much a smoothed survey may turn, and how long it may be, for all readings at once."""
    middle = float(figures.route.wrap)
    low, high = figures.wraps
    turns = sorted((middle, float(figures.shapes.loose.wrap)))
    ends = min(low - turns[0], 0.0), max(high - turns[1], 0.0)
    yield Input(
        "wrap",
        "wrap that the survey leaves open",
        Distribution("uniform", tuple(float(np.degrees(x)) for x in ends)),
        "deg",
        "the points are close: what smoothing leaves open, for all of them at once",
    )
    doubt = figures.order.doubt / TOLERANCE_SDS
    yield Input(
        "length",
        "length that the survey leaves open",
        Distribution("normal", (0.0, doubt)),
        "mm",
        "the tape's doubt in the length, for all points at once",
    )


def _of_the_cable(figures: Figures) -> Iterator[Input]:
    """Yield friction, loads, cable data, shape and stock."""
    cable, core = figures.cable, figures.core
    yield Input(
        "friction",
        "friction",
        Distribution("uniform", figures.friction),
        "",
        "anywhere in its range alike",
    )
    pushed = other_way(figures)
    known = cable.load is not None or cable.resists is not None
    for key, load in (("load", figures.pull.load), ("push_load", pushed)):
        share = LOAD_SHARE if known else 0.0
        ends = (load * (1.0 - share), load * (1.0 + share))
        why = (
            f"mostly guessed: {100 * share:.0f} % either way"
            if known
            else "assumed, a unit of account"
        )
        yield Input(key, key.replace("_", " "), Distribution("uniform", ends), "N", why)
    c = cable.family.clearance if cable.family else 0.0
    ends = (c * (1.0 - CLEARANCE_SHARE), c * (1.0 + CLEARANCE_SHARE))
    why = "bore and core are each made to some hundredths: 20 % either way"
    yield Input("clearance", "clearance", Distribution("uniform", ends), "mm", why)
    why = "0 free wires in a conduit that yields, 1 locked wires in a rigid one"
    unknown = (0.0, 1.0) if core and cable.family else (0.0, 0.0)
    yield Input("stiffness", "core stiffness, share", Distribution("uniform", unknown), "", why)
    why = "0 drawn tight, 1 left to itself"
    yield Input("shape", "shape, tight to natural", Distribution("uniform", (0.0, 1.0)), "", why)
    off = STOCK_OFF if figures.order.choice else 0.0
    why = f"made to {STOCK_OFF:g} mm either way"
    yield Input("stock", "stock length, off by", Distribution("uniform", (-off, off)), "mm", why)


def other_way(figures: Figures) -> float:
    """Load of the other way: that of a push, or of a pair's other core [N]."""
    if figures.cable.kind == "pull-pair":
        back = figures.cable.push_load
        return figures.pull.load if back is None else back
    return figures.push.through.load if figures.push else 0.0


def _as_given(
    inputs: list[Input], given: Mapping[str, DoubtEntry], cable: str, job: Job
) -> list[Input]:
    """Put what the file's study table says in the place of the defaults."""
    known = {each.key: i for i, each in enumerate(inputs)}
    names = [each.name for each in job.cables]
    changed = list(inputs)
    for written, entry in given.items():
        whose, key = _split(written, names)
        if whose not in (None, cable):
            continue
        if key not in known:
            if whose is None and len(names) > 1:  # it may be another cable's
                continue
            near = get_close_matches(key, known, n=1, cutoff=0.0)
            raise CableRouteError(
                f'study: no input "{written}" of cable {cable}; the nearest is "{near[0]}"'
            )
        old = changed[known[key]]
        try:
            spread = _distribution(entry, old, job.as_read)
        except CableRouteError as error:
            raise CableRouteError(f'study, "{written}": {error}') from error
        changed[known[key]] = replace(old, distribution=spread, reason="as the file says")
    return changed


def _split(written: str, names: list[str]) -> tuple[str | None, str]:
    """Part ``cable.shift.friction`` into whose it is and what."""
    for name in sorted(names, key=len, reverse=True):
        if written.startswith(f"cable.{name}."):
            return name, written[len(name) + 7 :]
    return None, written


def _distribution(entry: DoubtEntry, old: Input, file: RouteFile | None) -> Distribution:
    (kind, value), *_ = ((name, value) for name, value in entry if value is not None)
    numbers = [
        _number(each, old.unit, file) for each in (value if isinstance(value, tuple) else (value,))
    ]
    if kind == "tolerance":
        if numbers[0] < 0.0:
            raise CableRouteError(f"tolerance: expected 0 or more, got {numbers[0]:g}")
        return Distribution("normal", (old.distribution.centre, numbers[0] / TOLERANCE_SDS))
    return Distribution(kind, tuple(numbers))


def _number(value: Quantity, kind: str, file: RouteFile | None) -> float:
    if kind == "mm":
        return float(parse_length(value, unit=file.unit if file else "mm"))
    if kind == "N":
        return float(parse_force(value, unit=(file and file.force_unit) or "N"))
    if isinstance(value, str):
        raise CableRouteError(f"expected a number, got {value!r}")
    return float(value)
