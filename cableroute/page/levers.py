"""Linkages as lines to draw: every member in its plane, at every position of the hand."""

from __future__ import annotations

from typing import Any

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import LinkageAssessment
from cableroute.linkage.chain import walk
from cableroute.linkage.slide import Slide
from cableroute.output.linkage_dict import linkage_dict, selector_dict
from cableroute.output.pictures.member_view import Member, members_of
from cableroute.output.plain import JsonObject
from cableroute.page.answers import judge, read


def linkages(body: str) -> JsonObject:
    """Return every linkage with what a drawing of it needs, and the selectors; lengths in mm."""
    reading = read(body)
    job = reading.job
    if job is None or not job.linkages:
        return {"linkages": [], "selectors": []}
    found = judge(reading, job)
    return {
        "linkages": [_linkage(each) for each in found.linkages],
        "selectors": [selector_dict(each) for each in found.selectors],
    }


def _linkage(linkage: LinkageAssessment) -> JsonObject:
    own = {"hand_sense": linkage.figures.built.hand_sense, "members": _members(linkage)}
    return {**linkage_dict(linkage), **own}


def _members(linkage: LinkageAssessment) -> list[JsonObject]:
    figures = linkage.figures
    members = members_of(figures, walk(figures.built.chain, figures.hand))
    return [_member(linkage, member) for member in members]


def _member(linkage: LinkageAssessment, member: Member) -> JsonObject:
    """One member as seen square to its plane; `arms` and `rods` for each position of the hand."""
    figures, view = linkage.figures, member.view
    steps = range(figures.hand.size)
    swivel = member.swivel
    needed = np.linspace(*figures.built.need, 24)
    return {
        "name": member.body.name,
        "heading": view.heading,
        "x": view.x,
        "y": view.y,
        "slides": isinstance(member.point, Slide),
        "middle": _flat(member.middle),
        "arms": [[_flat(line) for line in member.arm_lines(at)] for at in steps],
        "rods": [[_flat(line) for line in member.rod_lines(at)] for at in steps],
        "path": _flat(member.path(member.where)),
        "needed": _flat(member.path(needed)) if member.last else [],
        "wanted": _flat(view.project(np.array(figures.built.entry.wanted.far)))
        if member.last
        else [],
        "drum": _flat(member.rim()),
        "cone": _flat(member.cone()),
        "swivel": None if swivel is None else _flat(view.project(swivel.point)),
        "lean_deg": None if member.lean is None else list(member.lean),
        "first": member.first,
        "last": member.last,
    }


def _flat(points: Array) -> Any:
    """Round to what can be seen; what does not close is None."""
    if points.ndim > 1:
        return [_flat(row) for row in points]
    return [round(value, 2) if np.isfinite(value) else None for value in points.tolist()]
