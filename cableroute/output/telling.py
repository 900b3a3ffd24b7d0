"""What is being done, said to whoever waits for it; nothing here prints."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cableroute.output.report.blocks import Drawing, Report, Section

#: Takes a few words on what is begun.
Announce = Callable[[str], None]
#: Called as a drawing is begun.
Begin = Callable[["Drawing"], None]


def silent(_doing: str) -> None:
    """Tell nobody."""


def each_drawing(report: Report, announce: Announce) -> Begin:
    """Return what is to be called as each drawing of a report is begun."""
    total, numbers = sum(map(_drawings, report.sections)), count(1)
    return lambda drawing: announce(f"drawing {next(numbers)} of {total}: {drawing.caption}")


def _drawings(section: Section) -> int:
    from cableroute.output.report.blocks import Drawing, Space  # not for those who only tell

    own = sum(
        len(block.drawings) if isinstance(block, Space) else isinstance(block, Drawing)
        for block in section.blocks
    )
    return own + sum(map(_drawings, section.parts))
