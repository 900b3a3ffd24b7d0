"""What to try of a cable on the bench."""

from __future__ import annotations

from collections.abc import Iterator

from cableroute.assess import CableAssessment
from cableroute.figures.cable import Figures
from cableroute.figures.transmission import Transmission
from cableroute.measure.job import Job
from cableroute.output.report.blocks import Bullets, Column, Section, Table


def bench_section(cable: CableAssessment, job: Job) -> Section:
    """Return what to try of a cable before a hole is drilled, with the readings to expect."""
    how = (
        "Lay the cable on a mock-up of its route, hang the load at the far end and draw the core "
        "with a spring scale, slowly, in line with the conduit. Read it while the core moves; again "
        "cold, wet and dirty: the range should cover the worst of them.",
        "A reading above the range means more friction than was taken: cableroute report --sheet "
        "gives the readings to take, cableroute calibrate fits the friction to them.",
        *_lost(cable),
        "Work it through its whole stroke, with the steering and the suspension at both ends of "
        "theirs: no fitting may meet its stop, no bend may be pulled straight.",
        *_return(cable),
        *_heat(cable, job),
    )
    return Section("What to test on the bench", (scale_table(cable), Bullets(how)))


def _lost(cable: CableAssessment) -> Iterator[str]:
    figures = cable.figures
    most = f": {figures.words.fine(figures.lost.total)} at most" if figures.lost else ""
    yield f"Reverse the load and measure what the far end stands still for{most}."


def _return(cable: CableAssessment) -> Iterator[str]:
    if cable.figures.cable.kind == "pull":
        yield "Let go: what a spring brings back must come back from everywhere in the stroke."


def scale_table(cable: CableAssessment) -> Table:
    """Return what a spring scale should read at the hand, at both ends of the range of friction."""
    heads = ("Way", "Hang at the far end", "Scale at the hand should read", "With no load")
    columns = tuple(Column(head, numeric=head != "Way") for head in heads)
    return Table("Force to expect, at low and at high friction", columns, tuple(_readings(cable)))


def _readings(cable: CableAssessment) -> Iterator[tuple[str, ...]]:
    figures, pair, words = cable.figures, cable.pair, cable.figures.words
    if pair:
        for word, through in zip(("out", "back"), pair.ways, strict=True):
            tight = f"{word}, both cores at {words.force(pair.preload)}"
            yield (tight, *_reading(figures, through))
        return
    yield ("pulling", *_reading(figures, figures.pull))
    if figures.push:
        yield ("pushing", *_reading(figures, figures.push.through))


def _reading(figures: Figures, through: Transmission) -> tuple[str, str, str]:
    """Load, reading and drag, which is in the reading: as measured, or at its most in the high end."""
    words = figures.words
    hand = words.forces(*through.inputs)
    if figures.drag is None:
        return words.force(through.load), hand, "not known"
    if figures.cable.drag is not None:
        return words.force(through.load), hand, f"about {words.force(figures.drag)}"
    return words.force(through.load), hand, f"at most {words.force(figures.drag)}"


def _heat(cable: CableAssessment, job: Job) -> Iterator[str]:
    for zone in (each.zone for each in cable.figures.clearances):
        if zone.temperature is not None:
            yield (
                f"Run {zone.name} hot and measure the air at the conduit: "
                f"{zone.temperature:.0f} °C is its surface."
            )
