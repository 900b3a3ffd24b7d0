"""What the clips ask of a lay, checked at the door: places, directions, lengths between them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.route._closure import unit

#: Surplus over the straight distance, relative to it, below which a span is straight.
TAUT = 1e-9
#: A direction this close to a taut span's chord lies along it [rad].
ALONG = 1e-4

Directions = list[Array | None]


def check_vector(given: ArrayLike, name: str) -> Array:
    """Return a finite vector `(3,)`."""
    vector = np.asarray(given, dtype=np.float64)
    if vector.shape != (3,) or not np.all(np.isfinite(vector)):
        raise GeometryError(f"expected {name} as three finite numbers, got {given!r}")
    return vector


def check_clips(points: ArrayLike) -> Array:
    """Return the places of at least two clips `(n, 3)`."""
    clips = np.asarray(points, dtype=np.float64)
    if clips.ndim != 2 or clips.shape[1] != 3 or len(clips) < 2:
        raise GeometryError(f"expected points of shape (n, 3), n at least 2, got {clips.shape}")
    if not np.all(np.isfinite(clips)):
        raise GeometryError(f"expected finite points, got {clips[~np.isfinite(clips)][0]}")
    return clips


def check_directions(given: Sequence[ArrayLike | None] | None, count: int) -> Directions:
    """Return one unit vector or None for each clip."""
    listed = [None] * count if given is None else list(given)
    if len(listed) != count:
        raise GeometryError(f"expected {count} directions, one per point, got {len(listed)}")
    return [None if each is None else _direction(each, i) for i, each in enumerate(listed)]


def _direction(given: ArrayLike, i: int) -> Array:
    vector = check_vector(given, f"the direction at point {i + 1}")
    size = float(np.max(np.abs(vector)))
    if size == 0.0:
        raise GeometryError(f"expected a direction at point {i + 1}, got a vector of length zero")
    return unit(vector / size)


def check_lengths(given: Sequence[float | None] | None, clips: Array) -> Array:
    """Return the length of each span `(n-1,)`, not a number where the span may slide."""
    straight = np.linalg.norm(np.diff(clips, axis=0), axis=-1)
    listed = [None] * len(straight) if given is None else list(given)
    if len(listed) != len(straight):
        raise GeometryError(f"expected {len(straight)} lengths, one per span, got {len(listed)}")
    for i, (length, least) in enumerate(zip(listed, straight, strict=True)):
        if length is None and least == 0.0:
            raise GeometryError(
                f"expected a length from point {i + 1} to point {i + 2}, which coincide, got none"
            )
        if length is not None and not (least * (1 - TAUT) <= length < np.inf and length > 0.0):
            raise GeometryError(
                f"expected a length from point {i + 1} to point {i + 2} of at least the straight "
                f"distance {least:.6g} mm, got {length:.6g} mm"
            )
    return np.array([np.nan if length is None else length for length in listed])


def hold_taut(clips: Array, held: Directions, lengths: Array) -> Directions:
    """Return the directions with those that taut spans force on the clips at both their ends."""
    chords = np.diff(clips, axis=0)
    straight = np.linalg.norm(chords, axis=-1)
    held = list(held)
    for i in np.flatnonzero(lengths <= straight * (1 + TAUT)):
        along = unit(chords[i])
        for clip in (i, i + 1):
            asked = held[clip]
            if asked is not None and np.linalg.norm(asked - along) > ALONG:
                turn = np.degrees(np.arccos(np.clip(asked @ along, -1.0, 1.0)))
                raise GeometryError(
                    f"expected more than the straight distance {straight[i]:.6g} mm from point "
                    f"{i + 1} to point {i + 2}, for the cable to turn {turn:.3g} degrees at point "
                    f"{clip + 1}, got {lengths[i]:.6g} mm"
                )
            held[clip] = along
    return held


def guess_directions(clips: Array, held: Directions) -> Array:
    """Return unit tangents `(n, 3)`: those held, and elsewhere halfway between the chords."""
    chords = unit(np.diff(clips, axis=0))
    guess = np.vstack([chords[:1], chords[:-1] + chords[1:], chords[-1:]])
    guess[1:-1] += 1e-6 * chords[:-1]  # a run that turns straight back has no halfway
    guess[np.linalg.norm(guess, axis=-1) == 0.0] = [1.0, 0.0, 0.0]  # nor has one that returns
    given = np.array([guess[i] if each is None else each for i, each in enumerate(held)])
    return unit(given)
