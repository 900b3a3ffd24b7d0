"""What a core's stiffness alone adds to a force fails nothing, and what would decide is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.figures.linkage import work_out_linkage
from cableroute.figures.reach import Reaches
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.measure.load_models import AnchorsEntry
from cableroute.measure.reading import read_job
from cableroute.measure.wording import Words
from cableroute.verdict.check import Check
from cableroute.verdict.limits import Limits
from cableroute.verdict.linkage import linkage_checks
from cableroute.verdict.reach import reach_checks
from cableroute.verdict.strain import strain_checks

LIBRARY = load_library()
POINTS = np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0], [1500, 700, 0]], dtype=float)
#: More than stiffness may add to any of these cables [N].
MUCH = 500.0


def cable(name: str = "push-solid-medium", **changes: object) -> Cable:
    given = {"kind": "push-pull", "bend_radius": 160.0, "passes": "inside", "travel": 40.0}
    given |= {"friction": (0.1, 0.2), "load": 20.0, "family": LIBRARY[name]}
    return Cable("a", POINTS, **{**given, **changes})


def judged(one: Cable, limits: Limits | None = None) -> CableAssessment:
    return assess(Job("", (one,), tape_tolerance=0.0), limits=limits).cables[0]


def found(result: CableAssessment, code: str) -> Check:
    (one,) = (each for each in result.checks if each.code == code)
    return one


def between(low: float, high: float) -> tuple[float, float]:
    """A limit between a figure with stiffness and one without, marginal there too."""
    return 0.5 * (low + high), 0.5 * (low + high)


def in_doubt(check: Check) -> bool:
    asks = (
        "the most that the core's stiffness may add: measure the drag at the hand" in check.message
    )
    return check.level == "marginal" and check.failing is None and asks


@pytest.mark.parametrize("kind", ["pull", "push-pull", "pull-pair"])
def test_a_wire_that_only_stiffness_stresses_too_much_is_in_doubt_until_drag_is_measured(kind):
    one = cable(kind=kind)
    strain = judged(one).lasting.strain
    limits = Limits(wire_stress=between(strain.sure.share, strain.share))

    unsure = found(judged(one, limits), "wire-stress")
    assert in_doubt(unsure)
    assert unsure.value == pytest.approx(strain.stress)
    assert found(judged(replace(one, drag=0.0), limits), "wire-stress").level == "pass"
    assert found(judged(replace(one, drag=MUCH), limits), "wire-stress").level == "fail"


def test_a_wire_that_fails_without_stiffness_fails_and_no_measurement_is_asked_for():
    strain = judged(cable()).lasting.strain
    beyond = found(
        judged(cable(), Limits(wire_stress=(0.0, 0.99 * strain.sure.share))), "wire-stress"
    )
    assert beyond.level == "fail"
    assert "stiffness" not in beyond.message


def test_stress_without_what_stiffness_adds_is_that_of_a_core_without_drag():
    for kind in ("pull", "push-pull", "pull-pair"):
        strain, bare = (judged(cable(kind=kind, drag=drag)).lasting.strain for drag in (None, 0.0))
        assert strain.sure == bare
        assert strain.stress > bare.stress


@pytest.mark.parametrize("code", ["push-stress", "folds-first", "rod-buckling"])
def test_a_push_that_only_stiffness_makes_too_great_is_in_doubt(code):
    one = cable(push_load=2.0)
    result = judged(one)
    strain, folding, push = result.lasting.strain, result.lasting.folding, result.figures.push
    limits = {
        "push-stress": Limits(
            push_stress=between(
                strain.sure.pushed / strain.strength, strain.pushed / strain.strength
            )
        ),
        "folds-first": Limits(rod_safety=between(folding.times, folding.times_sure)),
        "rod-buckling": Limits(rod_safety=between(push.rod_safety, push.sure.rod_safety)),
    }[code]
    assert in_doubt(found(judged(one, limits), code))
    assert found(judged(replace(one, drag=0.0), limits), code).level == "pass"
    assert found(judged(replace(one, drag=MUCH), limits), code).level == "fail"


def test_a_strand_whose_bend_only_stiffness_makes_too_tight_is_in_doubt():
    result = judged(cable("push-strand-light", kind="pull-pair", bend_radius=70.0))
    strain = result.lasting.strain
    least, sure = strain.least_ratio, strain.sure.least_ratio
    assert least > 20.0 > sure

    def at(ratio: float) -> Check:
        checks = strain_checks(result.figures, replace(strain, ratio=ratio), Limits())
        return next(each for each in checks if each.code == "bend-ratio")

    assert at(0.99 * sure).level == "fail"
    assert "stiffness" in at(0.5 * (20.0 + least)).message
    assert in_doubt(at(0.5 * (20.0 + sure)))
    assert at(1.01 * least).level == "pass"


@pytest.mark.parametrize(
    ("kind", "end"), [("pull", "hand"), ("push-pull", "hand"), ("pull-pair", "far")]
)
def test_an_anchor_that_only_stiffness_overloads_is_in_doubt(kind, end):
    def clamped(holds: float, drag: float | None = None) -> Check:
        """A clamp holds 0.3 of its bolt's tension; a slack pair's far end draws the other core's drag."""
        anchors = AnchorsEntry.model_validate({end: {"clamp": {"tension": holds / 0.3}}})
        preload = 1.0 if kind == "pull-pair" else None
        return found(
            judged(cable(kind=kind, anchors=anchors, preload=preload, drag=drag)), "anchor-holding"
        )

    preload = 1.0 if kind == "pull-pair" else None
    ends = judged(cable(kind=kind, preload=preload)).holding.anchors
    anchor = ends[0] if end == "hand" else ends[1]
    assert anchor.sure < anchor.load.greatest
    middle = 0.5 * (anchor.sure + anchor.load.greatest)
    assert in_doubt(clamped(middle))
    assert clamped(middle, drag=MUCH).level == "fail"
    assert clamped(0.99 * anchor.sure).level == "fail"


def test_a_rod_and_a_hand_that_only_stiffness_overloads_are_in_doubt():
    job = read_job("data/grass_track_buggy_selector.toml")
    stiff = replace(job, cables=tuple(replace(each, drag=None) for each in job.cables))
    figures = assess(stiff).cables[0].figures
    linkage = work_out_linkage(stiff.linkages[0], cable=figures)
    assert linkage.hand_sure < linkage.hand_forces[1]
    middle = 0.5 * (linkage.hand_sure + linkage.hand_forces[1])
    limit = replace(linkage.hand_limit, low=middle, high=middle)
    (hand,) = (
        each
        for each in linkage_checks(replace(linkage, hand_limit=limit))
        if each.code == "hand-force"
    )
    assert in_doubt(hand)

    lever = linkage.reaches.ends[0]
    rod = replace(lever, folds=150.0, push=110.0, sure=90.0)
    (folds,) = (
        each
        for each in reach_checks(Reaches(ends=(rod,)), Words())
        if each.code == "rod-extension-folds"
    )
    assert in_doubt(folds)
