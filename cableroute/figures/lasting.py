"""How one cable fares over its life: return, heat, friction that changes."""

from __future__ import annotations

from math import isfinite

from cableroute.figures.cable import Figures
from cableroute.figures.folding import Folding, folding_of
from cableroute.figures.forces import pulls_along, pushes_along
from cableroute.figures.frost import Frost, frost_of
from cableroute.figures.returning import (
    Returning,
    apparent_scale,
    conditions_of,
    liner_of,
    returning_of,
)
from cableroute.figures.stiffness import added_to_pull, added_to_push
from cableroute.figures.strain import Strain, strain_of
from cableroute.figures.travel import far_load, reach_of
from cableroute.frozen import frozen
from cableroute.hardware.liners import Liner
from cableroute.mechanics.ageing import Condition
from cableroute.mechanics.force_doubt import BEYOND, beyond_range
from cableroute.mechanics.heat import free_play_change, liner_growth


@frozen
class Beyond:
    """What friction a fifth above its range costs at the hand.

    Parameters
    ----------
    pull : float
        On top of the pull [N].
    push : float or None
        On top of the push, infinite where it locks up; None for a cable that only pulls [N].
    """

    pull: float
    push: float | None


@frozen
class Aged:
    """What a cable asks in one condition, at the high end of its friction.

    Parameters
    ----------
    condition : Condition
        Which, and its friction.
    pull : float
        Force at the hand, pulling [N].
    passed : float
        Share of the pull that arrives, stiffness at its most [-].
    by_bends : float
        The same by the bends alone [-].
    push : float or None
        Force at the hand, pushing, infinite where it locks up; None for a cable that only pulls [N].
    """

    condition: Condition
    pull: float
    passed: float
    by_bends: float
    push: float | None


@frozen
class Heat:
    """What temperature does to a cable.

    Parameters
    ----------
    range : tuple of float
        Coldest and hottest [degC].
    given : bool
        Whether the file says so; else it is what the cable stands.
    free_play : tuple of float
        Slack that the core gains, coldest and hottest [mm].
    creep : tuple of float or None
        Length by which a free liner stands out of its conduit, coldest and hottest; None for a
        liner that is not known [mm].
    liner : Liner or None
        The liner, where it is known.
    """

    range: tuple[float, float]
    given: bool
    free_play: tuple[float, float]
    creep: tuple[float, float] | None
    liner: Liner | None


@frozen(eq=False)
class Lasting:
    """How a cable fares over its life.

    Parameters
    ----------
    demand : Returning or None
        What must bring it back, be a spring given or not; None for a cable that is worked both ways.
    strain : Strain or None
        What its wires bear; None without bends or without their strength.
    heat : Heat or None
        What temperature does; None where neither cable nor file says how cold and hot.
    ages : tuple of Aged
        New, worn, dirty, dry and cold.
    folding : Folding or None
        What folds first as a push grows; None for a cable that only pulls, or without cable data.
    frost : Frost or None
        Where water stands and comes in; None where it is not said to work below freezing.
    beyond : Beyond or None
        What friction above its range costs; None where the force has no bounds.
    resisting : float or None
        The most that the far end resists with over the travel, where that is given [N].
    """

    demand: Returning | None
    strain: Strain | None
    heat: Heat | None
    ages: tuple[Aged, ...]
    folding: Folding | None = None
    frost: Frost | None = None
    beyond: Beyond | None = None
    resisting: float | None = None

    @property
    def returning(self) -> Returning | None:
        """Its return spring; None for a cable worked both ways, or a spring that is not given."""
        return self.demand if self.demand is not None and self.demand.given else None


def lasting_of(figures: Figures) -> Lasting:
    """Work out return, strain, heat, and what each condition of friction asks."""
    conditions, liner = conditions_of(figures), liner_of(figures)
    return Lasting(
        demand=returning_of(figures, conditions),
        strain=strain_of(figures),
        heat=_heat(figures, liner),
        ages=_ages(figures, conditions),
        folding=folding_of(figures),
        frost=frost_of(figures),
        beyond=_beyond(figures),
        resisting=_resisting(figures),
    )


def _beyond(figures: Figures) -> Beyond | None:
    """Work out what friction above its range costs; a push, which may snake, anew."""
    pull, friction = figures.pull, figures.apparent_friction[1]
    if not isfinite(pull.inputs[1]):
        return None
    bare = max(pull.inputs[1] - pull.held[1], 0.0)
    more = float(beyond_range(bare, friction=friction, wrap=figures.route.wrap))
    push = figures.push.through if figures.push else None
    if push is None:
        return Beyond(more + BEYOND * pull.stiffness, None)
    cable, raised = figures.cable, (1.0 + BEYOND) * friction
    along = pushes_along(cable, figures.route, figures.core, load=push.load, friction=raised)
    rest = push.inputs[1] - push.held[1] if isfinite(push.inputs[1]) else 0.0
    pushed = max(float(along[0]) - rest, 0.0) + BEYOND * push.stiffness
    return Beyond(more + BEYOND * pull.stiffness, pushed)


def _resisting(figures: Figures) -> float | None:
    """Return the most that the far end resists with over the travel [N]."""
    resists = figures.cable.resists
    if resists is None or not figures.travel:
        return None
    return far_load(resists).greatest(reach_of(figures.cable))


def _ages(figures: Figures, conditions: tuple[Condition, ...]) -> tuple[Aged, ...]:
    """Hand forces in every condition, all of them in one batch."""
    cable, route, core = figures.cable, figures.route, figures.core
    scale = apparent_scale(figures)
    highs = [scale * condition.high for condition in conditions]
    load = figures.pull.load
    pulls = pulls_along(route, core, load=load, friction=highs)[:, 0]
    stiff = added_to_pull(cable, route, core, load=load, friction=highs)
    pushes = None
    if figures.push:
        pushed = figures.push.through.load
        along = pushes_along(cable, route, core, load=pushed, friction=highs)
        pushes = along[:, 0] + added_to_push(cable, route, core, load=pushed, friction=highs)
    measured = cable.drag or 0.0
    aged = []
    for i, condition in enumerate(conditions):
        drag = measured * condition.drag_factor
        bare, pull = float(pulls[i]), float(pulls[i] + stiff[i])
        push = float(pushes[i]) + drag if pushes is not None else None
        shares = share_of(load, pull), share_of(load, bare)  # a measured drag apart
        aged.append(Aged(condition, pull + drag, *shares, push))
    return tuple(aged)


def share_of(load: float, hand: float) -> float:
    """Return the share of the force at the hand that arrives [-]."""
    return load / hand if load > 0.0 and hand > 0.0 else 1.0


def _heat(figures: Figures, liner: Liner | None) -> Heat | None:
    cable, family = figures.cable, figures.cable.family
    span = cable.temperature or (family.temperature if family else None)
    if span is None or family is None:
        return None
    length = figures.order.conduit
    free = free_play_change(
        length=length,
        core_expansion=family.core_expansion,
        conduit_expansion=family.conduit_expansion,
        temperature_range=span,
    )
    creep = None
    if liner is not None and liner.name != "none":
        creep = liner_growth(
            length=length,
            liner_expansion=liner.expansion,
            conduit_expansion=family.conduit_expansion,
            temperature_range=span,
        )
    return Heat(
        range=span,
        given=cable.temperature is not None,
        free_play=(float(free[0]), float(free[1])),
        creep=(float(creep[0]), float(creep[1])) if creep else None,
        liner=liner,
    )
