"""Nodes tied up by the distances taped between nodes: which side they stand on, and their doubts."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import CableRouteError, GeometryError
from cableroute.measure._tape_network import Pair, plane
from cableroute.measure.doubts import most_telling, odd_reading
from cableroute.measure.job import Remark
from cableroute.measure.locate import SIDES
from cableroute.measure.models import RouteFile
from cableroute.measure.network import Network, fit_network
from cableroute.measure.wording import Words

Place = Callable[[tuple[Any, ...]], str]


def tie_up(
    entry: RouteFile,
    nodes: dict[str, Array],
    sigma: float,
    words: Words,
    place: Place,
    faults: list[str],
) -> tuple[dict[str, Array], tuple[Remark, ...]]:
    """Return nodes as given and those tied up by tape, and what is doubtful about them."""
    distances: dict[Pair, float] = {}
    sides: dict[str, str] = {}
    for i, tape in enumerate(entry.node_tape):
        pair = (tape.start, tape.end)
        if pair in distances or pair[::-1] in distances:
            twice = f"{tape.start} to {tape.end} is taped twice; expected one reading of a pair"
            faults.append(f"{place(('node_tape', i))}: {twice}")
        distances[pair] = tape.read
        if tape.side is not None:
            sides[tape.start if tape.end in nodes else tape.end] = tape.side
    try:
        network, asked = _fitted(distances, nodes, sides, sigma=sigma, planar=entry.nodes_flat)
    except CableRouteError as error:
        faults.append(f"{place(('node_tape',))}: {error}")
        return nodes, ()
    faults += [f"{place(('node_tape',))}: {ask}" for ask in asked]
    return {**network.points}, tuple(_doubts(network, distances, set(nodes), sigma, words))


def _fitted(
    distances: Mapping[Pair, float],
    nodes: Mapping[str, Array],
    sides: Mapping[str, str],
    *,
    sigma: float,
    planar: bool,
) -> tuple[Network, list[str]]:
    """Fit the network with every node on the side that is said, and ask for those that are not."""
    network = fit_network(distances, known=nodes or None, sigma=sigma, planar=planar)
    turned = {}
    for name, side in sides.items():
        if name in nodes:
            raise GeometryError(f"side: {name} is a known node and stands where it is given")
        if name in network.points and _stands_wrong(network, distances, name, side):
            turned[name] = _other_place(network, distances, name)
    if turned:
        guess = {**network.points, **turned}
        network = fit_network(
            distances,
            known=nodes or None,
            guess={name: at for name, at in guess.items() if name not in nodes},
            sigma=sigma,
            planar=planar,
        )
    open_nodes = [name for name in network.flips if name not in sides]
    differ = _mirrored(network)
    if nodes:  # with no node known the frame is one of convention, and so its hand
        if differ and not any(name in sides for name in differ):
            open_nodes.append(differ[0])
        return replace(network, flips=()), [_ask(network, distances, name) for name in open_nodes]
    return replace(network, flips=tuple(open_nodes)), []


def _mirrored(network: Network) -> list[str]:
    """Return the nodes that the mirror image of the whole puts elsewhere, the farthest first."""
    if network.mirror is None:
        return []
    apart = {
        name: float(np.linalg.norm(at - network.mirror[name]))
        for name, at in network.points.items()
    }
    doubts = network.doubts
    return sorted((n for n in apart if apart[n] > doubts[n]), key=lambda n: -apart[n])


def _other_place(network: Network, distances: Mapping[Pair, float], name: str) -> Array:
    """Return a node reflected through the plane of those it is taped to."""
    others = [b if a == name else a for a, b in distances if name in (a, b)]
    dim = 2 if np.ptp([at[2] for at in network.points.values()]) == 0.0 else 3
    centre, normal = plane(np.array([network.points[other][:dim] for other in others]))
    out = network.points[name].copy()
    out[:dim] -= 2.0 * float((out[:dim] - centre) @ normal) * normal
    return out


def _apart(network: Network, distances: Mapping[Pair, float], name: str) -> Array:
    if network.mirror is not None and name not in network.flips:
        return network.points[name] - network.mirror[name]
    return network.points[name] - _other_place(network, distances, name)


def _stands_wrong(network: Network, distances: Mapping[Pair, float], name: str, side: str) -> bool:
    """Tell whether a node is meant to be at its other place."""
    if name not in network.flips and name not in _mirrored(network):
        return False
    apart = _apart(network, distances, name)
    if abs(float(apart @ SIDES[side])) <= network.doubts[name]:
        raise GeometryError(
            f'node {name}: side "{side}" does not tell its two possible places apart; use '
            f"{_telling(apart, network.doubts[name])}"
        )
    return float(apart @ SIDES[side]) < 0


def _telling(apart: Array, doubt: float) -> str:
    telling = [word for word, way in SIDES.items() if abs(float(apart @ way)) > doubt]
    telling.sort(key=lambda word: -abs(float(apart @ SIDES[word])))
    return " or ".join(f'"{word}"' for word in telling[:2])


def _ask(network: Network, distances: Mapping[Pair, float], name: str) -> str:
    apart = _apart(network, distances, name)
    return (
        f"node {name} could stand on either side of the nodes it is taped from; add side = "
        f"{_telling(apart, network.doubts[name])} to one of its [[node_tape]]"
        f"{_settling(network, distances, name, apart)}"
    )


def _settling(network: Network, distances: Mapping[Pair, float], name: str, apart: Array) -> str:
    """Name the one distance that would settle on which side a node stands, with both lengths."""
    taped = {frozenset(pair) for pair in distances}
    here = network.points[name]
    there = here - apart
    lengths = {
        other: (float(np.linalg.norm(at - here)), float(np.linalg.norm(at - there)))
        for other, at in network.points.items()
        if other != name and frozenset((other, name)) not in taped
    }
    best = max(lengths, key=lambda n: abs(lengths[n][0] - lengths[n][1]), default=None)
    if best is None or abs(lengths[best][0] - lengths[best][1]) <= 6.0 * network.sigma:
        return ""
    one, two = lengths[best]
    return f", or tape it to {best}: {one:.0f} mm on the one side, {two:.0f} mm on the other"


def _doubts(
    network: Network,
    distances: Mapping[Pair, float],
    known: set[str],
    sigma: float,
    words: Words,
) -> Iterator[Remark]:
    """Yield what is doubtful about each node; what all of them share stands at "nodes"."""
    taped = {frozenset(pair) for pair in distances}
    for name in network.weak:
        here = network.points[name]
        way = np.linalg.eigh(network.covariance[name])[1][:, -1]
        free = {
            other: at
            for other, at in network.points.items()
            if other != name and frozenset((other, name)) not in taped
        }
        best = most_telling(here, way, free)
        tape = (
            f"Tape {best} to {name} too, about {words.length(float(np.linalg.norm(free[best] - here)))}."
            if best
            else "Tape it from one more node, off the plane of those it is taped from."
        )
        text = f"Node {name} is good to {words.length(2.0 * network.doubts[name])} only. {tape}"
        yield Remark("node-doubt", name, text)
    if network.blunder is not None:
        yield replace(odd_reading(network.blunder, sigma=sigma, words=words), where="nodes")
    for name in network.flips:
        text = (
            f"Node {name} could stand on the other side of those it is taped from and no distance "
            f"would tell. Tape a diagonal"
            f"{_settling(network, distances, name, _apart(network, distances, name))}."
        )
        yield Remark("node-doubt", name, text)
