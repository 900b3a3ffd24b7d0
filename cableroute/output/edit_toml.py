"""The text of a new route file, and of a new cable in an old one."""

from __future__ import annotations

from cableroute.output.toml_values import written


def starter_text(*, title: str, unit: str, cable: str, bend_radius: str, note: str = "") -> str:
    """Return a route file with one cable that has no points yet.

    Examples
    --------
    >>> print(starter_text(title="Trike", unit="in", cable="shift", bend_radius="60 mm"))
    title = "Trike"
    unit = "in"
    <BLANKLINE>
    [[cable]]
    name = "shift"
    bend_radius = "60 mm"
    points = [
    ]
    <BLANKLINE>
    """
    head = f"title = {written(title)}\nunit = {written(unit)}\n"
    return head + cable_text(cable=cable, bend_radius=bend_radius, note=note)


def cable_text(*, cable: str, bend_radius: str, note: str = "") -> str:
    """Return a cable without points, to stand at the end of a route file."""
    beside = f"  # {note}" if note else ""
    radius = f"bend_radius = {written(bend_radius)}{beside}"
    return f"\n[[cable]]\nname = {written(cable)}\n{radius}\npoints = [\n]\n"
