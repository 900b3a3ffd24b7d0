"""What a study asks of machines: figures that are told, and what each has in hand by rule."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from cableroute.arrays import Array
from cableroute.study.batch import figures_of
from cableroute.study.draw import draws
from cableroute.study.drawn import Drawn, drawn
from cableroute.study.inputs import Doubts
from cableroute.study.lays import Lay
from cableroute.study.rules import Rules
from cableroute.study.tally import Rows

#: Figures that are told: key of the batch, name, unit.
TOLD = (
    ("pull", "hand force pulling", "N"),
    ("push", "hand force pushing", "N"),
    ("length", "length to order", "mm"),
    ("wrap", "wrap", "deg"),
    ("radius", "tightest bend", "mm"),
    ("lost", "lost motion", "mm"),
    ("arrives", "travel that arrives", "mm"),
    ("returns", "return spring margin", ""),
)
_KEPT = (*(key for key, *_ in TOLD), "least", "stock", "by_bends")


@dataclass(slots=True, eq=False)
class Model:
    """Machines of one cable, as they may be.

    Parameters
    ----------
    doubts : Doubts
        What is in doubt.
    lay : Lay
        How the natural lay follows the points.
    rules : Rules
        What each machine is held against.
    """

    doubts: Doubts
    lay: Lay
    rules: Rules
    _base: Drawn | None = field(default=None, repr=False)

    def rows(self, n: int, *, seed: int, start: int = 0) -> Iterator[Rows]:
        """Yield machines block by block, from a row that begins one."""
        for shares in draws(n, len(self.doubts.inputs), seed=seed, start=start):
            yield self.judged(shares)

    def judged(self, shares: Array) -> Rows:
        """Work out one block."""
        return self._rows(drawn(self.doubts, self.lay, shares), shares)

    def changed(self, shares: Array, i: int | None) -> dict[str, Array]:
        """Return what indices are asked of: all rows anew, or the last such but for one input.

        An input that moves no point leaves the runs as they were fitted.
        """
        same = i is not None and not self.doubts.moves(i) and self._base is not None
        route = self._base.route if same and self._base is not None else None
        machines = drawn(self.doubts, self.lay, shares, route=route)
        if i is None:
            self._base = machines
        found = self._rows(machines, shares)
        figures = {key: found.figures[key] for key, *_ in TOLD if key in found.figures}
        return figures | dict(found.margins)

    def _rows(self, machines: Drawn, shares: Array) -> Rows:
        told = figures_of(machines)
        told["wrap"] = np.degrees(told["wrap"])
        figures = {key: told[key] for key in _KEPT if key in told}
        return Rows(shares, figures, self.rules.in_hand(told))
