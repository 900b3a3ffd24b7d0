"""Newton's way down to the curves of least bending energy, for a batch of cables.

Each round is one step of all cables that are still moving. A step that does not lead down is taken
back and the next one damped; there is no other search, so the number of rounds bounds the time.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from cableroute.arrays import Array, BoolArray, IntArray
from cableroute.frozen import frozen
from cableroute.route._closure import unit
from cableroute.route._lobatto import lobatto
from cableroute.route._span_step import Holds, Spans, newton_step

#: Newton steps at most, at one degree.
ROUNDS = 60
#: Of a cable with many spans as many rounds as make up this many steps of a span, but no fewer than
#: the second: a lay of hundreds of points ends within about a second.
WORK, LEAST_ROUNDS = 10_000, 20
#: The most a tangent turns in one step [rad].
MAX_TURN = 0.6
#: A step this small is taken, and the next would be about its square [rad].
DONE = 1e-7
#: The part of a span by which it may miss its end across its chord.
CLOSED = 1e-10
#: The most a span's log length changes in one step.
MAX_GROWTH = 0.35
#: Length over chord at which a span is given up, as it would grow without end.
OUTGROWN = 4.0
#: Damping against free rotations, along which the energy does not change.
LEAST_DAMPING = 1e-6
#: Weight of a length not yet met, against the energy.
STIFFEN = 10.0


@frozen
class SettledCurves:
    """Where the cables came to rest, or were left.

    `settled` `(b,)`; `endless` `(b,)` marks cables given up as a span outgrew its chord; `rounds`
    `(b,)` counts steps; `last` `(b,)` is the largest turn of the last step [rad]; `falls` `(b,)`
    counts the ways still down from there.
    """

    spans: Spans
    holds: Holds
    settled: BoolArray
    endless: BoolArray
    rounds: IntArray
    last: Array
    falls: IntArray

    def held_by(self, cables: IntArray) -> Holds:
        """Return what holds some of the cables."""
        return Holds(self.holds.force[cables], self.holds.pull[cables])

    def put(self, cables: IntArray, other: SettledCurves) -> None:
        """Write the rest of some cables over this one's."""
        for mine, its in (
            (self.spans.tangents, other.spans.tangents),
            (self.spans.rate, other.spans.rate),
            (self.holds.force, other.holds.force),
            (self.holds.pull, other.holds.pull),
            (self.settled, other.settled),
            (self.endless, other.endless),
            (self.last, other.last),
            (self.falls, other.falls),
        ):
            mine[cables] = its
        self.rounds[cables] += other.rounds


def descend(
    spans: Spans, held: BoolArray, *, length: Array | None, holds: Holds | None = None
) -> SettledCurves:
    """Go down from a first guess; `length` `(b,)` is a total wanted, or None for the free one.

    `holds` are what holds the first guess, where that is known.
    """
    spans, closed = close_loosely(spans)
    state = _State.start(spans, held, length)
    if holds is not None:
        state.holds, state.known = holds, ~state.known
    state.going &= closed
    for _ in range(min(ROUNDS, max(LEAST_ROUNDS, WORK // spans.rate.shape[-1]))):
        if not state.going.any():
            break
        state.advance()
    return state.finish()


@dataclass(slots=True)
class _State:
    """The batch on its way; arrays are changed in place."""

    spans: Spans
    held: BoolArray
    length: Array | None
    holds: Holds
    known: BoolArray
    damping: Array
    going: BoolArray
    settled: BoolArray
    endless: BoolArray
    rounds: IntArray
    last: Array

    @classmethod
    def start(cls, spans: Spans, held: BoolArray, length: Array | None) -> _State:
        b = len(spans.rate)
        no = np.zeros(b, dtype=bool)
        return cls(
            spans=spans,
            held=held,
            length=length,
            holds=Holds(np.zeros_like(spans.chords), np.zeros(b)),
            known=no.copy(),
            damping=np.full(b, LEAST_DAMPING),
            going=~no,
            settled=no.copy(),
            endless=no.copy(),
            rounds=np.zeros(b, dtype=np.intp),
            last=np.full(b, np.inf),
        )

    def advance(self) -> None:
        """Take one step of every cable still going."""
        at = np.flatnonzero(self.going)
        here, length = self.spans.of(at), None if self.length is None else self.length[at]
        known = Holds(self.holds.force[at], self.holds.pull[at]) if self.known[at].all() else None
        damping = self.damping[at]
        step = newton_step(here, self.held[at], known, damping=damping, length=length)
        size = np.linalg.norm(step.turned, axis=-1).max((-2, -1))
        part = np.minimum(1.0, MAX_TURN / np.maximum(size, 1e-300))
        there, closed = close_loosely(
            replace(here, tangents=unit(here.tangents + part[:, None, None, None] * step.turned))
        )
        self.holds.force[at], self.holds.pull[at] = step.holds.force, step.holds.pull
        self.known[at] = True
        self.rounds[at] += 1
        down = closed & (size < 1e-5)  # the merit of so small a step is rounding
        merit = [_merit(each, step.holds.pull, length) for each in (here, there)]
        down |= closed & (merit[1] <= merit[0] + 1e-11 * (1.0 + np.abs(merit[0])))
        self._take(at[down], there.of(down), size[down])
        down &= np.abs(np.log(there.rate / here.rate)).max(-1) < MAX_GROWTH
        self.damping[at] = np.where(
            down,
            np.where(damping < 0.02, LEAST_DAMPING, 0.1 * damping),
            np.maximum(4.0 * damping, 0.3),
        )
        self._look(at, size, damping)

    def _take(self, cables: IntArray, there: Spans, size: Array) -> None:
        self.spans.tangents[cables], self.spans.rate[cables] = there.tangents, there.rate
        self.last[cables] = size

    def _look(self, at: IntArray, size: Array, damping: Array) -> None:
        """Stop those that are at rest or grow without end."""
        now = self.spans.of(at)
        at_rest = (size < DONE) & (damping == LEAST_DAMPING) & (self.rounds[at] > 1)
        if self.length is not None:
            wanted = self.length[at]
            at_rest &= np.abs(now.length - wanted) < 1e-8 * wanted
        stretch = 1.0 / now.rate / np.linalg.norm(now.chords, axis=-1)
        grown = stretch.max(-1) > OUTGROWN if self.length is None else np.zeros(len(at), dtype=bool)
        self.settled[at], self.endless[at] = at_rest & ~grown, grown
        self.going[at] = ~at_rest & ~grown & (self.damping[at] < 1e6)

    def finish(self) -> SettledCurves:
        """Return the cables, having looked once for ways still down."""
        step = newton_step(
            self.spans,
            self.held,
            self.holds,
            damping=np.zeros(len(self.last)),
            length=self.length,
            counting=True,
        )
        return SettledCurves(
            self.spans,
            self.holds,
            self.settled,
            self.endless,
            self.rounds,
            self.last,
            step.falls,
        )


def _merit(spans: Spans, pull: Array, length: Array | None) -> Array:
    """Energy, and where a length is wanted what it costs to miss it: `(b,)`."""
    if length is None:
        return spans.energy
    over = spans.length - length
    return spans.energy + pull * over + 0.5 * STIFFEN * over**2


def close_loosely(spans: Spans) -> tuple[Spans, BoolArray]:
    """Bend each span by a smooth bump until its end lies on its chord, and let that set its length.

    Returns the cables and which of them close `(b,)`.
    """
    mesh = lobatto(spans.tangents.shape[-2] - 1)
    distance = np.linalg.norm(spans.chords, axis=-1)
    along = spans.chords / distance[..., None]
    onto = along[..., :, None] * along[..., None, :]
    bump = (4.0 * mesh.s * (1.0 - mesh.s))[:, None]
    t = spans.tangents
    for _ in range(8):
        reach = np.einsum("i,bmik->bmk", mesh.w, t)
        miss = reach - np.einsum("bmkl,bml->bmk", onto, reach)
        if (np.linalg.norm(miss, axis=-1) < 1e-13).all():
            break
        spread = np.einsum("i,bmik,bmil->bmkl", mesh.w * bump[:, 0], t, t)
        change = mesh.w @ bump[:, 0] * np.eye(3) - spread
        across = np.eye(3) - onto
        change = across @ change @ across + onto
        added = np.linalg.solve(change, miss[..., None])[..., 0]
        t = unit(t - bump * added[..., None, :])
        t[..., 0, :], t[..., -1, :] = spans.tangents[..., 0, :], spans.tangents[..., -1, :]
    reach = np.einsum("i,bmik->bmk", mesh.w, t)
    forward = np.einsum("bmk,bmk->bm", reach, along)
    miss = np.linalg.norm(reach - forward[..., None] * along, axis=-1)
    good = ((miss < CLOSED) & (forward > 1e-3)).all(-1)
    rate = np.maximum(forward, 1e-3) / distance
    return Spans(spans.chords, t, rate), good
