"""From points to a verdict: the figures against closed forms."""

from __future__ import annotations

from dataclasses import replace
from math import exp, inf, pi, sqrt

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.errors import GeometryError
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job

LIBRARY = load_library()
CORNER = np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0]], dtype=float)
BARE = Cable("a", CORNER, "pull", 160.0, passes="inside")
FULL = Cable(
    "b",
    CORNER,
    "push-pull",
    160.0,
    family=LIBRARY["push-solid-medium"],
    load=100.0,
    travel=40.0,
    passes="inside",
)


def one(cable: Cable, **job: object) -> CableAssessment:
    return assess(Job("", (cable,), **{"tape_tolerance": 0.0, **job})).cables[0]


def test_pull_is_the_capstan_s_of_the_straighter_shape_and_of_the_one_that_turns_more():
    figures = one(replace(BARE, friction=(0.1, 0.2), load=80.0)).figures
    pull, turned = figures.pull, figures.lay.wrap
    assert turned > pi / 2
    assert pull.inputs == pytest.approx((80 * exp(0.05 * pi), 80 * exp(0.2 * turned)), rel=1e-9)
    assert pull.efficiencies == pytest.approx((exp(-0.2 * turned), exp(-0.05 * pi)), rel=1e-9)


def test_without_friction_nothing_is_lost():
    figures = one(replace(BARE, friction=(0.0, 0.0), load=80.0)).figures
    assert figures.pull.inputs == (80.0, 80.0)
    assert figures.pull.efficiencies == (1.0, 1.0)


def test_a_load_of_zero_needs_no_force():
    figures = one(replace(FULL, load=0.0, push_load=0.0, family=None)).figures
    assert figures.pull.inputs == (0.0, 0.0)
    assert figures.push.through.inputs == (0.0, 0.0)


def test_what_is_not_given_is_assumed_and_told():
    figures = one(BARE).figures
    assert figures.friction == (0.10, 0.25)
    assert figures.pull.load == 100.0
    assert len(figures.assumed) == 3
    assert one(FULL).figures.friction == LIBRARY["push-solid-medium"].friction
    assert one(FULL).figures.push.through.load == 100.0


def test_a_stiff_core_pushes_by_the_capstan_too():
    figures = one(replace(FULL, push_load=1.0, friction=(0.1, 0.2), drag=0.0)).figures
    push = figures.push
    assert push.through.inputs[1] == pytest.approx(exp(0.2 * figures.wraps[1]), rel=1e-3)
    assert not push.lockup


def test_without_cable_data_a_push_neither_snakes_nor_folds():
    push = one(replace(FULL, family=None)).figures.push
    assert push.snaking_onset == inf
    assert push.snaking_use == 0.0
    assert push.rod_buckling is None
    assert push.rod_safety is None


def test_snaking_onset_is_four_stiffness_over_radius_and_clearance():
    push = one(FULL).figures.push
    stiffness = 200_000 * pi * 2.0**4 / 64
    assert push.snaking_onset == pytest.approx(4 * stiffness / (160.0 * 0.3), rel=1e-12)


def test_order_is_conduit_and_ends_with_the_doubt_of_the_tape():
    exact, doubtful = one(FULL), one(FULL, tape_tolerance=3.0)
    conduit = 1500 - 2 * 160 + 160 * pi / 2
    order = exact.figures.order
    assert order.conduit == pytest.approx(conduit, abs=1e-9)
    assert order.need == pytest.approx(conduit + 325)
    assert (order.measure, order.doubt) == ("overall", 0.0)
    assert order.choice.stock == 2000
    # along each leg its end moves in full; across it swings the leg, and R (tan(a/2) - a/2) with it
    swing = (160 / 800) ** 2, (160 / 700) ** 2
    corner = (1 - 160 / 800) ** 2 + (1 - 160 / 700) ** 2
    assert doubtful.figures.order.doubt == pytest.approx(3 * sqrt(2 + sum(swing) + corner))


def test_a_tape_in_feet_orders_from_the_list_in_feet():
    assert one(FULL, unit="in").figures.order.choice.stock == pytest.approx(6 * 304.8)
    assert one(FULL, unit="mm").figures.order.choice.stock == 2000


def test_single_points_have_their_own_radius():
    points = np.vstack([CORNER, [[1500, 700, 0]]])
    cable = replace(BARE, points=points, point_radii=(None, 90.0, None, None))
    assert one(cable).figures.route.radii == pytest.approx([90.0, 160.0])


def test_names_of_corners_survive_a_point_left_out():
    points = CORNER[[0, 0, 1, 2]]
    cable = replace(BARE, points=points, labels=("hand", "twin", "sill", "far"))
    figures = one(cable).figures
    assert figures.corner_name(0) == "sill"
    assert [figures.vertex_name(i) for i in range(3)] == ["hand", "sill", "far"]


def test_two_points_make_a_straight_run_of_full_efficiency():
    figures = one(replace(BARE, points=CORNER[:2])).figures
    assert figures.order.conduit == 800.0
    assert figures.pull.efficiencies == (1.0, 1.0)


def test_the_job_s_verdict_is_its_gravest_cable_s():
    good = replace(BARE, friction=(0.1, 0.15))
    bad = replace(BARE, name="c", bend_radius=900.0)
    result = assess(Job("", (good, bad), tape_tolerance=0.0))
    assert [cable.verdict for cable in result.cables] == ["pass", "fail"]
    assert result.verdict == "fail"
    assert assess(Job("", (), tape_tolerance=0.0)).verdict == "pass"


def test_notes_of_the_reading_reach_every_cable():
    result = assess(Job("", (BARE, FULL), notes=("read as mm",), tape_tolerance=0.0))
    for cable in result.cables:
        assert "read as mm" in [finding.message for finding in cable.findings]


def test_a_reversal_is_an_error():
    with pytest.raises(GeometryError, match="straight back"):
        one(replace(BARE, points=CORNER[[0, 1, 0]]))


def test_a_turned_and_shifted_machine_gets_the_same_figures():
    cosine, sine = np.cos(0.7), np.sin(0.7)
    turn = np.array([[cosine, -sine, 0], [sine, cosine, 0], [0, 0, 1.0]])
    moved = replace(FULL, points=CORNER @ turn.T + [1e3, -2e3, 5e2])
    here, there = one(FULL).figures, one(moved).figures
    assert there.pull.inputs == pytest.approx(here.pull.inputs, rel=1e-9)
    assert there.order.conduit == pytest.approx(here.order.conduit, rel=1e-12)


def test_a_pull_pair_is_judged_as_two_cores():
    cable = one(replace(FULL, kind="pull-pair"))
    hand, far = cable.holding.anchors
    assert cable.figures.push is None
    assert cable.figures.pull == cable.pair.ways[0]
    assert hand.load.pull == pytest.approx(cable.pair.tensions[1])
    assert far.load.pull == pytest.approx(cable.pair.far_tension)


def test_a_slack_pair_is_marginal():
    taut = one(replace(FULL, kind="pull-pair"))
    slack = one(replace(FULL, kind="pull-pair", preload=0.5 * taut.pair.least))
    assert "pair-slack" not in {finding.code for finding in taut.findings}
    assert "pair-slack" in {finding.code for finding in slack.findings}
    assert slack.verdict == "marginal"


def test_no_load_at_the_far_end_is_no_loss():
    cable = one(replace(FULL, load=0.0))
    assert "efficiency-low" not in {finding.code for finding in cable.findings}
