"""Two linkages of the route file bound into a selector, its pattern in the members' coordinates."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cableroute.errors import GeometryError
from cableroute.linkage.arms import Arm
from cableroute.linkage.build import Built
from cableroute.linkage.lever import TwoAxisLever
from cableroute.linkage.pattern import Gate, gate_pattern
from cableroute.linkage.selector import Selector, SelectorCable
from cableroute.linkage.slide import Slide
from cableroute.measure.linkage_models import SelectorEntry

#: What rounding may put a gate beyond the lever's range [rad].
SLOP = 1e-9


def build_selector(
    entry: SelectorEntry, *, select: Built, shift: Built
) -> tuple[Selector, tuple[Gate, ...]]:
    """Bind two linkages into a selector, its pattern in the coordinates of the members.

    Parameters
    ----------
    entry : SelectorEntry
        What the file says.
    select, shift : Built
        The linkage that picks the column and the one that works the row.

    Returns
    -------
    Selector
    tuple of Gate

    Raises
    ------
    GeometryError
        If the two do not share a lever, one has a crank or a drum, or the pattern is at fault.
    """
    try:
        select_cable, shift_cable = _selector_cable(select), _selector_cable(shift)
        first, second = select.entry.hand, shift.entry.hand
        if first.pivot != second.pivot:
            raise GeometryError(
                f"expected both linkages on one lever, got pivots {list(first.pivot)} and "
                f"{list(second.pivot)}"
            )
        lever = TwoAxisLever(
            pivot=np.array(first.pivot),
            knob=select.chain.bodies[0].point(working=False).at(0.0),
            select_axis=np.array(first.axis),
            shift_axis=np.array(second.axis),
            joint=entry.joint,
        )
        selector = Selector(
            name=entry.name,
            lever=lever,
            select=select_cable,
            shift=shift_cable,
            shift_rides=entry.shift_rides,
        )
        return selector, _gates(entry, select, shift)
    except GeometryError as error:
        raise GeometryError(f'selector "{entry.name}": {error}') from error


def _selector_cable(built: Built) -> SelectorCable:
    chain = built.chain
    swivel, arm = chain.cable.hand, chain.bodies[0].point(working=True)
    if len(chain.bodies) != 2 or swivel is None:
        raise GeometryError(
            f'expected a lever arm and a cable straight to the box in linkage "{chain.name}", '
            "got a crank or a drum"
        )
    return SelectorCable(
        name=f"{chain.name} cable",
        point=arm.at(0.0),
        hand=swivel,
        box=chain.cable.end(chain.bodies[-1].incoming, at_hand=False),
        lost=chain.cable.lost,
        let_out=chain.cable.let_out,
        arm_pivot=arm.pivot if isinstance(arm, Arm) else None,
    )


def box_unit(built: Built) -> float:
    """Return one unit of the file's box positions in the far member's coordinate.

    Parameters
    ----------
    built : Built
        One of a selector's linkages.

    Returns
    -------
    float
        1 for a slide in mm, pi/180 for an arm in degrees [mm/mm or rad/deg].
    """
    return 1.0 if isinstance(built.chain.bodies[-1].incoming, Slide) else float(np.radians(1.0))


def _gates(entry: SelectorEntry, select: Built, shift: Built) -> tuple[Gate, ...]:
    def box(built: Built, values: Sequence[float]) -> list[float]:
        return [built.far_sense * box_unit(built) * value for value in values]

    def lever(built: Built, degrees: Sequence[float]) -> list[float]:
        angles = [built.hand_sense * float(np.radians(value)) for value in degrees]
        if (
            max(angles, default=0.0) > built.high + SLOP
            or min(angles, default=0.0) < built.low - SLOP
        ):
            raise GeometryError(
                f'expected gates within the range of linkage "{built.entry.name}", '
                f"{np.degrees(built.low):g} to {np.degrees(built.high):g} degrees, got "
                f"{list(degrees)}"
            )
        return angles

    return gate_pattern(
        entry.columns,
        lever_columns=lever(select, entry.lever_columns_deg),
        lever_rows=lever(shift, entry.lever_rows_deg),
        box_columns=box(select, entry.box_columns),
        box_rows=box(shift, entry.box_rows),
        tolerance=(entry.tolerance[0] * box_unit(select), entry.tolerance[1] * box_unit(shift)),
        press=entry.press,
    )
