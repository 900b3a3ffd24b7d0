from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure

from cableroute.assess import SelectorAssessment, assess
from cableroute.measure.reading import read_job
from cableroute.output.linkage_dict import gate_rows
from cableroute.output.pictures.selector_picture import draw_selector, gate_at_box, paper_of

DATA = Path(__file__).resolve().parents[4] / "data"
FORWARD, AFT, MENDED = (f"works_locomotive_{word}.toml" for word in ("forward", "aft", "mended"))


def selector(path: Path) -> SelectorAssessment:
    (found,) = assess(read_job(path)).selectors
    return found


@pytest.fixture(scope="module")
def shipped() -> dict[str, SelectorAssessment]:
    return {name: selector(DATA / name) for name in (FORWARD, AFT, MENDED)}


@pytest.fixture
def short(tmp_path) -> SelectorAssessment:
    text = (DATA / FORWARD).read_text(encoding="utf-8")
    (tmp_path / "short.toml").write_text(text.replace("[8, 0, -8]", "[5, 0, -5]"))
    return selector(tmp_path / "short.toml")


def panels(result: SelectorAssessment, **words: object):
    """The knob's axes and the box's."""
    return draw_selector(result, **words).get_figure(root=True).axes[1:]


def hatched(ax) -> list:
    return [patch for patch in ax.patches if patch.get_hatch()]


def words_of(ax) -> list[str]:
    return [text.get_text() for text in ax.texts]


def test_texts_neither_collide_nor_run_off(shipped, short, check_texts):
    for result in (*shipped.values(), short):
        check_texts(draw_selector(result).get_figure(root=True))


def test_wanted_boxes_and_arriving_bands_lie_where_the_table_says(shipped, short):
    for result in (*shipped.values(), short):
        box = panels(result)[1]
        spots = {
            tuple(np.round(patch.get_xy()[[0, 2]].ravel(), 6))
            for patch in box.patches
            if hasattr(patch, "get_xy")
        }
        for row in gate_rows(result.figures):
            across, along = row["select"], row["shift"]
            wanted = [
                [each[f"wanted_{unit}"] + sign * each[f"tolerance_{unit}"] for sign in (-1, 1)]
                for each, unit in ((across, "mm"), (along, "deg"))
            ]
            arrives = [across["arrives_mm"], along["arrives_deg"]]
            for (x0, x1), (y0, y1) in (wanted, arrives):
                assert tuple(np.round((x0, y0, x1, y1), 6)) in spots


def test_the_wanted_pattern_lies_as_the_knob_is_moved(shipped):
    for result in shipped.values():
        knob, box = panels(result)
        figures = result.figures
        at_knob = next(line.get_xydata() for line in knob.lines if len(line.get_xydata()) == 5)
        goals = [gate_at_box(figures, row.gate, None)[0].mean(axis=1) for row in figures.table.rows]
        seen = [ax.transData.transform(points) for ax, points in ((knob, at_knob), (box, goals))]
        for i, j in combinations(range(5), 2):
            here, there = (points[i] - points[j] for points in seen)
            assert (
                np.sign(np.round(here, 0) * (np.abs(here) > 9)).tolist()
                == np.sign(np.round(there, 0) * (np.abs(there) > 9)).tolist()
            )


def test_driver_facing_aft_sees_the_pattern_his_way(shipped):
    forward, aft = (paper_of(shipped[name].figures) for name in (FORWARD, AFT))
    assert forward.right.tolist() == [0.0, -1.0, 0.0]
    assert aft.right.tolist() == [0.0, 1.0, 0.0]
    assert aft.up.tolist() == [-1.0, 0.0, 0.0]
    for name in (FORWARD, AFT, MENDED):
        knob = panels(shipped[name])[0]
        spots = {text.get_text(): text.xy for text in knob.texts}
        assert spots["R (press)"][0] < spots["1"][0] < spots["3"][0]
        assert spots["2"][1] < 0.0 < spots["1"][1]


def test_gates_reached_and_missed_differ_by_hatch_and_words(shipped, short):
    right = panels(shipped[FORWARD])[1]
    assert {patch.get_hatch() for patch in hatched(right)} == {"////"}
    assert not any("arrives" in words for words in words_of(right))
    mirrored = panels(shipped[AFT])[1]
    assert {patch.get_hatch() for patch in hatched(mirrored)} == {"xxxx"}
    assert {"R arrives", "R wanted"} <= set(words_of(mirrored))
    missed = panels(short)[1]
    assert {patch.get_hatch() for patch in hatched(missed)} == {"xxxx", "////"}
    assert "R arrives\nselect short" in words_of(missed)


def test_a_box_that_cannot_follow_shows_what_is_wanted(shipped):
    result = shipped[FORWARD]
    stuck = replace(result, figures=replace(result.figures, table=None, fault="stuck"))
    box = panels(stuck)[1]
    assert not hatched(box)
    assert len(box.patches) == 5
    assert set(words_of(box)) == {"R", "1", "2", "3", "4"}


def test_the_knob_is_drawn_in_the_unit_and_to_scale(shipped):
    millimetres, inches = (panels(shipped[FORWARD], unit=unit)[0] for unit in ("mm", "in"))
    one, other = (
        {text.get_text(): np.array(text.xy) for text in ax.texts} for ax in (millimetres, inches)
    )
    knob = shipped[FORWARD].figures.table.rows[0].knob
    assert one["R (press)"] == pytest.approx([-knob[1], knob[0]])
    assert other["R (press)"] * 25.4 == pytest.approx(one["R (press)"])
    millimetres.figure.draw_without_rendering()
    (x0, y0), (x1, y1) = millimetres.transData.transform([[0, 0], [100, 100]])
    assert x1 - x0 == pytest.approx(y1 - y0, rel=1e-9)


def test_the_axes_given_are_drawn_on(shipped):
    ax = Figure(figsize=(7, 5)).add_subplot()
    assert draw_selector(shipped[FORWARD], ax=ax) is ax
    assert len(ax.figure.axes) == 3
