"""Nodes tied up from taped distances between them, fitted together.

::

    distances -> a start, node by node -> least squares -> flips -> odd reading? -> Network

With nothing known the frame is the first node at the origin, the second on +x, the next one off
their line in the xy plane with y > 0, and the next one off that plane with z > 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain

import numpy as np
from numpy.typing import ArrayLike

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.measure._blunder import Blunder, find_blunder
from cableroute.measure._checks import check_place, check_tape
from cableroute.measure._first_guess import spans
from cableroute.measure._tape_network import Pair, TapeNetwork
from cableroute.measure.locate import WEAK

Places = Mapping[str, ArrayLike]


@frozen(eq=False)
class Network:
    """Where the nodes are, and how well that is known.

    Parameters
    ----------
    points : mapping of str to ndarray, shape (3,)
        The nodes, known ones included [mm].
    covariance : mapping of str to ndarray, shape (3, 3)
        Covariance of each, from the tape's sigma alone; 0 for what the frame holds [mm^2].
    residuals : mapping of (str, str) to float
        Measured minus computed distance [mm].
    spare : int
        Degrees of freedom: readings beyond those that fix the shape [-].
    blunder : Blunder or None
        The odd reading, if there is one; its `node` is the pair of names [-].
    mirror : mapping of str to ndarray, shape (3,), or None
        The mirror image of the whole, where the readings fit it as well [mm].
    flips : tuple of str
        Nodes that could stand on the other side of those they are taped to, unnoticed [-].
    sigma : float
        Largest standard deviation of a reading [mm].
    """

    points: Mapping[str, Array]
    covariance: Mapping[str, Array]
    residuals: Mapping[Pair, float]
    spare: int
    blunder: Blunder | None
    mirror: Mapping[str, Array] | None
    flips: tuple[str, ...]
    sigma: float

    @property
    def doubts(self) -> dict[str, float]:
        """Largest semi-axis of each node's one-sigma ellipsoid [mm]."""
        variance = {name: np.linalg.eigvalsh(block)[-1] for name, block in self.covariance.items()}
        return {name: float(np.sqrt(max(value, 0.0))) for name, value in variance.items()}

    @property
    def weak(self) -> tuple[str, ...]:
        """Nodes whose doubt is more than ten times the tape's [-]."""
        return tuple(name for name, doubt in self.doubts.items() if doubt > WEAK * self.sigma)


def fit_network(
    distances: Mapping[Pair, float],
    *,
    known: Places | None = None,
    guess: Places | None = None,
    up: str | None = None,
    sigma: ArrayLike = 1.0,
    planar: bool = False,
) -> Network:
    """Fit nodes to the taped distances between them.

    ``minimise sum(((d_ij - |P_i - P_j|)/sigma_ij)^2)`` over the unknown coordinates.

    Parameters
    ----------
    distances : mapping of (str, str) to float
        Tape distance of each pair of names [mm].
    known : mapping of str to array_like (3,), optional
        Nodes with known coordinates: none, or three not in line (planar: two) [mm].
    guess : mapping of str to array_like (3,), optional
        Rough coordinates, to start from and to tell a shape from its mirror image; of every
        node where nothing is known, in any frame [mm].
    up : str, optional
        Of the whole and its mirror image, the one with this node further up is meant (level:
        further left, else forward). By default this is the first node off the plane [-].
    sigma : array_like, scalar or shape (m,)
        Standard deviation of a reading, in the order of `distances` [mm].
    planar : bool
        All nodes are in one plane: z = 0, or the z the known nodes share [-].

    Returns
    -------
    Network
        Coordinates, covariance, residuals, blunder, and what the readings leave open.

    Raises
    ------
    GeometryError
        If a node has too few distances, the nodes can move without any distance changing, a
        triangle does not close, the start cannot be found without a guess, or the input is
        not what it should be.

    Notes
    -----
    A braced quadrilateral (4 nodes, 6 distances) has one spare reading when planar: it shows
    that a reading is wrong, not which. In space it has none. A flat network fitted in space
    has heights in great doubt (`weak`): use `planar`. A start is found node by node from
    three (planar: two) placed neighbours each, or from all distances at once (classical
    scaling); a network rigid without that needs a guess.

    References
    ----------
    Classical scaling: W. S. Torgerson, Psychometrika 17 (1952) 401-419 (from memory).

    Examples
    --------
    >>> square = {("A", "B"): 300, ("B", "C"): 400, ("C", "D"): 300, ("D", "A"): 400,
    ...           ("A", "C"): 500, ("B", "D"): 500}
    >>> net = fit_network(square, planar=True)
    >>> {name: (point.round(6) + 0.0).tolist() for name, point in net.points.items()}["C"]
    [300.0, 400.0, 0.0]
    >>> net.spare
    1
    """
    net = _checked(
        distances, known=known or {}, guess=guess or {}, up=up, sigma=sigma, planar=planar
    )
    points = net.start()
    net = net.framed_on(points)
    tapes = net.tapes()
    points, flips = net.unflipped(tapes, net.solved(tapes, net.framed(points)))
    blunder = find_blunder(
        tapes,
        points[net.free],
        net.pairs,
        refit=lambda keep: net.solved(tapes.only(keep), points)[net.free],
    )
    used = tapes
    if blunder and blunder.certain:
        used = tapes.only([pair != blunder.node for pair in net.pairs])
        points = net.solved(used, points)
    else:
        _check_triangles(net)
    points, mirror = net.mirrored(used, points)
    names, free = net.names, net.free
    off = tapes.residuals(points[free])
    return Network(
        points=dict(zip(names, points, strict=True)),
        covariance=dict(zip(names, net.blocks(used, points), strict=True)),
        residuals={pair: float(value) for pair, value in zip(net.pairs, off, strict=True)},
        spare=len(used.distances) - int(free.sum()),
        blunder=blunder,
        mirror=None if mirror is None else dict(zip(names, mirror, strict=True)),
        flips=flips,
        sigma=float(net.sigma.max()),
    )


def _checked(
    distances: Mapping[Pair, float],
    *,
    known: Places,
    guess: Places,
    up: str | None,
    sigma: ArrayLike,
    planar: bool,
) -> TapeNetwork:
    """Check what was given, and number the nodes in order of appearance."""
    for pair in distances:
        if not isinstance(pair, tuple) or len(set(pair)) != 2 or len(pair) != 2:
            raise GeometryError(f"distances: expected pairs of two different nodes (got {pair!r})")
    names = tuple(dict.fromkeys(chain(*distances, known)))
    index = {name: row for row, name in enumerate(names)}
    for word, given in (("guess", guess), ("up", () if up is None else (up,))):
        for name in given:
            if name not in index:
                raise GeometryError(f'{word}: expected one of {", ".join(names)} (got "{name}")')
    tape = np.array(list(distances.values()), dtype=float)
    net = TapeNetwork(
        names=names,
        pairs=tuple(distances),
        ends=np.array([[index[a], index[b]] for a, b in distances]).reshape(-1, 2),
        tape=tape,
        sigma=check_tape(["-".join(pair) for pair in distances], tape, sigma),
        known=_placed(known, names),
        guess=_placed(guess, names),
        up=None if up is None else index[up],
        dim=2 if planar else 3,
    )
    _check_frame(net)
    _check_counts(net)
    return net


def _placed(places: Places, names: tuple[str, ...]) -> Array:
    out = np.full((len(names), 3), np.nan)
    for name, place in places.items():
        out[names.index(name)] = check_place(name, place)
    return out


def _check_frame(net: TapeNetwork) -> None:
    """Refuse nodes that fix the frame by half."""
    known, rough = (places[~np.isnan(places[:, 0])] for places in (net.known, net.guess))
    if net.floating:
        if 0 < len(rough) < len(net.names):
            raise GeometryError("guess: with nothing known, expected a guess of every node")
        return
    if not spans(known[:, : net.dim]):
        needed = "two nodes" if net.dim == 2 else "three nodes not in line"
        raise GeometryError(f"known: expected none or at least {needed} (got {len(known)})")
    if net.dim == 2 and np.ptp(known[:, 2]) > 1e-6:
        raise GeometryError("known: in a planar network all must have the same z")


def _check_counts(net: TapeNetwork) -> None:
    """Refuse nodes with too few distances, naming them."""
    n = len(net.names)
    if n < 3:
        raise GeometryError(f"expected at least 3 nodes (got {n})")
    needed = min(net.dim, n - 1)
    count = np.bincount(net.ends.ravel(), minlength=n)
    short = [
        f"node {name} has {have} and needs {needed - have} more"
        for name, have, place in zip(net.names, count, net.known[:, 0], strict=True)
        if np.isnan(place) and have < needed
    ]
    if short:
        raise GeometryError("too few distances: " + "; ".join(short))
    unknown = n * net.dim - net.dim * (net.dim + 1) // 2 if net.floating else int(net.free.sum())
    telling = int(np.isnan(net.known[net.ends, 0]).any(axis=1).sum())
    if telling < unknown:
        raise GeometryError(
            f"too few distances: the {n} nodes need {unknown} in all, got {telling}; "
            f"node {net.names[np.argmin(np.where(np.isnan(net.known[:, 0]), count, n))]} "
            f"has fewest, and {unknown - telling} more are needed"
        )


def _check_triangles(net: TapeNetwork) -> None:
    """Refuse three distances that close no triangle."""
    table, variance = net.table(), np.zeros((len(net.names),) * 2)
    i, j = net.ends.T
    variance[i, j] = variance[j, i] = net.sigma**2
    taped = np.unique(net.ends)  # known nodes that no tape goes to close theirs by themselves
    table, variance = (each[np.ix_(taped, taped)] for each in (table, variance))
    for a, longest in enumerate(table):
        gap = longest[:, None] - longest - table  # of each b in rows, each c in columns
        doubt = np.sqrt(variance[a][:, None] + variance[a] + variance)
        open_ones = np.argwhere(gap > 3.0 * doubt)
        if len(open_ones):
            b, c = open_ones[0].tolist()
            one, two, apex = (net.names[taped[k]] for k in (a, b, c))
            raise GeometryError(
                f"{one}-{two} {table[a, b]:.1f} mm is {gap[b, c]:.1f} mm longer than "
                f"{one}-{apex} {table[a, c]:.1f} mm and {apex}-{two} {table[c, b]:.1f} mm "
                "together: no triangle closes"
            )
