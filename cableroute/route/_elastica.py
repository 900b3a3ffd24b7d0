"""Curves of least bending energy through a section of clips.

The unknowns are the unit tangents at Lobatto nodes and, where a span may slide, its length l. With
a = 1/l the energy of a span is `a/2 * t.K.t`, and the natural conditions (no moment at a free end,
the same moment on both sides of a pass-through clip) come out of the minimum by themselves. Newton
steps are taken on the unit spheres within the closed curves; a step is turned downhill where the
energy curves the wrong way, so the iteration leaves saddles, such as a flat shape that would rather
bulge out of its plane.
"""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, IntArray
from cableroute.errors import SolverError
from cableroute.frozen import frozen
from cableroute.route._closure import Curve, Section, close, unit
from cableroute.route._lobatto import bending, lobatto, value

#: The most a tangent turns in one step, beyond which the quadratic model lies [rad].
MAX_TURN = 0.6
#: A step this small is taken, and Newton's next one would be about its square [rad].
STEP_DONE = 1e-9
#: Least curvature of the energy still taken for zero (a free rotation has 0).
SADDLE = -1e-3
#: Steps this small mean a saddle has been reached.
AT_REST = 1e-7
#: Modes softer than this are free rotations: no step along them.
SOFT = 1e-6
#: Length over chord at which a loose span is given up.
OUTGROWN = 4.0


class EndlessError(SolverError):
    """Raised when a loose span has less energy the longer it grows."""


@frozen
class Shape:
    """A curve at rest, and what holds it.

    `energy` is the integral of half the squared curvature; `force` `(m, 3)` acts on the far end of
    each span, `pull` `(m,)` is the energy it would lose per length let in, both over EI.
    """

    curve: Curve
    energy: float
    force: Array
    pull: Array


@frozen
class _Frame:
    """Coordinates of steps: two turns per free node, then log(rate) of each sliding span.

    Turns count times the root of the node's weight, so that the curvatures of the energy do not
    depend on the mesh. `turns` `(free nodes, 3, 2)` is what one coordinate adds to a tangent.
    """

    free: IntArray
    turns: Array
    weight: Array
    sliding: IntArray

    @property
    def turning(self) -> int:
        """Number of coordinates that turn tangents; those that change lengths follow."""
        return 2 * len(self.free)

    def project(self, vectors: Array) -> Array:
        """Return the slope along each turn of vectors `(..., nodes, 3)`: `(..., turning)`."""
        slope: Array = np.einsum("...ik,ikb->...ib", vectors[..., self.free, :], self.turns)
        return slope.reshape(*vectors.shape[:-2], self.turning)

    def turned(self, step: Array) -> Array:
        """Return what a step adds to the free tangents."""
        added: Array = np.einsum("ikb,ib->ik", self.turns, step[: self.turning].reshape(-1, 2))
        return added

    def size(self, step: Array) -> float:
        """Return the largest turn of a tangent [rad], or three changes of log length."""
        turns = np.linalg.norm(self.turned(step), axis=-1)
        return float(max(np.max(turns), 3.0 * np.max(np.abs(step[self.turning :]), initial=0.0)))


@frozen
class _Model:
    """Second-order model of the energy within the closed curves `across`, at one curve."""

    gradient: Array
    hessian: Array
    across: Array
    force: Array
    pull: Array


def relax(section: Section, curve: Curve, *, max_steps: int = 100) -> Shape:
    """Return the local minimum of energy downhill from a first guess.

    Raises SolverError when it is not reached, EndlessError when a loose span outgrows its ends.
    """
    curve, trust = close(section, curve), MAX_TURN
    longest = OUTGROWN * np.linalg.norm(section.chords, axis=-1)
    for _ in range(max_steps):
        frame = _frame(section, curve)
        model = _model(section, curve, frame)
        step = _downhill(model)
        size = frame.size(step)
        curve, part = _advance(section, curve, frame, step, min(1.0, trust / max(size, 1e-300)))
        trust = min(MAX_TURN, 2.0 * max(part * size, STEP_DONE))
        if size < STEP_DONE:
            return Shape(curve, energy(curve), model.force, model.pull)
        if np.any((1.0 / curve.rate > longest) & section.loose):
            raise EndlessError("no length without pull: the cable grows without end")
    raise SolverError(f"no least energy after {max_steps} steps; the last turned {size:.1e} rad")


def refine(section: Section, shape: Shape, degree: int) -> Shape:
    """Return the same minimum with polynomials of another degree."""
    finer = [value(span, lobatto(degree).s)[:-1] for span in shape.curve.spans]
    tangents = unit(np.vstack([*finer, shape.curve.tangents[-1:]]))
    return relax(section, Curve(tangents, shape.curve.rate))


def energy(curve: Curve) -> float:
    """Return the integral of half the squared curvature."""
    return float(0.5 * np.sum(curve.rate * bending(curve.spans)))


def _frame(section: Section, curve: Curve) -> _Frame:
    weight = curve.spread(curve.mesh.w[:, None]).sum(axis=0)[:, 0]
    held = np.zeros(len(weight), dtype=bool)
    held[curve.nodes[:, 0]], held[-1] = section.held[:-1], section.held[-1]
    free = np.flatnonzero(~held)
    t = curve.tangents[free]
    first = unit(np.cross(t, np.eye(3)[np.argmin(np.abs(t), axis=-1)]))
    turns = np.stack([first, np.cross(t, first)], axis=-1) / np.sqrt(weight[free])[:, None, None]
    return _Frame(free, turns, weight[free], np.flatnonzero(section.slides))


def _model(section: Section, curve: Curve, frame: _Frame) -> _Model:
    """Expand energy and closure to second order; the multipliers are the least-squares ones."""
    rate, twice = curve.rate, bending(curve.spans)
    bent = curve.spread(rate[:, None, None] * (curve.mesh.stiffness @ curve.spans))
    slope = bent.sum(axis=0)
    gradient = np.append(frame.project(slope), 0.5 * (rate * twice)[frame.sliding])
    rows = _closing(section, curve, frame)
    basis, triangle = np.linalg.qr(rows.T, mode="complete")
    multipliers = np.linalg.solve(triangle[: len(rows)], basis[:, : len(rows)].T @ gradient)
    hold = multipliers[: section.chords.size].reshape(-1, 3)
    pull = rate * (0.5 * twice + np.sum(hold * section.chords, axis=-1))

    slope -= curve.spread(curve.mesh.w[:, None] * hold[:, None, :]).sum(axis=0)
    # On a sphere the radial part of the slope adds to the curvature of the energy.
    radial = -np.sum(curve.tangents * slope, axis=-1)[frame.free] / frame.weight
    k, extent = frame.turning, len(gradient)
    hessian = np.zeros((extent, extent))
    hessian[:k, :k] = _turning(curve, frame)
    hessian[:k, k:] = frame.project(bent[frame.sliding]).T
    hessian[k:, :k] = hessian[:k, k:].T
    lengthening = pull[frame.sliding]
    if section.total is not None:
        lengthening = lengthening - multipliers[-1] / rate[frame.sliding]
    hessian[np.diag_indices(extent)] += np.append(np.repeat(radial, 2), lengthening)
    return _Model(gradient, hessian, basis[:, len(rows) :], rate[:, None] * hold, rate * pull)


def _turning(curve: Curve, frame: _Frame) -> Array:
    """Return the curvature of the energy from stiffness alone, among the turns."""
    stiff = np.zeros((len(curve.tangents),) * 2)
    for rate, at in zip(curve.rate, curve.nodes, strict=True):  # spans share only their end nodes
        stiff[np.ix_(at, at)] += rate * curve.mesh.stiffness
    near = stiff[np.ix_(frame.free, frame.free)][:, None, :, None]
    both: Array = np.einsum("ikb,jkc->ibjc", frame.turns, frame.turns) * near
    return both.reshape(frame.turning, frame.turning)


def _closing(section: Section, curve: Curve, frame: _Frame) -> Array:
    """Return how much each coordinate moves the end of each span, and the total length."""
    spans = np.arange(len(curve.rate))
    weights = curve.spread(curve.mesh.w[:, None])
    moved = weights[:, None] * np.eye(3)[:, None, :]  # span, axis, node, component
    stretched = np.zeros((len(spans), 3, len(spans)))
    stretched[spans, :, spans] = -curve.rate[:, None] * section.chords
    rows = np.concatenate([frame.project(moved), stretched[:, :, frame.sliding]], axis=-1)
    rows = rows.reshape(section.chords.size, -1)
    if section.total is None:
        return rows
    return np.vstack([rows, np.append(np.zeros(frame.turning), -1.0 / curve.rate[frame.sliding])])


def _downhill(model: _Model) -> Array:
    """Return Newton's step with every curvature of the energy taken as positive.

    At a saddle the gradient vanishes and only a kick along the falling mode leads on.
    """
    curvature, modes = np.linalg.eigh(model.across.T @ model.hessian @ model.across)
    slope = modes.T @ (model.across.T @ model.gradient)
    stiff = np.abs(curvature) > SOFT
    step = np.where(stiff, -slope / np.where(stiff, np.abs(curvature), 1.0), 0.0)
    if curvature[0] < SADDLE and np.linalg.norm(step) < AT_REST:
        falling = modes[np.argmax(np.abs(modes[:, 0])), 0]
        step[0] = 0.2 * np.copysign(1.0, -slope[0] if abs(slope[0]) > 1e-9 else falling)
    downhill: Array = model.across @ (modes @ step)
    return downhill


def _advance(
    section: Section, curve: Curve, frame: _Frame, step: Array, part: float
) -> tuple[Curve, float]:
    """Take part of the step, halved until the section closes and the energy does not rise."""
    before = energy(curve)
    while part > 1e-12:
        tangents, rate = curve.tangents.copy(), curve.rate.copy()
        tangents[frame.free] += part * frame.turned(step)
        rate[frame.sliding] *= np.exp(part * step[frame.turning :])
        try:
            trial = close(section, Curve(tangents, rate))
            if energy(trial) <= before + 1e-11 * (1.0 + before):
                return trial, part
        except SolverError:
            pass
        part *= 0.5
    raise SolverError(f"no way down found with a step of {frame.size(step):.1e} rad still to make")
