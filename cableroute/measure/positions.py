"""From what the tape said to points: nodes, tubes, tape distances, solids."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.measure.job import Remark
from cableroute.measure.models import PointEntry, RouteFile
from cableroute.measure.tubes import Tube, parse_clock, point_on_tube
from cableroute.measure.wording import Words, no_such
from cableroute.units import FINEST_READING, TOLERANCE_SDS

if TYPE_CHECKING:
    from cableroute.measure.frame_models import KeepOutEntry
    from cableroute.measure.keepout import KeepOut, Shape
    from cableroute.measure.locate import Located

Place = Callable[[tuple[Any, ...]], str]


@frozen(eq=False)
class PointPlaces(Sequence[str]):
    """Where each point of a cable stands, worded when it is asked for: hardly one ever is.

    Parameters
    ----------
    place : callable
        Words the place of a path of keys.
    cable : tuple
        The path of the cable.
    points : int
        How many points it has [-].
    """

    place: Place
    cable: tuple[Any, ...]
    points: int

    def __len__(self) -> int:
        return self.points

    def __getitem__(self, i: Any) -> Any:
        if isinstance(i, slice):
            return tuple(self)[i]
        return self.place((*self.cable, "points", range(self.points)[i]))

    def __reduce__(self) -> tuple[Any, ...]:
        return tuple, (tuple(self),)


@frozen(eq=False)
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
    tied : frozenset of str
        The nodes that are tied up by tape.
    ends : mapping of str to tuple of str
        The two nodes of each tube.
    """

    nodes: Mapping[str, Array]
    tubes: Mapping[str, Tube]
    sigma: float
    remarks: tuple[Remark, ...] = ()
    words: Words = field(default_factory=Words)
    tied: frozenset[str] = frozenset()
    ends: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    @classmethod
    def of(cls, entry: RouteFile, *, place: Place, faults: list[str]) -> Frame:
        """Build the frame of a route file."""
        sigma = max(entry.tape_tolerance, FINEST_READING) / TOLERANCE_SDS
        words = Words(entry.unit)
        nodes = {name: np.array(at) for name, at in entry.nodes.items()}
        remarks: tuple[Remark, ...] = ()
        if entry.node_tape:
            from cableroute.measure.node_ties import tie_up

            nodes, remarks = tie_up(entry, nodes, sigma, words, place, faults)
        tubes = _tubes(entry, nodes, place, faults)
        ends = {name: (tube.start, tube.end) for name, tube in entry.tubes.items()}
        tied = frozenset(nodes) - frozenset(entry.nodes)
        return cls(nodes, tubes, sigma, remarks, words, tied, ends)

    def place_point(self, point: PointEntry, *, conduit_od: float = 0.0) -> tuple[Array, str]:
        """Return where a point is, and what is doubtful about it."""
        at, doubt = self.placed(point, conduit_od=conduit_od)
        return at, doubt.message if doubt else ""

    def placed(self, point: PointEntry, *, conduit_od: float = 0.0) -> tuple[Array, Remark | None]:
        """Return where a point is, and what is doubtful about it, with how far out that is."""
        if point.at is not None:
            return np.array(point.at), None
        if point.on is not None:
            if point.on not in self.tubes:
                raise GeometryError(no_such("tube", point.on, self.tubes))
            along, clock = point.along or 0.0, parse_clock(point.clock or 0.0)
            tube = self.tubes[point.on]
            return point_on_tube(tube, along=along, clock=clock, conduit_od=conduit_od), None
        return self._taped(point.tape or {}, point.side)

    def _taped(self, tape: Mapping[str, float], side: str | None) -> tuple[Array, Remark | None]:
        from cableroute.measure.doubts import odd_reading, poorly_held
        from cableroute.measure.locate import locate

        unknown = [node for node in tape if node not in self.nodes]
        if unknown:
            raise GeometryError(f"tape: {no_such('node', unknown[0], self.nodes)}")
        located, odd = locate(self.nodes, tape, sigma=self.sigma), None
        if located.blunder is not None:
            odd = odd_reading(located.blunder, sigma=self.sigma, words=self.words)
        try:
            located = _of_two(located, side)
        except GeometryError as fault:
            if odd is None or not (located.blunder and located.blunder.certain):
                raise
            raise GeometryError(f"{odd.message} Without it {fault}") from None
        if odd is not None:
            return located.point, replace(odd, code="tape-doubt")
        if not located.weak:
            return located.point, None
        return located.point, Remark("tape-doubt", "", poorly_held(located, self.nodes, self.words))

    def doubts_of(self, points: Iterable[PointEntry]) -> tuple[Remark, ...]:
        """Return what is doubtful about the nodes that some points are measured from."""
        used: set[str] = set()
        for point in points:
            used |= set(point.tape or ())
            if point.on is not None and point.on in self.ends:
                used |= set(self.ends[point.on])
        tied = bool(used & self.tied)
        return tuple(
            remark
            for remark in self.remarks
            if remark.where in used or (remark.where == "nodes" and tied)
        )


def _of_two(located: Located, side: str | None) -> Located:
    """Return the one of two possible points that is further to a side, which has to be given."""
    from cableroute.measure.locate import choose_side, telling_sides

    if side is not None:
        return choose_side(located, side)
    if located.mirror is not None:
        sides = " or ".join(f'"{word}"' for word in telling_sides(located))
        raise GeometryError(f"the tape distances meet at two places; add side = {sides}")
    return located


def _tubes(
    entry: RouteFile, nodes: Mapping[str, Array], place: Place, faults: list[str]
) -> dict[str, Tube]:
    tubes = {}
    for name, tube in entry.tubes.items():
        missing = [node for node in (tube.start, tube.end) if node not in nodes]
        here = place(("tubes", name))
        faults += [f"{here}: {no_such('node', node, nodes)}" for node in missing]
        if missing:
            continue
        try:
            tubes[name] = Tube(name, nodes[tube.start], nodes[tube.end], tube.diameter)
        except GeometryError as error:
            faults.append(f"{place(('tubes', name))}: {error}")
    return tubes


def keep_outs(zones: tuple[KeepOutEntry, ...]) -> Iterator[KeepOut]:
    """Yield the solids to keep out of."""
    if not zones:
        return
    from cableroute.measure.keepout import Box, Capsule, KeepOut

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
