from __future__ import annotations

import subprocess
import sys
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from cableroute.assess import CableAssessment, assess
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job
from cableroute.output.drawings import DRAWINGS, SUFFIXES, VIEWS, draw, draw_sheet, picture
from cableroute.output.pictures.charts import joints
from cableroute.output.pictures.projection import piece_points
from cableroute.output.pictures.views import (
    draw_front,
    draw_isometric,
    draw_plan,
    draw_side,
)

DATA = Path(__file__).resolve().parents[3] / "data"
FILES = sorted(path.name for path in DATA.glob("*.toml"))


def cables(name: str) -> list[tuple[CableAssessment, Job]]:
    job = read_job(DATA / name)
    return [(cable, job) for cable in assess(job).cables]


@pytest.fixture(scope="module")
def shift() -> CableAssessment:
    return cables("grass_track_buggy.toml")[0][0]


def a_job(tmp_path: Path, points: str, *, name: str = "c", extra: str = "") -> CableAssessment:
    file = tmp_path / "job.toml"
    file.write_text(
        f'[[cable]]\nname = "{name}"\nbend_radius = 60\n{extra}\npoints = [{points}]\n',
        encoding="utf-8",
    )
    return assess(read_job(file)).cables[0]


def boxes(figure: Figure) -> list[tuple[str, np.ndarray]]:
    """Every visible text on the figure, ticks left out, with its box in pixels."""
    figure.draw_without_rendering()
    texts = [text for ax in figure.axes for text in (*ax.texts, ax.title, ax.xaxis.label)]
    legends = [ax.get_legend() for ax in figure.axes if ax.get_legend()]
    texts += [text for legend in legends for text in legend.findobj(Text)]
    texts += figure.texts
    known = {id(text): text for text in texts if text.get_text() and text.get_visible()}
    extents = ((text, Text.get_window_extent(text).extents) for text in known.values())
    return [(text.get_text(), box) for text, box in extents]


def overlap(one: np.ndarray, other: np.ndarray) -> bool:
    low, high = np.maximum(one[:2], other[:2]), np.minimum(one[2:], other[2:])
    return bool((high - low > 0.5).all())


def hatched_over(figure: Figure, found: list, *, own: list[str]) -> list[str]:
    """Texts that lie in the hatching of a body of the machine which they do not name."""
    bodies = [
        patch.get_path().transformed(patch.get_transform())
        for ax in figure.axes
        for patch in ax.patches
        if patch.get_hatch() == "xxx"
    ]
    return [
        text
        for text, box in found
        if text.split("\n")[0] not in own
        and any(body.intersects_bbox(Bbox.from_extents(*box), filled=True) for body in bodies)
    ]


def test_no_label_lies_in_the_hatching_of_another_body(tmp_path):
    points = "".join(
        f'{{ at = [{60 * i}, {40 * (i % 2)}, 0], label = "clip {i}" }},' for i in range(6)
    )
    solids = "".join(
        f'[[keepout]]\nname = "solid {i}"\nbox = [[{120 * i}, -90, -20], [{120 * i + 70}, 25, 20]]\n'
        for i in range(3)
    )
    file = tmp_path / "near.toml"
    file.write_text(
        f'{solids}[[cable]]\nname = "c"\nbend_radius = 10\npoints = [{points}]\n', encoding="utf-8"
    )
    job = read_job(file)
    figure = draw(assess(job).cables[0], "plan", job=job)
    found = [each for each in boxes(figure) if not each[0].startswith("x, forward")]  # below it all
    assert {"solid 0", "solid 1", "solid 2"} <= {text for text, _ in found}
    assert not hatched_over(figure, found, own=[zone.name for zone in job.keepouts])


@pytest.mark.parametrize(
    ("name", "what"),
    [(name, "sheet") for name in FILES]
    + [("workboat.toml", word) for word in DRAWINGS if word != "lost"]
    + [(name, "lost") for name in ("workboat.toml", "grass_track_buggy.toml")]
    + [(name, word) for name in ("survey_tubes.toml", "grass_track_buggy.toml") for word in VIEWS],
)
def test_texts_neither_collide_nor_run_off(name, what):
    for cable, job in cables(name):
        figure = draw(cable, what, unit=job.unit, job=job)
        found = boxes(figure)
        for (a, one), (b, other) in combinations(found, 2):
            assert not overlap(one, other), f"{a!r} on {b!r}"
        width, height = figure.bbox.size
        for text, box in found:
            assert (box >= -0.5).all(), text
            assert box[2] <= width + 0.5, text
            assert box[3] <= height + 0.5, text
        assert not hatched_over(figure, found, own=[zone.name for zone in job.keepouts])


@pytest.mark.parametrize("view", [draw_plan, draw_side, draw_front, draw_isometric])
def test_views_have_one_scale_both_ways(shift, view):
    ax = view(shift)
    ax.figure.draw_without_rendering()
    (x0, y0), (x1, y1) = ax.transData.transform([[0, 0], [100, 100]])
    assert x1 - x0 == pytest.approx(y1 - y0, rel=1e-9)


def test_every_point_is_named_once(shift):
    words = "\n".join(text.get_text() for text in draw_plan(shift).texts)
    for label in shift.figures.cable.labels:
        assert words.count(label) == 1


def test_bends_carry_turn_and_radius(shift):
    words = [text.get_text() for text in draw_side(shift).texts]
    assert sum(word.endswith("° R 160") for word in words) == len(shift.figures.route.turns)


def test_radii_in_inches_are_marked_as_such(shift):
    words = [text.get_text() for text in draw_side(shift, unit="ft").texts]
    assert sum(word.endswith('° R 6.3"') for word in words) == len(shift.figures.route.turns)


@pytest.mark.parametrize("name", FILES)
def test_drawn_arcs_are_as_long_as_the_route(name):
    for cable, _ in cables(name):
        route = cable.figures.route
        drawn = [np.diff(piece_points(piece), axis=0) for piece in route.pieces]
        length = sum(np.linalg.norm(steps, axis=1).sum() for steps in drawn)
        assert length == pytest.approx(route.length, rel=2e-5)


def test_drawn_pieces_join(shift):
    pieces = [piece_points(piece) for piece in shift.figures.route.pieces]
    for before, after in pairwise(pieces):
        assert before[-1] == pytest.approx(after[0], abs=1e-6)


def test_plan_of_a_flat_route_is_drawn_in_its_unit(tmp_path):
    flat = a_job(tmp_path, "{at=[0,0,0]}, {at=[400,0,0]}, {at=[400,300,0]}")
    solid = [line for line in draw_plan(flat, unit="in").lines if line.get_linewidth() > 1.5]
    steps = [np.diff(line.get_xydata(), axis=0) for line in solid]
    length = sum(np.nansum(np.linalg.norm(step, axis=1)) for step in steps)
    assert length * 25.4 == pytest.approx(flat.figures.route.length, rel=2e-5)


@pytest.mark.parametrize("name", FILES)
def test_forces_begin_with_the_hand_forces_of_the_verdict(name):
    for cable, _ in cables(name):
        figures = cable.figures
        assert figures.pulls[:, 0] + figures.pull.drag == pytest.approx(
            figures.pull.inputs, rel=1e-9
        )
        push = figures.pushes
        assert (push is None) == (figures.push is None)
        if push is not None:
            assert push[:, 0] + figures.push.through.drag == pytest.approx(
                figures.push.through.inputs, rel=1e-9
            )
        assert joints(figures.route)[-1] == pytest.approx(figures.route.length, rel=1e-9)


@pytest.mark.parametrize("what", DRAWINGS)
def test_the_axes_given_are_drawn_on(shift, what):
    ax = Figure().add_subplot()
    assert DRAWINGS[what](shift, ax=ax) is ax
    assert ax.has_data()


def test_a_bend_that_does_not_fit_is_told_apart(tmp_path):
    tight = a_job(tmp_path, "{at=[0,0,0]}, {at=[40,0,0]}, {at=[40,300,0]}")
    ax = draw_plan(tight)
    assert "bend too tight" in ax.get_legend_handles_labels()[1]
    assert any("of 60" in text.get_text() for text in ax.texts)


def test_lock_up_is_told(tmp_path):
    extra = 'friction = 0.25\nkind = "push-pull"\npush_load = 4000\nfamily = "push-slick-medium"'
    points = "{at=[0,0,0]}, {at=[9000,0,0]}, {at=[9000,9000,0]}, {at=[0,9000,0]}"
    locked = a_job(tmp_path, points, extra=extra)
    assert locked.figures.push.lockup
    assert any("locked up" in text.get_text() for text in DRAWINGS["forces"](locked).texts)
    assert picture(draw_sheet(locked), ".png")


@pytest.mark.parametrize(
    "points",
    ["{at=[0,0,0]}, {at=[300,0,0]}", "{at=[0,0,0]}, {at=[0,0,300]}", "{at=[0,0,0]}, {at=[0,9,0]}"],
)
@pytest.mark.parametrize("what", ["plan", "radius", "stock"])
def test_a_straight_run_along_any_axis_is_drawn(tmp_path, points, what):
    assert picture(draw(a_job(tmp_path, points), what), ".png")


def test_a_crowd_of_points_leaves_labels_out_and_says_so(tmp_path):
    crowd = ", ".join(f"{{at=[{i},{i % 2},0], label='a long label {i}'}}" for i in range(70))
    ax = draw_plan(a_job(tmp_path, crowd))
    assert "found no room" in ax.get_xlabel()


@pytest.mark.parametrize("words", ["$x^{", "a\\\\nb", "\\u0001", "電纜 кабель", "w" * 300])
def test_users_words_are_letters_not_markup(tmp_path, words):
    points = f'{{at=[0,0,0], label="{words}"}}, {{at=[300,0,0]}}, {{at=[300,300,0]}}'
    odd = a_job(tmp_path, points, name=words.replace("\\u0001", "x\\u0001"))
    assert picture(draw(odd, "sheet"), ".svg")


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_the_same_picture_has_the_same_bytes(shift, suffix):
    once, twice = (picture(draw(shift, "side"), suffix) for _ in range(2))
    assert once == twice


def test_drawing_needs_no_pyplot_and_importing_no_matplotlib():
    code = (
        "import sys, cableroute.output.drawings as d; assert 'matplotlib' not in sys.modules\n"
        "from cableroute.assess import assess\n"
        "from cableroute.measure.reading import read_job\n"
        f"d.draw_sheet(assess(read_job({str(DATA / FILES[0])!r})).cables[0])\n"
        "assert 'matplotlib.figure' in sys.modules and 'matplotlib.pyplot' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
