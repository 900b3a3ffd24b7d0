"""Tape notation, and the only conversion factors of the project.

A length is one or more *parts*, each an amount with a unit, the larger unit first: ``3' 4 1/2"``,
``1 m 20 cm``, ``1200 mm``. Text is folded to plain marks and cut into parts by one pattern; the
parts are checked and added as exact fractions, and only the sum becomes a float. What can be read
in two ways is refused, and the refusal says what to type instead.

Forces and angles are written in the same way, but in one part.
"""

from __future__ import annotations

import math
import re
import reprlib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from numbers import Real
from typing import Literal

from cableroute.errors import TapeError

Unit = Literal["mm", "cm", "m", "in", "ft"]

# The inch is 25.4 mm, the pound 0.45359237 kg and standard gravity 9.80665 m/s2, all by definition:
# NIST SP 811 (2008), appendix B.8; ISO 80000-3 for gravity; both from memory.
GRAVITY = 9.80665  # m/s2
N_PER_KGF = 9.80665
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


@dataclass(frozen=True, slots=True)
class _Kind:
    """A quantity: its name and an example for refusals, and the spellings of each unit."""

    name: str
    example: str
    units: Mapping[str, str]


_LENGTH = _Kind(
    "a length",
    "`1205 mm` or `3' 4 1/2\"`",
    {
        "mm": "mm millimetre millimetres millimeter millimeters",
        "cm": "cm centimetre centimetres centimeter centimeters",
        "m": "m metre metres meter meters",
        "in": '" in inch inches',
        "ft": "' ft foot feet",
    },
)
_FORCE = _Kind(
    "a force",
    "`120 N` or `27 lbf`",
    {
        "N": "n newton newtons",
        "kN": "kn kilonewton kilonewtons",
        # A spring scale is marked in lb or kg, but what it shows is a force.
        "lbf": "lbf lb lbs pound pounds",
        "kgf": "kgf kg",
    },
)
_ANGLE = _Kind("an angle", "`30 deg`", {"deg": "° deg degree degrees", "rad": "rad radian radians"})
_METRIC = ("mm", "cm", "m")

_LONGEST = 200  # characters: no reading is longer
_SHOWN = 80
_EXPONENTS = range(-400, 100)  # all of these are quick, and none overflows a float

_FOLD = str.maketrans(
    dict.fromkeys("’‘‛′ʹʼ´`", "'")
    | dict.fromkeys("”“„‟″ʺ", '"')
    | dict.fromkeys("‐‑‒–—―−﹣－", "-")
    | dict.fromkeys("⁄∕", "/")
    | dict.fromkeys("º˚", "°")
    | dict.fromkeys("\u200b\u2060\ufeff", " ")
)
_VULGAR = re.compile("(-?)([¼-¾⅐-⅞])")
_STRAY_COMMA = re.compile(r"(?<![0-9]),|,(?![0-9])|,.*,|\.[0-9]*,|,[0-9]*\.")
_MAYBE_THOUSANDS = re.compile(r"(?<![0-9])[1-9][0-9]{0,2},[0-9]{3}(?![0-9])")
# No decimal begins right after a letter: in "3 ft.5" the point may end the unit.
_PART = re.compile(
    r"""
    (?P<dash>-?)[ ]?
    (?P<amount>
        (?:(?P<whole>[0-9]+)[ -])? (?P<top>[0-9]+)[ ]?/[ ]?(?P<bottom>[0-9]+)
      | (?P<decimal>[0-9]+\.?[0-9]*|(?<![^\W\d_])\.[0-9]+) (?:[eE](?P<exponent>[+-]?[0-9]+))?
    )[ ]?
    (?P<unit>['"°]|[^\W\d_]+(?:\.(?![0-9]))?)?[ ]?
    """,
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class _Entry:
    """What was typed (`got`), the same folded to plain marks (`text`), and how to refuse it."""

    kind: _Kind
    got: str
    text: str = ""

    def refusal(self, why: str, instead: str = "") -> TapeError:
        instead = instead or f"for instance {self.kind.example}"
        got = _shown(self.got)
        return TapeError(f"cannot read `{got}` as {self.kind.name}: {why}; type {instead}")


@dataclass(frozen=True, slots=True)
class _Part:
    """An amount, as a number and as written; its unit, "" if bare; whether a dash precedes it."""

    amount: Fraction
    written: str
    unit: str
    dashed: bool


def _shown(text: str) -> str:
    """Text fit for a message: short, and free of what a terminal would obey."""
    text = "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))
    return text if len(text) <= _SHOWN else text[:_SHOWN] + "..."


def _typed(value: object, kind: _Kind) -> str:
    """Text of `value`; a number gives its shortest decimal, so 40.1 and ``"40.1"`` agree."""
    if isinstance(value, bool) or not isinstance(value, str | Real | Decimal):
        got = f"{reprlib.repr(value)} ({type(value).__name__})"
        raise TapeError(f"expected {kind.name} as a number or text, {kind.example}; got {got}")
    try:
        return str(value)
    except ValueError:  # Python prints no integer of more than some thousand digits
        raise TapeError(f"expected {kind.name}, {kind.example}; got a huge number") from None


def _plain(text: str) -> str:
    """Fold typographic marks, vulgar fractions and white space to plain ones."""

    def spelled(match: re.Match[str]) -> str:
        # The space keeps 12½ from becoming 121/2; after a dash (12-½) there is no such risk.
        return f"{match[1] or ' '}{unicodedata.normalize('NFKC', match[2])} "

    text = _VULGAR.sub(spelled, text.translate(_FOLD)).replace("⁄", "/")
    return " ".join(text.split()).replace("''", '"')


def _decimal_point(entry: _Entry) -> str:
    """Text with its decimal comma, if any, made a point."""
    if _STRAY_COMMA.search(entry.text):
        why = "a comma is read only as the one decimal mark between two digits"
        raise entry.refusal(why, "a point for decimals, and no other comma")
    point = entry.text.replace(",", ".")
    if _MAYBE_THOUSANDS.search(entry.text):
        why = "the comma may mark thousands or decimals"
        raise entry.refusal(why, f"`{entry.text.replace(',', '')}` or `{point}`")
    return point


def _enter(value: object, kind: _Kind) -> tuple[_Entry, list[_Part]]:
    """Cut `value` into parts; its sign is taken into every one of them."""
    entry = _Entry(kind, _typed(value, kind))
    if len(entry.got) > _LONGEST:
        raise entry.refusal(f"it has {len(entry.got)} characters")
    entry = replace(entry, text=_plain(entry.got))
    entry = replace(entry, text=_decimal_point(entry))
    body = entry.text[entry.text.startswith(("+", "-")) :].lstrip()
    if body.lower() in ("", "nan", "snan", "inf", "infinity"):
        raise entry.refusal("it is not finite" if body else "there is no number")
    parts = _cut(entry, body)
    if parts[0].dashed:
        raise entry.refusal("it begins with two signs", f"`{body}`")
    sign = -1 if entry.text[0] == "-" else 1
    return entry, [replace(part, amount=sign * part.amount) for part in parts]


def _cut(entry: _Entry, body: str) -> list[_Part]:
    parts, at = [], 0
    while at < len(body):
        match = _PART.match(body, at)
        if match is None:
            raise entry.refusal(f"a number, then its unit, should stand at `{_shown(body[at:])}`")
        unit = _unit(entry, match["unit"] or "")
        parts.append(_Part(_amount(entry, match), match["amount"], unit, match["dash"] == "-"))
        at = match.end()
    return parts


def _unit(entry: _Entry, word: str) -> str:
    for unit, spellings in entry.kind.units.items():
        if word.lower().rstrip(".") in spellings.split():
            return unit
    if word:
        known = ", ".join(entry.kind.units)
        raise entry.refusal(f"`{_shown(word)}` is not a known unit", f"one of {known}")
    return ""


def _amount(entry: _Entry, match: re.Match[str]) -> Fraction:
    if match["decimal"]:
        exponent = int(match["exponent"] or 0)
        if exponent not in _EXPONENTS:
            raise entry.refusal("its exponent is out of range")
        return Fraction(f"{match['decimal']}e{exponent}")
    top, bottom = int(match["top"]), int(match["bottom"])
    if bottom == 0:
        raise entry.refusal(f"`{match['amount']}` divides by zero")
    amount = int(match["whole"] or 0) + Fraction(top, bottom)
    if match["whole"] and top >= bottom:
        instead = entry.text.replace(match["amount"], _mixed(amount))
        raise entry.refusal(f"`{top}/{bottom}` is not below 1", f"`{instead}` if that is meant")
    return amount


def _mixed(amount: Fraction) -> str:
    whole, part = divmod(amount, 1)
    return " ".join(str(each) for each in (whole, part) if each) or "0"


def _with_units(entry: _Entry, parts: list[_Part], bare: str) -> list[_Part]:
    """Give a bare last part its unit: `bare` if alone, else by the part before it."""
    *others, last = parts
    if last.unit:
        return parts
    if others:
        return [*others, replace(last, unit=_unit_after(entry, others[-1], last))]
    if "/" in last.written and bare in _METRIC:
        why = f"a fraction is not usual in {bare}"
        raise entry.refusal(why, f"`{entry.text} in` or `{entry.text} {bare}`")
    return [replace(last, unit=bare)]


def _unit_after(entry: _Entry, before: _Part, part: _Part) -> str:
    """Find the unit of a bare last number in ``5' 6`` (in), ``1m20`` (cm) and ``1m205`` (mm)."""
    if before.unit == "ft":
        if re.match("[0-9]{3}", part.written):
            why = "the mark after the first number may be for feet or for thousands"
            raise entry.refusal(why, f'`{entry.text}"` or one number without a mark')
        return "in"
    if before.unit != "m" or part.dashed:
        return ""
    digits = len(part.written) if part.written.isdigit() else 0
    if digits == 1:
        metres, cm = entry.text[:-1], part.written
        why = "after m stand two digits for cm, or three for mm"
        raise entry.refusal(why, f"`{metres}0{cm}` or `{metres}{cm}0`")
    return {2: "cm", 3: "mm"}.get(digits, "")


def _check_pair(entry: _Entry, large: _Part, small: _Part) -> None:
    """Refuse two neighbours that are not a larger unit and the rest in a smaller one."""
    if small.dashed and large.unit != "ft":
        raise entry.refusal("the dash may be a range or a subtraction")
    for part in (large, small):
        if not part.unit:
            why = f"`{part.written}` has no unit"
            raise entry.refusal(why, "a unit after each number, and no space inside a number")
    if large.unit == small.unit:
        either = [f"`{part.written} {part.unit}`" for part in (large, small)]
        raise entry.refusal(f"{large.unit} stands twice", " or ".join(either))
    if (large.unit in _METRIC) != (small.unit in _METRIC):
        why = f"it mixes {large.unit} and {small.unit}"
        raise entry.refusal(why, f"either metric or feet and inches, {entry.kind.example}")
    if MM_PER_UNIT[large.unit] < MM_PER_UNIT[small.unit]:
        instead = f"`{small.written} {small.unit} {large.written} {large.unit}`"
        raise entry.refusal("the larger unit comes first", instead)
    if large.amount.denominator != 1:
        why = f"`{large.written}` {large.unit} is not whole, yet {small.unit} follow"
        raise entry.refusal(why, f"whole {large.unit} before {small.unit}, or {large.unit} alone")


def _only_part(value: object, kind: _Kind) -> _Part:
    entry, parts = _enter(value, kind)
    if len(parts) > 1:
        raise entry.refusal(f"it has {len(parts)} numbers, not one with its unit")
    return parts[0]


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
    entry, parts = _enter(value, _LENGTH)
    parts = _with_units(entry, parts, unit)
    for large, small in pairwise(parts):
        _check_pair(entry, large, small)
    return float(sum(part.amount * MM_PER_UNIT[part.unit] for part in parts))


def parse_force(value: float | Decimal | str) -> float:
    """Read a force; kg and lb are what a spring scale shows, so kgf and lbf.

    The force is amount times :data:`N_PER_UNIT`.

    Parameters
    ----------
    value : int, float, Decimal or str
        A number [N], or text: ``120 N``, ``1.2 kN``, ``27 lbf``, ``12 kg``.

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
    part = _only_part(value, _FORCE)
    return float(part.amount * N_PER_UNIT[part.unit or "N"])


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
    part = _only_part(value, _ANGLE)
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
        return f'{sign}{_mixed(inches)}"'
    # 3' 1/2" is too easily taken for three and a half feet.
    return f"{sign}{feet}' {'0 ' if 0 < inches < 1 else ''}{_mixed(inches)}\""


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
    if unit not in _METRIC:
        return inches
    decimals = 1 + _METRIC.index(unit) + (unit == "m")
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
