"""The drawing of the loop: what it shows, and that nothing rests on colour."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.figures.feel import CableFeel, work_out_feel
from cableroute.measure.reading import read_job
from cableroute.output.pictures.feel_chart import draw_feel

FILE = """
unit = "in"
[[cable]]
name = "shift"
kind = "push-pull"
family = "push-slick-medium"
friction = [0.05, 0.15]
travel = "40 mm"
points = [{ at = [0, 0, 0] }, { at = [24, 0, 0] }, { at = [24, 24, 0] }]
[cable.resists]
spring = 2
friction = 6
detents = [{ at = "10 mm", depth = 30, width = "4 mm" }]
"""


@pytest.fixture(scope="module")
def feel(tmp_path_factory: pytest.TempPathFactory) -> CableFeel:
    path: Path = tmp_path_factory.mktemp("feel") / "shift.toml"
    path.write_text(FILE)
    return work_out_feel(assess(read_job(path)).cables[0].figures)


def loops(ax) -> list:
    return [
        line for line in ax.lines if len(line.get_xdata()) > 300 and line.get_linestyle() != ":"
    ]


@pytest.mark.parametrize(("unit", "scale"), [("mm", 1.0), ("in", 25.4), ("ft", 25.4)])
def test_the_loops_close_and_show_the_greatest_force(feel, unit, scale) -> None:
    ax = draw_feel(feel, unit=unit)
    *low, out, back = loops(ax)

    assert len(low) == 2
    for line, other in ((out, back), (back, out)):
        assert line.get_xdata()[-1] == other.get_xdata()[0]
        assert line.get_ydata()[-1] == other.get_ydata()[0]
    assert max(out.get_xdata()) * scale == pytest.approx(20.0)
    assert max(out.get_ydata()) == pytest.approx(feel.high.greatest, rel=1e-3)
    assert ("mm" if unit == "mm" else "in") in ax.get_xlabel()


def test_ways_and_frictions_differ_without_colour(feel) -> None:
    lines = loops(draw_feel(feel))

    assert len({(line.get_linestyle(), line.get_linewidth()) for line in lines}) == 4
    names = [text.get_text() for text in draw_feel(feel).get_legend().get_texts()]
    assert names[:3] == ["work lost", "pulling", "pushing"]


def test_the_load_is_drawn_over_the_far_travel_with_its_friction(feel) -> None:
    pulling, pushing = (line for line in draw_feel(feel).lines if line.get_linestyle() == ":")
    x, y = pulling.get_xdata(), pulling.get_ydata()

    assert (x[0], x[-1]) == pytest.approx(feel.high.far_reach)
    assert np.interp(12.0, x, y) == pytest.approx(2.0 * 12.0 + 30.0 + 6.0, rel=1e-3)
    assert y - pushing.get_ydata() == pytest.approx(2.0 * 6.0)


def test_what_is_lost_and_each_detent_are_named(feel) -> None:
    words = "\n".join(text.get_text() for text in draw_feel(feel).texts)
    (detent,) = feel.high.detents

    assert f"{feel.high.lost[0]:.2f} mm lost in turning" in words
    assert f"detent: {detent.rise:.0f} N, 30 N at the far end" in words


def test_it_draws_where_it_is_told(feel) -> None:
    from matplotlib.figure import Figure

    own = Figure().add_subplot()
    assert draw_feel(feel, ax=own) is own
