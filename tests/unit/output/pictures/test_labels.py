from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from cableroute.output.pictures.labels import Label, pixels_per_point, place_labels
from cableroute.output.pictures.style import new_axes

NOTHING = np.empty((0, 2))


@pytest.fixture
def ax():
    ax = new_axes(4.0, owner="")
    ax.set(xlim=(0.0, 100.0), ylim=(0.0, 100.0))
    return ax


def gap(ax, text, point) -> float:
    """Distance from a point to a label's letters [pt]."""
    box = text.get_window_extent()
    x, y = ax.transData.transform(point)
    apart = np.maximum(0.0, [box.x0 - x, x - box.x1, box.y0 - y, y - box.y1])
    return float(np.hypot(max(apart[:2]), max(apart[2:]))) / pixels_per_point(ax)


@pytest.mark.parametrize("towards", np.radians(np.arange(0.0, 360.0, 25.0)))
def test_a_label_keeps_off_its_own_mark(ax, towards):
    assert (
        place_labels(ax, [Label(50.0, 50.0, "a long label here", towards=towards)], avoid=NOTHING)
        == 0
    )
    (text,) = ax.texts
    assert 6.0 <= gap(ax, text, (50.0, 50.0)) <= 16.0


def test_a_label_keeps_off_what_is_drawn(ax):
    wall = np.column_stack((np.full(200, 55.0), np.linspace(0.0, 100.0, 200)))
    place_labels(ax, [Label(50.0, 50.0, "name", towards=0.0)], avoid=wall)
    (text,) = ax.texts
    assert text.get_window_extent().x1 < ax.transData.transform((55.0, 50.0))[0]


def test_only_labels_that_matter_are_missed(ax):
    crowd = [Label(50.0, 50.0, "w" * 30) for _ in range(60)]
    aside = [Label(50.0, 50.0, "w" * 30, aside=True) for _ in range(60)]
    missing = place_labels(ax, crowd + aside, avoid=NOTHING)
    assert missing == len(crowd) - len(ax.texts) > 0


def test_a_label_aside_is_slanted_and_near_or_not_at_all(ax):
    full = np.stack(np.meshgrid(np.linspace(38, 62, 60), np.linspace(30, 70, 60)), -1).reshape(
        -1, 2
    )
    label = Label(50.0, 50.0, "name", aside=True)
    place_labels(ax, [label], avoid=full)
    (text,) = ax.texts
    assert text.get_fontstyle() == "italic"
    assert gap(ax, text, (50.0, 50.0)) < 50.0


def test_labels_of_bands_lie_on_them_in_rows_within_the_frame_and_have_no_leader(ax):
    at = [0.5, 30.0, 34.0, 38.0, 99.5]
    labels = [Label(x, 99.0, "a long name here", band=True) for x in at]
    assert place_labels(ax, labels, avoid=NOTHING) == 0
    boxes = [text.get_window_extent() for text in ax.texts]
    frame = ax.get_window_extent()
    for x, text, box in zip(at, ax.texts, boxes, strict=True):
        assert text.arrow_patch is None
        assert frame.x0 <= box.x0 <= ax.transData.transform((x, 0.0))[0] + 6.0
        assert ax.transData.transform((x, 0.0))[0] - 6.0 <= box.x1 <= frame.x1
    apart = [
        a.x1 < b.x0 or b.x1 < a.x0 or a.y1 < b.y0 or b.y1 < a.y0 for a, b in combinations(boxes, 2)
    ]
    assert all(apart)
    assert min(box.y0 for box in boxes) < boxes[0].y0 - boxes[0].height / 2


def test_a_label_of_a_band_goes_below_what_is_drawn(ax):
    curve = np.column_stack((np.linspace(0.0, 100.0, 200), np.full(200, 93.0)))
    place_labels(ax, [Label(50.0, 99.0, "name", band=True)], avoid=curve)
    (text,) = ax.texts
    assert text.get_window_extent().y1 < ax.transData.transform((0.0, 93.0))[1]
