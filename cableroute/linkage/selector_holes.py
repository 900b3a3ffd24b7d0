"""A selector with one cable moved to another hole: along its lever, or along the box's arm."""

from __future__ import annotations

from dataclasses import replace

from cableroute.arrays import Array
from cableroute.errors import GeometryError
from cableroute.linkage.drum import Drum
from cableroute.linkage.selector import Axis, Selector, SelectorCable, cable_of
from cableroute.linkage.slide import Slide
from cableroute.linkage.vectors import check_direction


def lever_pivot(selector: Selector, axis: Axis) -> Array:
    """Return where one cable's arm of the lever meets the pin, from which its hole is measured.

    Parameters
    ----------
    selector : Selector
        The selector.
    axis : str
        "select" or "shift": which cable.

    Returns
    -------
    ndarray, shape (3,)
        [mm]
    """
    pivot = cable_of(selector, axis).arm_pivot
    return selector.lever.pivot if pivot is None else pivot


def with_lever_radius(selector: Selector, axis: Axis, radius: float) -> Selector:
    """Move one cable's attachment along the lever, nearer to or farther from the pivot.

    Parameters
    ----------
    selector : Selector
        The selector.
    axis : str
        "select" or "shift": which cable.
    radius : float
        Pivot to attachment [mm].

    Returns
    -------
    Selector
    """
    cable = cable_of(selector, axis)
    pivot = lever_pivot(selector, axis)
    moved = replace(cable, point=pivot + radius * check_direction(cable.point - pivot, cable.name))
    return with_cable(selector, axis, moved)


def with_box_radius(selector: Selector, axis: Axis, radius: float) -> Selector:
    """Move one cable to another hole in the box's arm.

    Parameters
    ----------
    selector : Selector
        The selector.
    axis : str
        "select" or "shift": which cable.
    radius : float
        Pivot to hole [mm].

    Returns
    -------
    Selector

    Raises
    ------
    GeometryError
        If that member of the box is not an arm.
    """
    cable = cable_of(selector, axis)
    if isinstance(cable.box, Drum) or isinstance(cable.box.member, Slide):
        raise GeometryError(f"{cable.name}: expected an arm at the box, got a drum or a slide")
    arm = replace(cable.box.member, radius=radius)
    return with_cable(selector, axis, replace(cable, box=replace(cable.box, member=arm)))


def with_cable(selector: Selector, axis: Axis, cable: SelectorCable) -> Selector:
    """Put another cable in the place of one of the two.

    Parameters
    ----------
    selector : Selector
        The selector.
    axis : str
        "select" or "shift": which cable.
    cable : SelectorCable
        What takes its place.

    Returns
    -------
    Selector
    """
    if axis == "select":
        return replace(selector, select=cable)
    return replace(selector, shift=cable)
