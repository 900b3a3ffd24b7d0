"""The chart of forces begins with what the hand is told to feel."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.measure.reading import read_job
from cableroute.output.pictures.charts import (
    MOST_STEPS,
    _gravest_steps,
    draw_forces,
    draw_stock,
    joints,
)
from cableroute.table.run import order_told

BUGGY = Path(__file__).resolve().parents[4] / "data" / "grass_track_buggy.toml"


def drawn(**changes):
    job = read_job(BUGGY)
    cable = replace(job.cables[0], **changes)
    result = assess(replace(job, cables=(cable,), linkages=(), selectors=())).cables[0]
    return result, draw_forces(result)


def begins(ax, label):
    return [float(line.get_ydata()[0]) for line in ax.lines if line.get_label().startswith(label)]


def test_a_measured_drag_is_a_step_at_the_hand():
    result, ax = drawn(drag=7.0)
    assert begins(ax, "pull") == pytest.approx([result.figures.pull.inputs[1]])
    assert begins(ax, "push") == pytest.approx([result.figures.push.through.inputs[1]])
    (line,) = [line for line in ax.lines if line.get_label() == "pull"]
    assert line.get_xdata()[0] == line.get_xdata()[1] == 0.0
    assert line.get_ydata()[0] - line.get_ydata()[1] == pytest.approx(7.0)


def test_of_a_pair_the_tauter_core_is_drawn():
    result, ax = drawn(kind="pull-pair", drag=2.0)
    assert begins(ax, "pull on the tauter core") == pytest.approx([result.pair.tensions[1]])
    assert not begins(ax, "push")


def test_every_bend_is_named_on_its_band_and_no_line_leads_there():
    result, ax = drawn()
    route, along = result.figures.route, joints(result.figures.route)
    told = {text.get_text(): text for text in ax.texts}
    for i in np.flatnonzero(route.turns > 0.0):
        text = told[result.figures.corner_name(int(i))]
        middle = ax.transData.transform((0.5 * (along[2 * i + 1] + along[2 * i + 2]), 0.0))[0]
        box = text.get_window_extent()
        assert box.x0 - 6.0 <= middle <= box.x1 + 6.0
        assert text.arrow_patch is None


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_stock_chosen_leaves_in_the_picture_what_it_leaves_in_words(unit):
    job = replace(read_job(BUGGY), unit=unit)
    result = assess(replace(job, linkages=(), selectors=())).cables[0]
    ax = draw_stock(result, unit=unit)
    (chosen,) = [tick.get_text() for tick in ax.get_yticklabels() if tick.get_weight() == "bold"]

    stock, leaves = chosen.split(": ")
    assert order_told(result, result.figures.words).startswith(f"{stock} stock, {leaves}: ")


def test_very_many_steps_keep_the_tightest_bend_and_the_strictest_limit():
    rng = np.random.default_rng(4)
    count = 3 * MOST_STEPS + 5
    along = np.cumsum(rng.uniform(1.0, 2.0, count + 1))
    bent, limits = rng.uniform(0.0, 1.0, (2, count))
    edges, few, strict = _gravest_steps(along, bent, limits)
    assert len(few) == len(strict) == len(edges) - 1 <= MOST_STEPS
    assert (edges[0], edges[-1]) == (along[0], along[-1])
    assert few.max() == bent.max()
    assert strict.min() == limits.min()
    cells = np.searchsorted(edges, along[:-1], side="right") - 1
    assert (few[cells] >= bent).all()
    assert (strict[cells] <= limits).all()
