"""Every figure of a selector, from its entry and its two linkages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from math import radians

from cableroute.errors import GeometryError
from cableroute.frozen import frozen
from cableroute.linkage.bind import box_unit, build_selector
from cableroute.linkage.build import Built
from cableroute.linkage.gate_mends import GateMends, Thread, mend_gates
from cableroute.linkage.gates import AXES, SelectorTable, selector_table
from cableroute.linkage.pattern import Gate, PatternSense
from cableroute.linkage.selector import Axis, Selector
from cableroute.measure.linkage_models import LinkageEntry, SelectorEntry
from cableroute.measure.wording import Words


def sound_axes(sense: PatternSense) -> tuple[Axis, ...]:
    """Return the axes that go the way that is wanted, so that their gates can be judged one by one."""
    mirrored = sense.mirrored_select, sense.mirrored_shift
    return tuple(
        axis for axis, wrong in zip(AXES, mirrored, strict=True) if not (wrong or sense.swapped)
    )


@frozen(eq=False, kw_only=True)
class SelectorFigures:
    """All figures of one selector.

    Attributes
    ----------
    entry : SelectorEntry
        What the file says.
    select, shift : Built
        Its two linkages.
    table : SelectorTable or None
        Every gate; None if the box cannot follow.
    mends : GateMends or None
        One set of changes that brings every gate within reach; None where all are reached, or
        an axis that misses goes the wrong way.
    fault : str
        Why there is no table, or nothing.
    words : Words
        How lengths are written for the tape.
    """

    entry: SelectorEntry
    select: Built
    shift: Built
    table: SelectorTable | None
    mends: GateMends | None
    fault: str
    words: Words = field(default_factory=Words)

    def built(self, axis: str) -> Built:
        """Return the linkage of an axis."""
        return self.select if axis == "select" else self.shift

    def unit_of(self, axis: str) -> tuple[str, float]:
        """Return the unit of the box's positions on an axis, and its size."""
        scale = box_unit(self.built(axis))
        return ("mm" if scale == 1.0 else "deg"), scale


def work_out_selector(
    entry: SelectorEntry, *, select: Built, shift: Built, words: Words | None = None
) -> SelectorFigures:
    """Work out every gate of a selector."""
    selector, gates = build_selector(entry, select=select, shift=shift)
    linkages: dict[Axis, Built] = {"select": select, "shift": shift}
    table: SelectorTable | None = None
    mends: GateMends | None = None
    fault = ""
    try:
        table = selector_table(selector, gates)
        missing = [axis for axis in sound_axes(table.sense) if _misses(table, axis)]
        mends = _mends(selector, gates, missing, linkages)
    except GeometryError as error:
        table, fault = None, str(error)
    return SelectorFigures(
        entry=entry,
        select=select,
        shift=shift,
        table=table,
        mends=mends,
        fault=fault,
        words=words or Words(),
    )


def _misses(table: SelectorTable, axis: Axis) -> bool:
    return any(getattr(row, axis).outcome != "reached" for row in table.rows)


def _mends(
    selector: Selector,
    gates: tuple[Gate, ...],
    axes: list[Axis],
    linkages: Mapping[Axis, Built],
) -> GateMends | None:
    if not axes:
        return None
    return mend_gates(
        selector,
        gates,
        axes=axes,
        threads={axis: _thread(linkages[axis].entry) for axis in axes},
        leans={axis: _leans(linkages[axis].entry) for axis in axes},
    )


def _thread(entry: LinkageEntry) -> Thread:
    if not entry.adjusters:
        return Thread()
    half = sum(entry.adjusters) / 2
    return Thread(longer=half - entry.adjusted, shorter=half + entry.adjusted)


def _leans(entry: LinkageEntry) -> tuple[float, float]:
    return radians(entry.hand.swivel.limit_deg), radians(entry.far.swivel.limit_deg)
