"""What points, commas and blanks mean in the numbers of a table: decided once, by the whole of it."""

from __future__ import annotations

import re
from collections.abc import Collection

from cableroute.errors import TapeError
from cableroute.frozen import frozen

_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]+")
_MAYBE_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_BLANK = r"[ \u00a0\u2009\u202f]"
#: What may mark thousands: as a pattern, and the decimal mark that goes with it.
_THOUSANDS = {".": (r"\.", ","), ",": (",", r"\."), " ": (_BLANK, "[.,]")}
_NOTES = {".": "points mark thousands", ",": "commas mark thousands", " ": "blanks mark thousands"}
#: A number that needs a look: all others say themselves what they are.
_ODD = re.compile(rf",|{_BLANK}|\..*\.")


def _grouped(mark: str, *, surely: bool) -> re.Pattern[str]:
    """Return the pattern of numbers with thousands marked; surely so with a decimal or two marks.

    A blank inside a number can be nothing else.
    """
    here, decimal = _THOUSANDS[mark]
    head, three, rest = "[+-]?[1-9][0-9]{0,2}", f"(?:{here}[0-9]{{3}})", f"(?:{decimal}[0-9]+)"
    if surely and mark != " ":
        return re.compile(f"{head}(?:{three}+{rest}|{three}{{2,}})")
    return re.compile(f"{head}{three}+{rest}?")


_SURELY = {mark: _grouped(mark, surely=True) for mark in _THOUSANDS}
_PERHAPS = {mark: _grouped(mark, surely=False) for mark in _THOUSANDS}


@frozen
class Marks:
    """What marks decimals and thousands in the numbers of a table.

    Parameters
    ----------
    has_commas : bool
        Whether commas are the decimal mark.
    thousands : str
        What marks thousands: points, commas or blanks, or nothing.
    """

    has_commas: bool = False
    thousands: str = ""

    @property
    def notes(self) -> tuple[str, ...]:
        """What was taken for what."""
        commas = ("commas are read as the decimal mark",) * self.has_commas
        return (*commas, *(_NOTES[mark] for mark in self.thousands))

    def plain(self, cell: str) -> str:
        """Return a number as the tape's grammar has it, or what else stands there as it is."""
        for mark in self.thousands:
            if _PERHAPS[mark].fullmatch(cell):
                cell = re.sub(_THOUSANDS[mark][0], "", cell)
        if not self.has_commas:
            return cell
        if "." in cell and _MAYBE_THOUSANDS.fullmatch(cell.replace(".", ",")):
            why = "where commas are decimal marks, its point may mark thousands"
            plain = f"`{cell.replace('.', '')}` or `{cell.replace('.', ',')}`"
            raise TapeError(f"cannot read `{cell}` as a length: {why}; type {plain}")
        return cell.replace(",", ".") if _DECIMAL_COMMA.fullmatch(cell) else cell


def marks_of(cells: Collection[str], *, parted_by_commas: bool) -> Marks:
    """Tell by all numbers of a table what one leaves open: 1,205 is a decimal where 12,5 is one.

    Parameters
    ----------
    cells : collection of str
        Those of its columns of lengths.
    parted_by_commas : bool
        Whether commas part its cells; a comma in one is then told by that cell alone.

    Returns
    -------
    Marks
        Nothing where numbers contradict each other, so that each is told by itself.

    Examples
    --------
    >>> marks_of(["1.420", "1.310,5"], parted_by_commas=False).plain("1.420")
    '1420'
    """
    odd = [cell for cell in cells if _ODD.search(cell)]
    sure = "".join(mark for mark, found in _SURELY.items() if any(map(found.fullmatch, odd)))
    decimals = [cell for cell in odd if _DECIMAL_COMMA.fullmatch(cell)]
    is_decimal = "." in sure or not all(map(_MAYBE_THOUSANDS.fullmatch, decimals))
    if "," in sure and is_decimal:
        return Marks()
    return Marks(has_commas=is_decimal and not parted_by_commas, thousands=sure)
