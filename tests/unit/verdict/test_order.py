"""Length to order: passes from the natural lay on, marginal down to the tight run, fails below."""

from __future__ import annotations

import re

import numpy as np
import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.hardware.family import Family
from cableroute.hardware.library import load_library
from cableroute.measure.from_text import read_text
from cableroute.measure.job import Cable, Job
from cableroute.measure.reading import read_job
from cableroute.measure.wording import Words
from cableroute.mechanics.capstan import capstan_ratio
from cableroute.output.verdict_text import as_text
from cableroute.verdict.check import Check

LIBRARY = load_library()
DOGLEG = [[0, 0, 0], [500, 0, 0], [700, 400, 0], [1200, 400, 0]]
CODE = "stock-too-short"


def stocked(*lengths: float) -> Family:
    own = {"stock_lengths": lengths, "stock_lengths_ft": ()}
    return Family.model_validate({**LIBRARY["push-solid-medium"].model_dump(), **own})


def judged(*lengths: float, points: object = DOGLEG, **changes: object) -> CableAssessment:
    given = {"friction": (0.1, 0.2), "load": 100.0, "push_load": 80.0, "travel": 40.0}
    cable = Cable(
        "a",
        np.array(points, dtype=float),
        "push-pull",
        160.0,
        family=stocked(*(lengths or (9000.0,))),
        **{**given, **changes},
    )
    return assess(Job("", (cable,), tape_tolerance=2.0)).cables[0]


def found(result: CableAssessment, code: str = CODE) -> Check | None:
    return next((one for one in result.findings if one.code == code), None)


NEEDED = judged(slack=30.0).figures.order
LEAST, ADVISED = NEEDED.least + NEEDED.ends, NEEDED.advised + NEEDED.ends


def test_it_is_never_advised_to_buy_less_than_the_natural_lay() -> None:
    figures = judged(slack=30.0).figures
    assert figures.lay.length > float(figures.route.length) + 10.0
    assert NEEDED.doubt > 0.0
    assert NEEDED.least == pytest.approx(figures.route.length + 30.0 + NEEDED.doubt)
    assert NEEDED.advised == pytest.approx(figures.lay.length + 30.0 + NEEDED.doubt)


@pytest.mark.parametrize(
    ("stock", "level"),
    [
        (LEAST - 0.01, "fail"),
        (LEAST + 0.01, "marginal"),
        (ADVISED - 0.01, "marginal"),
        (ADVISED + 0.01, None),
    ],
)
def test_the_stock_passes_at_the_lay_and_fails_below_the_tight_run(stock, level) -> None:
    one = found(judged(stock, slack=30.0))
    assert (one.level if one else None) == level


def test_both_lengths_and_what_is_lacking_are_told_where_no_stock_reaches() -> None:
    one = found(judged(LEAST - 31.0, slack=30.0))
    words = Words("mm")
    for told in (words.length(LEAST), words.length(ADVISED), "31 mm short", "Have one made"):
        assert told in one.message
    assert one.limit - one.value == pytest.approx(31.0)


def test_between_the_two_it_says_what_being_drawn_tighter_costs() -> None:
    result = judged(0.5 * (LEAST + ADVISED), slack=30.0)
    one, figures = found(result), result.figures
    words = Words("mm")
    for told in (
        words.length(LEAST),
        words.length(ADVISED),
        "tighter bends",
        "presses on its clips",
    ):
        assert told in one.message
    more = capstan_ratio(figures.wraps[1] - float(figures.route.wrap), friction=0.2) - 1.0
    assert f"{100.0 * float(more):.0f} % more force" in one.message


def test_the_next_length_up_from_the_lay_is_bought_and_else_the_longest_that_reaches() -> None:
    between, plenty = 0.5 * (LEAST + ADVISED), ADVISED + 50.0
    assert judged(between, plenty, 9000.0, slack=30.0).figures.order.choice.stock == plenty
    assert judged(500.0, between, slack=30.0).figures.order.choice.stock == between
    assert judged(500.0, LEAST - 1.0, slack=30.0).figures.order.choice.stock is None


def test_stuff_cut_to_length_is_not_judged_by_stock() -> None:
    result = judged(500.0, cut=True)
    codes = {one.code for one in result.checks}
    assert not codes & {CODE, "stock-surplus", "slack-too-tight"}


def test_a_lay_that_bends_below_the_least_radius_is_marginal() -> None:
    stairs = [[0, 0, 0], [260, 0, 0], [260, 260, 0], [520, 260, 0]]
    result = judged(points=stairs)
    one = found(result, "lay-too-tight")
    assert one.level == "marginal"
    assert one.value == pytest.approx(result.figures.lay.min_radius)
    assert one.value < one.limit == 160.0
    assert one.where in ("point 2", "point 3")  # where its curvature is most


def test_a_lay_that_did_not_settle_is_told() -> None:
    loop = [[0, 0, 0], [900, 0, 0], [900, 700, 0], [0, 700, 0]]
    held = (None, np.array([1.0, -0.3, 0.0]), np.array([-1.0, -0.3, 0.0]), None)
    one = found(judged(points=loop, headings=held), "lay-failed")
    assert one.level == "marginal"
    assert "did not settle (a span would grow without end" in one.message


def test_a_stock_length_beyond_reason_is_told_without_a_figure(tmp_path):
    file = tmp_path / "metres.toml"
    file.write_text(
        "[[cable]]\nname = 'typed in metres'\nfamily = 'throttle-thin'\nload = 50\npoints = [\n"
        "{ at = [0, 0, 0] }, { at = [0.42, 0, 0] }, { at = [0.42, 0.31, 0] },\n"
        "{ at = [0.42, 0.31, 0.5] }]\n"
    )
    result = assess(read_job(file))
    text = as_text(result)
    assert "measured in metres" in " ".join(text.split())
    assert not re.search(r"[0-9]{4,} (?:%|degrees)", text)
    assert "over 10 times the force" in " ".join(text.split())
    assert "weight helps" not in text


BEFORE_A_BRACKET = """
[[cable]]
name = "a"
kind = "push-pull"
family = "push-slick-medium"
load = 50
travel = 30
points = [
  {{ at = [0, 0, 0] }},
  {{ at = [400, 0, 0], fix = "clip" }},
  {clip}
  {{ at = [640, 160, 0], heading = {heading} }},
]
"""


def test_what_mends_too_tight_a_lay_widens_it_and_a_clip_alone_does_not() -> None:
    def lay(clip: str = "", heading: str = '"forward"') -> CableAssessment:
        job = read_text(BEFORE_A_BRACKET.format(clip=clip, heading=heading))
        return assess(job).cables[0]

    free = lay()
    route, tightest = free.figures.route, free.figures.lay.min_radius
    message = found(free, "lay-too-tight").message
    assert "turn a bracket there" in message
    assert "hold it in line at both ends of the bend" in message
    begins = float(route.length - route.arc_lengths[-1]) - 4.0
    at, way = route.point(begins).round(1).tolist(), route.tangent(begins).round(3).tolist()
    clipped = lay(f'{{ at = {at}, fix = "clip" }},')
    held = lay(f'{{ at = {at}, fix = "clip", heading = {way} }},')
    turned = lay(heading="[0.85, 0.5, 0]")
    assert clipped.figures.lay.min_radius < tightest < held.figures.lay.min_radius
    assert found(turned, "lay-too-tight") is None
