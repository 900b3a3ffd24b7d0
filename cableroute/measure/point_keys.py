"""What the keys of a point say of it once it is placed: how it is held, where it may be moved."""

from __future__ import annotations

from typing import Any

import numpy as np

from cableroute.measure.models import PointEntry
from cableroute.measure.tubes import Tube


def heading_of(point: PointEntry, tube: Tube | None, points: Any, j: int) -> Any:
    """Direction in which the conduit is held at a point; along a tube, the way the run goes."""
    if point.heading is None:
        return None
    if point.heading != "tube" or tube is None:
        way = np.asarray(point.heading, dtype=np.float64)
        return way / np.linalg.norm(way)
    onward = points[min(j + 1, len(points) - 1)] - points[max(j - 1, 0)]
    return tube.axis if onward @ tube.axis >= 0.0 else -tube.axis


def move_of(point: PointEntry, *, is_end: bool) -> str:
    """Where a point may be moved: as stated, else anchors and ends nowhere, others as they can."""
    if point.move:
        return point.move
    if is_end or point.fix == "anchor":
        return "no"
    return "tube" if point.on else "free"
