"""Which length to buy, and how long the core and the whole cable are."""

from __future__ import annotations

import math
from collections.abc import Sequence

from cableroute.errors import CableRouteError
from cableroute.frozen import frozen

#: Shortfall forgiven in a length [mm]: what converting feet leaves, far below any tape.
ROUNDING = 1e-6


@frozen
class StockChoice:
    """The stock length that serves, and its neighbours on the list.

    Parameters
    ----------
    stock : float or None
        The shortest stock length that is long enough [mm]; None when none is.
    slack : float or None
        ``stock`` less the need alone [mm]; None when no length serves.
    shortfall : float
        What the longest lacks when none serves, wanted slack and doubt included; else 0 [mm].
    longest : float
        The longest length on the list [mm].
    ladder : tuple of (float, float)
        Length and slack of the next shorter and the next longer, as far as they exist [mm].
        A negative slack is less than the need.
    """

    stock: float | None
    slack: float | None
    shortfall: float
    longest: float
    ladder: tuple[tuple[float, float], ...]


def choose_stock(
    need: float, *, stock_lengths: Sequence[float], slack: float = 0.0, doubt: float = 0.0
) -> StockChoice:
    """Choose the shortest stock length that covers the need, the wanted slack and the doubt.

    ``stock = min(length for length in stock_lengths if length >= need + slack + doubt)``

    Parameters
    ----------
    need : float
        Length the route asks for, in what the stock lengths measure [mm].
    stock_lengths : sequence of float, shape (n,)
        Lengths on offer, in any order [mm].
    slack : float
        Slack wanted at least [mm].
    doubt : float
        Doubt of ``need`` to cover, as half the width of its interval [mm].

    Returns
    -------
    StockChoice
        The choice, or the shortfall when even the longest is too short.

    Raises
    ------
    CableRouteError
        If there is no stock length, or a length is not a number in its range.

    Notes
    -----
    Surplus length has to go somewhere and costs wrap, so the shortest that serves is chosen. A
    shortfall of less than :data:`ROUNDING` is forgiven.

    Examples
    --------
    >>> choice = choose_stock(1420.0, stock_lengths=[1000, 1500, 2000], slack=50.0)
    >>> choice.stock, choice.slack, choice.ladder
    (1500, 80.0, ((1000, -420.0), (2000, 580.0)))

    References
    ----------
    Common practice, no source.
    """
    wanted = _positive(need, "need") + _not_negative(slack, "slack") + _not_negative(doubt, "doubt")
    lengths = sorted({_positive(length, "stock length") for length in stock_lengths})
    if not lengths:
        raise CableRouteError("stock lengths: expected at least one, got none")
    fit = next((i for i, x in enumerate(lengths) if x >= wanted - ROUNDING), len(lengths))
    neighbours = lengths[max(fit - 1, 0) : fit] + lengths[fit + 1 : fit + 2]
    stock = lengths[fit] if fit < len(lengths) else None
    return StockChoice(
        stock=stock,
        slack=None if stock is None else stock - need,
        shortfall=wanted - lengths[-1] if stock is None else 0.0,
        longest=lengths[-1],
        ladder=tuple((length, length - need) for length in neighbours),
    )


def core_length(conduit_length: float, *, end_allowance: float, stroke: float) -> float:
    """Length of the core, with its rods, of a cable of the given conduit length.

    ``core = conduit + max(end_allowance, stroke)``

    Parameters
    ----------
    conduit_length : float
        Length of the conduit [mm].
    end_allowance : float
        Core and rods beyond the conduit, both ends together, at mid stroke [mm]; 0 if not known.
    stroke : float
        Travel the cable must allow [mm].

    Returns
    -------
    float
        Length of the core [mm].

    Raises
    ------
    CableRouteError
        If a length is negative, not finite, or the conduit's is zero.

    Notes
    -----
    What one end gains in travel the other loses, so the sum beyond the conduit never changes and
    the stroke is not added to it. But the sum cannot be less than the stroke, or the far end
    would be drawn into the conduit. Thermal growth and stretch are left out.

    Examples
    --------
    >>> core_length(1500.0, end_allowance=300.0, stroke=75.0)
    1800.0
    >>> core_length(1500.0, end_allowance=0.0, stroke=75.0)
    1575.0

    References
    ----------
    Geometry; no source needed.
    """
    ends = max(_not_negative(end_allowance, "end allowance"), _not_negative(stroke, "stroke"))
    return _positive(conduit_length, "conduit length") + ends


def _positive(value: float, name: str) -> float:
    if not (math.isfinite(value) and value > 0):
        raise CableRouteError(f"{name}: expected a length above 0 mm, got {value:g}")
    return value


def _not_negative(value: float, name: str) -> float:
    if not (math.isfinite(value) and value >= 0):
        raise CableRouteError(f"{name}: expected a length of 0 mm or more, got {value:g}")
    return value
