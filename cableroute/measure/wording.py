"""How lengths are worded for a tape: in millimetres, or in feet and inches."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite

from cableroute.measure._checks import Floats
from cableroute.units import MM_PER_UNIT, format_inches

_INCH = float(MM_PER_UNIT["in"])
#: What a tape in inches is read to [mm].
_TICK = _INCH / 16.0


@dataclass(frozen=True, slots=True)
class Words:
    """How lengths are written for a tape.

    Parameters
    ----------
    unit : str
        Unit of the tape.
    """

    unit: str = "mm"

    @property
    def inches(self) -> bool:
        """Whether the tape is one of feet and inches; any other gets millimetres."""
        return self.unit in ("in", "ft")

    @property
    def grid(self) -> float:
        """What such a tape can be read to: 1 mm, or 1/16 in [mm]."""
        return _TICK if self.inches else 1.0

    def length(self, value: float, *, rounding: Callable[[float], int] = round) -> str:
        """Write a length: whole millimetres, or feet and inches for such a tape.

        Parameters
        ----------
        value : float
            Length [mm].
        rounding : callable
            ``ceil`` or ``floor`` where only one side is safe.

        Returns
        -------
        str
            With its unit.

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

    def fine(self, value: float, *, digits: int = 1, sign: str = "") -> str:
        """Write a small length, such as a play, in decimals.

        Parameters
        ----------
        value : float
            Length [mm].
        digits : int
            Decimals of a millimetre; an inch has one more [-].
        sign : str
            ``+`` to write it before a length above 0 too.

        Returns
        -------
        str
            With its unit.

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

        Parameters
        ----------
        value : float
            Length [mm].

        Returns
        -------
        str
            In inches or millimetres, to six figures at most.

        Examples
        --------
        >>> print(Words("in").plain(304.8), Words().plain(7.5))
        12" 7.5 mm
        """
        return f'{round(value / _INCH, 3):g}"' if self.inches else f"{value:g} mm"

    def place(self, point: Floats) -> str:
        """Write the three coordinates of a point.

        Parameters
        ----------
        point : ndarray, shape (3,)
            The point [mm].

        Returns
        -------
        str
            In whole millimetres, or feet and inches, without a unit for millimetres.
        """
        return ", ".join(self.length(float(value)).removesuffix(" mm") for value in point)
