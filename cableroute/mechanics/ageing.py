"""What becomes of a cable's friction: new, worn, dirty, dry, cold."""

from __future__ import annotations

from math import isfinite

from cableroute.errors import CableRouteError
from cableroute.frozen import frozen
from cableroute.hardware.liners import Liner
from cableroute.hardware.lubricants import LUBRICANTS
from cableroute.mechanics.capstan import check_friction
from cableroute.mechanics.cold import cold_factor

#: No friction is put above it; a route file takes frictions below 2 [-].
CEILING = 1.99

#: Friction with grit and old grease over that of a worn cable; common practice, no source [-].
DIRTY = 1.5

#: Friction without lubricant over that of a worn cable, for a liner whose dry friction is not
#: known; common practice, no source. A coat of PTFE halves a guidewire's friction (Schroeder,
#: Cardiovasc. Intervent. Radiol. 16 (1993), part III), so its loss would double it [-].
DRY = 2.0

#: Friction with grease stiff from cold over the same cable warm, where no temperature is given;
#: common practice, no source [-].
COLD = 1.3

_PRACTICE = "common practice, no source"


@frozen
class Condition:
    """A state a cable gets into, and its friction there.

    Parameters
    ----------
    name : str
        ``new``, ``worn``, ``dirty``, ``dry`` or ``cold``.
    low, high : float
        Coefficient of friction [-].
    factor : float
        ``high`` over the high end of the range as given: what a drag worked out there is to be
        multiplied by; infinite where the given range is 0 and this is not [-].
    note : str
        What is meant and where the figure comes from.
    """

    name: str
    low: float
    high: float
    factor: float
    note: str

    @property
    def drag_factor(self) -> float:
        """What a drag as measured is to be multiplied by: ``factor``, or 1 where infinite [-]."""
        return self.factor if isfinite(self.factor) else 1.0


def condition_ranges(
    friction: tuple[float, float],
    *,
    liner: Liner | None = None,
    coldest: float | None = None,
    lubricant: str | None = None,
) -> tuple[Condition, ...]:
    r"""Return the friction to expect of a cable new, worn, dirty, dry and cold.

    The range given is taken to span the life of a cable kept clean and lubricated:

    ====== =====================================================================
    new    :math:`\mu_{low}` to the middle, :math:`(\mu_{low} + \mu_{high})/2`
    worn   the middle to :math:`\mu_{high}`
    dirty  the worn range times :data:`DIRTY`
    dry    the liner's own dry range where known, but no better than worn;
           else the worn range times :data:`DRY`
    cold   the whole range times :data:`COLD`, or end by end times
           :func:`~cableroute.mechanics.cold.cold_factor` of a temperature given
    ====== =====================================================================

    Parameters
    ----------
    friction : tuple of float
        Coefficient of friction, low and high; one number twice is a cable measured as it is,
        whose new and worn ranges are that number [-].
    liner : Liner or None
        Liner of the cable, from :data:`~cableroute.hardware.liners.LINERS`; None if not known.
    coldest : float or None
        Lowest temperature it works at; None if not given [degC].
    lubricant : str or None
        What it runs in, of :data:`~cableroute.hardware.lubricants.LUBRICANTS`; None if not known.

    Returns
    -------
    tuple of Condition
        The five, in the order above, each range within 0 to :data:`CEILING`.

    Raises
    ------
    CableRouteError
        For a range that is not 0 <= low <= high < 2; a lubricant or temperature that cannot be.

    Notes
    -----
    One state at a time: a cable both dirty and cold is worse than either. Only the two ends of the
    range as given and the dry ranges of liners rest on a source; the factors are there to show
    whether a cable has something in hand, and give way to a spring scale.

    Handbook ranges of plastics are mostly of dry contact already, so doubling them for a plastic
    liner without a dry range is on the safe side. For steel on steel it would not be: greased 0.05
    to 0.15, dry 0.5 to 0.8 (from memory: Marks; Bowden and Tabor).

    No factor covers what capstan leaves out at low loads: in two girders the loss of prestressing
    tendons was up to 4.3 times the theory at low stress [1]_. Add the drag without
    load (:mod:`cableroute.mechanics.stiff_core`), which grows with friction.

    References
    ----------
    .. [1] Hong, Applied Sciences 7 (2017) 824 (abstract).

    Examples
    --------
    >>> for state in condition_ranges((0.08, 0.16)):
    ...     print(f"{state.name:5} {state.low:.3f} to {state.high:.3f}, {state.factor:.2f} times")
    new   0.080 to 0.120, 0.75 times
    worn  0.120 to 0.160, 1.00 times
    dirty 0.180 to 0.240, 1.50 times
    dry   0.240 to 0.320, 2.00 times
    cold  0.104 to 0.208, 1.30 times
    """
    low, high = _checked(friction)
    middle = 0.5 * (low + high)
    dry, dry_note = _dry(middle, high, liner)
    states = (
        ("new", (low, middle), f"lubricated, the lower half of the range given; {_PRACTICE}"),
        ("worn", (middle, high), f"run in, the upper half of the range given; {_PRACTICE}"),
        (
            "dirty",
            (DIRTY * middle, DIRTY * high),
            f"grit and old grease, {DIRTY:g} times worn; {_PRACTICE}",
        ),
        ("dry", dry, dry_note),
        ("cold", *_cold((low, high), coldest, lubricant)),
    )
    return tuple(_condition(name, span, note, given=high) for name, span, note in states)


def _condition(name: str, span: tuple[float, float], note: str, *, given: float) -> Condition:
    """Return a condition held below the ceiling, its factor over the high end given."""
    low, high = (min(end, CEILING) for end in span)
    from_nothing = float("inf") if high else 1.0
    return Condition(name, low, high, high / given if given else from_nothing, note)


def _cold(
    friction: tuple[float, float], coldest: float | None, lubricant: str | None
) -> tuple[tuple[float, float], str]:
    """Return the cold range of a friction, and where it comes from."""
    low, high = friction
    if coldest is None:
        note = f"grease stiff from cold, {COLD:g} times the range given; {_PRACTICE}"
        return (COLD * low, COLD * high), note
    factor = cold_factor(coldest, lubricant=lubricant)
    known = LUBRICANTS[lubricant] if lubricant else None
    what = known.title if known else "lubricant not known, from a dry liner to mineral grease"
    source = known.provenance if known else LUBRICANTS["mineral-2"].provenance
    ends = (float(factor.low), float(factor.high))
    note = f"at {coldest:g} degC, {what}: {ends[0]:.2g} to {ends[1]:.2g} times the range; {source}"
    return (ends[0] * low, ends[1] * high), note


def _dry(low: float, high: float, liner: Liner | None) -> tuple[tuple[float, float], str]:
    """Return the dry range for a worn one, and where it comes from."""
    if liner is None or liner.dry_friction is None:
        note = f"lubricant gone, {DRY:g} times worn; {_PRACTICE}"
        return (DRY * low, DRY * high), note
    dry_low, dry_high = liner.dry_friction
    note = f"lubricant gone, {liner.title}; {liner.provenance['dry_friction']}"
    return (max(low, dry_low), max(high, dry_high)), note


def _checked(friction: tuple[float, float]) -> tuple[float, float]:
    low, high = (float(check_friction(end)) for end in friction)
    if not low <= high < 2.0:
        raise CableRouteError(
            f"friction: expected 0 <= low <= high < 2, got low {low:g}, high {high:g}"
        )
    return low, high
