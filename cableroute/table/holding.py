"""What holds a cable and how it lasts: clips and anchors, stress and heat, friction that changes."""

from __future__ import annotations

from typing import Any

from cableroute.assess import CableAssessment
from cableroute.figures.clips_and_anchors import Anchor
from cableroute.figures.lasting import Aged, Heat
from cableroute.figures.strain import Strain
from cableroute.mechanics.clip_places import Clip
from cableroute.table.figure import Figure, Group
from cableroute.verdict.lasting import aged_verdict
from cableroute.verdict.limits import Limits

CLIP = Group[Clip, Clip](
    "clips",
    lambda clip: clip,
    (
        Figure("at_mm", "", "mm", lambda of: of.at),
        Figure("point_mm", "", "mm", lambda of: of.point.tolist()),
        Figure("force_n", "", "N", lambda of: of.force),
        Figure("direction", "", "", lambda of: (of.direction + 0.0).tolist()),  # no -0
        Figure("kind", "", "", lambda of: of.kind),
        Figure("name", "", "", lambda of: of.name),
        Figure("spring_back_n", "", "N", lambda of: of.spring_back),
    ),
)


def _screws(of: Anchor) -> dict[str, Any] | None:
    return {"size": of.screws[0], "count": of.screws[1]} if of.screws else None


ANCHOR = Group[Anchor, Anchor](
    "anchors",
    lambda anchor: anchor,
    (
        Figure("end", "", "", lambda of: of.load.end),
        Figure("pull_n", "", "N", lambda of: of.load.pull),
        Figure("push_n", "", "N", lambda of: of.load.push),
        Figure("holding_n", "", "N", lambda of: of.band[0] if of.band else None),
        Figure("holding_range_n", "", "N", lambda of: list(of.band) if of.band else None),
        Figure("held_by", "", "", lambda of: of.how),
        Figure("safety_factor", "", "", lambda of: of.safety),
        Figure("bracket_mm", "", "mm", lambda of: of.bracket),
        Figure("screws_needed", "", "", _screws),
    ),
)
STRESS = Group[CableAssessment, Strain](
    "stress",
    lambda cable: cable.lasting.strain,
    (
        Figure("bending_mpa", "", "MPa", lambda of: of.bending),
        Figure("direct_mpa", "", "MPa", lambda of: of.direct),
        Figure("strength_mpa", "", "MPa", lambda of: of.strength),
        Figure("strength_is_given", "", "", lambda of: of.given),
        Figure("table_strength_mpa", "", "MPa", lambda of: list(of.table) if of.table else None),
        Figure("share", "", "%", lambda of: of.share),
        Figure("pushed_mpa", "", "MPa", lambda of: of.pushed),
        Figure("pushed_snaking_mpa", "", "MPa", lambda of: of.snaking),
        Figure("bend_ratio", "", "", lambda of: of.ratio),
        Figure("least_bend_ratio", "", "", lambda of: of.least_ratio),
        Figure("life", "", "", lambda of: of.life),
    ),
)
HEAT = Group[CableAssessment, Heat](
    "heat",
    lambda cable: cable.lasting.heat,
    (
        Figure("range_c", "", "degC", lambda of: list(of.range)),
        Figure("range_is_given", "", "", lambda of: of.given),
        Figure("free_play_mm", "", "mm", lambda of: [each + 0.0 for each in of.free_play]),
        Figure("liner_growth_mm", "", "mm", lambda of: list(of.creep) if of.creep else None),
    ),
)
#: A condition of friction, and what its forces are held against.
CONDITION = Group[tuple[Aged, Limits], tuple[Aged, Limits]](
    "conditions",
    lambda of: of,
    (
        Figure("condition", "", "", lambda of: of[0].condition.name),
        Figure("friction", "", "", lambda of: [of[0].condition.low, of[0].condition.high]),
        Figure("pull_n", "", "N", lambda of: of[0].pull),
        Figure("push_n", "", "N", lambda of: of[0].push),
        Figure("efficiency", "", "%", lambda of: of[0].passed),
        Figure("verdict", "", "", lambda of: aged_verdict(*of)),
    ),
)
