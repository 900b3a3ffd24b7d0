from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text


@pytest.fixture(scope="session")
def check_texts() -> Callable[[Figure], None]:
    """Refuse a figure with two texts on each other, or one off it; figures along axes left out."""

    def check(figure: Figure) -> None:
        figure.draw_without_rendering()
        axes = [axis for ax in figure.axes for axis in (ax.xaxis, ax.yaxis)]
        ticks = {id(text) for axis in axes for text in axis.findobj(Text)}
        names = {id(axis.label) for axis in axes if axis.axes.axison}
        texts = [text for ax in figure.axes for text in ax.findobj(Text)]
        shown = [text for text in texts if text.get_text() and id(text) not in ticks - names]
        boxes = [(text.get_text(), Text.get_window_extent(text).extents) for text in shown]
        assert len(boxes) > 5
        for (a, one), (b, other) in combinations(boxes, 2):
            low, high = np.maximum(one[:2], other[:2]), np.minimum(one[2:], other[2:])
            assert not (high - low > 0.5).all(), f"{a!r} on {b!r}"
        for words, box in boxes:
            assert (box[:2] >= -0.5).all(), words
            assert (box[2:] <= figure.bbox.size + 0.5).all(), words

    return check
