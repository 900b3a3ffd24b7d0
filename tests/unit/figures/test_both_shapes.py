"""What follows from force takes the shape that turns less at its low end, the other at its high end.

Expected values are worked by hand, e^(mu wrap) above all, from the turns of the two shapes. Loads are
small against the onset of snaking, and drag is given, so that the capstan law is all there is.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, inf, sin, sqrt

import numpy as np
import pytest

from cableroute.figures.cable import Figures, work_out
from cableroute.figures.clips_and_anchors import holding_of
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.route.fillet import fit_arcs
from cableroute.route.lay_through import lay_through

AHEAD = np.array([1.0, 0.0, 0.0])
#: Points, and whether both ends are held ahead: then the tight run winds more than the lay.
RUNS = {
    "the lay turns more": ([[0, 0, 0], [400, 0, 0], [700, 300, 50], [1200, 300, 200]], False),
    "the tight run turns more": ([[0, 0, 0], [230, -200, 0], [590, -80, 0], [780, 110, 0]], True),
}
CORNER = np.array([[0, 0, 0], [500, 0, 0], [500, 500, 0]], dtype=float)
RADIUS, LOAD, PUSH, DRAG = 150.0, 60.0, 5.0, 2.0
LOW, HIGH = 0.1, 0.2
FAMILY = load_library()["push-slick-medium"]


def cable_of(name: str, **changes: object) -> Cable:
    points, held = RUNS[name]
    ends = (AHEAD, *[None] * (len(points) - 2), AHEAD) if held else ()
    plain = Cable(
        "one",
        np.array(points, dtype=float),
        "push-pull",
        RADIUS,
        friction=(LOW, HIGH),
        load=LOAD,
        push_load=PUSH,
        drag=DRAG,
        headings=ends,
        travel=40.0,
    )
    return replace(plain, **changes)


def worked(cable: Cable) -> Figures:
    return work_out(cable, job=Job("", (cable,), tape_tolerance=0.0))


def turns(name: str) -> tuple[float, float]:
    """Wrap of the tight run and of the natural lay [rad]."""
    points, held = RUNS[name]
    headings = np.full((len(points), 3), np.nan)
    headings[[0, -1]] = AHEAD if held else np.nan
    tight = fit_arcs(points, min_bend_radius=RADIUS, through=True, headings=headings)
    lay = lay_through(points, headings=headings)
    assert tight.fits
    assert lay.settled
    return float(tight.wrap), float(lay.wrap)


def test_either_shape_may_be_the_one_that_turns_more() -> None:
    tight, lay = turns("the lay turns more")
    assert lay > 1.05 * tight
    tight, lay = turns("the tight run turns more")
    assert tight > 1.05 * lay


ELBOW = replace(
    cable_of("the lay turns more"), points=CORNER, fixes=("anchor", "clip", "anchor"), headings=()
)


def elbow_turns() -> tuple[float, float]:
    """Wrap of both shapes through the elbow [rad]."""
    tight = fit_arcs(CORNER, min_bend_radius=RADIUS, through=True)
    return float(tight.wrap), float(lay_through(CORNER).wrap)


@pytest.mark.parametrize("name", RUNS)
def test_pull_push_and_measured_drag_span_both_shapes(name: str) -> None:
    less, more = sorted(turns(name))
    figures = worked(cable_of(name))
    for through, load in ((figures.pull, LOAD), (figures.push.through, PUSH)):
        by_hand = load * exp(LOW * less) + DRAG, load * exp(HIGH * more) + DRAG
        assert through.inputs == pytest.approx(by_hand, rel=1e-6)


@pytest.mark.parametrize("name", RUNS)
def test_a_push_within_a_stiff_core_spans_both_shapes_too(name: str) -> None:
    """With a core that may snake, at a push far below its onset: the capstan's, and a little more."""
    less, more = sorted(turns(name))
    low, high = worked(cable_of(name, family=FAMILY)).push.through.inputs
    by_hand = PUSH * exp(LOW * less) + DRAG, PUSH * exp(HIGH * more) + DRAG
    assert by_hand[0] <= low <= by_hand[0] * 1.001
    assert by_hand[1] <= high <= by_hand[1] * 1.001


@pytest.mark.parametrize("name", RUNS)
def test_lost_motion_is_that_of_the_shape_that_turns_most(name: str) -> None:
    _, more = sorted(turns(name))
    figures = worked(cable_of(name, family=FAMILY))
    lost, core = figures.lost, figures.core
    assert lost.clearance == pytest.approx(FAMILY.clearance * more, rel=1e-6)
    # F e^(mu theta) ds over EA, the turn spread evenly: L (e^x - 1) / x
    x = HIGH * more
    even = LOAD * float(figures.route.length) * (exp(x) - 1.0) / x / core.axial_stiffness
    assert lost.stretch == pytest.approx(even, rel=0.1)
    # at reversal T L/EA (e^x - 2 + e^-x) / x, core and conduit in series
    series = 1.0 / core.axial_stiffness + 1.0 / (FAMILY.conduit_axial or inf)
    reversal = LOAD * float(figures.route.length) * series * (exp(x) - 2.0 + exp(-x)) / x
    assert lost.hysteresis == pytest.approx(reversal, rel=0.15)


def test_drag_as_estimated_takes_the_shape_that_turns_most() -> None:
    """One bend, two crossings: 2 mu N, N = EI/(2 sqrt 6 R^1.5 sqrt c), the nearer one times e^x.

    A crossing takes up some of the bend, which is left out by hand.
    """
    figures = worked(replace(ELBOW, family=FAMILY, drag=None))
    tight, lay = elbow_turns()
    EI = figures.core.locked_stiffness
    grip = EI / (2.0 * sqrt(6.0) * RADIUS**1.5 * sqrt(FAMILY.clearance))
    by_hand = [2.0 * HIGH * wrap / tight * grip * (1.0 + exp(HIGH * wrap)) for wrap in (tight, lay)]
    assert figures.drag == pytest.approx(by_hand[1], rel=0.05)
    assert figures.drag > 1.05 * by_hand[0]


def test_anchors_and_clips_hold_the_high_end() -> None:
    """The hand's anchor what the hand pulls, the clip at the one bend 2 T sin(turn/2) there."""
    holding = holding_of(worked(ELBOW))
    tight, lay = elbow_turns()
    most = LOAD * exp(HIGH * lay) + DRAG
    assert lay > 1.1 * tight
    assert holding.anchors[0].load.pull == pytest.approx(most)
    assert holding.anchors[0].load.push == pytest.approx(PUSH * exp(HIGH * lay) + DRAG)
    assert holding.anchors[1].load.pull == pytest.approx(LOAD)
    (clip,) = [each for each in holding.clips if each.kind == "clip"]
    assert clip.force == pytest.approx(2.0 * most * sin(0.5 * tight))
