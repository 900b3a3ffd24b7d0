"""What is said of a route while its points are typed."""

from __future__ import annotations

import math

import numpy as np

from cableroute.errors import GeometryError
from cableroute.measure.dialogue import Dialogue
from cableroute.route.fillet import fit_arcs
from cableroute.units import format_both


def running_lines(dialogue: Dialogue, *, radius: float) -> list[str]:
    """Say how long the route is so far, how far it turns and where it is tightest."""
    spots = dialogue.points
    if len(spots) < 2:
        return []
    radii = [spot.entry.radius or radius for spot in spots[1:-1]]
    inside = [spot.entry.passes == "inside" for spot in spots[1:-1]]
    try:
        route = fit_arcs(
            np.array([spot.position for spot in spots]),
            min_bend_radius=radii or radius,
            through=~np.array([False, *inside, False]),
        )
    except GeometryError as error:
        return [f"  no route yet: {error}"]
    leg = int(np.argmin(route.slacks))
    slack = float(route.slacks[leg])
    ends = " to ".join(dialogue.name(int(route.kept[i])) for i in (leg, leg + 1))
    room = "to spare" if slack >= 0.0 else "too short for its bends"
    return [
        f"  so far: length {format_both(float(route.length))}, "
        f"wrap {math.degrees(float(route.wrap)):.0f} deg",
        f"  tightest leg: {ends}, {format_both(abs(slack))} {room}",
    ]
