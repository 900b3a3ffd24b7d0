"""Without doubt a study is `check`: the same figures, and rule by rule the same that fails."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cableroute import Cable, Job, assess, find_family, read_job
from cableroute.figures.cable import core_of, work_out
from cableroute.measure.load_models import AnchorEntry, AnchorsEntry, ClampEntry
from cableroute.mechanics.push import push_forces
from cableroute.study.batch import figures_of
from cableroute.study.drawn import drawn
from cableroute.study.inputs import doubts_of
from cableroute.study.lays import lay_near
from cableroute.study.lying import lying_harder
from cableroute.study.rules import Rules
from cableroute.verdict.limits import Limits

FILES = sorted(path.stem for path in Path("data").glob("*.toml"))
#: What is made other than the file says, by factors, and what must then fail somewhere.
STRESSES = [
    ("load", 12.0, {"working-load-pull", "working-load-push", "wire-stress"}),
    ("load", 40.0, {"push-lock-up", "rod-buckling", "push-stress"}),
    ("friction", 8.0, {"efficiency-low", "push-lock-up", "folds-first"}),
    ("clearance", 12.0, {"lost-motion", "working-load-push"}),
    ("slack", 200.0, {"stock-too-short"}),
    ("bend_radius", 5.0, {"bend-does-not-fit"}),
    ("core", 0.12, {"bend-ratio", "radius-below-family"}),
    ("spring", 0.02, {"return-spring"}),
    ("clamp", 50.0, {"anchor-holding"}),
]


def without_tape(job, what="", factor=1.0):
    """Take the doubt of tape and of the core's stiffness away, and make one thing another."""
    cables = tuple(_made(each, {what: factor}) for each in job.cables)
    return replace(job, cables=cables, tape_tolerance=0.0)


def _made(cable, factors):
    def by(what):
        return factors.get(what, 1.0)

    family = cable.family
    bore = family.core_od + family.clearance * by("clearance")
    cable = replace(cable, family=family.model_copy(update={"conduit_id": bore}))
    load = by("load") * (cable.load or 100.0) if "load" in factors else cable.load
    push = by("load") * cable.push_load if cable.push_load else cable.push_load
    resists = cable.resists
    if resists is not None:
        weaker = {key: by("spring") * getattr(resists, key) for key in ("preload", "spring")}
        resists = resists.model_copy(update=weaker)
    if "clamp" in factors:
        clamp = ClampEntry(bolts=1, tension=factors["clamp"])
        cable = replace(cable, anchors=AnchorsEntry(far=AnchorEntry(clamp=clamp)))
    EI = core_of(cable).bending_stiffness
    low, high = cable.friction or family.friction
    return replace(
        cable,
        bending_stiffness=(EI, EI),
        friction=(min(by("friction") * low, 1.5), min(by("friction") * high, 1.5)),
        load=load,
        push_load=push,
        resists=resists,
        slack=by("slack") * cable.slack,
        bend_radius=by("bend_radius") * by("core") * cable.bend_radius,
    )


def without_doubt(found, job, *, shape=None, limits=None):
    """Judge two machines of a study, every input at the end that `check` takes."""
    figures = found.figures
    doubts, lay = doubts_of(figures, job), lay_near(figures, moving=False)
    if shape is None:
        shape = float(figures.wraps[1] > figures.route.wrap)
    ends = {"friction": figures.friction[1], "stiffness": 1.0, "shape": shape}
    for each in doubts.inputs:
        at = ends.get(each.key, each.distribution.centre)
        fixed = replace(each.distribution, kind="fixed", numbers=(at,))
        doubts = doubts.with_distribution(each.key, fixed)
    rules = Rules(found, limits or Limits())
    told = figures_of(drawn(doubts, lay, np.full((2, len(doubts.inputs)), 0.5)))
    return rules, told, rules.in_hand(told)


def compared(job, limits=None):
    """Compare every cable of a job with its study, and return all that fails."""
    fails = set()
    for found in assess(job, limits=limits).cables:
        rules, told, margins = without_doubt(found, job, limits=limits)
        lost = {check.code for check in found.checks if check.level == "fail"}
        as_read = {code for code, (_, fails_so) in rules.as_read.items() if fails_so}
        assert as_read | {code for code, margin in margins.items() if margin[0] < 0.0} == lost
        figures = found.figures
        assert told["pull"] == pytest.approx(figures.pull.inputs[1], rel=1e-9)
        if figures.push is not None:
            assert told["push"] == pytest.approx(figures.push.through.inputs[1], rel=1e-9)
        if figures.lost is not None:
            assert told["lost"] == pytest.approx(figures.lost.total, rel=1e-9)
        springs = [check.value for check in found.checks if check.code == "return-spring"]
        if "returns" in told:
            assert springs == [pytest.approx(told["returns"][0], rel=1e-9)]
        fails |= lost
    return fails


@pytest.mark.parametrize("file", FILES)
def test_every_file_without_doubt_is_what_check_says(file):
    compared(without_tape(read_job(f"data/{file}.toml")))


@pytest.mark.parametrize(("what", "factor", "wanted"), STRESSES)
def test_what_fails_is_what_check_fails(what, factor, wanted):
    fails = set()
    for file in ("grass_track_buggy", "recumbent_trike", "workboat"):
        fails |= compared(without_tape(read_job(f"data/{file}.toml"), what, factor))
    assert wanted <= fails


@pytest.mark.parametrize("load", [80.0, 900.0])
@pytest.mark.parametrize("preload", [None, 40.0])
def test_a_pull_pair_without_doubt_is_what_check_says(load, preload):
    (one,) = (c for c in read_job("data/recumbent_trike.toml").cables if c.name == "left brake")
    pair = replace(one, kind="pull-pair", resists=None, load=load, push_load=60.0, preload=preload)
    fails = compared(without_tape(Job("", (pair,))))
    assert ("working-load-pull" in fails) == (load > 500.0)


@pytest.mark.parametrize("kind", ["push-pull", "pull-pair"])
def test_what_only_stiffness_would_fail_fails_in_neither(kind):
    """With no drag measured, every limit between the figure with stiffness and the one without."""
    corners = np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0], [1500, 700, 0]], dtype=float)
    one = Cable("c", corners, kind, 160.0, family=find_family("push-solid-medium"), load=20.0)
    one = replace(one, push_load=2.0, friction=(0.1, 0.15))
    (found,) = assess(without_tape(Job("", (one,)))).cables
    strain, anchor, folding = found.lasting.strain, found.holding.anchors[0], found.lasting.folding
    limits = {"wire_stress": (0.0, 0.5 * (strain.share + strain.sure.share))}
    asked = {"wire-stress", "anchor-holding"}
    if folding:
        share = 0.5 * (strain.pushed + strain.sure.pushed) / strain.strength
        times = 0.5 * (folding.times + folding.times_sure)
        limits |= {"push_stress": (0.0, share), "rod_safety": (9.9, times)}
        asked |= {"push-stress", "folds-first", "rod-buckling"}
    holds = 0.5 * (anchor.sure + anchor.load.greatest)
    clamp = AnchorEntry(clamp=ClampEntry(bolts=1, tension=holds / 0.3))

    job = without_tape(Job("", (replace(one, anchors=AnchorsEntry(hand=clamp)),)))
    assert compared(job, Limits(**limits)) == set()
    dragging = replace(job, cables=(replace(job.cables[0], drag=400.0),))
    assert asked <= compared(dragging, Limits(**limits))


def test_a_push_is_that_of_check_at_both_ends_of_the_shape():
    """Twenty-five invented runs: at the end that turns most it is `check`'s, at the other no less than
    the shape itself takes."""
    rng, family = np.random.default_rng(5), find_family("push-strand-light")
    for _ in range(25):
        points = np.cumsum(rng.normal([220.0, 0, 0], [250.0, 250.0, 120.0], (4, 3)), axis=0)
        cable = Cable("c", points, "push-pull", 100.0, family=family, load=90.0, push_load=60.0)
        (found,) = assess(without_tape(Job("", (cable,)))).cables
        figures = found.figures
        for shape, run in ((0.0, figures.route), (1.0, figures.shapes.loose)):
            _, told, _ = without_doubt(found, Job("", (cable,)), shape=shape)
            own = _push_along(run, figures)
            assert told["push"][0] >= own * (1.0 - 1e-9)
        _, told, _ = without_doubt(found, Job("", (cable,)))
        assert told["push"] == pytest.approx(figures.push.through.inputs[1], rel=1e-9)


def _push_along(run, figures):
    """Push along one shape by itself, what stiffness adds left out."""
    return push_forces(
        run,
        load=figures.push.through.load,
        friction=figures.friction[1],
        bending_stiffness=figures.core.bending_stiffness,
        clearance=figures.cable.family.clearance,
    )[0]


def test_a_lay_that_does_not_settle_may_be_pushed_harder_and_is_asked():
    """The lay of this run is half as long again as the tight run; a core snakes all along it."""
    rng = np.random.default_rng(0)
    found = []
    for _ in range(60):
        points = np.cumsum(rng.normal([200.0, 0, 0], [300.0, 300.0, 150.0], (4, 3)), axis=0)
        family = find_family("push-strand-light")
        cable = Cable("c", points, "push-pull", 100.0, family=family, load=90.0, push_load=200.0)
        figures = work_out(cable, job=Job("", (cable,), tape_tolerance=0.0))
        found.append((bool(figures.lay.failure), lying_harder(figures) is not None))
    assert (True, True) in found
    assert (False, True) not in found
