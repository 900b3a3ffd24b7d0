"""A pull pair on the route of a cable, and what is found about it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cableroute.figures.cable import Figures, work_out
from cableroute.figures.clips_and_anchors import holding_of
from cableroute.figures.pair import (
    RESERVE,
    PairFigures,
    as_felt,
    one_core,
    pair_lasting,
    work_out_pair,
)
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.mechanics.pull_pair import least_preload, pull_pair
from cableroute.verdict.check import Check, findings_of
from cableroute.verdict.limits import Limits
from cableroute.verdict.pair import pair_checks

LIBRARY = load_library()
CORNERS = np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0], [1500, 700, 0]], dtype=float)
CABLE = Cable(
    "shift",
    CORNERS,
    "push-pull",
    160.0,
    family=LIBRARY["push-solid-medium"],
    friction=(0.05, 0.2),
    load=100.0,
    push_load=60.0,
    travel=40.0,
    passes="inside",
)


def figures_of(cable: Cable) -> Figures:
    return work_out(cable, job=Job("", (cable,), tape_tolerance=0.0))


def found(cable: Cable, pair: PairFigures) -> tuple[Figures, dict[str, Check]]:
    figures = figures_of(replace(cable, kind="pull-pair"))
    findings = findings_of(
        pair_checks(
            figures,
            pair,
            limits=Limits(),
            holding=holding_of(one_core(figures, pair)),
            lasting=pair_lasting(figures, pair),
        )
    )
    return as_felt(figures, pair), {finding.code: finding for finding in findings}


def test_the_preload_has_a_reserve_over_the_heavier_way() -> None:
    figures = figures_of(replace(CABLE, push_load=140.0))
    pair = work_out_pair(figures)

    least = float(least_preload(figures.route, load=140.0, friction=figures.apparent_friction[1]))
    assert pair.least == pytest.approx(least)
    assert pair.preload == pytest.approx(RESERVE * least)
    assert float(pair.back.slack_far.min()) > 0.0
    assert pair.loose == 0.0


def test_the_preload_advised_keeps_a_core_of_measured_drag_taut() -> None:
    dragging = replace(CABLE, drag=30.0)
    pair = work_out_pair(figures_of(dragging))

    assert pair.least > work_out_pair(figures_of(CABLE)).least + 30.0
    assert float(min(pair.out.slack_far.min(), pair.back.slack_far.min())) > 30.0
    assert pair.far_tension == pytest.approx(float(pair.out.pulled_far.max()))
    short = work_out_pair(figures_of(dragging), preload=0.99 * pair.least)
    assert short.loose > 0.0
    finding = found(dragging, short)[1]["pair-slack"]
    assert f"{RESERVE * pair.least:.0f} N" in finding.message
    assert finding.detail == ""
    bare = work_out_pair(figures_of(CABLE), preload=20.0)
    assert found(CABLE, bare)[1]["pair-slack"].detail == "no drag is measured, and none in it"


def test_both_ways_are_pulled_at_both_ends_of_the_friction() -> None:
    figures = figures_of(CABLE)
    pair = work_out_pair(figures, preload=80.0)

    for way, load in zip(pair.ways, (100.0, 60.0), strict=True):
        expected = pull_pair(
            figures.route, load=load, friction=figures.apparent_friction, preload=80.0
        ).hand
        assert way.load == load
        assert way.inputs == pytest.approx((expected[0], expected[1] + way.stiffness))
    assert float(pair.empty.hand[1]) < pair.ways[1].inputs[1]


def test_the_other_way_has_the_same_load_if_none_is_given() -> None:
    pair = work_out_pair(figures_of(replace(CABLE, push_load=None)))

    assert pair.loads == (100.0, 100.0)
    assert pair.ways[0].inputs == pair.ways[1].inputs


def test_measured_drag_is_that_of_two_cores() -> None:
    without, dragging = (
        work_out_pair(figures_of(replace(CABLE, drag=drag)), preload=200.0) for drag in (None, 7.0)
    )

    assert dragging.ways[0].drag == 14.0
    bare = without.ways[0].inputs[1] - without.ways[0].stiffness  # measured drag has it in it
    assert dragging.ways[0].stiffness == 0.0
    assert dragging.ways[0].inputs[1] == pytest.approx(bare + 14.0)
    assert dragging.tensions[0] == pytest.approx(without.tensions[0] + 7.0)


@pytest.mark.parametrize("drag", [None, 0.0, 7.0])
@pytest.mark.parametrize("preload", [0.0, 80.0, 200.0])
def test_the_hand_never_draws_with_more_than_the_tauter_core_bears(drag, preload) -> None:
    pair = work_out_pair(figures_of(replace(CABLE, drag=drag)), preload=preload)

    for end in (0, 1):
        assert pair.tensions[end] >= max(way.inputs[end] for way in pair.ways) - 1e-9
    assert pair.far_tension >= max(pair.out.pulled_far.max(), pair.back.pulled_far.max())
    assert pair.tensions[1] - pair.held[1] == pytest.approx(float(pair.out.pulled_hand[1]))


def test_the_figures_become_those_of_the_pair() -> None:
    pair = work_out_pair(figures_of(CABLE))
    figures, findings = found(CABLE, pair)

    assert (figures.push, figures.push_lost) == (None, None)
    assert figures.pull == pair.ways[0]
    assert figures.lost is pair.lost
    assert not {"push-lock-up", "snaking", "rod-buckling", "pair-slack"} & set(findings)


def test_a_slack_pair_is_told_with_the_preload_that_mends_it() -> None:
    pair = work_out_pair(figures_of(CABLE), preload=20.0)
    finding = found(CABLE, pair)[1]["pair-slack"]

    assert finding.level == "marginal"
    assert (finding.value, finding.limit) == (20.0, pair.least)
    preload, least = RESERVE * pair.least, pair.least
    assert f"preload of {preload:.0f} N, 1.2 times the {least:.0f} N that just" in finding.message
    assert f"{pair.loose:.1f} mm" in finding.message
    mended = work_out_pair(figures_of(CABLE), preload=RESERVE * pair.least)
    assert "pair-slack" not in found(CABLE, mended)[1]


def test_the_working_load_is_held_against_the_core_not_the_hand() -> None:
    """On a straight run the hand gives the load and no more, the core bears the preload and half the load."""
    straight = replace(CABLE, points=CORNERS[:2])
    pair = work_out_pair(figures_of(straight), preload=600.0)

    assert pair.ways[0].inputs[1] == pytest.approx(100.0)
    assert pair.tensions[1] == pytest.approx(650.0)
    finding = found(straight, pair)[1]["working-load-pull"]
    assert finding.level == "fail"
    assert finding.value == pytest.approx(pair.tensions[1])


def test_without_cable_data_there_is_no_travel_to_tell() -> None:
    bare = replace(CABLE, family=None)
    pair = work_out_pair(figures_of(bare), preload=10.0)

    assert (pair.lost, pair.loose) == (None, None)
    assert "loose:" in found(bare, pair)[1]["pair-slack"].message


def test_conditions_are_those_of_both_cores_at_the_preload() -> None:
    figures = figures_of(replace(CABLE, kind="pull-pair", drag=3.0))
    pair = work_out_pair(figures, preload=90.0)
    worn = next(a for a in pair_lasting(figures, pair).ages if a.condition.name == "worn")
    out, _ = pair.ways

    assert worn.condition.high == 0.2
    assert worn.pull == pytest.approx(out.inputs[1])
    assert worn.passed == pytest.approx(out.passed[0])


def test_a_pair_unloaded_is_not_judged_by_what_arrives() -> None:
    figures = figures_of(replace(CABLE, kind="pull-pair", load=0.0))
    ages = pair_lasting(figures, work_out_pair(figures, preload=50.0)).ages

    assert {aged.passed for aged in ages} == {1.0}
    assert all(aged.pull > 0.0 for aged in ages)
