"""Whether a spring brings a cable back, and in which states it has to."""

from __future__ import annotations

from dataclasses import field, replace

from cableroute.arrays import Array
from cableroute.figures.cable import Figures
from cableroute.figures.frost import lubricant_of
from cableroute.figures.stiffness import drag_band
from cableroute.figures.travel import far_load
from cableroute.frozen import frozen
from cableroute.hardware.liners import LINERS, Liner
from cableroute.mechanics.ageing import Condition, condition_ranges
from cableroute.mechanics.cold import COLDEST
from cableroute.mechanics.far_load import FarLoad
from cableroute.mechanics.return_spring import ReturnBand, return_band


@frozen(eq=False)
class Returning:
    """Whether a spring at the far end brings a pull cable back.

    Parameters
    ----------
    warm : ReturnBand
        At high friction, from free to locked wires.
    cold : ReturnBand
        With friction and drag as in the cold: from the least that cold makes of them to the most.
    cold_drag : float
        Drag in the cold over that read warm [-].
    drag_known : bool
        Whether anything is known of the cable's own drag, be it a band.
    springs : int or None
        How many springs bring it back, each held against the need alone; None where the file does
        not say, and all is taken to be one [-].
    alone : tuple of float
        What one of them pulls with, at rest and at full travel [N].
    helping : float
        What else brings it back, at its least over the stroke: a weight, detents; below zero what
        they hold [N].
    given : bool
        Whether the file gives anything that brings it back.
    neglected : dict of str to ReturnBand
        Dirty and dry, as none should be left.
    """

    warm: ReturnBand
    cold: ReturnBand
    cold_drag: float = 1.0
    drag_known: bool = True
    springs: int | None = None
    alone: tuple[float, float] = (0.0, 0.0)
    helping: float = 0.0
    given: bool = True
    neglected: dict[str, ReturnBand] = field(default_factory=dict)

    @property
    def states(self) -> dict[str, ReturnBand]:
        """Warm and cold, by their names in a sentence."""
        return {"at high friction": self.warm, "cold": self.cold}

    @property
    def most_reading(self) -> float:
        """Drag read warm at the hand up to which it comes back, cold too [N]."""
        return float(min(self.warm.most_drag, self.cold.most_drag / self.cold_drag))

    def wanted(self, margin: float) -> tuple[float, float]:
        """Return what one spring must pull with at both ends of the stroke, warm and cold [N].

        A coil's force runs straight from end to end, so what holds at both holds between them.
        """
        warm, cold = (
            max(margin * float(band.stiff.required) - self.helping, 0.0)
            for band in (self.warm, self.cold)
        )
        return warm, cold

    @property
    def is_sure(self) -> bool:
        """Whether its drag is measured, so that a pass rests on no guess."""
        return self.warm.drag_measured


def conditions_of(figures: Figures) -> tuple[Condition, ...]:
    """Return every state that the cable gets into, and its friction there."""
    span = figures.cable.temperature
    return condition_ranges(
        figures.friction,
        liner=liner_of(figures),
        coldest=max(span[0], COLDEST) if span else None,
        lubricant=lubricant_of(figures),
    )


def liner_of(figures: Figures) -> Liner | None:
    """Return the liner of a cable, where it is known."""
    family = figures.cable.family
    return LINERS.get(family.liner) if family and family.liner else None


def apparent_scale(figures: Figures) -> float:
    """Return the most that the run may turn over what the tight one does [-]."""
    return figures.shapes.growth[1]


def returning_of(figures: Figures, conditions: tuple[Condition, ...]) -> Returning | None:
    """Hold each spring alone against what must come back: warm, cold, dirty and dry."""
    cable = figures.cable
    if cable.kind != "pull":
        return None
    springs = cable.resists.springs if cable.resists else None
    load, force, alone = _one_spring(figures, springs)

    def band(friction: float, factor: float) -> ReturnBand:
        return return_band(
            wrap=figures.wraps[1],
            friction=friction,
            spring=max(float(force.min()), 0.0),
            drag=_drag_at(figures, friction, factor),
            drag_measured=cable.drag is not None,
            hand_resistance=cable.hand_resists,
            far_resistance=load.friction,
        )

    freezing = next(each for each in conditions if each.name == "cold")
    warm, cold = band(figures.friction[1], 1.0), band(freezing.high, freezing.drag_factor)
    least = _least_cold(figures, freezing)
    mild = band(least * figures.friction[1], least)
    return Returning(
        warm=warm,
        cold=replace(cold, slack=mild.slack),
        cold_drag=freezing.drag_factor,
        drag_known=figures.drag is not None,
        springs=springs,
        alone=(float(alone[0]), float(alone[-1])),
        helping=float((force - alone).min()),
        given=bool(force.any()),
        neglected={
            each.name: band(each.high, each.drag_factor)
            for each in conditions
            if each.name in ("dirty", "dry")
        },
    )


def _one_spring(figures: Figures, springs: int | None) -> tuple[FarLoad, Array, Array]:
    """Return what resists at the far end, and over the stroke one spring with what helps it, and alone."""
    cable = figures.cable
    load = far_load(cable.resists) if cable.resists else FarLoad()
    places = load.places(0.0, figures.travel or 0.0)
    one = replace(load, preload=load.preload / (springs or 1), rate=load.rate / (springs or 1))
    return load, one.force(places), replace(one, dead=0.0, detents=()).force(places)


def least_spring(figures: Figures) -> tuple[float, float] | None:
    """Return what brings a cable back at least, by one spring, and friction at the far end [N].

    None for a cable that is worked both ways, or where nothing is said to bring it back.
    """
    if figures.cable.kind != "pull" or figures.cable.resists is None:
        return None
    load, force, _ = _one_spring(figures, figures.cable.resists.springs)
    return (max(float(force.min()), 0.0), load.friction) if force.any() else None


def cold_factors(figures: Figures) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return what cold multiplies friction and drag by, at least and at most [-]."""
    freezing = next(each for each in conditions_of(figures) if each.name == "cold")
    least, high = _least_cold(figures, freezing), figures.friction[1]
    most = freezing.high / high if high > 0.0 else freezing.drag_factor
    return (least, least), (most, freezing.drag_factor)


def _least_cold(figures: Figures, freezing: Condition) -> float:
    """Return what cold multiplies friction by at least [-]."""
    low = figures.friction[0]
    return freezing.low / low if low > 0.0 else 1.0


def _drag_at(figures: Figures, friction: float, factor: float) -> tuple[float, float]:
    """Drag without load: as measured and then times a factor, or the band at that friction."""
    cable = figures.cable
    if cable.drag is not None:
        return cable.drag * factor, cable.drag * factor
    scale = apparent_scale(figures)
    band = drag_band(cable, figures.route, figures.core, friction=scale * friction)
    return (0.0, 0.0) if band is None else (float(band[0]), float(band[1]))
