"""Labels that neither collide nor run off the drawing: measured, then placed one by one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.frozen import frozen
from cableroute.output.pictures.style import GREY, INK, LETTERS, any_letters

if TYPE_CHECKING:
    from matplotlib.axes import Axes


#: Free space between a label and its point that are tried [pt].
_GAPS = (6.0, 11.0, 18.0, 28.0, 42.0, 60.0, 85.0, 115.0, 150.0)
#: Directions that are tried, all round.
_DIRECTIONS = 24
#: A label nearer than this [pt] needs no leader.
_NEAR = 11.0
#: Space kept free round every label [pt].
_MARGIN = 2.0
#: Space in which a point of the drawing counts as covered, beyond that: half a mark [pt].
_CLEAR = 2.5
#: How far from its point a label aside is still worth writing [pt].
_ASIDE = 45.0
#: What lying opposite to the direction wished for costs, in points of distance.
_TURNING = 4.0
#: How far aside of the middle of its band a label may lie [widths of the label].
_ASIDE_OF_BAND = (0.0, -0.2, 0.2, -0.4, 0.4)
#: What covering one point of the drawing costs, in points of distance.
_COVERING = 12.0


@frozen
class Label:
    """A text and the point it belongs to.

    Parameters
    ----------
    x, y : float
        The point, in the data units of its axes [-].
    text : str
        What it says.
    size : float
        Size of its letters [pt].
    towards : float
        Direction from the point in which it had best lie [rad].
    aside : bool
        Whether it only names what lies around: slanted, and not missed where it finds no room.
    solid : int, optional
        Which of the hatched solids it names, and so may lie in.
    band : bool
        Whether it names a band that goes straight down from its point: it lies on that band, as high as
        it can, and needs no leader.
    """

    x: float
    y: float
    text: str
    size: float = LETTERS
    towards: float = 0.25 * np.pi
    aside: bool = False
    solid: int | None = None
    band: bool = False


#: More labels than this no drawing has room for: those after it, the least important, are left out.
MOST = 40


#: More points to keep off than this are taken once a pixel.
DENSE = 5000


def place_labels(
    ax: Axes, labels: Sequence[Label], *, avoid: Array, solids: Sequence[Array] = ()
) -> int:
    """Write each label near its point, where there is room for it.

    Labels come in order of importance. Each takes the place nearest to its point that overlaps
    no text, lies inside the axes and off the hatching of every solid but its own (convex outlines),
    and that covers little of the drawing; one that has no such place is left out.
    """
    ax.apply_aspect()
    pixel = pixels_per_point(ax)
    frame = np.asarray(ax.get_window_extent().extents)
    edge = _MARGIN * pixel * np.array([-1.0, -1.0, 1.0, 1.0])
    clear = _CLEAR * pixel * np.array([-1.0, -1.0, 1.0, 1.0])
    taken = np.array(_text_boxes(ax)).reshape(-1, 4) + edge
    busy = ax.transData.transform(np.reshape(avoid, (-1, 2)))
    if len(busy) > DENSE:
        busy = _one_a_pixel(busy)
    hatched = [ax.transData.transform(outline) for outline in solids]
    round_them = [np.concatenate((each.min(axis=0), each.max(axis=0))) for each in hatched]
    missing = sum(not label.aside for label in labels[MOST:])
    for label in labels[:MOST]:
        anchor = ax.transData.transform((label.x, label.y))
        size = _measure(ax, label) + 2.0 * _MARGIN * pixel
        if label.band:
            centres, gaps, turned = _down_the_band(anchor, size, pixel, frame)
        else:
            centres, gaps, turned = _candidates(anchor, size, pixel, label.towards)
        boxes = np.concatenate((centres - 0.5 * size, centres + 0.5 * size), axis=1)
        free = _inside(boxes, frame) & ~_overlap(boxes, taken).any(axis=1)
        beside = _overlap(boxes, np.reshape(round_them, (-1, 4)))
        for i in np.flatnonzero(beside.any(axis=0)).tolist():
            if i != label.solid:
                near_it = np.flatnonzero(beside[:, i])
                free[near_it] &= ~_meets(boxes[near_it], hatched[i])
        if label.aside:
            free &= gaps <= _ASIDE * pixel
        if not free.any():
            missing += not label.aside
            continue
        near = boxes + clear
        steps = np.linspace(0.0, 1.0, 12)[: 0 if label.band else None, None, None]
        leaders = anchor + steps * (centres - anchor)
        crossed = _hit(leaders, taken)
        cost = gaps / pixel + _TURNING * turned + _COVERING * (_covered(near, busy) + 3.0 * crossed)
        best = int(np.argmin(np.where(free, cost, np.inf)))
        far = not label.band and gaps[best] > _NEAR * pixel
        _write(ax, label, (centres[best] - anchor) / pixel, far=far)
        taken = np.vstack((taken, boxes[best]))
        busy = np.vstack((busy, leaders[:, best]))
    return missing


def _one_a_pixel(points: Array) -> Array:
    """Return the pixels, as points, that any of some points fall on."""
    wide = 1 << 20  # more than any picture has
    x, y = np.clip(points.round(), -wide, wide).astype(np.int64).T
    pixels = np.unique((x + wide) * 4 * wide + (y + wide))
    return np.column_stack((pixels // (4 * wide), pixels % (4 * wide))).astype(np.float64) - wide


def pixels_per_point(ax: Axes) -> float:
    """Return how many pixels a typographic point has on the figure of these axes."""
    figure = ax.get_figure(root=True)
    assert figure is not None
    return float(figure.dpi) / 72.0


def _text_boxes(ax: Axes) -> list[Array]:
    legend = ax.get_legend()
    artists = [text for text in ax.texts if text.get_visible()] + ([legend] if legend else [])
    return [np.asarray(artist.get_window_extent().extents) for artist in artists]


def _measure(ax: Axes, label: Label) -> Array:
    """Width and height of a label [px]."""
    style = "italic" if label.aside else "normal"
    text = ax.text(
        label.x, label.y, label.text, fontsize=label.size, fontstyle=style, parse_math=False
    )
    with any_letters():
        box = text.get_window_extent()
    text.remove()
    return np.array([box.width, box.height])


def _candidates(
    anchor: Array, size: Array, pixel: float, towards: float
) -> tuple[Array, Array, Array]:
    """Centres of the boxes to try, the free space to the point [px], and the turn as 0..1."""
    turns = np.linspace(-1.0, 1.0, _DIRECTIONS, endpoint=False)
    angles = towards + np.pi * turns
    way = np.stack((np.cos(angles), np.sin(angles)), axis=-1)
    gaps = pixel * np.array(_GAPS)[:, None]
    # the side of the box that faces the point is a gap away from it
    half = 0.5 * size + gaps[..., None]
    reach = (half / np.maximum(np.abs(way), 1e-9)).min(axis=-1)
    centres = anchor + reach[..., None] * way
    shape = centres.shape[:2]
    spread = (np.broadcast_to(values, shape).ravel() for values in (gaps, np.abs(turns)))
    gap, turn = spread
    return centres.reshape(-1, 2), gap, turn


def _down_the_band(
    anchor: Array, size: Array, pixel: float, frame: Array
) -> tuple[Array, Array, Array]:
    """As :func:`_candidates`, of a label on the band below its point, no further aside than fits."""
    low, high = frame[:2] + 0.5 * size, frame[2:] - 0.5 * size
    top = min(anchor[1] - 0.5 * size[1], high[1])
    rows, aside = np.arange(top, low[1], -0.5 * size[1]), np.array(_ASIDE_OF_BAND)
    x = np.clip(anchor[0] + aside * size[0], low[0], max(low[0], high[0]))
    centres = np.stack(np.meshgrid(x, rows), axis=-1).reshape(-1, 2)
    gap = np.repeat(top - rows, len(x))
    return centres, gap, np.tile(np.abs(aside), len(rows))


def _inside(boxes: Array, frame: Array) -> BoolArray:
    above = (boxes[:, :2] >= frame[:2]).all(axis=1)
    return np.asarray(above & (boxes[:, 2:] <= frame[2:]).all(axis=1))


def _overlap(boxes: Array, others: Array) -> BoolArray:
    """Which of the boxes overlap which of the others, shape (boxes, others)."""
    apart = (boxes[:, None, :2] >= others[:, 2:]) | (boxes[:, None, 2:] <= others[:, :2])
    return np.asarray(~apart.any(axis=-1))


def _meets(boxes: Array, outline: Array) -> BoolArray:
    """Which of the boxes meet a convex outline: those that no side of either keeps apart from it."""
    if len(outline) < 3:
        return np.zeros(len(boxes), dtype=bool)
    corners = boxes[:, [[0, 1], [2, 1], [2, 3], [0, 3]]]
    sides = np.roll(outline, -1, axis=0) - outline
    across = np.concatenate((np.eye(2), np.stack((-sides[:, 1], sides[:, 0]), axis=-1)))
    box, solid = corners @ across.T, outline @ across.T
    apart = (box.min(axis=1) > solid.max(axis=0)) | (box.max(axis=1) < solid.min(axis=0))
    return np.asarray(~apart.any(axis=-1))


def _covered(boxes: Array, points: Array) -> Array:
    """How many of the points each box covers."""
    low, high = boxes[:, :2].min(0), boxes[:, 2:].max(0)
    x, y = points[((points >= low) & (points <= high)).all(1)].T  # most are far from all of them
    left, bottom, right, top = boxes.T[..., None]
    within = (x >= left) & (x <= right) & (y >= bottom) & (y <= top)
    return np.asarray(within.sum(axis=1), dtype=np.float64)


def _hit(leaders: Array, boxes: Array) -> Array:
    """How many of the boxes each leader crosses; leaders of shape (points, leaders, 2)."""
    spot = leaders[:, :, None, :]
    within = ((spot >= boxes[:, :2]) & (spot <= boxes[:, 2:])).all(axis=-1)
    return np.asarray(within.any(axis=0).sum(axis=-1), dtype=np.float64)


def _write(ax: Axes, label: Label, offset: Array, *, far: bool) -> None:
    leader = {"arrowstyle": "-", "color": GREY, "linewidth": 0.6, "shrinkA": 0.0, "shrinkB": 3.0}
    ax.annotate(
        label.text,
        (label.x, label.y),
        xytext=(float(offset[0]), float(offset[1])),
        textcoords="offset points",
        ha="center",
        va="center",
        fontsize=label.size,
        fontstyle="italic" if label.aside else "normal",
        color=INK,
        linespacing=1.15,
        parse_math=False,
        arrowprops=leader if far else None,
        bbox={"boxstyle": "square,pad=0.05", "fc": "white", "ec": "none", "alpha": 0.7},
        zorder=5,
    )
