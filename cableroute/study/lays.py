"""How the natural lay follows the points: in proportion, tried on machines that were drawn."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array, BoolArray
from cableroute.figures.cable import Figures
from cableroute.frozen import frozen
from cableroute.route.fillet import refit
from cableroute.route.lay_through import lay_through

#: Machines whose lays are worked out in full, to see how far off the proportion is.
TRIED = 32
#: A coordinate is moved by this to see what the lay does [mm].
NUDGE = 1.0


@frozen(eq=False)
class Lay:
    """The natural lay near the points as read: length, wrap, greatest curvature.

    Parameters
    ----------
    points : ndarray, shape (n, 3)
        Points as read [mm].
    middle : ndarray, shape (3,)
        Length [mm], wrap [rad], greatest curvature [1/mm] there.
    slope : ndarray, shape (n, 3, 3)
        What each of the three gains for a millimetre of each coordinate.
    bought : ndarray, shape (3,)
        What the shape in which it lies has more than the lay, where the length bought is shorter than
        that: of wrap [rad] and curvature [1/mm]; no length, as that is what to order.
    """

    points: Array
    middle: Array
    slope: Array
    bought: Array

    def at(self, points: Array) -> Array:
        """Return length, wrap and curvature for points of shape (k, n, 3), each along the last axis."""
        told: Array = self.middle + np.einsum("knx,nxf->kf", points - self.points, self.slope)
        return told


@frozen
class LayCheck:
    """How far the proportion was off, on machines that were drawn.

    Parameters
    ----------
    tried : int
        Machines whose lay was worked out in full [-].
    length : float
        The most that the length was off by [mm].
    wrap : float
        The most that the wrap was off by [rad].
    """

    tried: int = 0
    length: float = 0.0
    wrap: float = 0.0


def lay_near(figures: Figures, *, moving: bool) -> Lay:
    """Find how the lay follows the points; where they do not move, it does not either."""
    lay, route = figures.lay, figures.route
    middle = np.array([lay.length, lay.wrap, 1.0 / lay.min_radius])
    slope = np.zeros((*route.points.shape, 3))
    if moving and not lay.failure:
        nudges = NUDGE * np.eye(route.points.size).reshape(-1, *route.points.shape)
        ends, settled = full_lays(figures, route.points + np.concatenate((nudges, -nudges)))
        up, down = np.split(ends, 2)
        sure = np.logical_and(*np.split(settled, 2))[:, None]
        slope = np.where(sure, (up - down) / (2.0 * NUDGE), 0.0).reshape(slope.shape)
    loose = figures.shapes.loose
    bought = np.array(
        [0.0, float(loose.wrap) - lay.wrap, 1.0 / float(loose.min_radius) - middle[2]]
    )
    return Lay(route.points, middle, slope, bought if loose is not lay.run else np.zeros(3))


def full_lays(figures: Figures, points: Array) -> tuple[Array, BoolArray]:
    """Work out lays in full: length, wrap, curvature along the last axis; and which settled."""
    lays = lay_through(_passed(figures, points), headings=figures.route.headings)
    told = np.stack([lays.length, lays.wrap, 1.0 / lays.min_radius], axis=-1)
    return told, lays.settled


def _passed(figures: Figures, points: Array) -> Array:
    """Return the places where the tight run passes: a point passed inside is cut off."""
    if bool(np.all(figures.route.through)):
        return points
    runs = (refit(figures.route, each) for each in points)
    return np.stack([run.point(run.stations) for run in runs])


def try_lays(figures: Figures, lay: Lay, points: Array) -> LayCheck:
    """Hold the proportion against lays worked out in full, those that settle."""
    if figures.lay.failure or not len(points):
        return LayCheck()
    found, settled = full_lays(figures, points)
    off = np.abs(found - lay.at(points))[settled]
    if not len(off):
        return LayCheck()
    return LayCheck(len(off), float(off[:, 0].max()), float(off[:, 1].max()))
