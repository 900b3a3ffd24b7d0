r"""What of an elastic core's grip on a bend is left under tension or thrust.

A core crosses from one wall to the other where straight and arc meet. Between the walls its curvature
:math:`\phi` obeys :math:`EI\,\phi'' = n\,\phi`, n being the axial force in it; it touches a wall
along it, so slope and offset at both ends of the crossing are those of the walls. In lengths of
:math:`\lambda = \sqrt{EI/|n|}` and curvatures of the bend's, one number is left: that of the arc is
:math:`t = c R/\lambda^2`, that of a corner :math:`m = c/(\theta\lambda)`. Each share below is 1
without load. Our own derivation.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from cableroute.arrays import Array


def arc_share_pulled(t: Array) -> Array:
    """Share of the outer wall's force left by a pull: 0 from t = 1/2 on, where it is lifted off."""
    return np.interp(t, *_arc_pulled(), right=0.0)


@cache
def _arc_pulled() -> tuple[Array, Array]:
    """Tabulate t = 1 - l/sinh l - tanh^2(l/2)/2 and 1/sinh l over 1/sqrt(24t), l lengths long."""
    length = np.linspace(0.05, 40.0, 4000)
    t = 1.0 - length / np.sinh(length) - 0.5 * np.tanh(0.5 * length) ** 2
    share = np.sqrt(24.0 * t) / np.sinh(length)
    return np.append(0.0, t), np.append(1.0, share)


def corner_share_pulled(m: Array) -> Array:
    """Share of the same in a corner, each half the mirror image of the other: 0 from m = 1/2 on."""
    return np.interp(m, *_corner_pulled(), right=0.0)


@cache
def _corner_pulled() -> tuple[Array, Array]:
    half = np.linspace(0.05, 60.0, 6000)
    m = (np.sinh(half) - half) / (2.0 * (np.cosh(half) - 1.0))
    return np.append(0.0, m), np.append(1.0, 18.0 * m**2 / (np.cosh(half) - 1.0))


def arc_share_pushed(t: Array, half_arc: Array) -> Array:
    """Share of the inner wall's force left by a thrust, in an arc of so many lengths to either side.

    In a long arc the core goes over to the outer wall; in a short one it only bows between its two
    places on the inner wall, which is left later. The greater share is taken.
    """
    long = np.interp(t, *_arc_pushed(), right=0.0)
    m = np.clip(half_arc - np.sqrt(6.0 * t), 1e-9, 0.5 * np.pi)
    at_wall = np.clip(m / np.tan(m), 0.0, 1.0)  # curvature there over the bend's
    bowed = at_wall**1.5 * np.sqrt(4.0 - 3.0 * at_wall) - m * np.sqrt(24.0 * t)
    share: Array = np.maximum(long, np.clip(bowed, 0.0, 1.0))
    return share


@cache
def _arc_pushed() -> tuple[Array, Array]:
    """From the outer wall on the straight to the inner at one place, b on to the outer in the arc.

    Past the inner wall the curvature is C cos + D sin; the outer wall asks three things of it, which
    give C, D and t for each b. Before it the curvature is a sine; what it turns fixes its length x.
    """
    b = np.linspace(0.02, 1.24, 245)
    C = b * np.sin(b) / (1.0 - np.cos(b)) - 1.0
    D = (b * np.cos(b) - np.sin(b)) / (np.cos(b) - 1.0)
    t = 0.5 * b**2 - C * (1.0 - np.cos(b)) - D * (b - np.sin(b))

    def excess(x: Array) -> Array:
        turned = C * np.tan(0.5 * x)
        fall: Array = 0.5 * turned**2 - C / np.sin(x) * (x - np.sin(x)) + t
        return fall

    low, high = np.full_like(b, 1e-6), np.full_like(b, 1.2)
    for _ in range(60):
        middle = 0.5 * (low + high)
        above = excess(middle) > 0.0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    share = np.sqrt(24.0 * t) * (C / np.tan(low) - D)
    return np.append(0.0, t), np.append(1.0, np.maximum(share, 0.0))


def corner_share_pushed(m: Array) -> Array:
    """Share of the same in a corner: 0 from m = (pi - 2)/4 on."""
    return np.interp(m, *_corner_pushed(), right=0.0)


@cache
def _corner_pushed() -> tuple[Array, Array]:
    half = np.linspace(0.02, 0.5 * np.pi, 400)
    m = (half - np.sin(half)) / (2.0 * (1.0 - np.cos(half)))
    share = 18.0 * m**2 * np.cos(half) / (1.0 - np.cos(half))
    return np.append(0.0, m), np.append(1.0, share)
