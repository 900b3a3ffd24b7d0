"""Where no natural lay settles, a bounded shape is taken, and said."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.figures.lay import LONGEST_LAY
from cableroute.measure.job import Cable, Job
from cableroute.route.lay_through import lay_through

#: Ends that face away from each other: the longer the loop, the less it bends, without end.
POINTS = np.array([[0.0, 0.0, 0.0], [400.0, 0.0, 0.0]])
AWAY = (np.array([-1.0, 0.3, 0.0]), np.array([-1.0, -0.3, 0.0]))


@pytest.fixture(scope="module")
def figures():
    cable = Cable("loop", POINTS, "pull", 60.0, friction=(0.1, 0.2), load=50.0, headings=AWAY)
    return assess(Job("", (cable,), tape_tolerance=0.0)).cables[0]


def test_the_loop_has_no_natural_lay() -> None:
    assert not lay_through(POINTS, headings=np.array(AWAY)).settled


def test_the_lay_that_is_taken_is_bounded_and_holds_the_ends(figures) -> None:
    route, lay = figures.figures.route, figures.figures.lay
    assert lay.failure
    assert route.length < lay.length <= LONGEST_LAY * route.length * (1.0 + 1e-9)
    ways = np.array(AWAY) / np.linalg.norm(AWAY, axis=1)[:, None]
    assert lay.ways == pytest.approx(ways, abs=1e-6)
    assert lay.run.point(lay.run.length) == pytest.approx(POINTS[1], abs=0.5)


def test_it_is_said(figures) -> None:
    (said,) = [each for each in figures.findings if each.code == "lay-failed"]
    assert said.level == "marginal"
    assert "did not settle" in said.message
