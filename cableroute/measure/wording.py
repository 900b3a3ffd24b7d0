"""How lengths are worded for a tape and forces for a spring scale, in the units that were typed."""

from __future__ import annotations

from collections.abc import Callable, Collection
from math import ceil, copysign, isfinite

from cableroute.arrays import Array
from cableroute.frozen import frozen
from cableroute.hardware.quantities import LARGEST_FORCE
from cableroute.units import MM_PER_UNIT, N_PER_UNIT, format_inches

_INCH = float(MM_PER_UNIT["in"])
#: What a tape in inches is read to [mm].
_TICK = _INCH / 16.0
#: From this force on whole numbers are fine enough [N, lbf or kgf].
COARSE = 20.0
#: Share of the last digit by which a number exceeds it by rounding alone [-].
_EXACT = 1e-9


@frozen
class Words:
    """How lengths are written for a tape, and forces for a spring scale.

    Parameters
    ----------
    unit : str
        Unit of the tape.
    force_unit : str
        Unit of the scale: ``N``, ``lbf`` or ``kgf``.
    """

    unit: str = "mm"
    force_unit: str = "N"

    @property
    def inches(self) -> bool:
        """Whether the tape is one of feet and inches; any other gets millimetres."""
        return self.unit in ("in", "ft")

    @property
    def newtons(self) -> float:
        """What one unit of the scale is [N]."""
        return float(N_PER_UNIT[self.force_unit])

    @property
    def grid(self) -> float:
        """What such a tape can be read to: 1 mm, or 1/16 in [mm]."""
        return _TICK if self.inches else 1.0

    def length(self, value: float, *, rounding: Callable[[float], int] = round) -> str:
        """Write a length: whole millimetres, or feet and inches for such a tape.

        Examples
        --------
        >>> print(Words("ft").length(1028.7), Words("m").length(1028.7))
        3' 4 1/2" 1029 mm
        """
        if not isfinite(value):
            return "none"
        if self.inches:
            return format_inches(rounding(value / _TICK) * _TICK)
        return f"{rounding(value)} mm"

    def lacking(self, value: float) -> str:
        """Write a length that lacks: as others, but never as nothing.

        Examples
        --------
        >>> print(Words().lacking(0.2), Words().lacking(12.4), Words("in").lacking(0.2))
        1 mm 12 mm 1/16"
        """
        return self.length(value, rounding=lambda count: max(round(count), 1))

    def fine(self, value: float, *, digits: int = 1, sign: str = "") -> str:
        """Write a small length, such as a play, in decimals.

        Examples
        --------
        >>> print(Words("in").fine(2.3), Words().fine(2.3, sign="+"))
        0.09" +2.3 mm
        """
        if self.inches:
            return f'{value / _INCH:{sign}z.{digits + 1}f}"'
        return f"{value:{sign}z.{digits}f} mm"

    def plain(self, value: float) -> str:
        """Write a length as one number, as it may have been typed or stands on a part.

        Examples
        --------
        >>> print(Words("in").plain(304.8), Words().plain(7.5))
        12" 7.5 mm
        """
        return f'{round(value / _INCH, 3):g}"' if self.inches else f"{value:g} mm"

    def place(self, point: Array) -> str:
        """Write the three coordinates of a point."""
        return ", ".join(self.length(float(value)).removesuffix(" mm") for value in point)

    def force(self, value: float, *, digits: int | None = None) -> str:
        """Write a force: a whole number, one decimal where that would be coarse.

        Examples
        --------
        >>> print(Words().force(72.4), Words().force(7.24), Words(force_unit="lbf").force(72.4))
        72 N 7.2 N 16.3 lbf
        >>> print(Words().force(float("inf")))
        locks up
        >>> print(Words().force(1e40))  # no force of a machine: its digits say nothing
        over 10000000 N
        """
        if not isfinite(value):
            return "locks up"
        if abs(value) > LARGEST_FORCE:
            beyond = "over" if value > 0.0 else "below"
            return f"{beyond} {self.force(copysign(LARGEST_FORCE, value))}"
        number = value / self.newtons
        if digits is None:
            digits = 0 if abs(number) >= COARSE else 1
        return f"{number:z.{digits}f} {self.force_unit}"

    def force_up(self, value: float) -> str:
        """Write a force rounded up: what is bought by this number is enough.

        Examples
        --------
        >>> print(Words().force_up(72.1), Words("in", "lbf").force_up(72.1))
        73 N 16.3 lbf
        """
        step = self.newtons * (1.0 if value / self.newtons >= COARSE else 0.1)
        return self.force(step * ceil(value / step - _EXACT))

    def forces(self, low: float, high: float) -> str:
        """Write a force at low and at high friction: one number where both ends print alike.

        Examples
        --------
        >>> print(Words().forces(12.41, 16.9), Words().forces(71.6, 72.4), sep=", ")
        12.4 to 16.9 N, 72 N
        >>> print(Words().forces(48.0, float("inf")))
        48 N at best, locks up at high friction
        """
        if not isfinite(low):
            return self.force(low)
        if not isfinite(high):
            return f"{self.force(low)} at best, {self.force(high)} at high friction"
        last = self.force(high)
        coarse = abs(high) / self.newtons >= COARSE
        first = self.force(low, digits=0 if coarse else None)  # both ends alike precise
        return last if first == last else f"{first.removesuffix(f' {self.force_unit}')} to {last}"

    @property
    def scale(self) -> tuple[float, str, int]:
        """What one unit of a length in a table or drawing is [mm], its name, and its decimals."""
        return (_INCH, "in", 2) if self.inches else (1.0, "mm", 1)

    def number(self, value: float, *, finer: int = 0) -> str:
        """Write a length for a table that has the unit at its head.

        Examples
        --------
        >>> print(Words().number(12.34), Words("ft").number(12.34))
        12.3 0.49
        """
        per, _, digits = self.scale
        return f"{value / per:z.{digits + finer}f}"

    def per_length(self, rate: float) -> str:
        """Write a force for each length, as the rate of a spring [N/mm].

        Examples
        --------
        >>> print(Words().per_length(2.0), Words("in", "lbf").per_length(2.0))
        2 N/mm 11.4 lbf/in
        """
        length, name, _ = self.scale
        return f"{rate * length / self.newtons:.3g} {self.force_unit}/{name}"

    def rounded(self, value: float) -> float:
        """Return a force as :meth:`force` writes it [N]."""
        number = value / self.newtons
        return round(number, 0 if abs(number) >= COARSE else 1) * self.newtons


def no_such(what: str, name: object, known: Collection[str]) -> str:
    """Word that a name is not there, and which are."""
    return f"no {what} {name!r}; known: {', '.join(known) or 'none'}"
