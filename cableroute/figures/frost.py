"""What frost does in a conduit: where its water stands, where it comes in, what grease makes of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from cableroute.figures.cable import Figures
from cableroute.frozen import frozen
from cableroute.hardware.lubricants import LUBRICANTS
from cableroute.mechanics.cold import COLDEST, FREEZING, cold_factor

if TYPE_CHECKING:
    from cableroute.route.low_points import LowPoint

#: Grease where none is named, as for the factor of the cold.
COMMON = "mineral-2"


@frozen(eq=False)
class Frost:
    """What a cable meets that works below freezing.

    Parameters
    ----------
    coldest : float
        How cold it gets [degC].
    low : tuple of (str, LowPoint)
        Each place of the conduit, as it lies, in which water stands: the point next to it, and it.
    lets_in : tuple of str
        Ends that open upwards, by their points.
    lubricant : str or None
        What it runs in, where known.
    stiff : bool
        Whether it is colder than such a grease is good to.
    """

    coldest: float
    low: tuple[tuple[str, LowPoint], ...]
    lets_in: tuple[str, ...]
    lubricant: str | None
    stiff: bool

    @property
    def grease(self) -> str:
        """What it runs in, or the common grease where that is not known."""
        return LUBRICANTS[self.lubricant or COMMON].title


def lubricant_of(figures: Figures) -> str | None:
    """Return what a cable runs in, by itself or by its family."""
    cable = figures.cable
    return cable.lubricant or (cable.family.lubricant if cable.family else None)


def frost_of(figures: Figures) -> Frost | None:
    """Look for water in a cable that is said to work below freezing; None for any other."""
    cable, lies = figures.cable, figures.shapes.loose
    if cable.temperature is None or cable.temperature[0] >= FREEZING:
        return None
    from cableroute.route.low_points import low_points, open_upwards

    coldest, lubricant = cable.temperature[0], lubricant_of(figures)
    factor = cold_factor(max(coldest, COLDEST), lubricant=lubricant)
    ends = cable.point_name(0), cable.point_name(len(cable.points) - 1)
    opens = open_upwards(lies)
    return Frost(
        coldest=coldest,
        low=tuple((_nearest_point_name(figures, place), place) for place in low_points(lies)),
        lets_in=tuple(name for name, is_open in zip(ends, opens, strict=True) if is_open),
        lubricant=lubricant,
        stiff=bool(factor.beyond),
    )


def _nearest_point_name(figures: Figures, place: LowPoint) -> str:
    """Return the name of the measured point next to a place."""
    apart = np.linalg.norm(figures.cable.points - place.point, axis=1)
    return figures.cable.point_name(int(np.argmin(apart)))
