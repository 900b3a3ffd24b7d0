"""The shape a cable takes between its clips: the curve of least bending energy.

Tangents and arcs are how a bender lays a tube. A conduit that is only held at its clips lies in the
curve for which the integral of half the squared curvature is least; it bulges past the arc, bends
hardest where the arc does not, and leaves its plane when that is cheaper.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.route._clips import (
    TAUT,
    Directions,
    check_clips,
    check_directions,
    check_lengths,
    check_vector,
    guess_directions,
    hold_taut,
)
from cableroute.route._closure import Section, unit
from cableroute.route._lay_search import roughness, round_lengths, settle
from cableroute.route._lobatto import bending, derivative, integral, value

#: Places where curvature is sampled for wrap and least radius; odd, for Simpson's rule.
FINE = 2001
#: A span that could turn no more than this has no bend radius [rad].
STRAIGHT = 1e-9


@frozen(eq=False)
class Lay:
    """One span of cable at rest between two clips.

    Forces come over the bending stiffness EI: multiply by EI [N*mm^2].

    Attributes
    ----------
    points : ndarray, shape (m, 3)
        Places along the centreline, evenly spaced by length [mm].
    tangents : ndarray, shape (m, 3)
        Unit tangents there [-].
    curvature : ndarray, shape (m,)
        Curvature there [1/mm]; times EI it is the bending moment.
    length : float
        Length along the curve [mm].
    wrap : float
        Total turn, the integral of curvature over length [rad].
    min_bend_radius : float
        Least radius of curvature [mm]; inf for a straight span.
    energy : float
        Integral of half the squared curvature [1/mm]; times EI it is the energy in N*mm.
    end_force_over_ei : ndarray, shape (3,)
        Force of the end clip on the cable over EI [1/mm^2]; the start clip gives the opposite.
    pull_over_ei : float
        Force with which the span draws more cable in through its clips, over EI [1/mm^2]: minus the
        change of energy with length, and the tension wherever the cable does not bend. 0 when it
        lies free, negative when it pushes cable out. A taut straight span has 0 here and above:
        its tension is whatever is applied.
    residual : float
        Largest departure of a tangent from unit length along the fitted curve [-].
    """

    points: Array
    tangents: Array
    curvature: Array
    length: float
    wrap: float
    min_bend_radius: float
    energy: float
    end_force_over_ei: Array
    pull_over_ei: float
    residual: float


def natural_lay(
    start: ArrayLike,
    start_direction: ArrayLike | None,
    end: ArrayLike,
    end_direction: ArrayLike | None,
    *,
    length: float | None = None,
    points: int = 201,
) -> Lay:
    """Return the inextensible curve of least bending energy between two clips.

    ``min 1/2 * integral kappa^2 ds`` over all curves in space with these ends, and of this length
    if one is given. The shape does not depend on the bending stiffness EI.

    Parameters
    ----------
    start, end : array_like, shape (3,)
        Places of the two clips [mm].
    start_direction, end_direction : array_like, shape (3,), or None
        Direction of the cable there, from start to end, of any size but zero [-]; None leaves it
        free, as a clip that holds no moment.
    length : float, optional
        Length of cable between the clips [mm], at least their distance. None for a conduit that can
        slide in its clips: see Notes.
    points : int, default 201
        Number of points to return, at least 2 [-].

    Returns
    -------
    Lay
        Shape, wrap, least radius, energy and end forces.

    Raises
    ------
    GeometryError
        If the length is below the distance, if a taut cable would have to turn, or if the ends
        leave no length of their own.
    SolverError
        If the least energy is not reached; the text gives the residual.

    Notes
    -----
    A longer curve can always bend less, so energy alone does not choose a length. With
    ``length=None`` it is the first of these that exists, going from short to long:

    1. the free cable: energy least in shape and length together, so that the cable neither pulls
       nor pushes along its clips (``pull_over_ei`` 0). Ends in line give the straight line, a
       quarter turn a piece of the rectangular elastica;
    2. the length up to 3 distances where it pulls least, for turns past about 180 degrees: from
       there on a cable in clips without friction would draw itself in for ever;
    3. the length up to 10 distances where length times energy is least: the roundest lay, a
       circular arc when the ends lie on one.

    No weight, no friction, no twist held at the ends, no set in the conduit, no contact with itself
    or its surroundings. Several starts are tried, in the plane and out of it, and the lowest is
    kept; of mirror images that tie, always the same one.

    Examples
    --------
    A U-turn bulges: over a gap of 100 mm it is longer than the half circle, and tighter.

    >>> lay = natural_lay([0, 0, 0], [1, 0, 0], [0, 100, 0], [-1, 0, 0])
    >>> round(lay.length, 1), round(lay.min_bend_radius, 1), round(float(lay.points[:, 0].max()), 1)
    (218.8, 41.7, 83.5)

    References
    ----------
    S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd ed., sec. 2.7 (from memory).
    E. H. Lee and G. E. Forsythe, Variational study of nonlinear spline curves, SIAM Review 15
    (1973) 120-133, on lays of free length (from memory).
    """
    (lay,) = lay_run(
        np.array([check_vector(start, "start"), check_vector(end, "end")]),
        directions=[start_direction, end_direction],
        lengths=[length],
        samples=points,
    )
    return lay


def lay_run(
    points: ArrayLike,
    *,
    directions: Sequence[ArrayLike | None] | None = None,
    lengths: Sequence[float | None] | None = None,
    samples: int = 201,
) -> tuple[Lay, ...]:
    """Return the curves of least bending energy through a row of clips, one per span.

    ``min sum over spans of 1/2 * integral kappa^2 ds``, all spans together: through a clip that
    leaves the direction free, direction and bending moment run on without a jump.

    Parameters
    ----------
    points : array_like, shape (n, 3)
        Places of the clips, from the hand end to the far end [mm].
    directions : sequence of n (array_like, shape (3,), or None), optional
        Direction of the cable at each clip, of any size but zero [-]; None for a pass-through clip,
        or a free end. By default all are None.
    lengths : sequence of n - 1 (float or None), optional
        Length of cable in each span [mm], at least its straight distance; None for a span that can
        slide in its clips. By default all slide.
    samples : int, default 201
        Number of points to return per span, at least 2 [-].

    Returns
    -------
    tuple of n - 1 Lay
        The spans in order.

    Raises
    ------
    GeometryError
        If points, directions or lengths do not fit each other, as in :func:`natural_lay`.
    SolverError
        If the least energy is not reached; the text gives the residual.

    Notes
    -----
    Clips with a direction cut the run into sections, which do not feel each other. In a section
    the sliding spans share one pull along the cable, chosen by the rule of :func:`natural_lay`. The
    time grows with the cube of the number of spans in a section: seconds at about twenty.

    Examples
    --------
    >>> first, second = lay_run([[0, 0, 0], [300, 100, 0], [600, 0, 0]])
    >>> bool(abs(first.curvature[-1] - second.curvature[0]) < 1e-9)
    True
    """
    clips = check_clips(points)
    if samples < 2:
        raise GeometryError(f"expected at least 2 points along a span, got {samples}")
    given = check_lengths(lengths, clips)
    held = hold_taut(clips, check_directions(directions, len(clips)), given)
    last = len(clips) - 1
    cuts = [i for i, each in enumerate(held) if i in (0, last) or each is not None]
    sections = (slice(a, b + 1) for a, b in pairwise(cuts))
    return tuple(
        lay
        for part in sections
        for lay in _section(clips[part], held[part], given[part.start : part.stop - 1], samples)
    )


def _section(clips: Array, held: Directions, given: Array, samples: int) -> Iterator[Lay]:
    """Solve the spans between two held or free ends, in units of their mean length."""
    chords = np.diff(clips, axis=0)
    if len(chords) == 1 and given[0] <= np.linalg.norm(chords[0]) * (1.0 + TAUT):
        yield _straight(clips[0], chords[0], samples)
        return
    directions = guess_directions(clips, held)
    slides = np.isnan(given)
    lengths = np.where(slides, round_lengths(chords, directions), given)
    size = float(np.mean(lengths))
    fixed = np.array([each is not None for each in held])
    shape = settle(Section(chords / size, fixed, lengths / size, slides), directions)
    rough = roughness(shape.curve)
    for j, nodal in enumerate(shape.curve.spans):
        yield _lay(
            clips[j],
            nodal,
            length=size / float(shape.curve.rate[j]),
            samples=samples,
            end_force=shape.force[j] / size**2,
            pull=float(shape.pull[j]) / size**2,
            residual=rough,
        )


def _lay(
    start: Array,
    nodal: Array,
    *,
    length: float,
    samples: int,
    end_force: Array,
    pull: float,
    residual: float,
) -> Lay:
    """Return the lay of one span from its tangents at the Lobatto nodes."""
    s, fine = np.linspace(0.0, 1.0, samples), np.linspace(0.0, 1.0, FINE)
    bend = np.linalg.norm(derivative(nodal, fine), axis=-1)  # curvature times length
    simpson = np.full(FINE, 2.0)
    simpson[1::2], simpson[[0, -1]] = 4.0, 1.0
    sharpest = _peak(bend)
    return Lay(
        points=start + length * integral(nodal, s),
        tangents=unit(value(nodal, s)),
        curvature=np.linalg.norm(derivative(nodal, s), axis=-1) / length,
        length=length,
        wrap=float(simpson @ bend) / (3.0 * (FINE - 1)),
        min_bend_radius=length / sharpest if sharpest > STRAIGHT else np.inf,
        energy=float(bending(nodal)) / (2.0 * length),
        end_force_over_ei=end_force,
        pull_over_ei=pull,
        residual=residual,
    )


def _peak(samples: Array) -> float:
    """Return the largest sample, raised to the top of the parabola through its neighbours."""
    i = int(np.argmax(samples))
    if i in (0, len(samples) - 1):
        return float(samples[i])
    before, here, after = samples[i - 1 : i + 2]
    bow = 2.0 * here - before - after
    return float(here + (after - before) ** 2 / (8.0 * bow)) if bow > 0.0 else float(here)


def _straight(start: Array, chord: Array, samples: int) -> Lay:
    """Return a taut span; what pulls it is for the user's load to say, so no force is given."""
    length = float(np.linalg.norm(chord))
    nodal = np.tile(chord / length, (2, 1))
    none = np.zeros(3)
    return _lay(
        start, nodal, length=length, samples=samples, end_force=none, pull=0.0, residual=0.0
    )
