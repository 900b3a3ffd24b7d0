"""Where the search for a lay starts, which one it keeps, and how long a free cable is.

A curve with ends may have several valleys of energy: bowed to either side, out of the plane,
coiled. The search starts once in each and keeps the lowest; every choice is fixed, so that the same
clips always give the same lay.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError, SolverError
from cableroute.frozen import frozen
from cableroute.route._closure import Curve, Section, unit
from cableroute.route._elastica import EndlessError, Shape, refine, relax
from cableroute.route._lobatto import lobatto, value

DEGREES = (10, 16, 24, 36, 54, 80, 120)
#: The most a tangent's length should differ from one between the nodes.
RESOLVED = 1e-9
#: And the most it may at the highest degree.
TOLERATED = 1e-6
#: Length over chord within which the least pull is looked for.
LONGEST = 3.0
#: The same for the roundest lay.
LONGEST_ROUND = 10.0


def settle(section: Section, directions: Array) -> Shape:
    """Return the lay of a section.

    `directions` `(m+1, 3)` are unit tangents at the clips: given where held, guessed elsewhere.
    """
    if not section.slides.any():
        return _resolve(section, _lowest(section, directions))
    try:
        return _resolve(section, next(_relaxed(section, directions)))
    except (EndlessError, StopIteration):
        return _least_pull(section, directions)


def roughness(curve: Curve) -> float:
    """Return the most by which a tangent's length differs from one between the nodes."""
    between = lobatto(2 * len(curve.mesh.s)).s
    sizes = [np.linalg.norm(value(span, between), axis=-1) for span in curve.spans]
    return float(np.max(np.abs(np.array(sizes) - 1.0)))


def round_lengths(chords: Array, directions: Array) -> Array:
    """Return the lengths of the arcs that leave their chords at the mean angle of the tangents."""
    along = np.sum(np.stack([directions[:-1], directions[1:]]) * unit(chords), axis=-1)
    angle = np.mean(np.arccos(np.clip(along, -1.0, 1.0)), axis=0)
    lengths: Array = np.linalg.norm(chords, axis=-1) / np.sinc(np.minimum(angle, 2.0) / np.pi)
    return lengths


def _lowest(section: Section, directions: Array) -> Shape:
    """Return the shape of least energy that any start leads to; of equals, the first."""
    found = list(_relaxed(section, directions))
    if not found:
        raise SolverError("no closed shape found: the cable is too nearly taut for its directions")
    return min(found, key=lambda shape: round(shape.energy, 7))


def _relaxed(section: Section, directions: Array) -> Iterator[Shape]:
    """Yield the shapes the starts lead to, at the lowest degree at which any of them closes."""
    for degree in DEGREES[len(section.chords) < 3 : -1]:  # long runs start coarser, to be quick
        closed = False
        for start in _starts(section, directions, degree):
            try:
                yield relax(section, start)
            except EndlessError:
                raise
            except SolverError:
                continue
            closed = True
        if closed:
            return


def _resolve(section: Section, shape: Shape) -> Shape:
    """Raise the degree until the tangents are of unit length between the nodes too."""
    for degree in DEGREES:
        if degree * len(section.chords) >= len(shape.curve.tangents):
            shape = refine(section, shape, degree)
        rough = roughness(shape.curve)
        if rough < RESOLVED:
            return shape
    if rough < TOLERATED:
        return shape
    raise SolverError(
        f"too sharply bent to resolve: tangents {rough:.1e} off unit length, expected "
        f"{TOLERATED:.0e}; the length may be hardly more than the straight distance"
    )


def _starts(section: Section, directions: Array, degree: int) -> Iterator[Curve]:
    """Yield first guesses: smooth, bowed four ways, bowed by turns, coiled left and right."""
    s = lobatto(degree).s[:, None]
    smooth = (
        (1 - s) * (1 - 3 * s) * directions[:-1, None]
        + s * (3 * s - 2) * directions[1:, None]
        + 6 * s * (1 - s) * (section.chords / section.lengths[:, None])[:, None]
    )
    side, normal = (way[:, None] for way in _sides(section.chords, directions))
    surplus = 1.0 - np.linalg.norm(section.chords, axis=-1) / section.lengths
    size = np.minimum(1.0, 2.0 * np.sqrt(np.maximum(surplus, 0.0)))[:, None, None]
    bow = 16 * size * s * (1 - s) * (1 - 2 * s)
    bows = [bow * way for way in (side, -side, normal, -normal)]
    swap = (-1.0) ** np.arange(len(section.chords))[:, None, None]
    swapped = [swap * each for each in bows] if len(swap) > 1 else []
    over, onward = (8 * size * s * (1 - s) * wave(2 * np.pi * s) for wave in (np.cos, np.sin))
    coils = [over * side + onward * normal, over * side - onward * normal]
    for added in [np.zeros_like(smooth), *bows, *swapped, *coils]:
        raw = np.vstack([*(smooth + added)[:, :-1], directions[-1:]])
        raw[::degree] = directions
        lost = np.linalg.norm(raw, axis=-1, keepdims=True) < 1e-9
        yield Curve(unit(np.where(lost, directions[0], raw)), 1.0 / section.lengths)


def _sides(chords: Array, directions: Array) -> tuple[Array, Array]:
    """Return two unit vectors across each chord, the first in the section's plane if it has one."""
    _, _, axes = np.linalg.svd(np.vstack([unit(chords), directions]))
    none = np.linalg.norm(chords, axis=-1, keepdims=True) == 0.0
    along = np.where(none, axes[0], unit(chords))
    upright = np.where(np.abs(along @ axes[2])[:, None] < 0.9, axes[2], axes[1])
    side = unit(np.cross(along, upright))
    return side, np.cross(side, along)


@frozen
class _Stop:
    """The lay at one total length of the sliding spans, on the walk from short to long."""

    section: Section
    shape: Shape

    @property
    def length(self) -> float:
        return float(np.sum(1.0 / self.shape.curve.rate[self.section.slides]))

    @property
    def pull(self) -> float:
        return float(self.shape.pull[np.argmax(self.section.slides)])

    @property
    def rounding(self) -> float:
        """Minus the slope of length times energy: above 0 while the lay grows rounder."""
        return self.length * self.pull - self.shape.energy

    def at(self, length: float, *, halvings: int = 3) -> _Stop:
        """Return the lay at another length, relaxed from this one, by way of halfway if need be."""
        section = replace(self.section, total=length)
        try:
            return _Stop(section, relax(section, self.shape.curve))
        except SolverError:
            if halvings == 0:
                raise
        halfway = self.at(0.5 * (self.length + length), halvings=halvings - 1)
        return halfway.at(length, halvings=halvings - 1)

    def resolved(self) -> Shape:
        return _resolve(self.section, self.shape)


def _stops(section: Section, directions: Array) -> Iterator[_Stop]:
    """Yield lays from short to long, their surplus over the chords growing by a quarter each."""
    chord, guess = _chord(section), float(np.sum(section.lengths[section.slides]))
    length = 0.5 * (chord + guess)
    alike = np.linalg.norm(section.chords, axis=-1) * length / chord
    lengths = np.where(section.slides, alike, section.lengths)
    start = replace(section, lengths=lengths, total=length)
    stop = _Stop(start, refine(start, _lowest(start, directions), 24))
    while stop.length < LONGEST_ROUND * chord:
        yield stop
        stop = stop.at(chord + 1.25 * (stop.length - chord))


def _chord(section: Section) -> float:
    return float(np.sum(np.linalg.norm(section.chords[section.slides], axis=-1)))


def _least_pull(section: Section, directions: Array) -> Shape:
    """Return the lay where the cable pulles least, or failing that the roundest one.

    The first is the first least value of the pull as the length grows, the second that of length
    times energy. Where the pull turns to push a free lay has been passed after all.
    """
    chord = _chord(section)
    rounder: tuple[_Stop, _Stop] | None = None
    before: list[_Stop] = []
    for stop in _stops(section, directions):
        if stop.pull < 0.0:
            return _resolve(section, relax(section, stop.shape.curve))
        if (
            len(before) > 1
            and before[-1].pull < min(before[-2].pull, stop.pull)
            and before[-1].length < LONGEST * chord
        ):
            return _lay_of_least_pull(before[-2], before[-1], stop, tolerance=1e-6 * chord)
        if rounder is None and before and before[-1].rounding > 0.0 >= stop.rounding:
            rounder = before[-1], stop
        if rounder is not None and stop.length > 1.25 * LONGEST * chord:
            return _roundest(*rounder, tolerance=1e-9 * chord)
        before.append(stop)
    raise GeometryError(
        f"expected ends that a cable joins at a length of its own, up to {LONGEST_ROUND:g} times "
        f"their distance; these turn too far for that: give the length"
    )


def _lay_of_least_pull(short: _Stop, middle: _Stop, long: _Stop, *, tolerance: float) -> Shape:
    """Return the lay of least pull between three stops."""
    from scipy.optimize import minimize_scalar

    found = minimize_scalar(
        lambda length: middle.at(length).pull,
        bounds=(short.length, long.length),
        method="bounded",
        options={"xatol": tolerance},
    )
    return middle.at(float(found.x)).resolved()


def _roundest(short: _Stop, long: _Stop, *, tolerance: float) -> Shape:
    """Return the lay between two stops at which length times energy is stationary."""
    from scipy.optimize import brentq

    known = {short.length: short, long.length: long}
    length = brentq(
        lambda x: (known[x] if x in known else short.at(x)).rounding,
        short.length,
        long.length,
        xtol=tolerance,
    )
    return short.at(float(length)).resolved()
