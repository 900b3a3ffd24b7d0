"""Checks of the run: bends, and what it keeps clear of."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, floor, inf

import numpy as np

from cableroute.figures.cable import Figures
from cableroute.figures.shape import Clearance
from cableroute.measure.wording import Words
from cableroute.verdict.check import CABLE_DATA, Check

#: A radius below this is no bend, but a corner that nearly doubles back [mm]; our own choice.
_NO_BEND = 2.0
#: Legs that are too short told one by one; of more than these the rest are counted.
MOST_TOLD = 100


def shape_checks(figures: Figures) -> Iterator[Check]:
    """Yield whether bends fit and may be so tight, and what the run keeps clear of."""
    yield from _fit(figures)
    yield from _radius(figures)
    yield _wrap(figures)
    for clearance in figures.clearances:
        yield from _keeping_clear(figures, clearance)
    yield _tubes(figures)


def _fit(figures: Figures) -> Iterator[Check]:
    """Yield every leg too short for its bends, or else the one with the least to spare."""
    route = figures.route
    misfits, slacks = np.flatnonzero(route.misfits).tolist(), route.slacks
    common = float(route.common_radius) if misfits else inf
    doubt = 2.0 * figures.tolerance if figures.survey.moves.any() else 0.0
    worst = np.argsort(slacks[misfits], kind="stable")[:MOST_TOLD]
    told = [misfits[each] for each in sorted(worst.tolist())]
    for leg in told or [int(np.argmin(slacks))]:
        slack = float(slacks[leg])
        yield _leg(figures, leg, slack, fits=not misfits, common=common, doubt=doubt)
    if len(misfits) > len(told):
        yield _others(len(misfits), len(told))


def _others(count: int, told: int) -> Check:
    return Check(
        code="legs-too-short",
        name="Legs too short for their bends",
        where="whole run",
        value=count,
        failing=0,
        formula="leg less R·tan(θ/2) at each of its ends",
        source="surveying's circular curve",
    ).saying(
        lambda _: (
            f"{count} legs are too short for their bends, of which the {told} that lack most are told one "
            "by one. Look whether unit and bend radius are meant, or thin the points out."
        )
    )


def _leg(
    figures: Figures, leg: int, slack: float, *, fits: bool, common: float, doubt: float
) -> Check:
    route, words = figures.route, figures.words
    in_doubt = doubt > 0.0 and -slack <= doubt
    start, end = figures.vertex_name(leg), figures.vertex_name(leg + 1)
    return Check(
        code="bend-does-not-fit",
        name="Room for the bends on the tightest leg",
        where=f"{start} to {end}",
        value=max(slack, 0.0) if fits else slack,
        marginal=0.0 if in_doubt else None,
        failing=None if in_doubt else 0.0,
        at_least=True,
        unit="mm",
        formula="leg less R·tan(θ/2) at each of its ends",
        source="surveying's circular curve",
        detail=f"of a leg of {words.length(float(route.legs[leg]))}",
    ).saying(lambda _: _misfit(figures, leg, slack, common=common, in_doubt=in_doubt))


def _misfit(figures: Figures, leg: int, slack: float, *, common: float, in_doubt: bool) -> str:
    route, words = figures.route, figures.words
    wanted = route.wanted_radii[max(leg - 1, 0) : leg + 1]
    radii = [words.length(radius) for radius in sorted(set(wanted.tolist()))]
    bends = " and ".join((*(radius.removesuffix(" mm") for radius in radii[:-1]), radii[-1]))
    mend = f"use a cable that may bend to {words.length(common, rounding=floor)} everywhere"
    if common < _NO_BEND:
        mend = "look for a corner that nearly doubles back"
    doubt = " That is within the tape's doubt: measure it again." if in_doubt else ""
    return (
        f"The leg is {words.length(route.legs[leg])} and its bends at {bends} radius need "
        f"{words.lacking(-slack)} more. Move its points that much further apart, or "
        f"{mend}.{doubt}"
    )


def _radius(figures: Figures) -> Iterator[Check]:
    """Yield the tightest bend asked for against what the cable may take."""
    family, route, words = figures.cable.family, figures.route, figures.words
    if not route.turns.size:
        return
    asked = float(np.min(route.wanted_radii))
    least = family.min_bend_radius if family else figures.cable.bend_radius
    yield Check(
        code="radius-below-family",
        name="Tightest bend asked for",
        where="bends",
        value=asked,
        failing=least * (1.0 - 1e-9),
        at_least=True,
        unit="mm",
        formula="radius to the conduit's centreline",
        source=CABLE_DATA if family else "limit: as given in the file",
    ).saying(
        lambda _: (
            f"Bends of {words.length(asked)} radius are asked for; the "
            f"{family.name if family else ''} cable may not be bent below {words.length(least)}. Widen "
            "the bends or choose another family."
        )
    )


def _wrap(figures: Figures) -> Check:
    return Check(
        code="wrap",
        name="Wrap, all bends added",
        value=degrees(float(figures.route.wrap)),
        unit="deg",
        formula="Σθ, unsigned; tan²(θ/2) = q/(4 − q), q = |u₂ − u₁|²",
        source="Kahan 2006, sec. 12 (from memory)",
    )


def _keeping_clear(figures: Figures, clearance: Clearance) -> Iterator[Check]:
    """Yield how near the run comes to a solid, and whether the cable stands its heat."""
    words, zone, near = figures.words, clearance.zone, _nearness(clearance, figures.words)
    at = words.length(clearance.nearest.at)
    yield Check(
        code="keep-out",
        name=f"Clear of {zone.name}",
        where=zone.name,
        value=clearance.clear,
        failing=zone.distance,
        at_least=True,
        unit="mm",
        formula="nearest of 2000 places along the run, then finer",
        source="limit: as given in the file",
        detail=f"{at} along",
    ).saying(
        lambda _: (
            f"{at} from the hand end the conduit {near}; {words.length(zone.distance)} is to "
            "be kept. Lead it further away or clip it back there."
        )
    )
    family = figures.cable.family
    hottest = family.temperature[1] if family and family.temperature else None
    if zone.temperature is None or hottest is None:
        return
    twice = 2.0 * zone.distance
    far_off = bool(zone.distance) and clearance.clear >= twice
    nearer = f"; nearer than {words.length(twice)}, twice what is to be kept, it is marginal"
    yield Check(
        code="heat",
        name=f"Heat of {zone.name} at its surface",
        where=zone.name,
        value=zone.temperature,
        noting=hottest if far_off else None,
        marginal=None if far_off else hottest,
        unit="degC",
        formula="surface against what the cable stands; marginal nearer than twice the distance to "
        "keep; the air between is not worked out",
        source=CABLE_DATA,
    ).saying(
        lambda _: (
            f"The {zone.name} reaches {zone.temperature:.0f} degC, the cable stands "
            f"{hottest:.0f} degC; the conduit {near}{nearer if zone.distance else ''}. Measure the air there, shield it, or take a liner that "
            "stands the heat."
        )
    )


def _tubes(figures: Figures) -> Check:
    """Count the tubes that the run goes through; they are solid."""
    crossed, words = figures.tubes, figures.words
    laid = any(each.tube.name in figures.cable.tubes for each in crossed)
    told = "; ".join(
        f"the {each.tube.name} tube, {words.length(each.at)} from the hand end, by "
        f"{words.length(each.depth)}"
        for each in crossed
    )
    return Check(
        code="through-a-tube",
        name="Tubes that the conduit goes into",
        where=", ".join(each.tube.name for each in crossed) or "whole run",
        value=float(len(crossed)),
        failing=0.0,
        formula="nearest of 2001 places along both shapes; of a tube that a point lies on, drawn tight "
        "and deeper than the conduit is thick",
        source="geometry",
    ).saying(
        lambda _: (
            f"The conduit goes into {told}. Lead it round, or lay a point on that tube where it "
            + (
                "comes to the other side; or see whether the clock of its points there is right."
                if laid
                else "touches."
            )
        )
    )


def _nearness(clearance: Clearance, words: Words) -> str:
    """Say how near the conduit comes, or how far it runs in."""
    clear, name = clearance.clear, clearance.zone.name
    if clear < 0.0:
        return f"runs {words.lacking(-clear)} into the {name}"
    return f"is {words.length(clear)} from the {name}"
