"""Lines of text for a terminal of 80 columns."""

from __future__ import annotations

import textwrap

WIDTH = 80


def wrapped(text: str, *, indent: int, first: int = 0) -> list[str]:
    """Break a text into lines, at spaces only where that can be.

    Examples
    --------
    >>> [len(line) for line in wrapped("a push-pull cable " * 6, indent=2)]
    [73, 35]
    """
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=" " * first,
        subsequent_indent=" " * indent,
        break_on_hyphens=False,
    )
