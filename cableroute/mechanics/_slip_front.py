"""The elastic core that sticks and slides in its conduit, one way of the hand at a time.

When the hand turns back, sliding begins at the hand and a front walks towards the far end. Behind
it the tension is the new capstan profile; beyond it nothing has moved and the old one stands. Once
the front has arrived the whole core slides and the far end moves. Both are closed forms, so a
stroke is worked out at once: no steps, no iteration.
"""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.frozen import frozen
from cableroute.mechanics._elastic_core import Core, State
from cableroute.mechanics.far_load import FarLoad

#: Travel of the hand below which going back is rounding [mm].
_TINY = 1e-9


@frozen(eq=False)
class Stroke:
    """Everything that happens while the hand moves one way, place by place.

    Parameters
    ----------
    start : State
        Where it began.
    way : int
        +1 pulling, -1 letting back or pushing [-].
    hand, tension, far, end, side : ndarray, shape (m,)
        Travel of the core at the hand, its tension there, travel of the far end, tension there, and
        the wall the core lies on [mm, N, mm, N, -].
    front : int
        How many of the places belong to the front's walk [-].
    held : ndarray of bool, shape (m,)
        Places at which it can be held; the others are run through in a snap [-].
    """

    start: State
    way: int
    hand: Array
    tension: Array
    far: Array
    end: Array
    side: Array
    front: int
    held: BoolArray

    def at(self, values: Array, hand: Array) -> Array:
        """Read off values at places of the core at the hand [mm]."""
        return np.interp(self.way * hand, self.way * self.hand, values)

    def state(self, core: Core) -> State:
        """Return how the core lies at the end of the stroke."""
        tension, far, end, side = (
            float(values[-1]) for values in (self.tension, self.far, self.end, self.side)
        )
        if len(self.hand) > self.front:  # the whole core slides
            rise = self.way * np.sign(end) * (core.exponent[-1] - core.exponent)
            return State(end * np.exp(rise), far, side)
        behind = tension * np.exp(-self.way * np.sign(tension) * core.exponent)
        turned = np.maximum if self.way > 0 else np.minimum
        return State(turned(self.start.tension, behind), far, side)

    def cut(self, stop: float) -> Stroke:
        """Return the stroke as far as the hand gets [mm]."""
        kept = self.way * self.hand < self.way * stop
        place = np.array(stop)

        def ended(values: Array) -> Array:
            return np.append(values[kept], self.at(values, place))

        return Stroke(
            start=self.start,
            way=self.way,
            hand=np.append(self.hand[kept], stop),
            tension=ended(self.tension),
            far=ended(self.far),
            end=ended(self.end),
            side=ended(self.side),
            front=self.front,
            held=np.append(self.held[kept], True),
        )


def stroke(core: Core, load: FarLoad, start: State, *, way: int, target: float) -> Stroke:
    """Move the hand one way, at least as far as a target if anything lets it."""
    walk = _stroke_rows(core, start, way)
    far, end, side = _crossings(*_far_path(core, load, start, way=way, target=target), start.side)
    slack = core.pull_only & (end < 0.0)  # the far end runs ahead of a core that cannot push
    end = np.where(slack, 0.0, end)
    loads = way * end > 0.0
    tension = end * np.exp(np.where(loads, 1.0, -1.0) * core.exponent[-1])
    grow, shrink = (core.reach(sigma)[-1] for sigma in (1, -1))
    hand = far + core.gap * side + tension * np.where(loads, grow, shrink)
    hand += core.ends[0] * tension + core.ends[1] * end
    slide = np.stack((np.where(slack, -np.inf, hand), tension, far, end, side))
    return _without_going_back(start, way, np.concatenate((walk, slide), axis=1), walk.shape[1])


def _without_going_back(start: State, way: int, rows: Array, front: int) -> Stroke:
    """Let the far end snap, the hand at rest, from where the hand would have to go back.

    The rows are those of a stroke: hand, tension, far, end, side.
    """
    raw = rows[0]
    ahead = way * np.maximum.accumulate(way * raw)
    held = way * raw >= way * ahead - _TINY
    lands = np.flatnonzero(~held[:-1] & held[1:])
    before, after = rows[1:, lands], rows[1:, lands + 1]
    share = np.ones(len(lands))  # of a slack core: the far end has gone all the way
    known = np.isfinite(raw[lands])
    at = lands[known]
    share[known] = (ahead[at] - raw[at]) / (raw[at + 1] - raw[at])
    landed = np.vstack((ahead[lands], before + share * (after - before)))
    every = np.insert(np.vstack((ahead, rows[1:])), lands + 1, landed, axis=1)
    hand, tension, far, end, side = every
    return Stroke(
        start=start,
        way=way,
        hand=hand,
        tension=tension,
        far=far,
        end=end,
        side=side,
        front=front + int((lands + 1 < front).sum()),
        held=np.insert(held, lands + 1, True),
    )


def _stroke_rows(core: Core, start: State, way: int) -> Array:
    """Rows of a stroke while the front stands at each cut."""
    t = start.tension
    sigma = way * int(np.sign(t[0]))
    force = t * np.exp(sigma * core.exponent)
    each = core.stretches(t)
    beyond = np.append(np.cumsum(each[::-1])[::-1], 0.0)
    hand = start.far + core.gap * start.side + beyond + force * core.reach(sigma)
    hand += core.ends[0] * force + core.ends[1] * t[-1]
    still = (np.full_like(t, value) for value in (start.far, t[-1], start.side))
    return np.stack((hand, force, *still))


def _far_path(
    core: Core, load: FarLoad, start: State, *, way: int, target: float
) -> tuple[Array, Array]:
    """Travel of the far end and its tension, from where it stands to beyond the target."""
    most = load.preload + abs(load.dead) + load.friction + sum(d.depth for d in load.detents)
    at_hand = most * float(np.exp(core.exponent[-1]))
    stretch = at_hand * (float(core.reach(1)[-1]) + core.ends[0]) + most * core.ends[1]
    margin = core.gap + stretch
    here = start.far if abs(start.far) > _TINY else 0.0  # a preload takes sides there
    goal = way * max(way * target, 0.0, way * here) + way * margin
    low, high = sorted((here, goal))
    if core.pull_only:
        low = max(low, 0.0)
    places = load.places(low, high)[::way]
    far = np.append(here, places)
    end = np.append(start.tension[-1], load.force(places) + way * load.friction)
    return _until_slack(far, end) if core.pull_only and way < 0 else (far, end)


def _until_slack(far: Array, end: Array) -> tuple[Array, Array]:
    """Cut off a path back where the spring no longer pulls, or where the stop at rest holds."""
    gone = np.flatnonzero(end <= 0.0)
    last = int(gone[0]) if len(gone) else len(end)
    if last == 0:
        return far[:1], end[:1]
    stop = far[-1]
    if last < len(end):
        above, below = end[last - 1], end[last]
        stop = far[last - 1] + (far[last] - far[last - 1]) * above / (above - below)
    return np.append(far[:last], stop), np.append(end[:last], 0.0)


def _crossings(far: Array, end: Array, side: float) -> tuple[Array, Array, Array]:
    """Put two places where the tension changes its sign: before and after crossing the gap."""
    sense = np.sign(end)
    sides = 0.5 * sense
    sides[0] = sides[0] if sense[0] else side
    at = np.flatnonzero(sense[1:] != sense[:-1])
    share = end[at] / (end[at] - end[at + 1])
    place = far[at] + share * (far[at + 1] - far[at])
    twice = np.repeat(at + 1, 2)
    both = np.stack((sides[at], sides[at + 1]), axis=-1).ravel()
    return (
        np.insert(far, twice, np.repeat(place, 2)),
        np.insert(end, twice, 0.0),
        np.insert(sides, twice, both),
    )
