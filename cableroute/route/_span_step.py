"""One Newton step for curves of least bending energy, all spans of all cables at once.

A span is held by unit tangents at Lobatto nodes and by its inverse length `rate`, as in
:mod:`cableroute.route._closure`. What is inside a span is eliminated span by span; what is left
couples each clip to its two neighbours only, and :mod:`cableroute.route._block_chain` solves that.
"""

from __future__ import annotations

from dataclasses import fields
from functools import lru_cache

import numpy as np

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.frozen import frozen
from cableroute.route._block_chain import FALLING, Chain, solve_chain
from cableroute.route._lobatto import Nodes, lobatto

#: Spans whose systems are set up at a time, to keep memory small.
CHUNK = 4096


@frozen
class Spans:
    """`m` spans of each cable of a batch, lengths of order one.

    `chords` `(b, m, 3)`; `tangents` `(b, m, degree + 1, 3)`, the last node of a span being the
    first of the next; `rate` `(b, m)` is one over the length.
    """

    chords: Array
    tangents: Array
    rate: Array

    @property
    def mesh(self) -> Nodes:
        return lobatto(self.tangents.shape[-2] - 1)

    @property
    def length(self) -> Array:
        """Length of each cable `(b,)`."""
        total: Array = (1.0 / self.rate).sum(-1)
        return total

    @property
    def energy(self) -> Array:
        """Half the integral of the squared curvature of each cable `(b,)`."""
        bent = self.mesh.slope @ self.tangents
        squared = np.einsum("i,bmik,bmik->bm", self.mesh.w, bent, bent)
        energy: Array = 0.5 * np.einsum("bm,bm->b", self.rate, squared)
        return energy

    def of(self, cables: BoolArray | IntArray) -> Spans:
        """Return some of the cables."""
        return Spans(self.chords[cables], self.tangents[cables], self.rate[cables])


@frozen
class Holds:
    """What holds the curve: `force` `(b, m, 3)` on each far end, `pull` `(b,)` along the cable."""

    force: Array
    pull: Array


@frozen
class Step:
    """Turn of each tangent `(b, m, degree + 1, 3)`, the holds after it, and how it stands.

    `falls` `(b,)` counts the directions in which the energy curves downward, if that was asked.
    """

    turned: Array
    holds: Holds
    falls: IntArray


def newton_step(
    spans: Spans,
    held: BoolArray,
    holds: Holds | None,
    *,
    damping: Array,
    length: Array | None,
    counting: bool = False,
) -> Step:
    """Return Newton's step on the spheres of the tangents, with the closure to first order.

    `held` `(b, m + 1)` marks clips whose tangent is given; `damping` `(b,)` is added to every
    curvature of the energy; `length` `(b,)` is a total wanted, or None for a cable that slides.
    Without `holds` only the curvature that cannot be negative is used. Falls are counted if `counting`.
    """
    b, m, count, _ = spans.tangents.shape
    flat = _Flat.of(spans, holds, damping)
    outer = 5 if length is not None else 4
    parts = [
        _eliminate(flat.part(slice(i, i + CHUNK)), outer, counting) for i in range(0, b * m, CHUNK)
    ]
    inner, schur, falls = (np.concatenate(each) for each in zip(*parts, strict=True))
    chain = _chain(schur.reshape(b, m, outer, outer + 1), held)
    gap = None if length is None else length - spans.length
    clips, pull, fallen = solve_chain(chain, gap, counting=counting)
    ends = np.concatenate([clips[:, :-1], clips[:, 1:]], axis=-1).reshape(b * m, 4)
    if length is not None:
        ends = np.concatenate([ends, np.repeat(pull, m)[:, None]], axis=-1)
    found = inner[..., -1] - np.einsum("sij,sj->si", inner[..., :-1], ends)
    turns = np.concatenate([ends[:, :2], found[:, : 2 * count - 4], ends[:, 2:4]], axis=-1)
    turned = np.einsum("sikb,sib->sik", flat.basis, turns.reshape(b * m, count, 2))
    force = found[:, -3:].reshape(b, m, 3)
    falls = falls.reshape(b, m).sum(-1) + fallen
    return Step(turned.reshape(spans.tangents.shape), Holds(force, pull), falls)


@frozen
class _Flat:
    """Spans of all cables in one row, with what their systems are made from."""

    chords: Array
    tangents: Array
    rate: Array
    basis: Array
    radial: Array
    lengthening: Array
    damping: Array

    @classmethod
    def of(cls, spans: Spans, holds: Holds | None, damping: Array) -> _Flat:
        b, m, count, _ = spans.tangents.shape
        mesh, row = spans.mesh, (b * m,)
        t, rate = spans.tangents.reshape(*row, count, 3), spans.rate.reshape(row)
        chords = spans.chords.reshape(*row, 3)
        radial, lengthening = np.zeros((*row, count)), np.zeros(row)
        if holds is not None:
            force = holds.force.reshape(*row, 3)
            bent = rate[:, None, None] * (mesh.stiffness @ t)
            radial = np.einsum("sk,sik->si", force, t) - np.einsum("sik,sik->si", bent, t) / mesh.w
            stretch = 0.5 * np.einsum("sik,sik->s", bent, t)
            stretch += rate * np.einsum("sk,sk->s", force, chords)
            lengthening = stretch + np.repeat(holds.pull, m) / rate
        basis = _across(spans.tangents) / np.sqrt(mesh.w)[:, None, None]
        # spans that meet turn about the same two ways, as where z is nothing its sign is chance
        basis[:, 1:, 0] = basis[:, :-1, -1]
        basis = basis.reshape(*row, count, 3, 2)
        return cls(chords, t, rate, basis, radial, lengthening, np.repeat(damping, m))

    def part(self, some: slice) -> _Flat:
        return _Flat(*(getattr(self, each.name)[some] for each in fields(self)))


def _across(tangents: Array) -> Array:
    """Return two unit vectors square to each tangent and to each other `(..., 3, 2)`.

    T. Duff and others, Building an orthonormal basis, revisited, JCGT 6 (2017) 1-8 (from memory).
    """
    x, y, z = np.moveaxis(tangents, -1, 0)
    sign = np.copysign(1.0, z)
    a = -1.0 / (sign + z)
    across = np.empty((*tangents.shape, 2))
    across[..., 0, 0], across[..., 1, 0] = 1.0 + sign * x * x * a, sign * x * y * a
    across[..., 0, 1], across[..., 1, 1] = x * y * a, sign + y * y * a
    across[..., 2, 0], across[..., 2, 1] = -sign * x, -y
    return across


@frozen
class _Layout:
    """Where what stands in a span's system of one degree; the right side is its last column.

    `inside` are solved for, `ends` are left; `doubled` and `weights` are stiffness and weight of a node
    for both of its turns.
    """

    inside: IntArray
    ends: IntArray
    doubled: Array
    weights: Array

    @classmethod
    @lru_cache(maxsize=64)
    def of(cls, count: int, outer: int) -> _Layout:
        """Lay out the unknowns of a span of `count` nodes, of which `outer` are left."""
        mesh, turning = lobatto(count - 1), 2 * count
        inside = np.r_[2 : turning - 2, turning : turning + 4]
        ends = np.array([0, 1, turning - 2, turning - 1, turning + 4])[:outer]
        doubled = np.repeat(np.repeat(mesh.stiffness, 2, axis=0), 2, axis=1)
        return cls(inside, ends, doubled, np.repeat(mesh.w, 2)[:, None])


def _eliminate(flat: _Flat, outer: int, counting: bool) -> tuple[Array, Array, IntArray]:
    """Solve each span for its inside; return that, what is left for its ends, and falls inside.

    Unknowns in order: turns of the inner nodes, log(rate), three forces; then the ends' four turns
    and, where a length is wanted, the pull. The last column is the right side.
    """
    at = _Layout.of(flat.tangents.shape[1], outer)
    full = _systems(flat, at)
    inside, left_over = at.inside[:, None], np.append(at.ends, -1)
    core = full[:, inside, at.inside]
    solved = np.asarray(np.linalg.solve(core, full[:, inside, left_over]), dtype=np.float64)
    ends = full[:, at.ends]
    left = ends[..., left_over] - ends[..., at.inside] @ solved
    falls = np.zeros(len(flat.rate), dtype=np.intp)
    if counting:  # three falls belong to the three forces
        falls = (np.linalg.eigvalsh(core) < FALLING).sum(-1) - 3
    return solved, left, falls


def _systems(flat: _Flat, at: _Layout) -> Array:
    """Set up each span's system `(s, turning + 5, turning + 6)`."""
    size, count, _ = flat.tangents.shape
    mesh, turning = lobatto(count - 1), 2 * count
    bent = flat.rate[:, None, None] * (mesh.stiffness @ flat.tangents)
    wide = flat.basis.swapaxes(2, 3).reshape(size, turning, 3)
    full = np.zeros((size, turning + 5, turning + 6))
    full[:, :turning, :turning] = (flat.rate[:, None, None] * at.doubled) * (
        wide @ wide.swapaxes(1, 2)
    )
    rate, pull = turning, turning + 4
    force = slice(turning + 1, turning + 4)
    diagonal = np.arange(turning)
    full[:, diagonal, diagonal] += np.repeat(flat.radial, 2, axis=1) + flat.damping[:, None]
    slope = np.einsum("sikb,sik->sib", flat.basis, bent).reshape(size, turning)
    full[:, :turning, rate] = full[:, rate, :turning] = slope
    full[:, rate, rate] = flat.lengthening
    moved = at.weights * wide
    full[:, :turning, force] = -moved
    full[:, force, :turning] = -moved.swapaxes(1, 2)
    stretched = flat.rate[:, None] * flat.chords
    full[:, rate, force] = full[:, force, rate] = stretched
    full[:, rate, pull] = full[:, pull, rate] = -1.0 / flat.rate
    full[:, :turning, -1] = -slope
    full[:, rate, -1] = -0.5 * np.einsum("sik,sik->s", bent, flat.tangents)
    full[:, force, -1] = mesh.w @ flat.tangents - stretched
    return full


def _chain(schur: Array, held: BoolArray) -> Chain:
    """Join the spans' ends at their clips, and leave out the turns of those held."""
    b, m, outer, _ = schur.shape
    diagonal, beside = np.zeros((b, m + 1, 2, 2)), schur[..., :2, 2:4].copy()
    diagonal[:, :-1] += schur[..., :2, :2]
    diagonal[:, 1:] += schur[..., 2:4, 2:4]
    sides = np.zeros((b, m + 1, 2, outer - 3))
    sides[:, :-1] += schur[..., :2, 4:]
    sides[:, 1:] += schur[..., 2:4, 4:]
    diagonal[held] = np.eye(2)
    sides[held] = 0.0
    beside[held[:, :-1] | held[:, 1:]] = 0.0
    corner = schur[..., 4:, 4:].sum(1).reshape(b, -1)
    return Chain(diagonal, beside, sides, corner)
