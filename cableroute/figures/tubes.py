"""Tubes of the frame that a run goes through: they are solid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.measure.job import Cable
from cableroute.measure.keepout import Capsule, distances
from cableroute.measure.tubes import Tube
from cableroute.route.pieces import Route

#: Places along a run that are looked at [-].
_PLACES = 2001
#: Of which so many apart are held against every tube; no other is farther than this from one of them.
_EVERY = 10
#: Depth that the arcs of a run that lies on a tube may dip into it: the conduit's own thickness,
#: or this where that is not known; our own choice [mm].
_LAID = 5.0


@frozen(eq=False)
class TubeCrossed:
    """A tube that the conduit goes into.

    Parameters
    ----------
    tube : Tube
        Which.
    depth : float
        How deep the conduit goes into it [mm].
    at : float
        Distance along the run from the hand end [mm].
    point : ndarray, shape (3,)
        The place on the conduit's centreline [mm].
    """

    tube: Tube
    depth: float
    at: float
    point: Array


def tubes_crossed(
    cable: Cable, runs: Sequence[Route], tubes: Sequence[Tube]
) -> tuple[TubeCrossed, ...]:
    """Find the tubes that the conduit goes into in any of its shapes, drawn tight the first.

    A tube that a point lies on is gone into by a tight run that does so deeper than the conduit is
    thick: left to itself it would lie against it, but from one side to the other there is no way
    through. Of other tubes what is near a point held to them is left out.
    """
    laid = [tube for tube in tubes if tube.name in cable.tubes]
    others = [tube for tube in tubes if tube.name not in cable.tubes]
    found = [_deepest(cable, run, others) for run in runs] + [_deepest(cable, runs[0], laid)]
    deepest: dict[str, TubeCrossed] = {}
    for crossed in (each for run in found for each in run):
        known = deepest.get(crossed.tube.name)
        if known is None or crossed.depth > known.depth:
            deepest[crossed.tube.name] = crossed
    return tuple(deepest.values())


def _deepest(cable: Cable, run: Route, tubes: Sequence[Tube]) -> Iterator[TubeCrossed]:
    if not tubes:
        return
    outside = 0.5 * cable.family.conduit_od if cable.family else 0.0
    along = np.linspace(0.0, float(run.length), _PLACES)
    places = run.point(along)
    bars = [
        Capsule(np.asarray(each.start), np.asarray(each.end), 0.5 * each.diameter) for each in tubes
    ]
    for i in _within(outside + _EVERY * along[1], places[::_EVERY], bars):
        tube, bar = tubes[i], bars[i]
        inside = outside - bar.distance(places)
        laid = tube.name in cable.tubes
        held = cable.points[bar.distance(cable.points) <= outside]
        if len(held) and not laid:
            apart = np.linalg.norm(places[:, None] - held[None], axis=-1).min(-1)
            inside = np.where(apart < tube.diameter + 2.0 * outside, -np.inf, inside)
        at = int(np.argmax(inside))
        if inside[at] > (2.0 * outside or _LAID if laid else 0.0):
            yield TubeCrossed(tube, float(inside[at]), float(along[at]), places[at])


def _within(reach: float, places: Array, bars: Sequence[Capsule]) -> list[int]:
    """Return which of the bars are nearer than so far to any of the places."""
    every = np.broadcast_to(places, (len(bars), *places.shape))
    near = distances(bars, np.arange(len(bars)), every).min(axis=1)
    return np.flatnonzero(near < reach).tolist()
