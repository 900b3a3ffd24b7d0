from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from cableroute.assess import CableAssessment, assess
from cableroute.measure.reading import read_job
from cableroute.output.pictures.lost_chart import LOOKS, draw_lost

DATA = Path(__file__).resolve().parents[4] / "data"


@pytest.fixture(scope="module")
def gear() -> CableAssessment:
    return assess(read_job(DATA / "workboat.toml")).cables[0]


def lower_bar(ax) -> list:
    """The parts as drawn, left to right, the hatched underlay left out."""
    bars = [bar for bars in ax.containers if bars.get_label() in LOOKS for bar in bars]
    return sorted(bars, key=lambda bar: bar.get_x())


@pytest.mark.parametrize(("unit", "scale"), [("mm", 1.0), ("in", 25.4)])
def test_the_parts_lie_end_to_end_and_make_the_whole(gear, unit, scale):
    bars = lower_bar(draw_lost(gear, unit=unit))
    lost = gear.figures.lost
    assert sum(bar.get_width() for bar in bars) * scale == pytest.approx(lost.total)
    assert bars[0].get_x() == 0.0
    for before, after in pairwise(bars):
        assert before.get_x() + before.get_width() == pytest.approx(after.get_x())
    assert bars[0].get_width() * scale == pytest.approx(lost.clearance)


def test_every_part_is_labelled_with_its_size(gear):
    words = [text.get_text() for text in draw_lost(gear).texts]
    parts = gear.figures.lost.parts
    assert len(parts) >= 4
    for part, size in parts.items():
        assert f"{part}\n{size:.2f} mm" in words


def test_the_share_of_the_travel_is_drawn_and_said(gear):
    figures, ax = gear.figures, draw_lost(gear)
    words = "\n".join(text.get_text() for text in ax.texts)
    left = figures.travel - figures.lost.total
    assert f"{left:.1f} mm of {figures.travel:.1f} mm travel arrives" in words
    assert f"{100 * figures.lost_share:.0f} %" in words
    lost, whole = (patch.get_width() for patch in ax.patches if patch.get_y() > 0.5)
    assert lost / whole == pytest.approx(figures.lost_share)


def test_parts_differ_by_hatch_as_well_as_by_colour(gear):
    drawn = {bar.get_hatch() for bar in draw_lost(gear).patches if bar.get_y() < 0.5} - {None, ""}
    parts = set(gear.figures.lost.parts) - {"clearance"}  # which is plain
    assert drawn == {LOOKS[part].hatch for part in parts}
    assert len({look.hatch for look in LOOKS.values()}) == len(LOOKS)


def test_every_part_there_is_has_a_look(gear):
    both = replace(gear.figures.lost, **dict.fromkeys(("conduit", "bracket"), 0.5))
    one = replace(both, other_way=None)
    assert set(both.parts) | set(one.parts) == set(LOOKS)
    for lost in (both, one):
        assert sum(lost.parts.values()) == pytest.approx(lost.total)


def with_figures(result: CableAssessment, **changed: object) -> CableAssessment:
    return replace(result, figures=replace(result.figures, **changed))


def test_what_is_not_known_is_said(gear):
    lost = replace(gear.figures.lost, conduit=None, bracket=None)
    ax = draw_lost(with_figures(gear, lost=lost))
    assert "not known: conduit, brackets" in ax.get_xlabel()
    assert sum(bar.get_width() for bar in lower_bar(ax)) == pytest.approx(lost.total)
    ax = draw_lost(with_figures(gear, lost=None))
    assert any("not known" in text.get_text() for text in ax.texts)


def test_without_a_travel_the_parts_stand_alone(gear):
    ax = draw_lost(with_figures(gear, travel=None))
    assert not any("arrives" in text.get_text() for text in ax.texts)
    assert lower_bar(ax)


def test_more_may_be_lost_than_there_is(gear):
    ax = draw_lost(with_figures(gear, travel=1.0))
    assert any("0.0 mm of 1.0 mm" in text.get_text() for text in ax.texts)
