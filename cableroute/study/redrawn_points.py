"""Points worked out again from readings as they may have been, many machines at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import hypot, radians, sin

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.measure.locate_many import located_from
from cableroute.measure.models import CableEntry, PointEntry, RouteFile
from cableroute.measure.network import fit_network
from cableroute.measure.tubes import UPRIGHT_DEG, parse_clock, place_on_tube
from cableroute.units import FINEST_READING, TOLERANCE_SDS

AXES = "xyz"
#: A clock is read to at most this, however thin the tube: half an hour; our own choice [deg].
COARSEST_CLOCK = 15.0
#: What a node network is tried with to see how it follows a reading [mm].
_NUDGE = 0.5

#: The value of each reading, by its key, any leading axes.
Values = Callable[[str], Array]


@frozen
class Reading:
    """One number that somebody read.

    Parameters
    ----------
    key : str
        Where it stands in the file, as ``points.3.z``, ``nodes.A.x`` or ``node_tape.1``.
    value : float
        What was read [mm or deg].
    sd : float
        Standard deviation of such a reading [mm or deg].
    unit : str
        ``mm`` or ``deg``.
    """

    key: str
    value: float
    sd: float
    unit: str = "mm"


@frozen(eq=False)
class Survey:
    """The readings of one cable, and how its points follow from them.

    Parameters
    ----------
    file : RouteFile
        Everything that was read.
    cable : CableEntry
        The cable.
    conduit_od : float
        Outside diameter of its conduit [mm].
    """

    file: RouteFile
    cable: CableEntry
    conduit_od: float

    @property
    def sd(self) -> float:
        """Standard deviation of one reading [mm]."""
        return self.file.tape_tolerance / TOLERANCE_SDS

    def readings(self) -> Iterator[Reading]:
        """Yield every reading that the points rest on; the datum itself is no reading."""
        for j, point in enumerate(self.cable.points, start=1):
            yield from self._of_point(f"points.{j}", point)
        used = self._used_nodes()
        for name, at in self.file.nodes.items():
            if name in used and any(at):
                for axis, value in zip(AXES, at, strict=True):
                    yield Reading(f"nodes.{name}.{axis}", value, self.sd)
        if used - set(self.file.nodes):
            for i, tape in enumerate(self.file.node_tape, start=1):
                yield Reading(f"node_tape.{i}", tape.read, self.sd)

    def _of_point(self, key: str, point: PointEntry) -> Iterator[Reading]:
        if point.at is not None:
            if any(point.at):
                for axis, value in zip(AXES, point.at, strict=True):
                    yield Reading(f"{key}.{axis}", value, self.sd)
        elif point.on is not None:
            around = 0.5 * self.file.tubes[point.on].diameter
            yield Reading(f"{key}.along", point.along or 0.0, self.sd)
            sd = min(np.degrees(self.sd / around), COARSEST_CLOCK / TOLERANCE_SDS)
            yield Reading(f"{key}.clock", parse_clock(point.clock or 0.0), float(sd), "deg")
        for node, value in (point.tape or {}).items():
            yield Reading(f"{key}.tape.{node}", value, self.sd)

    def _used_nodes(self) -> set[str]:
        """Nodes that the cable's points are placed by; with taped nodes all known ones too."""
        used = {node for point in self.cable.points for node in point.tape or ()}
        for point in self.cable.points:
            if point.on is not None:
                tube = self.file.tubes[point.on]
                used |= {tube.start, tube.end}
        return used | set(self.file.nodes) if used - set(self.file.nodes) else used

    def points(self, value: Values, near: Array) -> Array:
        """Return the points, shape (..., n, 3), that readings of these values give [mm].

        ``near`` are the points as read, from which taped ones are sought.
        """
        nodes = self._nodes(value)
        placed = [
            self._place(f"points.{j}", point, value, nodes, near[j - 1])
            for j, point in enumerate(self.cable.points, start=1)
        ]
        return np.stack(np.broadcast_arrays(*placed), axis=-2)

    def _place(
        self, key: str, point: PointEntry, value: Values, nodes: Mapping[str, Array], near: Array
    ) -> Array:
        if point.at is not None:
            return _coordinates(key, point.at, value)
        if point.on is not None:
            tube = self.file.tubes[point.on]
            start, end = nodes[tube.start], nodes[tube.end]
            return place_on_tube(
                start,
                end,
                along=value(f"{key}.along"),
                clock=value(f"{key}.clock"),
                off_axis=0.5 * (tube.diameter + self.conduit_od),
                upright=_upright(self._as_read(tube.end) - self._as_read(tube.start)),
            )
        tape = point.tape or {}
        places = np.stack(np.broadcast_arrays(*(nodes[name] for name in tape)), axis=-2)
        read = np.stack(np.broadcast_arrays(*(value(f"{key}.tape.{n}") for n in tape)), axis=-1)
        return located_from(places, read, near=near)

    def _as_read(self, node: str) -> Array:
        """Where a node is by the readings themselves, which tell how a tube's clock was read."""
        return self._nodes(self._read_value)[node]

    def _read_value(self, key: str) -> Array:
        known = {each.key: each.value for each in self.readings()}
        return np.asarray(known[key])

    def _nodes(self, value: Values) -> dict[str, Array]:
        """Nodes as given; those tied up by tape follow their readings in proportion."""
        used = self._used_nodes()
        known = {
            name: _coordinates(f"nodes.{name}", at, value) if name in used else np.array(at)
            for name, at in self.file.nodes.items()
        }
        if not used - set(self.file.nodes):
            return known
        return {**known, **self._taped_nodes(value)}

    def _taped_nodes(self, value: Values) -> dict[str, Array]:
        """Fit the network to the readings, and follow small changes of each along its slope."""
        keys = [each for each in self.readings() if each.key.startswith("node")]
        middle = self._network({})
        moved = {name: np.asarray(at) for name, at in middle.items()}
        for each in keys:
            change = value(each.key) - each.value
            if not np.any(change):
                continue
            ends = [self._network({each.key: step}) for step in (_NUDGE, -_NUDGE)]
            for name, at in list(moved.items()):
                slope = (ends[0][name] - ends[1][name]) / (2.0 * _NUDGE)
                moved[name] = at + np.asarray(change)[..., None] * slope
        return {name: at for name, at in moved.items() if name not in self.file.nodes}

    def _network(self, changed: Mapping[str, float]) -> Mapping[str, Array]:
        """Return the nodes with some readings changed by so much [mm]."""
        distances = {
            (tape.start, tape.end): tape.read + changed.get(f"node_tape.{i}", 0.0)
            for i, tape in enumerate(self.file.node_tape, start=1)
        }
        known = {
            name: np.array(
                [x + changed.get(f"nodes.{name}.{a}", 0.0) for a, x in zip(AXES, at, strict=True)]
            )
            for name, at in self.file.nodes.items()
        }
        sigma = max(self.file.tape_tolerance, FINEST_READING) / TOLERANCE_SDS
        planar = self.file.nodes_flat
        return fit_network(distances, known=known or None, sigma=sigma, planar=planar).points


def _coordinates(key: str, at: tuple[float, float, float], value: Values) -> Array:
    if not any(at):
        return np.zeros(3)
    return np.stack(np.broadcast_arrays(*(value(f"{key}.{axis}") for axis in AXES)), axis=-1)


def _upright(step: Array) -> bool:
    return hypot(step[0], step[1]) < sin(radians(UPRIGHT_DEG)) * float(np.linalg.norm(step))
