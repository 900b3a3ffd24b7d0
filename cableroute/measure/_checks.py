"""What the tape said, checked before anything is computed from it."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array, IntArray
from cableroute.errors import GeometryError
from cableroute.frozen import frozen

#: Nodes are in one line when their spread across it is below this part of their spread [-].
IN_LINE = 1e-6
#: Distances that cannot meet, as many times too long or too short together as this, may be of another
#: unit; our own choice [-].
OTHER_UNIT = 10.0


@frozen(eq=False)
class Readings:
    """What the tape said, checked.

    Parameters
    ----------
    names : tuple of hashable
        Node names, or indices [-].
    nodes : ndarray, shape (k, 3)
        Where the nodes are [mm].
    distances : ndarray, shape (k,)
        Tape distances [mm].
    sigma : ndarray, shape (k,)
        Standard deviation of each [mm].
    """

    names: tuple[Hashable, ...]
    nodes: Array
    distances: Array
    sigma: Array


def check_readings(
    nodes: Mapping[str, ArrayLike] | ArrayLike,
    distances: Mapping[str, float] | ArrayLike,
    sigma: ArrayLike,
) -> Readings:
    """Check what was given, and line up nodes and distances."""
    names, places, tape = _line_up(nodes, distances)
    points = np.array([check_place(*named) for named in zip(names, places, strict=True)])
    if len(names) < 3:
        raise GeometryError(f"expected distances from at least 3 nodes (got {len(names)})")
    deviations = check_tape(names, tape, sigma)
    between, (i, j) = _gaps(points)
    if between.min() < 1e-6:
        same = int(between.argmin())
        raise GeometryError(f"nodes {names[i[same]]} and {names[j[same]]} are the same point")
    spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if spread[1] <= IN_LINE * spread[0]:
        listed = ", ".join(map(str, names))
        raise GeometryError(
            f"nodes {listed} are in one line, which leaves a whole circle of points: "
            "add a distance from a node off that line"
        )
    return Readings(names, points, np.asarray(tape, dtype=float), deviations)


def _line_up(
    nodes: Mapping[str, ArrayLike] | ArrayLike, distances: Mapping[str, float] | ArrayLike
) -> tuple[tuple[Hashable, ...], Sequence[ArrayLike], ArrayLike]:
    if isinstance(nodes, Mapping) and isinstance(distances, Mapping):
        for name in distances:
            if name not in nodes:
                known = ", ".join(map(str, nodes))
                raise GeometryError(f'distance to "{name}": expected one of {known}')
        return tuple(distances), [nodes[name] for name in distances], list(distances.values())
    if isinstance(nodes, Mapping) or isinstance(distances, Mapping):
        raise GeometryError("expected both nodes and distances by name, or neither")
    places, tape = list(np.asarray(nodes, dtype=float)), np.atleast_1d(distances)
    if tape.shape != (len(places),):
        raise GeometryError(
            f"expected {len(places)} distances, one for each node, got shape {tape.shape}"
        )
    return tuple(range(len(places))), places, tape


def check_place(name: Hashable, place: ArrayLike) -> Array:
    """Check the coordinates of a node, shape (3,) [mm]."""
    point = np.asarray(place, dtype=float)
    if point.shape != (3,) or not np.isfinite(point).all():
        raise GeometryError(f"node {name}: expected finite x, y, z (got {point.tolist()})")
    return point


def check_tape(names: Sequence[Hashable], tape: ArrayLike, sigma: ArrayLike) -> Array:
    """Check distances, and give one sigma for each, shape (k,) [mm]."""
    for name, distance in zip(names, np.asarray(tape, dtype=float), strict=True):
        if not (np.isfinite(distance) and distance > 0):
            raise GeometryError(f"distance {name}: must be greater than 0 mm (got {distance})")
    deviations = np.asarray(sigma, dtype=float)
    if deviations.shape not in {(), (len(names),)}:
        raise GeometryError(
            f"sigma: expected one number or {len(names)}, got shape {deviations.shape}"
        )
    if not (np.isfinite(deviations) & (deviations > 0)).all():
        raise GeometryError(f"sigma: must be greater than 0 mm (got {deviations.min()})")
    return np.broadcast_to(deviations, (len(names),)).copy()


def _gaps(points: Array) -> tuple[Array, tuple[IntArray, IntArray]]:
    i, j = np.triu_indices(len(points), k=1)
    return np.linalg.norm(points[i] - points[j], axis=-1), (i, j)


def check_meeting(readings: Readings, residuals: Array) -> None:
    """Refuse distances that meet nowhere, naming the pair at fault where there is one."""
    between, (i, j) = _gaps(readings.nodes)
    one, two = readings.distances[i], readings.distances[j]
    allowed = 3.0 * np.hypot(readings.sigma[i], readings.sigma[j])
    short, over = between - (one + two), np.abs(one - two) - between
    worst = int(np.argmax(np.maximum(short, over) - allowed))
    a, b = readings.names[i[worst]], readings.names[j[worst]]
    tape = f"{one[worst]:.1f} mm from {a} and {two[worst]:.1f} mm from {b}"
    apart = f"{a} and {b} are {between[worst]:.1f} mm apart"
    ratio = (one[worst] + two[worst]) / between[worst]
    unit = "" if 1.0 / OTHER_UNIT < ratio < OTHER_UNIT else "; is their unit right?"
    if short[worst] > allowed[worst]:
        raise GeometryError(f"{tape} cannot meet: {apart}, {short[worst]:.1f} mm too far{unit}")
    if over[worst] > allowed[worst]:
        raise GeometryError(
            f"{tape} cannot meet: they differ by {over[worst]:.1f} mm more than {apart}{unit}"
        )
    if len(residuals) == 3 and (np.abs(residuals) > 3.0 * readings.sigma).any():
        listed = ", ".join(
            f"{name} {off:+.1f}" for name, off in zip(readings.names, residuals, strict=True)
        )
        raise GeometryError(
            f"the three distances do not meet: even the nearest point misses them by {listed} mm"
        )
