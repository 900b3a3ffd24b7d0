"""Where the least squares start: one point from its spheres, a network node by node."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.measure._checks import IN_LINE

#: A unit vector is level when it rises by no more than this, about half a degree [-].
LEVEL = 0.01


def sphere_twins(nodes: Array, distances: Array, sigma: Array) -> tuple[Array, Array]:
    """Give the two points at given distances from nodes in or near a plane (a line, in 2D).

    In the principal axes of the nodes the differences of the squared distances are linear in
    the point, and their mean gives its height over the plane. Exact for exact distances, to any
    number of nodes; where the spheres miss each other the height is what sigma could hide.
    """
    centre = nodes.mean(axis=0)
    spread = nodes - centre
    u, size, axes = np.linalg.svd(spread, full_matrices=False)
    squares = distances**2 - (spread**2).sum(axis=-1)
    flat = -0.5 * (u.T @ squares)[:-1] / size[:-1]
    height2 = squares.mean() - flat @ flat
    hidden = float(np.mean(sigma * distances))
    foot = centre + flat @ axes[:-1]
    rise = np.sqrt(max(height2, hidden)) * upward(axes[-1])
    return foot + rise, foot - rise


def upward(normal: Array) -> Array:
    """Turn a unit vector up; where it is level, to the left; else forward."""
    tells = np.flatnonzero(np.abs(normal) > LEVEL)[-1]
    return normal if normal[tells] > 0 else -normal


def scaled(table: Array, *, dim: int, sigma: float) -> Array:
    """Place all nodes at once by classical scaling."""
    n = len(table)
    np.fill_diagonal(table, 0.0)
    centring = np.eye(n) - 1.0 / n
    size, axes = np.linalg.eigh(-0.5 * centring @ table**2 @ centring)
    hidden = sigma * table.max()  # a flat start would be a saddle: never leave it so
    points = np.zeros((n, 3))
    points[:, :dim] = (axes * np.sqrt(np.maximum(size, hidden)))[:, : -dim - 1 : -1]
    return points


def place_next(
    points: Array, table: Array, *, names: tuple[str, ...], dim: int, sigma: float
) -> None:
    """Place the node with most placed neighbours, in place."""
    placed = ~np.isnan(points[:, 0])
    near = ~np.isnan(table) & placed & ~placed[:, None]
    for node in np.argsort(-near.sum(axis=1), kind="stable"):
        others = points[near[node], :dim]
        if not spans(others):
            continue
        tape = table[node, near[node]]
        twins = sphere_twins(others, tape, np.full(len(others), sigma))
        loss = [((np.linalg.norm(others - p, axis=1) - tape) ** 2).sum() for p in twins]
        better = int(loss[1] < loss[0] - sigma**2)
        points[node, :dim] = twins[better]
        return
    waiting = ", ".join(names[node] for node in np.flatnonzero(~placed))
    raise GeometryError(
        f"nodes {waiting} cannot be placed one by one, each from {dim} placed nodes not "
        "in line: give one of them a guess (all of them, where nothing is known)"
    )


def spans(points: Array) -> bool:
    """Whether points place another: as many as there are dimensions, and not in line in 3D."""
    dim = points.shape[1]
    if len(points) < dim:
        return False
    size = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    return bool(size[dim - 2] > IN_LINE * size[0])


def largest_triangle(table: Array) -> Array:
    """Place the largest fully measured triangle in the xy plane, the other nodes nan."""
    corners = np.array(list(combinations(range(len(table)), 3)))
    i, j, k = corners.T
    c, b, a = table[i, j], table[i, k], table[j, k]
    half = 0.5 * (a + b + c)
    area2 = half * (half - a) * (half - b) * (half - c)  # Heron; nan where a side is missing
    if not (area2 > 0).any():
        raise GeometryError(
            "expected three nodes with all three distances between them to start from: "
            "give a guess of every node"
        )
    best = int(np.nanargmax(area2))
    points = np.full((len(table), 3), np.nan)
    x = (b[best] ** 2 + c[best] ** 2 - a[best] ** 2) / (2.0 * c[best])
    y = 2.0 * np.sqrt(area2[best]) / c[best]
    points[corners[best]] = [[0.0, 0.0, 0.0], [c[best], 0.0, 0.0], [x, y, 0.0]]
    return points
