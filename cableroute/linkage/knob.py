"""Force at the knob of a two-axis selector, by virtual work over both cables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from cableroute.linkage.force import CableMap
from cableroute.linkage.gates import AXES
from cableroute.linkage.pattern import Gate, Pair
from cableroute.linkage.selector import Axis, Selector, arrives, cable_of
from cableroute.linkage.vectors import FloatArray, cross, norm


def knob_force(
    selector: Selector,
    gates: Sequence[Gate],
    *,
    axis: Axis,
    moving: Literal[1, -1],
    load: Pair,
    cables: tuple[CableMap, CableMap],
) -> FloatArray:
    """Return the force at the knob that moves the box along one axis, at every gate.

    ``F = sum over both cables of C_hand du/dq / r_knob``, so that cross-talk is paid for too

    Parameters
    ----------
    selector : Selector
        The selector.
    gates : sequence of Gate
        Positions of the lever.
    axis : str
        "select" or "shift": which way the knob goes.
    moving : int
        +1 while that lever angle grows, -1 while it falls [-].
    load : tuple of float
        What resists each member of the box [N*mm or N].
    cables : tuple of CableMap
        How each cable passes force: (select, shift).

    Returns
    -------
    ndarray, shape (n,)
        Along the path of the knob, above zero against the motion [N].

    Raises
    ------
    GeometryError
        If a member of the box cannot follow.

    Notes
    -----
    Core per lever angle is taken by central difference over 2e-6 rad. A load of the *other* axis
    counts only as far as cross-talk moves it.
    """
    lever = np.array([gate.lever for gate in gates])
    got = arrives(selector, lever[:, 0], lever[:, 1])
    step = np.where(np.array(AXES) == axis, 1e-6, 0.0)
    torque = np.zeros(len(gates))
    for i, name in enumerate(AXES):
        cable = cable_of(selector, name)
        rate = (
            cable.pulled(selector.lever, *(lever + step).T)
            - cable.pulled(selector.lever, *(lever - step).T)
        ) / 2e-6
        core_way = np.sign(rate) * moving
        with np.errstate(divide="ignore"):
            core_far = core_way * load[i] / np.abs(cable.box.gain(got[i]))
        torque = torque + moving * cables[i].hand(core_far, core_way) * rate
    pin = selector.lever.select_axis if axis == "select" else selector.lever.shift_axis
    arm = norm(cross(pin, selector.lever.knob - selector.lever.pivot))
    return np.asarray(torque / arm)
