"""A bare list of points, whatever file it came from."""

from __future__ import annotations

from typing import Any

from cableroute.frozen import frozen


@frozen
class Listed:
    """The points of one cable.

    Parameters
    ----------
    name : str
        What the file calls it; empty where it does not say.
    points : list of (dict or PointEntry)
        As in a route file, bare numbers in mm; or read already.
    lines : list of int
        The line that each stands on; none for a drawing [-].
    """

    name: str
    points: list[Any]
    lines: list[int]


@frozen
class PointList:
    """All that a list of points holds.

    Parameters
    ----------
    cables : tuple of Listed
        One or more.
    unit : str or None
        In which it was measured; None where mm had to be assumed.
    notes : tuple of str
        What was taken for what.
    is_drawn : bool
        Whether it was drawn and not taped, so that no tape's tolerance holds.
    faults : tuple of str
        What is wrong with it, to be told with all else that is wrong.
    """

    cables: tuple[Listed, ...]
    unit: str | None
    notes: tuple[str, ...] = ()
    is_drawn: bool = False
    faults: tuple[str, ...] = ()


def as_route_file(
    found: PointList, stem: str
) -> tuple[dict[str, Any], dict[tuple[Any, ...], int], tuple[str, ...]]:
    """Put a list of points in the form of a route file: data, lines of its keys, notes."""
    cables = [{"name": each.name or stem, "points": each.points} for each in found.cables]
    lines: dict[tuple[Any, ...], int] = {
        ("cable", i, "points", j): line
        for i, each in enumerate(found.cables)
        for j, line in enumerate(each.lines)
    }
    what, header = (
        ("drawing", "") if found.is_drawn else ("CSV", "; a header x_in,y_in,z_in names one")
    )
    told = f"no unit is given in the {what}: its numbers are read as mm{header}"
    assumed = () if found.unit else (told,)
    data: dict[str, Any] = {"title": stem, "cable": cables}
    if found.is_drawn:
        data["tape_tolerance"] = 0.0
    return data, lines, (*found.notes, *assumed)
