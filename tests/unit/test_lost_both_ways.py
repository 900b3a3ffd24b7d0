"""Travel lost by a cable that is loaded at both ends of its travel, against its full cycle."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from pathlib import Path

import pytest

from cableroute.assess import assess
from cableroute.figures.cable import Figures
from cableroute.figures.feel import work_out_feel
from cableroute.measure.reading import read_job
from cableroute.mechanics.far_load import FarLoad
from cableroute.mechanics.feel import feel_loop
from cableroute.mechanics.lost_motion import lost_motion
from cableroute.route.fillet import fit_arcs

DATA = Path(__file__).parents[2] / "data"


def figures_of(name: str, **changes) -> list[Figures]:
    job = read_job(DATA / name)
    cables = tuple(replace(cable, **changes) for cable in job.cables)
    return [each.figures for each in assess(replace(job, cables=cables, linkages=())).cables]


@pytest.mark.parametrize("name", ["workboat.toml", "works_locomotive_forward.toml"])
def test_what_is_lost_is_what_the_cycle_loses_and_the_snaking_and_curling_it_leaves_out(
    name: str,
) -> None:
    for figures in figures_of(name, resists=None):
        low, high = work_out_feel(figures).high.far_reach
        assert figures.lost is not None
        assert figures.push_lost is not None
        pulled, pushed = figures.lost, figures.push_lost
        # a push that snakes is a little more than one that does not, and shortens the core more
        harder = float(pushed.stretch + pushed.conduit) - pulled.stretch - pulled.conduit
        assert 0.0 <= harder < 0.05 * pulled.total
        left_out = float(pushed.snaking) + pulled.shift[1] + harder

        lost = figures.travel - (high - low)
        assert figures.lost.total == pytest.approx(lost + left_out, rel=1e-3)
        assert figures.lost.total >= lost
        assert figures.arrives == (pytest.approx(high - low - left_out, rel=1e-3),) * 2


@pytest.mark.parametrize("conduit", [None, 2.0e5, 0.7e5])
def test_the_conduit_takes_its_part_in_the_hysteresis(conduit: float | None) -> None:
    route = fit_arcs([[0, 0, 0], [400, 0, 0], [400, 300, 0]], min_bend_radius=100)
    cable = {"friction": 0.2, "axial_stiffness": 2e5, "conduit_stiffness": conduit}
    loop = feel_loop(route, far_load=FarLoad(dead=100.0), travel=20.0, pull_only=True, **cable)

    lost = lost_motion(route, load=100.0, clearance=0.0, **cable)
    assert lost.hysteresis == pytest.approx(loop.lost[0])


def test_what_a_spring_brings_back_has_no_other_way() -> None:
    for figures in figures_of("recumbent_trike.toml"):
        assert figures.lost is not None
        assert figures.lost.other_way is None
        assert figures.lost.parts["friction"] == figures.lost.hysteresis


def test_a_pair_stretches_one_core_at_either_end() -> None:
    changes = {"kind": "pull-pair", "push_load": None}
    for figures in figures_of("workboat.toml", **changes):
        lost = figures.lost
        assert lost is not None
        assert lost.other_way == pytest.approx(lost.stretch + (lost.conduit or 0.0))
        assert lost.total == pytest.approx(2.0 * lost.other_way + lost.shift[1])


def test_where_the_push_locks_up_nothing_arrives_pushing() -> None:
    soft = figures_of("workboat.toml", push_load=1e6, friction=(0.3, 0.3))[0]
    assert soft.push is not None
    assert soft.lost is not None
    assert soft.push.through.inputs[1] == inf
    assert soft.lost.other_way is None
    assert soft.arrives[1] == 0.0
