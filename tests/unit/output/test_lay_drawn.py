"""How a conduit lies by itself is drawn beside the tight run: in views, in space, in the DXF."""

from __future__ import annotations

import numpy as np
import pytest

from cableroute.assess import assess
from cableroute.measure.job import Cable, Job
from cableroute.output.dxf import dxf_text
from cableroute.output.pictures.views import draw_plan
from cableroute.output.report.space import scene

POINTS = np.array([[0.0, 0.0, 0.0], [400.0, 0.0, 0.0], [500.0, 300.0, 0.0], [900.0, 350.0, 0.0]])
AHEAD = np.array([1.0, 0.0, 0.0])


@pytest.fixture(scope="module")
def found():
    cable = Cable(
        "shift",
        POINTS,
        "pull",
        60.0,
        friction=(0.1, 0.2),
        labels=("lever", "sill", "wall", "box"),
        fixes=("anchor", None, "clip", "anchor"),
        headings=(AHEAD, None, AHEAD, AHEAD),
    )
    return assess(Job("", (cable,), tape_tolerance=0.0))


def farthest(places, run) -> float:
    """Distance of the place farthest from a run [mm]."""
    dense = run.point(np.linspace(0.0, run.length, 4000))
    return max(float(np.linalg.norm(dense - place, axis=1).min()) for place in places)


def test_a_view_shows_both_shapes_and_names_every_point_once(found) -> None:
    ax = draw_plan(found.cables[0])
    lines = {line.get_label(): line for line in ax.get_lines()}
    drawn = np.column_stack(lines["left to itself"].get_data())
    lay = found.cables[0].figures.lay.run
    assert farthest(np.column_stack((drawn, 0.0 * drawn[:, 0])), lay) < 0.5
    assert lines["left to itself"].get_linewidth() < lines["straight"].get_linewidth()
    words = [text.get_text().splitlines()[0] for text in ax.texts if text.get_text()]
    for name in ("lever", "sill", "wall", "box"):
        assert words.count(name) == 1


def test_the_scene_holds_the_lay_and_the_points_under_their_names(found) -> None:
    (cable,) = scene(found)["cables"]
    lay = found.cables[0].figures.lay.run
    assert farthest(np.array(cable["lay"]), lay) < 0.5
    assert [point["name"] for point in cable["points"]] == ["lever", "sill", "wall", "box"]
    assert [point["at"] for point in cable["points"]] == POINTS.tolist()


def test_the_dxf_has_the_lay_on_a_layer_of_its_own(found) -> None:
    pairs = dxf_text(found.cables).splitlines()
    groups = list(zip(map(int, pairs[::2]), pairs[1::2], strict=True))
    starts = [i for i, pair in enumerate(groups) if pair == (0, "VERTEX")]
    places = np.array(
        [
            [float(value) for code, value in groups[i : i + 6] if code in (10, 20, 30)]
            for i in starts
            if (8, "LAY") in groups[i : i + 3]
        ]
    )
    lay = found.cables[0].figures.lay.run
    assert farthest(places, lay) < 0.5
    assert np.linalg.norm(np.diff(places, axis=0), axis=1).sum() == pytest.approx(
        lay.length, rel=1e-3
    )
