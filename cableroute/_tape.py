"""The grammar of tape notation: from what was typed to parts, or to a refusal.

Text is folded to plain marks and cut into parts by one pattern; a part is an exact amount with
its unit. What can be read in two ways is refused, and the refusal says what to type instead.
"""

from __future__ import annotations

import re
import reprlib
import unicodedata
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from numbers import Real

from cableroute.errors import TapeError
from cableroute.frozen import frozen
from cableroute.shown import one_line


@frozen
class Kind:
    """A quantity: its name and an example for refusals, and the spellings of each unit."""

    name: str
    example: str
    units: Mapping[str, str]


LENGTH = Kind(
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
FORCE = Kind(
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
ANGLE = Kind("an angle", "`30 deg`", {"deg": "° deg degree degrees", "rad": "rad radian radians"})
METRIC = ("mm", "cm", "m")
#: How many of the smaller unit make one of the larger.
_IN_ONE = {("ft", "in"): 12, ("m", "cm"): 100, ("m", "mm"): 1000, ("cm", "mm"): 10}

#: No reading is longer [characters].
_LONGEST = 200
_SHOWN = 80
#: Powers of ten that may be written: all are quick, and none overflows a float.
_EXPONENTS = range(-400, 100)

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
#: No decimal begins right after a letter: in "3 ft.5" the point may end the unit.
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


@frozen
class Entry:
    """What was typed (`got`), the same folded to plain marks (`text`), and how to refuse it."""

    kind: Kind
    got: str
    text: str = ""

    def refusal(self, why: str, instead: str = "") -> TapeError:
        instead = instead or f"for instance {self.kind.example}"
        got = _shown(self.got)
        return TapeError(f"cannot read `{got}` as {self.kind.name}: {why}; type {instead}")


@frozen
class Part:
    """An amount, as a number and as written; its unit, "" if bare; whether a dash precedes it."""

    amount: Fraction
    written: str
    unit: str
    dashed: bool


def _shown(text: str) -> str:
    """Text fit for a message: short, and free of what a terminal would obey."""
    return one_line(text, most=_SHOWN)


def _typed(value: object, kind: Kind) -> str:
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


def _decimal_point(entry: Entry) -> str:
    """Text with its decimal comma, if any, made a point."""
    if _STRAY_COMMA.search(entry.text):
        why = "a comma is read only as the one decimal mark between two digits"
        raise entry.refusal(why, "a point for decimals, and no other comma")
    point = entry.text.replace(",", ".")
    if _MAYBE_THOUSANDS.search(entry.text):
        why = "the comma may mark thousands or decimals"
        raise entry.refusal(why, f"`{entry.text.replace(',', '')}` or `{point}`")
    return point


def _enter(value: object, kind: Kind) -> tuple[Entry, list[Part]]:
    """Cut `value` into parts; its sign is taken into every one of them."""
    entry = Entry(kind, _typed(value, kind))
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


def _cut(entry: Entry, body: str) -> list[Part]:
    parts: list[Part] = []
    at = 0
    while at < len(body):
        match = _PART.match(body, at)
        if match is None:
            raise entry.refusal(f"a number, then its unit, should stand at `{_shown(body[at:])}`")
        unit = _unit(entry, match["unit"] or "")
        amount = _amount(entry, match, parts)
        parts.append(Part(amount, match["amount"], unit, match["dash"] == "-"))
        at = match.end()
    return parts


def _unit(entry: Entry, word: str) -> str:
    for unit, spellings in entry.kind.units.items():
        if word.lower().rstrip(".") in spellings.split():
            return unit
    if word:
        known = ", ".join(entry.kind.units)
        raise entry.refusal(f"`{_shown(word)}` is not a known unit", f"one of {known}")
    return ""


def _amount(entry: Entry, match: re.Match[str], before: list[Part]) -> Fraction:
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
        instead = _carried(entry, match, amount, before)
        raise entry.refusal(f"`{top}/{bottom}` is not below 1", f"`{instead}` if that is meant")
    if other := _with_a_space(match["top"], match["bottom"]):
        why = f"a space may be missing in `{match['amount']}`"
        instead = entry.text.replace(match["amount"], other)
        raise entry.refusal(why, f"`{instead}`, or a decimal instead of the fraction")
    return amount


def _carried(entry: Entry, match: re.Match[str], amount: Fraction, before: list[Part]) -> str:
    """Return 3' 0 1/8" for 2' 11 9/8": what makes up one more of the larger unit goes there."""
    large = before[-1] if before else Part(Fraction(0), "", "", False)
    small = _unit(entry, match["unit"] or "") or {"ft": "in", "m": "cm"}.get(large.unit, "")
    over = amount // _IN_ONE.get((large.unit, small), amount + 1)
    text, written = entry.text, mixed(amount)
    if over and large.amount.denominator == 1:
        rest = amount - over * _IN_ONE[large.unit, small]
        text = text.replace(large.written, mixed(large.amount + over), 1)
        written = "0 " * (0 < rest < 1) + mixed(rest)
    return text.replace(match["amount"], written)


def _with_a_space(top: str, bottom: str) -> str:
    """Return 11 1/2 for 111/2, where the larger number before the stroke can be cut so; else ""."""
    if int(top) < int(bottom):
        return ""
    cuts = ((top[:at], top[at:]) for at in range(len(top) - 1, 0, -1))
    return next(
        (f"{whole} {rest}/{bottom}" for whole, rest in cuts if 0 < int(rest) < int(bottom)), ""
    )


def mixed(amount: Fraction) -> str:
    """Write an amount as a whole number and a proper fraction."""
    whole, part = divmod(amount, 1)
    return " ".join(str(each) for each in (whole, part) if each) or "0"


def _with_units(entry: Entry, parts: list[Part], bare: str) -> list[Part]:
    """Give a bare last part its unit: `bare` if alone, else by the part before it."""
    *others, last = parts
    if last.unit:
        return parts
    if others:
        return [*others, replace(last, unit=_unit_after(entry, others[-1], last))]
    if "/" in last.written and bare in METRIC:
        why = f"a fraction is not usual in {bare}"
        raise entry.refusal(why, f"`{entry.text} in` or `{entry.text} {bare}`")
    return [replace(last, unit=bare)]


def _unit_after(entry: Entry, before: Part, part: Part) -> str:
    """Find the unit of a bare last number in ``5' 6`` (in), ``1m20`` (cm) and ``1m205`` (mm)."""
    if before.unit and part.written.startswith("."):
        one = f"{before.written}{part.written} {before.unit}"
        why = f"the point may belong to the {before.unit} before it"
        raise entry.refusal(why, f"`{one}`, or a 0 before the point and a unit after it")
    if before.unit == "ft":
        if re.match("[0-9]{3}", part.written):
            why = "the mark after the first number may be for feet or for thousands"
            one = entry.text.replace("'", "")
            raise entry.refusal(why, f"`{one}`, or feet and less than 12 inches")
        return "in"
    if before.unit != "m" or part.dashed:
        return ""
    digits = len(part.written) if part.written.isdigit() else 0
    if digits == 1:
        metres, cm = entry.text[:-1], part.written
        why = "after m stand two digits for cm, or three for mm"
        raise entry.refusal(why, f"`{metres}0{cm}` or `{metres}{cm}0`")
    return {2: "cm", 3: "mm"}.get(digits, "")


def _check_pair(entry: Entry, large: Part, small: Part) -> None:
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
    if (large.unit in METRIC) != (small.unit in METRIC):
        why = f"it mixes {large.unit} and {small.unit}"
        raise entry.refusal(why, f"either metric or feet and inches, {entry.kind.example}")
    order = list(entry.kind.units)  # metric and not, each from small to large
    if order.index(large.unit) < order.index(small.unit):
        instead = f"`{small.written} {small.unit} {large.written} {large.unit}`"
        raise entry.refusal("the larger unit comes first", instead)
    if abs(small.amount) >= _IN_ONE[large.unit, small.unit]:
        why = f"{small.written} {small.unit} is not below 1 {large.unit}"
        sign = "-" if entry.text.startswith("-") else ""
        whole = abs(large.amount) * _IN_ONE[large.unit, small.unit] + abs(small.amount)
        raise entry.refusal(why, f"`{sign}{mixed(whole)} {small.unit}` if that is meant")
    if large.amount.denominator != 1:
        why = f"`{large.written}` {large.unit} is not whole, yet {small.unit} follow"
        raise entry.refusal(why, f"whole {large.unit} before {small.unit}, or {large.unit} alone")


def length_parts(value: object, bare: str) -> list[Part]:
    """Read a length as parts, each with its unit: `bare`, where a number alone has none."""
    entry, parts = _enter(value, LENGTH)
    parts = _with_units(entry, parts, bare)
    for large, small in pairwise(parts):
        _check_pair(entry, large, small)
    return parts


def only_part(value: object, kind: Kind) -> Part:
    """Read one number with its unit, if it has one."""
    entry, parts = _enter(value, kind)
    if len(parts) > 1:
        raise entry.refusal(f"it has {len(parts)} numbers, not one with its unit")
    return parts[0]
