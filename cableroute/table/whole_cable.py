"""All that is told of one cable, in the order in which it is told."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cableroute.assess import CableAssessment
from cableroute.measure.wording import Words
from cableroute.table.figure import Figure, Group, Row, facts
from cableroute.table.forces import (
    FOLDING,
    FORCE_ROWS,
    FRICTION_BEYOND,
    PULL,
    PULL_RANGE,
    PUSH,
    PUSH_RANGE,
)
from cableroute.table.holding import HEAT, STRESS
from cableroute.table.pair import PAIR, PAIR_ROWS
from cableroute.table.run import LAY, ORDER, ORDER_ROWS, ROUTE, RUN_ROWS
from cableroute.table.travel import LOST_MOTION, LOST_ROWS, RETURN_ROWS, RETURN_SPRING

BEND_STRESS = Figure[CableAssessment](
    "wire_bending_mpa", "", "MPa", lambda cable: cable.figures.bend_stress
)
#: Groups of figures in plain data.
GROUPS: tuple[Group[CableAssessment, Any], ...] = (
    ROUTE,
    ORDER,
    PULL,
    PULL_RANGE,
    PUSH,
    PUSH_RANGE,
    FOLDING,
    FRICTION_BEYOND,
    PAIR,
    LOST_MOTION,
    RETURN_SPRING,
    LAY,
    STRESS,
    HEAT,
)
#: Lines of the short table, on the terminal and in reports.
ROWS: tuple[Row[CableAssessment], ...] = (
    *RUN_ROWS,
    *FORCE_ROWS,
    *LOST_ROWS,
    *ORDER_ROWS,
    *PAIR_ROWS,
    *RETURN_ROWS,
)


def kind_of(cable: CableAssessment) -> str:
    """Say what kind of cable it is, and of which family."""
    family = cable.figures.cable.family
    return f"{cable.figures.cable.kind}, {family.name}" if family else cable.figures.cable.kind


def cable_facts(cable: CableAssessment, words: Words | None = None) -> Iterator[tuple[str, str]]:
    """Yield the short table of a cable: name and words of each row."""
    return facts(ROWS, cable, words or cable.figures.words)


def fact(cable: CableAssessment, name: str) -> str:
    """Return what one row of the short table says, or nothing where there is no such row."""
    return dict(cable_facts(cable)).get(name, "")
