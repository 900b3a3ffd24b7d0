"""Tubes that a run goes into, against every place of the run held against every tube."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.figures.tubes import tubes_crossed
from cableroute.measure.keepout import Capsule
from cableroute.measure.reading import read_job

CABLE = """
[[cable]]
name = "c"
family = "push-slick-medium"
points = [
  { at = [0, 0, 0], fix = "anchor" }, { at = [900, 0, 0] },
  { at = [900, 800, 0] }, { at = [900, 800, 700], fix = "anchor" },
]
"""


@pytest.mark.parametrize("seed", range(5))
def test_none_is_missed_by_looking_at_the_near_ones_alone(tmp_path, seed):
    rng = np.random.default_rng(seed)
    legs = np.array([[0, 0, 0], [900, 0, 0], [900, 800, 0], [900, 800, 700]], dtype=float)
    leg = rng.integers(0, 3, 60)
    near = (
        legs[leg] + rng.random((60, 1)) * (legs[leg + 1] - legs[leg]) + rng.normal(0, 30, (60, 3))
    )
    way = rng.normal(0.0, 90.0, (60, 3))
    ends = np.stack((near - way, near + rng.random((60, 1)) * way), axis=1).round()
    nodes = "".join(f"n{i}a = {a}\nn{i}b = {b}\n" for i, (a, b) in enumerate(ends.tolist()))
    tubes = "".join(f"t{i} = {{ from = 'n{i}a', to = 'n{i}b', diameter = 9 }}\n" for i in range(60))
    file = tmp_path / "frame.toml"
    file.write_text(f"[nodes]\n{nodes}[tubes]\n{tubes}{CABLE}")
    job = read_job(file)
    figures = assess(job).cables[0].figures
    run, outside = figures.route, 0.5 * figures.cable.family.conduit_od
    places = run.point(np.linspace(0.0, run.length, 2001))
    depths = {
        tube.name: outside - Capsule(tube.start, tube.end, 4.5).distance(places).min()
        for tube in job.tubes
    }
    # tubes that an end is held to are left out near it, so the points themselves are kept clear
    clear = {
        tube.name
        for tube in job.tubes
        if Capsule(tube.start, tube.end, 4.5).distance(figures.cable.points).min() > outside
    }
    found = tubes_crossed(figures.cable, (run,), job.tubes)
    got = {each.tube.name: each.depth for each in found if each.tube.name in clear}
    wanted = {name: depth for name, depth in depths.items() if depth > 0.0 and name in clear}
    assert got == pytest.approx(wanted)
    assert wanted
