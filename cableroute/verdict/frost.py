"""Cautions of a cable that works below freezing: no factor covers water that locks a core solid."""

from __future__ import annotations

from collections.abc import Iterator

from cableroute.figures.cable import Figures
from cableroute.figures.frost import Frost
from cableroute.verdict.check import OWN, PRACTICE, Check


def frost_checks(figures: Figures, frost: Frost) -> Iterator[Check]:
    """Yield where water stands and comes in, and a grease that no longer flows."""
    yield _water(figures, frost)
    if frost.stiff:
        known = "" if frost.lubricant else ", which is taken as none is named,"
        yield Check(
            code="grease-too-cold",
            name="Coldest against what its grease is good to",
            where="conduit",
            message=f"{frost.coldest:.0f} degC is colder than {frost.grease}{known} is good to: its "
            "poorest no longer flow, and the friction taken for the cold is an extrapolation. Take one "
            "for the cold, or a dry liner.",
        )


def _water(figures: Figures, frost: Frost) -> Check:
    words = figures.words
    stands = ", ".join(
        f"{name} ({words.length(place.along)} along, up to {words.length(place.depth)} deep)"
        for name, place in frost.low
    )
    drain = f" Water stands near {stands}: drain it there." if stands else ""
    ends = " and ".join(frost.lets_in)
    verb = "open" if len(frost.lets_in) > 1 else "opens"
    seal = f" {ends} {verb} upwards: put a boot or a seal there." if ends else ""
    return Check(
        code="water-freezes",
        name="Low places and ends open upwards, where water freezes",
        value=float(len(frost.low) + len(frost.lets_in)),
        noting=0.0,
        formula="each place from which the run rises both ways, as it lies, on level ground",
        source=f"{OWN}, geometry; what to do: {PRACTICE}",
    ).saying(
        lambda _: (
            f"At {frost.coldest:.0f} degC water in the conduit can lock the core solid, which no "
            f"figure here covers.{drain}{seal}"
        )
    )
