"""What all sweeps of a run add at the hand: the grip at both ends of each, times friction."""

from __future__ import annotations

import numpy as np

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.mechanics._sweeps import Sweeps
from cableroute.mechanics._wedge import (
    arc_share_pulled,
    arc_share_pushed,
    corner_share_pulled,
    corner_share_pushed,
)

#: A gap with nothing beyond it [mm].
FAR = 1e9


@frozen(eq=False)
class _Joint:
    """What lies next to one end of each sweep.

    A bend the other way, close by, multiplies N by ``factor``; the straight before one that turns
    the same way is no longer than ``gap``, :data:`FAR` where there is none [mm].
    """

    factor: Array
    gap: Array


def grip_over_run(
    sweeps: Sweeps, load: Array, mu: Array, EI: Array, clearance: Array, *, entry: Array
) -> Array:
    """Sum over both ends of all sweeps; a load below zero is a push, ``entry`` weighs EI/2R^2."""
    a = _half_bridge(sweeps, clearance)
    bent = np.minimum(sweeps.curvature, sweeps.turn / a)  # how far the core bends in a short one
    thrust = 0.5 * entry * EI * bent**2
    total = sweeps.turn.sum(-1, keepdims=True)
    # what entry makes of the wall force, as far as it is more than that of the load alone
    kept = np.clip(np.minimum(thrust, thrust - 2.0 * load), 0.0, None)
    added: Array = kept * (_growth(mu * sweeps.turn) - 1.0) * _growth(mu * sweeps.before)
    for turned, joint in zip((0.0 * sweeps.turn, sweeps.turn), _joints(sweeps, a), strict=True):
        before = _growth(mu * (sweeps.before + turned))
        axial = load * _growth(mu * total) / before - thrust
        added = added + 2.0 * mu * before * _grip(sweeps, axial, EI, clearance, joint)
    whole: Array = added.sum(-1)
    return whole


def _growth(exponent: Array) -> Array:
    """e^x, with an end to it: more is as good as no getting through."""
    growth: Array = np.exp(np.minimum(exponent, 300.0))
    return growth


def _half_bridge(sweeps: Sweeps, clearance: Array) -> Array:
    """Half the crossing of an unloaded core where straight and arc meet."""
    k = sweeps.curvature
    half: Array = np.sqrt(6.0 * clearance / np.where(k > 0.0, k, 1.0))
    return half


def _grip(sweeps: Sweeps, axial: Array, EI: Array, clearance: Array, joint: _Joint) -> Array:
    """N at one end of each sweep under an axial force in the core, a thrust being below zero."""
    k = sweeps.curvature
    flex = np.sqrt(np.abs(axial) / np.where(EI > 0.0, EI, 1.0))  # 1/lambda
    # a crossing that a neighbour makes shorter is lifted, or pressed out, later
    t = flex**2 * clearance / np.where(k > 0.0, k, np.inf) / joint.factor**2
    pushed = arc_share_pushed(t, 0.5 * flex * sweeps.length)
    share = np.where(axial >= 0.0, arc_share_pulled(t), pushed)
    as_arc = joint.factor * share * EI * k / (2.0 * _half_bridge(sweeps, clearance))
    whole = _corner(sweeps.turn, sweeps.length, axial, flex, EI, clearance)
    missing = _corner(joint.gap * k, joint.gap, axial, flex, EI, clearance)
    as_corner = np.where(joint.factor > 1.0, np.inf, np.minimum(whole, missing))
    return np.where(np.isfinite(as_corner), as_corner, as_arc)


def _corner(
    turn: Array, length: Array, axial: Array, flex: Array, EI: Array, clearance: Array
) -> Array:
    """N at either end of a bend that is touched in its middle; infinite if it has room for a bridge.

    With half a crossing a = 6c/turn + 3/4 of the length, N = EI turn/a^2; the two rules meet, and with
    one slope, where the length is a whole bridge.
    """
    room = clearance + turn * length / 8.0
    m = flex * room / np.where(turn > 0.0, turn, np.inf)
    share = np.where(axial >= 0.0, corner_share_pulled(m), corner_share_pushed(m))
    force = share * EI * turn**3 / (36.0 * room**2)
    return np.where(length * turn > 24.0 * clearance, np.inf, force)


def _joints(sweeps: Sweeps, a: Array) -> tuple[_Joint, _Joint]:
    """Towards the hand, and beyond each sweep.

    Two steps of curvature the other way round, a gap g apart, are crossed as one, over half a bridge
    b with b^2 = 6c/(k1 + k2) + 3g^2/4, where that grips harder than each by itself.
    """
    k, gap = sweeps.curvature, sweeps.gap[..., :-1]
    onward = sweeps.onward[..., :-1]
    both = k[..., :-1] + k[..., 1:]
    six_c = (a**2 * k)[..., :-1]
    crossed = np.sqrt(six_c / np.where(both > 0.0, both, 1.0) + 0.75 * gap**2)
    apart = (k / a)[..., :-1] + (k / a)[..., 1:]
    factor = np.maximum(both / crossed / np.where(apart > 0.0, apart, 1.0), 1.0)
    factor = np.where(onward | ~np.isfinite(gap), 1.0, factor)
    gap = np.broadcast_to(np.where(onward, gap, FAR), factor.shape)
    end = np.ones((*factor.shape[:-1], 1))
    return (
        _Joint(np.concatenate((end, factor), -1), np.concatenate((FAR * end, gap), -1)),
        _Joint(np.concatenate((factor, end), -1), np.concatenate((gap, FAR * end), -1)),
    )
