"""Options side by side: how they are matched, and which is best in what."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import Assessment, assess
from cableroute.comparison.line_up import Comparison, compare_options, line_up
from cableroute.comparison.options import CRITERIA, Option
from cableroute.errors import CableRouteError
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.measure.load_models import ResistsEntry
from cableroute.measure.reading import read_job

DATA = Path(__file__).resolve().parents[2] / "data"
LIBRARY = load_library()
CORNERS = np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0]], dtype=float)
SHIFT = Cable(
    "shift",
    CORNERS,
    "push-pull",
    160.0,
    fixes=(None, "clip", None),
    family=LIBRARY["push-solid-medium"],
    load=100.0,
    travel=40.0,
    passes="inside",
)
STRAIGHT = replace(SHIFT, points=CORNERS[:2], fixes=(None, None))
THROTTLE = replace(SHIFT, name="throttle", kind="pull", family=LIBRARY["throttle-thin"])


def job(*cables: Cable, **more: object) -> Assessment:
    return assess(Job("", cables, **{"tape_tolerance": 0.0, **more}))


def names(comparison: Comparison) -> list[str]:
    return [option.name for option in comparison.options]


def value(key: str, option: Option) -> float | None:
    return next(row for row in CRITERIA if row.key == key).figure.value(option)


# -- matching ----------------------------------------------------------------------------------


def test_cables_of_one_name_in_several_files_are_compared_name_by_name() -> None:
    bent = job(SHIFT, replace(SHIFT, name="select"), THROTTLE)
    straight = job(STRAIGHT, replace(STRAIGHT, name="select"))
    comparisons, left_out = line_up({"bent": bent, "straight": straight})

    assert [each.name for each in comparisons] == ["shift", "select"]
    assert [names(each) for each in comparisons] == [["bent", "straight"]] * 2
    assert left_out == ("throttle",)


def test_without_a_shared_name_every_cable_is_an_option() -> None:
    (one,), left_out = line_up({"a": job(SHIFT), "b": job(THROTTLE)})
    assert (one.name, names(one), left_out) == ("", ["shift", "throttle"], ())

    (one,), _ = line_up({"a": job(SHIFT, THROTTLE)})
    assert names(one) == ["shift", "throttle"]


def test_a_pair_is_compared_with_its_own_cable() -> None:
    other = replace(SHIFT, name="select")
    comparisons, left_out = line_up({"a": job(SHIFT, other, THROTTLE)}, pair=True)

    assert [names(each) for each in comparisons] == [
        ["shift", "shift as a pair"],
        ["select", "select as a pair"],
    ]
    assert left_out == ("throttle",)
    given, pair = comparisons[0].options
    assert (given.what_if, pair.what_if) == (False, True)
    assert (given.conduits, pair.conduits) == (1, 2)
    assert pair.figures.cable.kind == "pull-pair"


def test_a_pair_in_the_file_is_compared_with_the_push_pull_that_it_could_be() -> None:
    (one,), _ = line_up({"a": job(replace(SHIFT, kind="pull-pair"))}, pair=True)

    given, other = one.options
    assert names(one) == ["shift", "shift as push-pull"]
    assert given.pair is not None
    assert other.pair is None
    assert other.figures.push is not None
    assert other.findings == job(SHIFT).cables[0].findings


def test_what_to_do_about_a_family_that_does_not_push_is_of_use() -> None:
    pushed = replace(THROTTLE, family=LIBRARY["push-solid-medium"])
    (one,), _ = line_up({"a": job(pushed)}, pair=True)
    assert names(one) == ["throttle", "throttle as push-pull"]
    build = THROTTLE.family.model_copy(update={"kind": None, "max_push": 100.0})
    (one,), _ = line_up({"a": job(replace(THROTTLE, family=build))}, pair=True)
    assert names(one) == ["throttle", "throttle as push-pull"]


def test_pairs_join_the_routes_of_several_files() -> None:
    found = {"bent": job(SHIFT), "straight": job(STRAIGHT)}
    (one,), _ = line_up(found, pair=True)

    assert names(one) == ["bent", "bent as a pair", "straight", "straight as a pair"]
    assert [option.source for option in one.options] == ["bent", "bent", "straight", "straight"]


def test_one_name_can_be_asked_for() -> None:
    found = {"a": job(SHIFT, THROTTLE), "b": job(STRAIGHT, THROTTLE)}
    (one,), left_out = line_up(found, cable="throttle")

    assert (one.name, names(one), left_out) == ("throttle", ["a", "b"], ())


@pytest.mark.parametrize(
    ("cables", "options", "told"),
    [
        ((SHIFT,), {}, "expected another route, or a pair"),
        ((THROTTLE,), {"pair": True}, "do not push; name one that does, or a build with max_push"),
        ((SHIFT, THROTTLE), {"cable": "clutch"}, "known: shift, throttle"),
        ((SHIFT, THROTTLE), {"preload": 50.0}, "none of the cables .* is a pull pair"),
        ((SHIFT,), {"pair": True, "preload": -1.0}, "preload"),
        ((SHIFT,), {"pair": True, "preload": inf}, "preload"),
    ],
)
def test_nothing_to_compare_is_told(cables, options, told) -> None:
    with pytest.raises(CableRouteError, match=told):
        line_up({"a": job(*cables)}, **options)


def test_no_word_of_the_core_is_an_option_of_the_command() -> None:
    for cables, options in (((SHIFT,), {}), ((THROTTLE,), {"pair": True})):
        with pytest.raises(CableRouteError) as told:
            line_up({"a": job(*cables)}, **options)
        assert "--" not in str(told.value)
        assert told.value.argument in ("pair", "family")


# -- what comes back -----------------------------------------------------------------------------


def sprung(preload: float | None, **changes: object) -> Assessment:
    """Judge a throttle whose far end resists with no more than its springs, as measured."""
    resists = None if preload is None else ResistsEntry(preload=preload, springs=2)
    given = {"controls": "throttle", "drag": 1.0, "load": None, "resists": resists, **changes}
    return job(replace(THROTTLE, **given))


def test_a_weak_spring_never_wins() -> None:
    weak, strong, stronger = sprung(1.0), sprung(20.0), sprung(30.0)
    (one,), _ = line_up({"weak": weak, "strong": strong, "stronger": stronger})
    returns = {option.name: option.returning for option in one.options}

    assert returns == {"weak": "fail", "strong": "pass", "stronger": "pass"}
    light, firm, _ = (option.figures.pull.inputs[1] for option in one.options)
    assert light < firm
    assert one.best["hand_pull_n"] == ("strong",)
    assert one.best["return_spring"] == ("strong", "stronger")
    assert all("weak" not in names for names in one.best.values())


def test_springs_are_ranked_weakest_first_failing_marginal_not_known() -> None:
    needed = sprung(20.0).cables[0].lasting.returning.cold.stiff.required
    found = {
        "fails": sprung(2.0 * 0.9 * float(needed)),
        "marginal": sprung(2.0 * 1.2 * float(needed)),
        "without": sprung(None, load=20.0),
        "sound": sprung(2.0 * 1.6 * float(needed)),
    }
    (one,), _ = line_up(found)
    assert [each.returning for each in one.options] == ["fail", "marginal", "unknown", "pass"]
    ranks = [value("return_spring", each) for each in one.options]
    assert ranks == sorted(ranks)
    assert len(set(ranks)) == len(ranks)


def test_a_cable_worked_both_ways_needs_no_spring_and_wins_over_a_weak_one() -> None:
    both = job(replace(THROTTLE, kind="pull-pair"))
    (one,), _ = line_up({"weak": sprung(2.0), "both ways": both})
    assert [each.returning for each in one.options] == ["fail", None]
    assert "hand_pull_n" not in one.wins


# -- who is best -------------------------------------------------------------------------------


def test_a_row_is_won_by_what_reads_better() -> None:
    (one,), _ = line_up({"bent": job(SHIFT), "straight": job(STRAIGHT)})

    for key in ("hand_pull_n", "hand_back_n", "efficiency", "wrap_deg", "length_mm", "clips"):
        assert one.wins[key] == "straight", key
    assert one.wins["tightest_leg_slack_mm"] == "straight"
    # 100 N at both far ends, and figures that are neither good nor bad
    assert not {"anchor_far_n", "slack_mm", "preload_n", "linkage"} & set(one.best)


def test_what_reads_alike_is_equally_good_and_wins_nothing() -> None:
    nearly = replace(SHIFT, points=CORNERS * (1.0 + 1e-7))
    (one,), _ = line_up({"a": job(SHIFT), "b": job(nearly), "c": job(STRAIGHT)})

    assert one.best["length_mm"] == ("c",)
    longer = replace(SHIFT, points=CORNERS * 1.3)
    (one,), _ = line_up({"a": job(SHIFT), "b": job(nearly), "c": job(longer)})
    assert one.best["length_mm"] == ("a", "b")
    assert "length_mm" not in one.wins
    assert "wrap_deg" not in one.best


def test_an_option_without_a_figure_does_not_compete() -> None:
    (one,), _ = line_up({"a": job(SHIFT, THROTTLE)})
    assert value("hand_back_n", one.options[1]) is None
    assert "hand_back_n" not in one.best


def test_a_pair_trades_force_for_travel() -> None:
    (one,), _ = line_up({"a": job(SHIFT)}, pair=True)

    for key in (
        "hand_pull_n",
        "hand_back_n",
        "empty_drag_n",
        "anchor_hand_n",
        "clips",
        "bought_mm",
    ):
        assert one.wins[key] == "shift", key
    for key in ("lost_motion_mm", "arriving_mm", "folding_margin"):
        assert one.wins[key] == "shift as a pair", key
    given, pair = one.options
    assert value("bought_mm", pair) == 2 * value("bought_mm", given)
    assert value("clips", pair) == 2
    assert value("anchor_far_n", pair) == pair.pair.far_tension
    assert pair.pair.far_tension >= float(pair.pair.out.pulled_far.max())


def test_a_lock_up_is_beaten_by_anything() -> None:
    cable = replace(
        SHIFT,
        points=CORNERS * 4.0,
        push_load=2000.0,
        friction=(0.1, 0.4),
        family=LIBRARY["push-solid-light"],
    )
    (one,), _ = line_up({"a": job(cable)}, pair=True)

    assert value("hand_back_n", one.options[0]) == inf
    assert value("folding_margin", one.options[0]) == 0.0
    assert one.wins["hand_back_n"] == "shift as a pair"


def test_a_comparison_fails_only_if_every_option_does() -> None:
    good = replace(SHIFT, family=None, friction=(0.1, 0.15))
    tight = replace(good, bend_radius=900.0)
    (one,), _ = line_up({"good": job(good), "bad": job(tight)})
    assert [option.verdict for option in one.options] == ["pass", "fail"]
    assert (one.verdict, one.wins["verdict"]) == ("pass", "good")

    (one,), _ = line_up({"bad": job(tight), "worse": job(replace(tight, bend_radius=950.0))})
    assert one.verdict == "fail"


def test_what_a_cable_works_counts_for_the_kind_in_the_file_only() -> None:
    ways = ("forward", "aft")
    found = {way: assess(read_job(DATA / f"works_locomotive_{way}.toml")) for way in ways}
    comparisons, _ = line_up(found, pair=True)

    for one in comparisons:
        forward, forward_pair, aft, aft_pair = one.options
        assert (forward.linkage, aft.linkage) == ("pass", "fail")
        assert (forward_pair.linkage, aft_pair.linkage) == (None, None)
        assert aft.verdict == "fail"
        assert one.verdict == "pass"


def test_two_options_of_different_names_are_needed() -> None:
    cable = job(SHIFT).cables[0]
    option = Option("a", "", cable)
    for options in ([option], [option, option], [option, replace(option, name="b"), option]):
        with pytest.raises(CableRouteError, match="two or more"):
            compare_options(options)


def test_the_reserve_of_a_preload_can_be_set() -> None:
    (one,), _ = line_up({"a": job(SHIFT)}, pair=True, preload=200.0)
    assert value("preload_n", one.options[1]) == 200.0


@pytest.mark.parametrize("measured", [None, 5.0])
@pytest.mark.parametrize("preload", [None, 0.0, 300.0])
def test_a_pair_is_the_same_here_as_where_it_is_judged(measured, preload) -> None:
    single = replace(SHIFT, drag=measured)
    (alone,) = job(replace(single, kind="pull-pair", preload=preload)).cables
    as_pair, given = (
        next(
            option
            for option in line_up(found, pair=True, preload=preload)[0][0].options
            if option.pair
        )
        for found in ({"a": job(single)}, {"a": job(replace(single, kind="pull-pair"))})
    )
    for option in (as_pair, given):
        assert option.figures.pull == alone.figures.pull
        assert option.pair.preload == alone.pair.preload
        assert {each.code for each in option.findings} == {each.code for each in alone.findings}
        drag = float(alone.pair.empty.hand[1]) + alone.figures.drag
        assert value("empty_drag_n", option) == pytest.approx(drag)
