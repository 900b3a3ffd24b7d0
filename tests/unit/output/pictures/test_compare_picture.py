"""The picture of a comparison: what is in it, and that no words collide or run off it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text

from cableroute.assess import assess
from cableroute.comparison.line_up import Comparison, line_up
from cableroute.hardware.library import load_library
from cableroute.measure.job import Cable, Job
from cableroute.measure.reading import read_job
from cableroute.measure.wording import Words
from cableroute.output.drawings import picture
from cableroute.output.pictures.compare_picture import MOST, draw_comparison

DATA = Path(__file__).resolve().parents[4] / "data"
CORNERS = np.array([[0, 0, 0], [800, 0, 0], [800, 700, 0]], dtype=float)
SHIFT = Cable(
    "shift",
    CORNERS,
    "push-pull",
    160.0,
    family=load_library()["push-solid-medium"],
    load=100.0,
    travel=40.0,
    passes="inside",
)


def alone(found: dict[str, Cable], **options: object) -> Comparison:
    jobs = {name: assess(Job("", (cable,), tape_tolerance=0.0)) for name, cable in found.items()}
    (one,), _ = line_up(jobs, **options)
    return one


def words(figure) -> list[str]:
    texts = list(figure.texts) + [text for ax in figure.axes for text in ax.texts]
    ticks = [tick for ax in figure.axes for tick in ax.get_yticklabels()]
    return [text.get_text() for text in texts + ticks]


def boxes(figure) -> list[tuple[str, np.ndarray]]:
    """Every text that is seen, with its box in pixels, the leader of a label left out."""
    FigureCanvasAgg(figure).draw()
    texts = list(figure.texts)
    for ax in figure.axes:
        texts += [*ax.texts, ax.title, ax._left_title, ax.xaxis.label, ax.yaxis.label]
        for axis, limits in ((ax.xaxis, ax.get_xlim()), (ax.yaxis, ax.get_ylim())):
            low, high = sorted(limits)
            texts += [
                tick.label1 for tick in axis.get_major_ticks() if low <= tick.get_loc() <= high
            ]
    seen = [text for text in texts if text.get_visible() and text.get_text()]
    return [(text.get_text(), np.asarray(Text.get_window_extent(text).extents)) for text in seen]


def collisions(figure) -> list[tuple[str, str]]:
    """Pairs of texts of which one covers the other, and texts that run off the figure."""
    placed, size = boxes(figure), figure.get_size_inches() * figure.dpi
    found = [
        (word, "off the edge")
        for word, box in placed
        if (box[:2] < 0.0).any() or (box[2:] > size).any()
    ]
    for i, (word, box) in enumerate(placed):
        for other, its in placed[i + 1 :]:
            if (np.minimum(box[2:], its[2:]) - np.maximum(box[:2], its[:2]) > 1.0).all():
                found.append((word, other))
    return found


def test_every_route_is_drawn_once_and_every_option_has_its_bars() -> None:
    moved = replace(SHIFT, points=CORNERS + np.array([0, 0, 60.0]))
    figure = draw_comparison(alone({"low": SHIFT, "high": moved}, pair=True))

    plan, side, bars = figure.axes
    assert len([line for line in plan.lines if line.get_marker() == "None"]) == 4
    assert [len(text) for text in (plan.texts, side.texts)] == [2, 4]
    assert {"low; low as a pair", "high; high as a pair"} <= set(words(figure))
    assert [tick.get_text() for tick in bars.get_yticklabels()] == [
        "low",
        "low as a pair",
        "high",
        "high as a pair",
    ]
    assert len([text for text in bars.texts if "pull" in text.get_text()]) == 4
    assert len([text for text in bars.texts if "back" in text.get_text()]) == 2


def test_each_route_is_drawn_tight_and_as_a_thin_line_left_to_itself() -> None:
    one = alone({"a": replace(SHIFT, passes="through")}, pair=True)
    plan = draw_comparison(one).axes[0]
    thin, thick = sorted(plan.lines[:2], key=lambda line: line.get_linewidth())
    figures = one.options[0].figures
    for line, run in ((thin, figures.lay.run), (thick, figures.route)):
        drawn = np.column_stack(line.get_data())
        assert np.linalg.norm(np.diff(drawn, axis=0), axis=1).sum() == pytest.approx(
            float(run.length), rel=1e-3
        )
    assert max(thick.get_xdata()) < max(thin.get_xdata())
    assert "thin: left to itself" in " ".join(words(plan.figure))


def test_routes_that_differ_in_a_heading_alone_are_two() -> None:
    bent = replace(SHIFT, passes="through", headings=(None, None, (-1.0, 1.0, 0.0)))
    figure = draw_comparison(alone({"a": replace(SHIFT, passes="through"), "b": bent}))
    assert len([line for line in figure.axes[0].lines if line.get_marker() == "None"]) == 4


def test_views_are_to_true_scale_and_in_the_tape_s_unit() -> None:
    figure = draw_comparison(
        alone({"a": SHIFT, "b": replace(SHIFT, bend_radius=250.0)}), words=Words("ft")
    )

    plan, side, _ = figure.axes
    assert (plan.get_aspect(), side.get_aspect()) == (1.0, 1.0)
    assert plan.get_xlabel() == "x, forward [in]"
    farthest = max(line.get_xdata()[-1] for line in plan.lines)
    assert farthest == pytest.approx(800 / 25.4)


def test_bars_end_at_the_forces_of_low_and_high_friction() -> None:
    one = alone({"a": SHIFT}, pair=True)
    bars = draw_comparison(one).axes[2]

    ends = sorted(patch.get_x() + patch.get_width() for patch in bars.patches)
    ways = [way for each in one.options for way in (each.figures.pull, each.back)]
    assert ends == pytest.approx(sorted(force for way in ways for force in way.inputs))


def test_a_lock_up_has_a_bar_that_ends_and_says_so() -> None:
    light = load_library()["push-solid-light"]
    stuck = replace(SHIFT, points=CORNERS * 4, push_load=2000.0, friction=(0.1, 0.4), family=light)
    figure = draw_comparison(alone({"a": stuck}, pair=True))

    assert any("locks up" in word for word in words(figure))
    assert all(np.isfinite(patch.get_width()) for patch in figure.axes[2].patches)
    assert collisions(figure) == []


def test_of_many_options_some_are_drawn_and_the_rest_are_counted() -> None:
    bare = replace(SHIFT, family=None)
    many = {f"way {i}": replace(bare, points=CORNERS * (1 + 0.1 * i)) for i in range(MOST + 2)}
    figure = draw_comparison(alone(many))

    assert figure.texts[0].get_text() == f"shift: {MOST + 2} options compared, {MOST} of them drawn"
    assert len(figure.axes[2].get_yticklabels()) == MOST
    assert collisions(figure) == []


@pytest.mark.parametrize(
    ("files", "options"),
    [
        (("grass_track_buggy",), {"pair": True}),
        (("works_locomotive_forward", "works_locomotive_aft"), {"cable": "shift", "pair": True}),
        (("workboat",), {}),
    ],
)
def test_words_of_the_demonstration_machines_do_not_collide(files, options) -> None:
    found = {file: assess(read_job(DATA / f"{file}.toml")) for file in files}
    (one, *_), _ = line_up(found, **options)

    assert collisions(draw_comparison(one)) == []


def test_odd_names_are_shown_as_they_are_and_cut_where_they_are_long() -> None:
    odd = {"$a_b^{2$\n\x07": SHIFT, "W" * 200: replace(SHIFT, bend_radius=250.0)}
    figure = draw_comparison(alone(odd))

    assert picture(figure, ".svg").startswith(b"<?xml")
    assert collisions(figure) == []
