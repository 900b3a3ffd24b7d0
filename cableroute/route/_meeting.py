"""Where and how near a run of straights and arcs meets the points it was made for."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.route.segments import norm


def stations(owners: IntArray, straights: Array, arc_lengths: Array) -> Array:
    """Arc length at which each point is met: an end, the middle of its arc, or between its two."""
    pieces = 2 * straights.shape[-1] - 1
    lengths = np.empty((*straights.shape[:-1], pieces))
    lengths[..., 0::2], lengths[..., 1::2] = straights, arc_lengths
    after = np.cumsum(lengths, axis=-1)
    first, last = _vertices(owners)
    # of vertex v the arc is piece 2 v - 1; the ends have none
    ends = after[..., np.clip(2 * first - 1, 0, pieces - 1)]
    begins = after[..., np.clip(2 * last - 2, 0, pieces - 1)]
    met: Array = 0.5 * (ends + begins)
    met[..., 0], met[..., -1] = 0.0, after[..., -1]
    return met


def misses(
    points: Array, owners: IntArray, vertices: Array, directions: Array, radii: Array
) -> Array:
    """Distance from each point to the run at its station."""
    chords = np.diff(directions, axis=-2)
    q = np.einsum("...i,...i->...", chords, chords)
    secant = 2.0 / np.sqrt(4.0 - q)
    tangents = 0.5 * radii * np.sqrt(q) * secant
    first, last = _vertices(owners)
    place = vertices[..., first, :].copy()
    inner = place[..., 1:-1, :]
    corner, held = first[1:-1] - 1, (first < last)[1:-1, None]
    depth = tangents * secant / (2.0 * (1.0 + secant))
    middle = depth[..., corner, None] * chords[..., corner, :]
    end = tangents[..., corner, None] * directions[..., corner + 1, :]
    inner += np.where(held, end, middle)
    place[..., -1, :] = vertices[..., -1, :]
    return norm(place - points)


def lacking(slacks: Array, radii: Array, wanted: Array) -> Array:
    """Slacks, with what the radius lacks where a bend is too small though both its legs have room.

    Such a bend was to go round by half a turn or more, and no leg would have been long enough.
    """
    short = np.minimum(radii - (1.0 - 1e-6) * wanted, 0.0)
    short = np.where(np.minimum(slacks[..., 1:], slacks[..., :-1]) >= 0.0, short, 0.0)
    if not short.any():
        return slacks
    legs = np.zeros_like(slacks)
    legs[..., 1:] = short
    legs[..., :-1] = np.minimum(legs[..., :-1], short)
    return np.where((legs < 0.0) & np.isfinite(slacks), legs, slacks)


def _vertices(owners: IntArray) -> tuple[IntArray, IntArray]:
    """First and last vertex of each point."""
    count = np.arange(owners[-1] + 1)
    return np.searchsorted(owners, count), np.searchsorted(owners, count, side="right") - 1
