"""Of a hundred invented true runs at least 95 lie within the ranges that are printed.

Own experiment, no published source. Each run is invented whole: points, a true shape between drawn
tight and left to itself, a true friction within the range given, and readings that are out by the
tape's noise (``tolerance`` is a 95 % half-width, two standard deviations). Every fifth is a survey of
twelve points picked along the true run. Force by the capstan law on the true shape: the stiffness and
weight of a core do not come in.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from cableroute.figures.cable import work_out
from cableroute.measure.job import Cable, Job
from cableroute.route.curve import route_along
from cableroute.route.fillet import fit_arcs
from cableroute.route.lay_through import lay_through

RUNS, WANTED = 100, 95
RADIUS, TOLERANCE, LOAD, FRICTION = 80.0, 3.0, 100.0, (0.08, 0.16)
SURVEY, SURVEYED = 5, 12


@dataclass(frozen=True)
class Outcome:
    """The truth of one run, and the ranges that are told of it."""

    length: float
    force: float
    lengths: tuple[float, float]
    forces: tuple[float, float]

    @property
    def length_held(self) -> bool:
        return self.lengths[0] <= self.length <= self.lengths[1]

    @property
    def force_held(self) -> bool:
        return self.forces[0] <= self.force <= self.forces[1]


def invented(rng: np.random.Generator):
    """Return clips and a true run through them, in a shape between tight and natural."""
    while True:
        count = int(rng.integers(3, 6))
        ahead, aside = rng.uniform(250.0, 450.0, count), rng.uniform(-250.0, 250.0, (2, count))
        clips = np.vstack([np.zeros(3), np.cumsum(np.column_stack([ahead, *aside]), axis=0)])
        tight = fit_arcs(clips, min_bend_radius=RADIUS, through=True)
        natural = lay_through(clips)
        if tight.fits and natural.settled:
            share = rng.uniform()
            length = (1.0 - share) * float(tight.length) + share * float(natural.length)
            true = lay_through(clips, length=length)
            if true.settled:
                return clips, true


def outcome(rng: np.random.Generator, *, surveyed: bool) -> Outcome:
    """Measure an invented run, and work it out from the readings."""
    clips, true = invented(rng)
    friction = rng.uniform(*FRICTION)
    if surveyed:
        run = route_along(true.places().reshape(-1, 3))
        clips = run.point(np.linspace(0.0, run.length, SURVEYED))
    read = clips + rng.normal(scale=0.5 * TOLERANCE, size=clips.shape)
    cable = Cable("run", read, "pull", RADIUS, friction=FRICTION, load=LOAD)
    found = work_out(cable, job=Job("", (cable,), tape_tolerance=TOLERANCE))
    order = found.order
    return Outcome(
        length=float(true.length),
        force=LOAD * float(np.exp(friction * float(true.wrap))),
        lengths=(order.conduit - order.doubt, order.lay + order.doubt),
        forces=found.pull.inputs,
    )


@pytest.fixture(scope="module")
def outcomes() -> list[Outcome]:
    rng = np.random.default_rng(20)
    return [outcome(rng, surveyed=i % SURVEY == SURVEY - 1) for i in range(RUNS)]


def test_true_lengths_and_forces_lie_within_the_printed_ranges(outcomes) -> None:
    lengths = sum(each.length_held for each in outcomes)
    forces = sum(each.force_held for each in outcomes)
    both = sum(each.length_held and each.force_held for each in outcomes)
    told = f"of {RUNS} runs: length {lengths}, force {forces}, both {both} within the range"
    assert both >= WANTED, told


def test_the_ranges_are_no_wider_than_they_need_be(outcomes) -> None:
    """A range that held anything would pass too: half of them are within these widths."""
    low, high = np.array([each.lengths for each in outcomes]).T
    assert np.median(high / low - 1.0) < 0.10
    low, high = np.array([each.forces for each in outcomes]).T
    assert np.median(high / low) < 1.6
