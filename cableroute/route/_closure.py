"""Curves that start and end where the clips are: the set the least energy is looked for in.

A span of length l is held by unit tangents t at Lobatto nodes. It closes when the weighted sum of
its tangents is its chord over l; with `rate` = 1/l that is linear in both.
"""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.errors import SolverError
from cableroute.frozen import frozen
from cableroute.route._lobatto import Nodes, lobatto

#: The part of a span's length by which it may miss its end.
CLOSED = 1e-11


@frozen
class Section:
    """Spans between held or free ends, joined by pass-through clips; lengths of order one.

    `chords` `(m, 3)` run from clip to clip. `held` `(m+1,)` marks clips whose tangent is given.
    `slides` `(m,)` marks spans whose length is sought: with `total` None they slide until nothing
    pulls, otherwise their lengths add up to `total`. `lengths` `(m,)` are those given, and a
    first guess of those sought.
    """

    chords: Array
    held: BoolArray
    lengths: Array
    slides: BoolArray
    total: float | None = None

    @property
    def loose(self) -> BoolArray:
        """Spans that take whatever length their shape asks for."""
        return self.slides if self.total is None else np.zeros_like(self.slides)


@frozen
class Curve:
    """Tangents `(m*degree+1, 3)` at the nodes of m spans, and inverse lengths `rate` `(m,)`.

    Neighbouring spans share the node at their clip, so the tangent never jumps.
    """

    tangents: Array
    rate: Array

    @property
    def mesh(self) -> Nodes:
        """The nodes and weights of one span."""
        return lobatto((len(self.tangents) - 1) // len(self.rate))

    @property
    def nodes(self) -> IntArray:
        """Place of each span's nodes in `tangents`: `(m, degree+1)`."""
        degree = (len(self.tangents) - 1) // len(self.rate)
        return np.arange(len(self.rate))[:, None] * degree + np.arange(degree + 1)

    @property
    def spans(self) -> Array:
        """Tangents span by span: `(m, degree+1, 3)`."""
        return self.tangents[self.nodes]

    def spread(self, values: Array) -> Array:
        """Return values at each span's nodes `(m, degree+1, k)`, 0 at the other spans' nodes."""
        wide = np.zeros((len(self.rate), len(self.tangents), values.shape[-1]))
        wide[np.arange(len(self.rate))[:, None], self.nodes] = values
        return wide


def unit(vectors: Array) -> Array:
    """Return the vectors `(..., 3)` scaled to length one; those of length zero as they are."""
    size: Array = np.linalg.norm(vectors, axis=-1, keepdims=True)
    return vectors / np.where(size > 0.0, size, 1.0)


def close(section: Section, curve: Curve) -> Curve:
    """Return a closed curve near one that is not, by adding one smooth bump to each span.

    For a given length that is a convex problem in the bump's three components, so it has an answer
    from any start; a loose span needs only two, as its length follows from its shape.
    """
    rate = curve.rate.copy()
    if section.total is not None:
        rate[section.slides] = 1.0 / _shared(section, 1.0 / rate[section.slides], section.total)
    along = np.where(section.loose[:, None], unit(section.chords), 0.0)
    target = np.where(section.loose[:, None], 0.0, rate[:, None] * section.chords)
    spans, miss = _bump_until_closed(unit(curve.tangents)[curve.nodes], along, target)
    loose, reach = section.loose, np.einsum("i,mik,mk->m", curve.mesh.w, spans, along)
    rate[loose] = reach[loose] / np.linalg.norm(section.chords[loose], axis=-1)
    if not (np.all(miss < CLOSED) and np.all(rate > 0.0)):
        raise SolverError(f"the spans do not close: {np.max(miss):.1e} of a length left")
    tangents = curve.tangents.copy()
    tangents[curve.nodes] = spans
    return Curve(tangents, rate)


def _shared(section: Section, lengths: Array, total: float) -> Array:
    """Return lengths of the sliding spans that add up to a total, surplus growing in proportion."""
    straight: Array = np.linalg.norm(section.chords[section.slides], axis=-1)
    surplus = lengths - straight
    if np.any(surplus <= 0.0):
        raise SolverError("the spans do not close: one is shorter than its straight distance")
    return straight + surplus * (total - np.sum(straight)) / np.sum(surplus)


def _bump_until_closed(start: Array, along: Array, target: Array) -> tuple[Array, Array]:
    """Return unit tangents that close, as far as can be, and the size of what is missed.

    Newton's method, each span shortening its step until it misses less; what is missed `along` the
    chord of a loose span does not count.
    """
    mesh = lobatto(start.shape[1] - 1)
    onto = along[:, :, None] * along[:, None, :]
    across = np.eye(3) - onto
    bump = (4.0 * mesh.s * (1.0 - mesh.s))[:, None]

    def bumped(added: Array) -> tuple[Array, Array, Array]:
        raw = start + bump * added[:, None, :]
        size = np.linalg.norm(raw, axis=-1, keepdims=True)
        t = raw / size
        return t, size, np.einsum("mkl,i,mil->mk", across, mesh.w, t) - target

    added = np.zeros_like(target)
    t, size, miss = bumped(added)
    worst = np.linalg.norm(miss, axis=-1)
    for _ in range(50):
        if np.all(worst < 1e-14):
            break
        spread = (mesh.w * bump[:, 0])[:, None, None] / size[..., None]
        change = np.sum(spread * (np.eye(3) - t[..., :, None] * t[..., None, :]), axis=1)
        change = across @ change @ across + onto + 1e-14 * np.eye(3)
        step = -np.linalg.solve(change, miss[..., None])[..., 0]
        part = np.ones((len(target), 1))
        for _ in range(20):
            t, size, miss = bumped(added + part * step)
            after = np.linalg.norm(miss, axis=-1)
            risen = (after >= worst) & (worst > 1e-13)
            if not risen.any():
                break
            part[risen] *= 0.5
        else:
            break
        added, worst = added + part * step, after
    return t, worst
