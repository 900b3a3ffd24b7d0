"""The batch is `check`: rows judged one by one agree to rounding; and what closed forms say."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from cableroute import Cable, Job, find_family, read_job
from cableroute.figures import forces, travel
from cableroute.figures.cable import work_out
from cableroute.figures.shape import tight_run
from cableroute.study.batch import figures_of, in_blocks
from cableroute.study.draw import BLOCK, draw
from cableroute.study.drawn import drawn
from cableroute.study.inputs import doubts_of
from cableroute.study.lays import lay_near, try_lays
from cableroute.study.run import study


def prepared(job, name=None, n=16, seed=3):
    cable = next(each for each in job.cables if name in (None, each.name))
    doubts = doubts_of(work_out(cable, job=job), job)
    lay = lay_near(doubts.figures, moving=not doubts.smoothed)
    return doubts, lay, draw(n, len(doubts.inputs), seed=seed)


def one_by_one(doubts, machines, row):
    """Judge one drawn machine with the functions of `check`, stiffness at its unsafe end."""
    values, cable = machines.values, doubts.figures.cable
    core_od, core = cable.family.core_od, doubts.figures.core
    family = cable.family.model_copy(
        update={"conduit_id": core_od + float(values["clearance"][row])}
    )
    share = float(values["stiffness"][row])
    EI = core.bending_stiffness ** (1.0 - share) * core.locked_stiffness**share
    one = replace(
        cable, family=family, points=machines.route.points[row], bending_stiffness=(EI, EI)
    )
    tight = tight_run(one, one.points)
    friction, wrap = float(values["friction"][row]), float(machines.wrap[row])
    shapes = replace(doubts.figures.shapes, tight=tight, wraps=(wrap, wrap), loose=tight)
    from cableroute.figures.cable import core_of

    run = forces.Run(one, shapes, core_of(one), (friction, friction))
    pull = forces.pull_through(run, load=float(values["load"][row]))
    push = forces.push_through(run, load=float(values["push_load"][row]))
    pushed = travel.push_travel_lost(run, load=float(values["push_load"][row]))
    lost = travel.travel_lost(
        run, pull=pull.through, pushed=pushed, push=push.push.through if push else None
    )
    return tight, pull, push, lost


@pytest.mark.parametrize(
    ("file", "name"),
    [("grass_track_buggy", "shift"), ("recumbent_trike", None), ("workboat", "gear")],
)
def test_a_batch_is_the_same_machines_judged_one_by_one(file, name):
    doubts, lay, shares = prepared(read_job(f"data/{file}.toml"), name)
    stiff = [each.key for each in doubts.inputs].index("stiffness")
    shares[:, stiff] = 1.0 - 1e-15  # the end that check takes: locked wires in a rigid conduit
    machines = drawn(doubts, lay, shares)
    told = figures_of(machines)
    for row in range(0, len(shares), 3):
        tight, pull, push, lost = one_by_one(doubts, machines, row)
        assert machines.tight[row] == pytest.approx(float(tight.length), rel=1e-12)
        assert told["pull"][row] == pytest.approx(pull.through.inputs[1], rel=1e-11)
        assert told["lost"][row] == pytest.approx(lost.total, rel=1e-11)
        if push is not None:
            assert told["push"][row] == pytest.approx(float(push.push.through.inputs[1]), rel=1e-11)


def test_the_lay_in_proportion_is_near_those_worked_out_in_full():
    doubts, lay, shares = prepared(read_job("data/grass_track_buggy.toml"), "shift", n=64)
    off = try_lays(doubts.figures, lay, drawn(doubts, lay, shares).route.points)
    assert off.tried == 64
    assert off.length < 0.5  # mm, where lays differ by tens
    assert off.wrap < np.radians(0.5)


def test_nothing_in_doubt_is_the_cable_as_read():
    job = read_job("data/grass_track_buggy.toml")
    doubts, lay, shares = prepared(job, "shift")
    for each in doubts.inputs:
        if each.key not in ("shape", "friction"):
            middle = replace(each.distribution, kind="fixed", numbers=(each.distribution.centre,))
            doubts = doubts.with_distribution(each.key, middle)
    machines = drawn(doubts, lay, shares)
    assert np.allclose(machines.tight, doubts.figures.order.conduit, rtol=1e-12)
    shape = doubts.values(shares)["shape"]
    between = doubts.figures.order.conduit * (1 - shape) + doubts.figures.order.lay * shape
    assert np.allclose(machines.length, between, rtol=1e-12)


def straight(**more):
    points = np.array([[100.0, 0.0, 0.0], [900.0, 300.0, 0.0]])
    return Job("", (Cable("c", points, "pull", 60.0, load=80.0, **more),), tape_tolerance=6.0)


def test_the_length_of_a_straight_run_is_that_of_the_difference_of_two_normals():
    """Of sd s in every coordinate: mean L + s^2 2/L, sd sqrt(2) s, to second order (our own)."""
    found = study(straight(), n=2**12, sensitive=False).samples["length"]
    length, sd = np.hypot(800.0, 300.0), 3.0
    assert found.mean() == pytest.approx(length + 2.0 * sd**2 / length, abs=0.02)
    assert found.std() == pytest.approx(np.sqrt(2.0) * sd, rel=5e-3)
    known = stats.norm(length + 2.0 * sd**2 / length, np.sqrt(2.0) * sd)
    assert np.percentile(found, [5, 95]) == pytest.approx(known.ppf([0.05, 0.95]), abs=0.1)


def test_the_force_of_a_straight_run_is_a_uniform_load():
    found = study(straight(), n=2**10, sensitive=False).samples["pull"]
    known = stats.uniform(72.0, 16.0)
    assert stats.kstest(found, known.cdf).statistic < 0.005


def test_the_force_around_bends_is_the_exponential_of_a_uniform_friction():
    points = np.array([[0.0, 0.0, 0.0], [500.0, 0.0, 0.0], [500.0, 600.0, 0.0]])
    cable = Cable(
        "c", points, "pull", 60.0, friction=(0.1, 0.3), load=50.0, passes="inside", is_drawn=True
    )
    job = Job("", (cable,))
    doubts, lay, _ = prepared(job)
    for key in ("load", "shape"):
        each = next(one for one in doubts.inputs if one.key == key)
        middle = 50.0 if key == "load" else 0.0
        doubts = doubts.with_distribution(
            key, replace(each.distribution, kind="fixed", numbers=(middle,))
        )
    found = in_blocks(doubts, lay, draw(2**11, len(doubts.inputs), seed=2))["pull"]
    known = stats.loguniform(50.0 * np.exp(0.05 * np.pi), 50.0 * np.exp(0.15 * np.pi))
    assert stats.kstest(found, known.cdf).statistic < 0.002


def test_rows_are_the_same_to_the_last_digit_whatever_comes_after_their_block():
    doubts, lay, shares = prepared(read_job("data/recumbent_trike.toml"), n=2 * BLOCK)
    whole, half = in_blocks(doubts, lay, shares), in_blocks(doubts, lay, shares[:BLOCK])
    for key, values in half.items():
        assert np.array_equal(whole[key][:BLOCK], values), key


def test_a_smoothed_survey_is_doubted_as_a_whole():
    rng = np.random.default_rng(1)
    x = np.linspace(0.0, 1500.0, 31)
    wavy = np.stack([x, 200.0 * np.sin(x / 300.0), 0.0 * x], axis=1) + rng.normal(0, 1, (31, 3))
    job = Job("", (Cable("c", wavy, "pull", 60.0, load=50.0, family="pull-1x19-medium"),))
    found = study(job, n=64, sensitive=False)
    assert {each.key for each in found.inputs} >= {"wrap", "length"}
    assert not [each for each in found.inputs if each.key.startswith("points")]


def test_a_push_that_jams_is_told_as_such():
    points = np.array([[0, 0, 0], [400, 0, 0], [400, 400, 0], [0, 400, 0], [0, 0, 200.0]])
    family = find_family("push-strand-light")
    cable = Cable("c", points, "push-pull", 100.0, family=family, friction=(0.1, 0.9), load=60.0)
    found = study(Job("", (replace(cable, push_load=80.0),)), n=256, sensitive=False)
    jam = next(each for each in found.fails if each.code == "push-lock-up")
    assert 0.0 < jam.chance < 1.0
    assert found.samples["push"].max() == np.inf
    push = next(each for each in found.quantiles if each.key == "push")
    assert push.p95 == np.inf or jam.chance < 0.05
