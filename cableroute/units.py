"""Tape notation, and the only conversion factors of the project.

A length is one or more *parts*, each an amount with a unit, the larger unit first: ``3' 4 1/2"``,
``1 m 20 cm``, ``1200 mm``. The parts are added as exact fractions, and only the sum becomes a
float. What can be read in two ways is refused, and the refusal says what to type instead.

Forces and angles are written in the same way, but in one part.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from cableroute._tape import ANGLE, FORCE, METRIC, length_parts, mixed, only_part
from cableroute.errors import TapeError

Unit = Literal["mm", "cm", "m", "in", "ft"]
#: Units that forces are told in.
ForceUnit = Literal["N", "lbf", "kgf"]

# The inch is 25.4 mm, the pound 0.45359237 kg and standard gravity 9.80665 m/s2, all by definition:
# NIST SP 811 (2008), appendix B.8; ISO 80000-3 for gravity; both from memory.
#: Standard gravity [m/s2].
GRAVITY = 9.80665
#: By definition [degC].
ABSOLUTE_ZERO = -273.15
N_PER_KGF = 9.80665
#: What a tolerance of the tape means, everywhere: a 95 % half-width of one reading or coordinate, in
#: standard deviations (1.96 rounded up) [-].
TOLERANCE_SDS = 2.0
#: No tape is read more finely than to plus or minus this, also where points are to be fitted exactly as
#: read; our own choice [mm].
FINEST_READING = 1.0
N_PER_LBF = 4.4482216152605
MM_PER_UNIT: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction("25.4"),
    "ft": Fraction("304.8"),
}
N_PER_UNIT: dict[str, Fraction] = {
    "N": Fraction(1),
    "kN": Fraction(1000),
    "lbf": Fraction(str(N_PER_LBF)),
    "kgf": Fraction(str(N_PER_KGF)),
}


def _check_unit(unit: str) -> None:
    if unit not in MM_PER_UNIT:
        raise TapeError(f"expected a unit, one of {', '.join(MM_PER_UNIT)}; got {unit!r}")


def parse_length(value: float | Decimal | str, *, unit: Unit = "mm") -> float:
    """Read a length in tape notation.

    The length is the sum of amount times :data:`MM_PER_UNIT`, exact until made a float.

    Parameters
    ----------
    value : int, float, Decimal or str
        A number in `unit` [mm by default], or text: ``3' 4 1/2"``, ``12-3/8 in``, ``1m20``,
        ``1200 mm``. A sign applies to the whole.
    unit : {"mm", "cm", "m", "in", "ft"}
        Unit of bare numbers.

    Returns
    -------
    float
        The length [mm].

    Raises
    ------
    TapeError
        If `value` cannot be read, or can be read in two ways; the text says what to type.

    Notes
    -----
    A bare fraction is read only in inches or feet. A bare number after feet is inches; two or
    three bare digits after m are its decimals. A comma is a decimal mark, unless three digits
    after it could be thousands. No text above 200 characters is read.

    Examples
    --------
    >>> parse_length("3 ft 4 1/2 in")
    1028.7
    >>> parse_length("40 1/4", unit="in")
    1022.35
    >>> parse_length("1m20")
    1200.0
    """
    _check_unit(unit)
    parts = length_parts(value, unit)
    return float(sum(part.amount * MM_PER_UNIT[part.unit] for part in parts))


#: A number without a unit, as a pattern.
PLAIN_NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?"
_PLAIN = re.compile(PLAIN_NUMBER)


def plain_number(text: str) -> float | None:
    """Read a number without a unit, by a short way: a survey may have many.

    Parameters
    ----------
    text : str
        What was typed.

    Returns
    -------
    float or None
        The number [-]; None for anything that the longer way must read or refuse.

    Examples
    --------
    >>> plain_number("-12.5"), plain_number("12_5"), plain_number("12 in")
    (-12.5, None, None)
    """
    return float(text) if _PLAIN.fullmatch(text) else None


def parse_force(value: float | Decimal | str, *, unit: ForceUnit = "N") -> float:
    """Read a force; kg and lb are what a spring scale shows, so kgf and lbf.

    The force is amount times :data:`N_PER_UNIT`.

    Parameters
    ----------
    value : int, float, Decimal or str
        A number in `unit` [N by default], or text: ``120 N``, ``1.2 kN``, ``27 lbf``, ``12 kg``.
    unit : {"N", "lbf", "kgf"}
        Unit of bare numbers.

    Returns
    -------
    float
        The force [N].

    Raises
    ------
    TapeError
        If `value` cannot be read as one number with one unit.

    Examples
    --------
    >>> parse_force("12 kgf")
    117.6798
    """
    part = only_part(value, FORCE)
    return float(part.amount * N_PER_UNIT[part.unit or unit])


def force_unit_typed(value: object) -> ForceUnit | None:
    """Return the unit that a force was typed in, as forces are told; None of a bare number.

    Parameters
    ----------
    value : int, float, Decimal or str
        A force as :func:`parse_force` reads it.

    Returns
    -------
    {"N", "lbf", "kgf"} or None
        The unit; N of what was typed in kN.

    Raises
    ------
    TapeError
        If `value` cannot be read as one number with one unit.

    Examples
    --------
    >>> force_unit_typed("27 lb"), force_unit_typed("1.2 kN"), force_unit_typed(120)
    ('lbf', 'N', None)
    """
    typed = only_part(value, FORCE).unit
    return "lbf" if typed == "lbf" else "kgf" if typed == "kgf" else "N" if typed else None


def most_typed(units: Iterable[ForceUnit | None]) -> ForceUnit:
    """Return the unit that most forces were typed with, the first of equals; N where none has one.

    Parameters
    ----------
    units : iterable of ({"N", "lbf", "kgf"} or None)
        What :func:`force_unit_typed` says of each.

    Returns
    -------
    {"N", "lbf", "kgf"}
        The unit.

    Examples
    --------
    >>> most_typed(["lbf", None, None, "kgf"])
    'lbf'
    """
    typed = [unit for unit in units if unit is not None]
    return max(typed, key=typed.count, default="N")


def parse_angle(value: float | Decimal | str) -> float:
    """Read an angle, in degrees unless marked rad.

    The angle is degrees times pi/180.

    Parameters
    ----------
    value : int, float, Decimal or str
        A number [deg], or text: ``30``, ``30 deg``, ``30°``, ``0.5 rad``.

    Returns
    -------
    float
        The angle [rad].

    Raises
    ------
    TapeError
        If `value` cannot be read as one number with one unit.

    Examples
    --------
    >>> round(parse_angle("30 deg"), 6)
    0.523599
    """
    part = only_part(value, ANGLE)
    return float(part.amount) if part.unit == "rad" else math.radians(part.amount)


def format_inches(mm: float, *, denominator: int = 16) -> str:
    """Write a length in feet, inches and a fraction, as a tape shows it.

    The length is rounded to the nearest 1/denominator in.

    Parameters
    ----------
    mm : float
        Length [mm].
    denominator : int
        Parts of an inch to round to [-].

    Returns
    -------
    str
        ``3' 4 1/2"``; feet only from 12 in on, the fraction reduced.

    Raises
    ------
    TapeError
        If the length is not finite or the denominator is below 1.

    Examples
    --------
    >>> print(format_inches(1028.7))
    3' 4 1/2"
    """
    if not math.isfinite(mm) or denominator < 1:
        raise TapeError(f"expected a finite length and a denominator >= 1; got {mm}, {denominator}")
    ticks = round(Fraction(float(mm)) / MM_PER_UNIT["in"] * denominator)
    feet, inches = divmod(abs(Fraction(ticks, denominator)), 12)
    sign = "-" if ticks < 0 else ""
    if not feet:
        return f'{sign}{mixed(inches)}"'
    # 3' 1/2" is too easily taken for three and a half feet.
    return f"{sign}{feet}' {'0 ' if 0 < inches < 1 else ''}{mixed(inches)}\""


def format_length(mm: float, unit: Unit) -> str:
    """Write a length in one unit, to 0.1 mm if metric, else by :func:`format_inches`.

    The amount is `mm` over :data:`MM_PER_UNIT`, without trailing zeros.

    Parameters
    ----------
    mm : float
        Length [mm].
    unit : {"mm", "cm", "m", "in", "ft"}
        Unit to write; in and ft both give feet and inches.

    Returns
    -------
    str
        ``1028.7 mm``, ``102.87 cm``, ``1.0287 m`` or ``3' 4 1/2"``.

    Raises
    ------
    TapeError
        If the length is not finite or the unit not known.

    Examples
    --------
    >>> format_length(1028.7, "m")
    '1.0287 m'
    """
    _check_unit(unit)
    inches = format_inches(mm)
    if unit not in METRIC:
        return inches
    decimals = 1 + METRIC.index(unit) + (unit == "m")
    amount = f"{mm / float(MM_PER_UNIT[unit]):z.{decimals}f}"
    return f"{amount.rstrip('0').rstrip('.')} {unit}"


def format_both(mm: float) -> str:
    """Write a length in whole millimetres, and after it in feet and inches.

    Parameters
    ----------
    mm : float
        Length [mm].

    Returns
    -------
    str
        ``1029 mm (3' 4 1/2")``.

    Raises
    ------
    TapeError
        If the length is not finite.

    Examples
    --------
    >>> print(format_both(1028.7))
    1029 mm (3' 4 1/2")
    """
    inches = format_inches(mm)
    return f"{mm:z.0f} mm ({inches})"
