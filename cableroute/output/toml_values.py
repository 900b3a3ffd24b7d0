"""Write plain values as TOML."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

from cableroute.errors import CableRouteError
from cableroute.measure.toml_lines import Path

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def written(value: Any) -> str:
    r"""Return a value on one line, a table with room to breathe.

    Examples
    --------
    >>> print(written({"at": [0, 1.5, "3' 4\""], "label": "sill"}))
    { at = [0, 1.5, "3' 4\""], label = "sill" }
    """
    if isinstance(value, Mapping):
        pairs = ", ".join(f"{key_text((key,))} = {written(each)}" for key, each in value.items())
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) or (isinstance(value, float) and math.isfinite(value)):
        return repr(value)
    if isinstance(value, Sequence):
        return f"[{', '.join(map(written, value))}]"
    raise CableRouteError(f"expected text, a number, a list or a table, got {value!r}")


def key_text(path: Path) -> str:
    """Return a key, dotted where it has parts."""
    return ".".join(
        part if _BARE.fullmatch(part) else _quoted(part) for part in path if isinstance(part, str)
    )


def table_text(path: Path, value: Mapping[str, Any], *, is_array: bool = False) -> str:
    r"""Return a table under a header of its own, each key on a line.

    Examples
    --------
    >>> print(table_text(("cable",), {"name": "x", "points": [{"on": "rail"}]}, is_array=True))
    [[cable]]
    name = "x"
    points = [
      { on = "rail" },
    ]
    <BLANKLINE>
    """
    head = f"[[{key_text(path)}]]" if is_array else f"[{key_text(path)}]"
    pairs = (f"{key_text((key,))} = {lines_of(each)}\n" for key, each in value.items())
    return f"{head}\n{''.join(pairs)}"


def lines_of(value: Any) -> str:
    """Return a value on one line, but a list of tables with a line for each."""
    if is_tables(value) or value == []:
        return "[\n" + "".join(f"  {written(each)},\n" for each in value) + "]"
    return written(value)


def is_tables(value: Any) -> bool:
    """Say whether a value is a list of tables."""
    return isinstance(value, list) and bool(value) and all(isinstance(v, Mapping) for v in value)


def _quoted(text: str) -> str:
    """Quote as JSON does, whose escapes TOML shares, but for the one letter it must not hold."""
    try:
        text.encode()
    except UnicodeEncodeError:
        raise CableRouteError(f"expected text, got half a letter in {text!r}") from None
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
