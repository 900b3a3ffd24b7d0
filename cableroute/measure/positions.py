"""From what the tape said to points: nodes, tubes, tape distances, solids."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cableroute.errors import CableRouteError, GeometryError
from cableroute.measure.job import Remark
from cableroute.measure.keepout import Box, Capsule, KeepOut, Shape
from cableroute.measure.locate import Blunder, Located, locate, telling_sides
from cableroute.measure.models import KeepOutEntry, PointEntry, RouteFile
from cableroute.measure.network import fit_network
from cableroute.measure.tubes import Tube, parse_clock, point_on_tube
from cableroute.measure.wording import Words

Array = NDArray[np.float64]
Place = Callable[[tuple[Any, ...]], str]

#: No tape is read more finely than to plus or minus this [mm], also where points are to be fitted
#: exactly as read; our own choice.
FINEST_READING = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """Nodes and tubes of a machine, ready to place points by.

    Parameters
    ----------
    nodes : mapping of str to ndarray, shape (3,)
        Known points of the frame [mm].
    tubes : mapping of str to Tube
        Tubes between them.
    sigma : float
        Standard deviation of a tape reading [mm].
    remarks : tuple of Remark
        What is doubtful about the nodes.
    words : Words
        How lengths are worded for the tape.
    """

    nodes: Mapping[str, Array]
    tubes: Mapping[str, Tube]
    sigma: float
    remarks: tuple[Remark, ...] = ()
    words: Words = field(default_factory=Words)

    @classmethod
    def of(cls, entry: RouteFile, *, place: Place, faults: list[str]) -> Frame:
        """Build the frame of a route file.

        Parameters
        ----------
        entry : RouteFile
            The file.
        place : callable
            Words the place of a path in the file.
        faults : list of str
            Gains a line for each node or tube that cannot be built.

        Returns
        -------
        Frame
            What could be built.
        """
        # a tolerance is the half-width of a reading, about two standard deviations
        sigma = 0.5 * max(entry.tape_tolerance, FINEST_READING)
        words = Words(entry.unit)
        nodes, remarks = _nodes(entry, sigma, words, place, faults)
        return cls(nodes, _tubes(entry, nodes, place, faults), sigma, remarks, words)

    def place_point(self, point: PointEntry, *, conduit_od: float = 0.0) -> tuple[Array, str]:
        """Return where a point is, and what is doubtful about it.

        Parameters
        ----------
        point : PointEntry
            The point as written.
        conduit_od : float
            Outside diameter of the conduit, for one lying on a tube [mm].

        Returns
        -------
        position : ndarray, shape (3,)
            The point [mm].
        doubt : str
            A sentence, or nothing.

        Raises
        ------
        GeometryError
            For unknown names, a place beyond a tube's end, distances that cannot meet or meet twice.
        """
        if point.at is not None:
            return np.array(point.at), ""
        if point.on is not None:
            if point.on not in self.tubes:
                known = ", ".join(self.tubes) or "none"
                raise GeometryError(f"no tube {point.on!r}; known: {known}")
            along, clock = point.along or 0.0, parse_clock(point.clock or 0.0)
            tube = self.tubes[point.on]
            return point_on_tube(tube, along=along, clock=clock, conduit_od=conduit_od), ""
        return self._taped(point.tape or {}, point.side)

    def _taped(self, tape: Mapping[str, float], side: str | None) -> tuple[Array, str]:
        unknown = [node for node in tape if node not in self.nodes]
        if unknown:
            known = ", ".join(self.nodes) or "none"
            raise GeometryError(f"tape: no node {unknown[0]!r}; known: {known}")
        located = locate(self.nodes, tape, sigma=self.sigma, side=side)
        if located.mirror is not None and side is None:
            sides = " or ".join(f'"{word}"' for word in telling_sides(located))
            raise GeometryError(f"the tape distances meet at two places; add side = {sides}")
        if located.blunder is not None:
            return located.point, _odd(located.blunder, self.words)
        return located.point, _poorly_held(located, self.words) if located.weak else ""


def _poorly_held(located: Located, words: Words) -> str:
    ways = ("fore and aft", "left and right", "up and down")
    way = ways[int(np.argmax(np.abs(located.weak_direction)))]
    return (
        f"Its place is good to {words.length(2.0 * located.doubt)} only, {way}: the nodes it is taped "
        "from are nearly in line, or in one plane with it. Tape it from one more node, off that way."
    )


def _odd(blunder: Blunder, words: Words) -> str:
    name, *rivals = (
        " to ".join(map(str, node)) if isinstance(node, tuple) else str(node)
        for node in (blunder.node, *blunder.rivals)
    )
    others = f" (or that of {', '.join(rivals)})" if rivals else ""
    left_out = " It was left out." if blunder.certain else ""
    return (
        f"The tape reading {name}{others}, {words.length(blunder.measured)}, does not agree with the "
        f"rest: {words.length(blunder.expected)} would.{left_out} Tape it again."
    )


def _nodes(
    entry: RouteFile, sigma: float, words: Words, place: Place, faults: list[str]
) -> tuple[dict[str, Array], tuple[Remark, ...]]:
    """Nodes as given, and those tied up by the distances taped between nodes."""
    nodes = {name: np.array(at) for name, at in entry.nodes.items()}
    if not entry.node_tape:
        return nodes, ()
    distances: dict[tuple[str, str], float] = {}
    for i, tape in enumerate(entry.node_tape):
        pair = (tape.start, tape.end)
        if pair in distances or pair[::-1] in distances:
            twice = f"{tape.start} to {tape.end} is taped twice; expected one reading of a pair"
            faults.append(f"{place(('node_tape', i))}: {twice}")
        distances[pair] = tape.read
    try:
        network = fit_network(distances, known=nodes or None, sigma=sigma, planar=entry.nodes_flat)
    except CableRouteError as error:
        faults.append(f"{place(('node_tape',))}: {error}")
        return nodes, ()
    remarks = [
        Remark(
            "node-doubt",
            name,
            f"Node {name} is good to {words.length(2.0 * network.doubts[name])} only. "
            "Tape one more distance to it.",
        )
        for name in network.weak
    ]
    if network.blunder is not None:
        remarks.append(Remark("tape-blunder", "nodes", _odd(network.blunder, words)))
    if network.flips:
        names = ", ".join(network.flips)
        text = f"Node {names} could stand on the other side and no distance would tell. Tape a diagonal."
        remarks.append(Remark("node-doubt", names, text))
    return {**network.points}, tuple(remarks)


def _tubes(
    entry: RouteFile, nodes: Mapping[str, Array], place: Place, faults: list[str]
) -> dict[str, Tube]:
    tubes = {}
    for name, tube in entry.tubes.items():
        missing = [node for node in (tube.start, tube.end) if node not in nodes]
        for node in missing:
            known = ", ".join(nodes) or "none"
            faults.append(f"{place(('tubes', name))}: no node {node!r}; known: {known}")
        if missing:
            continue
        try:
            tubes[name] = Tube(name, nodes[tube.start], nodes[tube.end], tube.diameter)
        except GeometryError as error:
            faults.append(f"{place(('tubes', name))}: {error}")
    return tubes


def keep_outs(zones: tuple[KeepOutEntry, ...]) -> Iterator[KeepOut]:
    """Yield the solids to keep out of.

    Parameters
    ----------
    zones : tuple of KeepOutEntry
        Solids as written.

    Yields
    ------
    KeepOut
        The solids.
    """
    for zone in zones:
        shape: Shape
        if zone.box is not None:
            corners = np.array(zone.box)
            shape = Box(corners.min(0), corners.max(0))
        elif zone.capsule is not None:
            bar = zone.capsule
            shape = Capsule(np.array(bar.start), np.array(bar.end), bar.radius)
        elif zone.sphere is not None:
            centre = np.array(zone.sphere.at)
            shape = Capsule(centre, centre, zone.sphere.radius)
        yield KeepOut(zone.name, shape, zone.distance, zone.temperature)
