"""The natural lay through measured points, of one cable or of thousands at once."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, BoolArray
from cableroute.errors import GeometryError
from cableroute.route._closure import unit
from cableroute.route._descend import DONE, OUTGROWN, ROUNDS, SettledCurves, descend
from cableroute.route._lay_start import SEED, bowed, directions, guess, is_gentle, pushed
from cableroute.route._lobatto import lobatto, polynomial_at
from cableroute.route._span_step import Spans
from cableroute.route.fillet import COINCIDENT
from cableroute.route.given import check_points
from cableroute.route.lays import Lays

#: Degrees of the polynomials that hold a span's tangent, tried in turn.
DEGREES = (8, 14, 24)
#: A first degree, where every span turns gently.
GENTLE_DEGREE = 5
#: The most a tangent's length may differ from one between the nodes.
RESOLVED = 3e-5
#: The most steps that a cable can take, kicks out of saddles included.
STEPS = 2 * ROUNDS * (len(DEGREES) + 2)
#: A span that turns less has no bend radius [rad].
STRAIGHT = 1e-9


def lay_through(
    points: ArrayLike,
    *,
    headings: ArrayLike | None = None,
    length: ArrayLike | None = None,
    free: Lays | None = None,
) -> Lays:
    r"""Return the curves of least bending energy through points, with headings where given.

    :math:`\min \tfrac12 \int \kappa^2 ds` over all curves through the points in their order. At a
    point without a heading, direction and bending moment run on without a jump; an end without
    one holds no moment. The conduit slides in its clips. The shape does not depend on EI.

    Parameters
    ----------
    points : array-like, shape (..., n, 3)
        Points from the hand end to the far end, neighbours apart [mm]; leading axes are a batch.
    headings : array-like, shape (..., n, 3), optional
        Direction of the cable at each point, of any size but zero; nan where it is free [-].
    length : array-like, shape (...), optional
        Total length of each cable, above the sum of its straight legs [mm]: the elastic curve of
        that length. By default the length at which nothing pulls or pushes along the cable.
    free : Lays, optional
        What this function has returned for the same points and headings; from it the curves of a given
        length are found sooner, and the same.

    Returns
    -------
    Lays
        The curves. One that has not settled is the best found, with ``settled`` false and the
        reason in ``doubt``; it goes through its points all the same.

    Raises
    ------
    GeometryError
        For points, headings or lengths that are not what is asked for above.

    Notes
    -----
    Newton's method on the tangents at Lobatto nodes of each span, damped where the energy curves
    the wrong way, at most :data:`STEPS` steps a cable, fewer of one with more than 160 spans; the insides of spans are eliminated one by
    one and the chain of clips by cyclic reduction, so time and memory grow in proportion to n.
    One valley of energy is followed, from the smooth curve through the points; a flat shape that
    would rather bulge is pushed out of its plane once. Where no free length exists (a span that
    turns past about 180 degrees) the cable has not settled:
    :func:`cableroute.route.lay.natural_lay` looks further. No weight, friction or twist.

    References
    ----------
    S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd ed., sec. 2.7 (from memory).
    E. H. Lee and G. E. Forsythe, Variational study of nonlinear spline curves, SIAM Review 15
    (1973) 120-133 (from memory).

    Examples
    --------
    >>> lay = lay_through([[0, 0, 0], [300, 100, 0], [600, 0, 0]])
    >>> round(float(lay.length), 1), bool(lay.settled)
    (639.1, True)
    """
    given = check_points(points)
    ways = _check_headings(headings, given)
    batch, n = given.shape[:-2], given.shape[-2]
    flat, ways = given.reshape(-1, n, 3), ways.reshape(-1, n, 3)
    chords = np.diff(flat, axis=1)
    size = np.linalg.norm(chords, axis=-1).mean(-1)
    wanted = None if length is None else _check_length(length, given).reshape(-1) / size
    begun = None if free is None else free.begun
    rest, begun = _settled_from_smooth(chords / size[:, None, None], ways, wanted, begun)
    return _lays_of(given, rest, size, batch, begun)


def _check_headings(headings: ArrayLike | None, points: Array) -> Array:
    """Return unit headings for each point, nan where free."""
    apart = np.linalg.norm(np.diff(points, axis=-2), axis=-1)
    if (apart <= COINCIDENT).any():
        i = int(np.argwhere(apart <= COINCIDENT)[0][-1])
        raise GeometryError(f"points {i + 1} and {i + 2}: expected them apart, got one place")
    if headings is None:
        return np.full(points.shape, np.nan)
    ways = np.asarray(headings, dtype=np.float64)
    if ways.shape[-2:] != points.shape[-2:]:
        raise GeometryError(
            f"headings: expected one for each of {points.shape[-2]} points, got shape {ways.shape}"
        )
    ways = np.broadcast_to(ways, points.shape)
    if np.isinf(ways).any() or (ways == 0.0).all(-1).any():
        raise GeometryError("headings: expected directions of a length above 0, or nan")
    return unit(np.where(np.isnan(ways).any(-1, keepdims=True), np.nan, ways))


def _check_length(length: ArrayLike, points: Array) -> Array:
    """Return one total length for each cable, above its straight legs."""
    total = np.broadcast_to(np.asarray(length, dtype=np.float64), points.shape[:-2])
    least = np.linalg.norm(np.diff(points, axis=-2), axis=-1).sum(-1)
    if not (np.isfinite(total) & (total > least)).all():
        worst = np.argmin(np.where(np.isfinite(total), total - least, -np.inf))
        raise GeometryError(
            f"length: expected more than the straight legs, {least.flat[worst]:.6g} mm, "
            f"got {total.flat[worst]:.6g} mm"
        )
    return total


def _settled_from_smooth(
    chords: Array, ways: Array, length: Array | None, begun: SettledCurves | None
) -> tuple[SettledCurves, SettledCurves]:
    """Go down from the smooth curve, in finer polynomials where these are too coarse.

    Returns where that ends, and the coarse free curves by way of which it went.
    """
    held = ~np.isnan(ways[..., 0])
    clips = directions(chords, ways)
    degrees = (GENTLE_DEGREE, *DEGREES) if is_gentle(clips) else DEGREES
    if begun is None:
        start = guess(chords, clips, degrees[0])
        begun = _off_saddles(descend(start, held, length=None), held, None)
    rest = deepcopy(begun)  # what follows writes into it
    if length is not None:
        degrees = DEGREES  # to be longer a span bends more than it does freely
        start = pushed(_finer(begun.spans, degrees[0]), length)
        rest = _off_saddles(descend(start, held, length=length), held, length)
    for degree in degrees[1:]:
        rest = _refined(rest, degree, held, length)
    return rest, begun


def _off_saddles(rest: SettledCurves, held: BoolArray, length: Array | None) -> SettledCurves:
    """Push cables that stand on a saddle out of their plane, and let them go down again."""
    stuck = np.flatnonzero(rest.settled & (rest.falls > 0))
    if len(stuck):
        spans = rest.spans.of(stuck)
        start = bowed(spans, np.full(len(stuck), SEED))
        wanted = None if length is None else length[stuck]
        rest.put(stuck, descend(start, held[stuck], length=wanted))
    return rest


def _refined(
    rest: SettledCurves, degree: int, held: BoolArray, length: Array | None
) -> SettledCurves:
    """Return the lays in polynomials of a higher degree, gone down again where these need it."""
    rough = np.flatnonzero((_roughness(rest.spans) > RESOLVED) & ~rest.endless)
    if not len(rough):
        return rest
    rest = replace(rest, spans=_finer(rest.spans, degree))
    settled = rest.settled[rough]
    for some, known in ((rough[settled], True), (rough[~settled], False)):
        if len(some):  # what holds a curve that is not at rest says nothing
            wanted = None if length is None else length[some]
            holds = rest.held_by(some) if known else None
            rest.put(some, descend(rest.spans.of(some), held[some], length=wanted, holds=holds))
    return _off_saddles(rest, held, length)


def _finer(spans: Spans, degree: int) -> Spans:
    """Return the same spans in polynomials of another degree."""
    return replace(spans, tangents=unit(polynomial_at(spans.tangents, lobatto(degree).s)))


def _roughness(spans: Spans) -> Array:
    """Return the most by which a tangent's length differs from one between the nodes `(b,)`."""
    between = polynomial_at(spans.tangents, lobatto(2 * spans.tangents.shape[-2]).s)
    off: Array = np.abs(np.linalg.norm(between, axis=-1) - 1.0).max((-2, -1))
    return off


def _lays_of(
    points: Array,
    rest: SettledCurves,
    size: Array,
    batch: tuple[int, ...],
    begun: SettledCurves,
) -> Lays:
    """Return what is told of the cables, in their own lengths."""
    n = points.shape[-2]
    spans = rest.spans
    lengths = size[:, None] / spans.rate
    wraps, sharpest = _bending(spans)
    with np.errstate(divide="ignore"):
        radii = np.where(sharpest > STRAIGHT, lengths / np.maximum(sharpest, STRAIGHT), np.inf)
    rough, over = _roughness(spans), rest.settled & (rest.falls > 0)
    settled = rest.settled & (rest.falls == 0) & (rough < 10.0 * RESOLVED)
    doubt = np.select(
        [settled, rest.endless, over, rest.settled],
        [
            "",
            f"a span would grow without end: it is past {OUTGROWN:g} times its straight distance",
            "it balances where it could still bend less",
            "it bends too sharply to resolve",
        ],
        f"no least energy after the steps allowed, the last turned more than {DONE:g} rad",
    )
    return Lays(
        points=points,
        nodes=spans.tangents.reshape(*batch, n - 1, -1, 3),
        span_lengths=lengths.reshape(*batch, n - 1),
        pull_over_ei=(rest.holds.pull / size**2).reshape(batch),
        wraps=wraps.reshape(*batch, n - 1),
        radii=radii.reshape(*batch, n - 1),
        settled=settled.reshape(batch),
        steps=rest.rounds.reshape(batch),
        last_turn=rest.last.reshape(batch),
        doubt=doubt.reshape(batch),
        begun=begun,
    )


def _bending(spans: Spans) -> tuple[Array, Array]:
    """Return each span's turn and its largest curvature times its length `(b, m)`."""
    s = np.linspace(0.0, 1.0, 8 * spans.tangents.shape[-2] + 1)
    bend = np.linalg.norm(polynomial_at(spans.mesh.slope @ spans.tangents, s), axis=-1)
    simpson = np.full(len(s), 2.0)
    simpson[1::2], simpson[[0, -1]] = 4.0, 1.0
    wraps: Array = bend @ simpson / (3.0 * (len(s) - 1))
    return wraps, bend.max(-1)
