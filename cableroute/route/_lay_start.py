"""Where the search for a lay starts: smoothly through the points, or bowed where that is no help."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.route._closure import unit
from cableroute.route._lobatto import lobatto
from cableroute.route._span_step import Spans

#: The most that the bow turns which a cable pushed together starts from [rad].
SEED = 0.3
#: Spans that turn less are gentle [rad].
GENTLE = 0.4


def smooth_directions(chords: Array) -> Array:
    """Return the tangents of circles through three neighbours each `(b, n, 3)`."""
    legs = np.linalg.norm(chords, axis=-1, keepdims=True)
    ways = chords / legs
    inner = ways[:, :-1] * legs[:, 1:] + ways[:, 1:] * legs[:, :-1]
    inner += 1e-6 * ways[:, :-1]
    if not inner.shape[1]:
        return np.concatenate([ways, ways], axis=1)
    inner = unit(inner)
    first = 2.0 * np.sum(ways[:, 0] * inner[:, 0], -1, keepdims=True) * ways[:, 0] - inner[:, 0]
    last = 2.0 * np.sum(ways[:, -1] * inner[:, -1], -1, keepdims=True) * ways[:, -1] - inner[:, -1]
    return np.concatenate([first[:, None], inner, last[:, None]], axis=1)


def directions(chords: Array, ways: Array) -> Array:
    """Return headings, or where they are free those of the smooth curve `(b, n, 3)`."""
    free = np.isnan(ways[..., :1])
    return np.where(free, smooth_directions(chords), ways)


def is_gentle(clips: Array) -> bool:
    """Whether no span turns much from one direction to the next `(b, n, 3)`."""
    apart = np.linalg.norm(np.diff(clips, axis=1), axis=-1)
    turns = 2.0 * np.arcsin(np.minimum(0.5 * apart, 1.0))
    return bool(turns.max(initial=0.0) < GENTLE)


def turns_gently(points: Array, headings: Array) -> bool:
    """Whether all spans of one cable through points, with headings or nan, are gentle."""
    chords = np.diff(points, axis=0)
    size = np.linalg.norm(chords, axis=-1).mean()
    with np.errstate(divide="ignore", invalid="ignore"):  # of points at one place: refused later
        return is_gentle(directions(chords[None] / size, headings[None]))


def guess(chords: Array, clips: Array, degree: int) -> Spans:
    """Return spans whose tangents run smoothly between the clips' `(b, n, 3)`."""
    s = lobatto(degree).s[:, None]
    legs = np.linalg.norm(chords, axis=-1)
    ways = chords / legs[..., None]
    before, after = clips[:, :-1], clips[:, 1:]
    cosines = np.stack([(before * ways).sum(-1), (after * ways).sum(-1)])
    angle = np.arccos(np.clip(cosines, -1.0, 1.0)).mean(0)
    straight = np.sinc(np.minimum(angle, 2.0) / np.pi)[..., None, None]
    raw = (
        (1 - s) * (1 - 3 * s) * before[:, :, None]
        + s * (3 * s - 2) * after[:, :, None]
        + 6 * s * (1 - s) * straight * ways[:, :, None]
    )
    raw += 1e-9  # so that no tangent is nothing
    raw[..., 0, :], raw[..., -1, :] = before, after
    return Spans(chords, unit(raw), straight[..., 0, 0] / legs)


def pushed(spans: Spans, length: Array) -> Spans:
    """Give cables longer than they lie freely a slight bow, so that they know where to go."""
    surplus = np.maximum(length / spans.length - 1.0, 0.0)
    return bowed(spans, np.minimum(SEED, 2.0 * np.sqrt(surplus)))


def bowed(spans: Spans, size: Array) -> Spans:
    """Bow the spans to alternate sides, out of the plane each lies in."""
    s = lobatto(spans.tangents.shape[-2] - 1).s[:, None]
    wave = 8.0 * s * (1.0 - s) * (1.0 - 2.0 * s)
    _, _, axes = np.linalg.svd(spans.tangents.reshape(len(size), -1, 3), full_matrices=False)
    side = axes[:, -1, :]
    swap = (-1.0) ** np.arange(spans.rate.shape[1])
    added = (size[:, None] * swap)[..., None, None] * wave * side[:, None, None, :]
    return Spans(spans.chords, unit(spans.tangents + added), spans.rate.copy())
