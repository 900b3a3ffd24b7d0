"""Words that somebody else wrote, made fit to be shown: nothing in them acts, all of it is seen.

A name may hold an escape that moves the cursor, a newline, or a mark that turns the line round: on
a terminal it could write a verdict of its own. Whatever is shown to people goes through here.
"""

from __future__ import annotations

import re
import unicodedata

#: Letters of a name or a label that a message repeats.
LONGEST_NAME = 60
#: These join or part letters in scripts that need them, and do nothing else.
_JOINERS = "\u200c\u200d"
_CUT = "..."


def shown(text: str, *, most: int | None = None) -> str:
    r"""Return a text with every control, newline and bidi mark written out.

    Parameters
    ----------
    text : str
        What somebody wrote.
    most : int, optional
        Letters to be shown at most [-]; what is longer ends in three points.

    Returns
    -------
    str
        One line that nothing obeys.

    Examples
    --------
    >>> print(shown("brake\x1b[1GPASS\u202e"))
    brake\x1b[1GPASS\u202e
    >>> shown("a name without end", most=9)
    'a name...'
    """
    if most is not None and len(text) > most:
        text = text[: most - len(_CUT)] + _CUT
    if text.isprintable():
        return text
    return "".join(each if _is_harmless(each) else _written_out(each) for each in text)


def one_line(text: str, *, most: int | None = None) -> str:
    r"""Return a text on one line: single spaces for newlines and tabs, other controls written out.

    Parameters
    ----------
    text : str
        What somebody wrote, or we.
    most : int, optional
        Letters to be shown at most [-].

    Returns
    -------
    str
        One line that nothing obeys.

    Examples
    --------
    >>> one_line("clutch\n\t cable")
    'clutch cable'
    """
    return shown(" ".join(text.split()), most=most)


#: What JSON lets stand in a string, though a terminal or a reader would obey it.
_ACTS = re.compile(
    "[\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e007f]"
)


def shown_json(text: str) -> str:
    r"""Return a JSON text that says the same, with all that a terminal would obey escaped.

    Parameters
    ----------
    text : str
        JSON, whose strings hold no raw control below 0x20.

    Returns
    -------
    str
        The same data.

    Examples
    --------
    >>> print(shown_json('"a\u202eb"'))
    "a\u202eb"
    """
    return _ACTS.sub(lambda found: _utf16(found[0]), text)


def _utf16(letter: str) -> str:
    units = letter.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[i]:02x}{units[i + 1]:02x}" for i in range(0, len(units), 2))


def _is_harmless(letter: str) -> bool:
    return letter.isprintable() or letter in _JOINERS or unicodedata.category(letter) == "Zs"


def _written_out(letter: str) -> str:
    return letter.encode("unicode_escape").decode("ascii")
