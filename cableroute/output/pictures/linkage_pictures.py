"""A linkage at neutral and at both ends of its stroke, each member in its own plane."""

from __future__ import annotations

from math import atan2, ceil, degrees
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import LinkageAssessment
from cableroute.figures.linkage import LinkageFigures
from cableroute.linkage.arms import Arm
from cableroute.linkage.chain import walk
from cableroute.linkage.direction import way
from cableroute.linkage.slide import Slide
from cableroute.output.pictures.labels import Label, place_labels
from cableroute.output.pictures.member_view import Member, members_of
from cableroute.output.pictures.projection import densely
from cableroute.output.pictures.style import (
    BLUE,
    GREEN,
    GREY,
    HEADING,
    INK,
    KEY_ROOM,
    LETTERS,
    PALE,
    RED,
    SMALL,
    arrow,
    key,
    new_axes,
    panels,
    scale_bar,
    shown_unit,
)
from cableroute.output.pictures.views import set_limits

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Height of a row of members [in], and room for labels round a member [pt].
_ROW, _ROOM = 3.7, (44.0, 30.0)


class Place(NamedTuple):
    """A position of the hand, and how it is drawn."""

    at: int
    words: str
    colour: str
    line: str | tuple[float, tuple[float, ...]]
    marker: str


def draw_linkage(result: LinkageAssessment, *, unit: str = "mm", ax: Axes | None = None) -> Axes:
    """Draw every member of a linkage at neutral and at both ends of the stroke."""
    figures = result.figures
    places = hand_places(figures)
    members, leaning = members_seen(result)
    rows = ceil(len(members + leaning) / 2)
    ax = ax or new_axes(1.28 + _ROW * rows, owner=figures.name, left=0.05)
    heading = "Linkage at its extremes" + (", as far as it closes" if figures.faults else "")
    ax.set_title(heading, loc="left", fontsize=HEADING, color=INK, pad=KEY_ROOM)
    every = panels(ax, len(members + leaning))
    for panel, member in zip(every[: len(members)], members, strict=True):
        _draw_member(panel, figures, member, places, unit=unit)
    for panel, member in zip(every[len(members) :], leaning, strict=True):
        _draw_lean(panel, member, places, unit=unit)
    for place in places:
        ax.plot([], [], **_look(place), ms=6.0, label=place.words)
    ax.plot([], [], color=GREEN, lw=7.0, alpha=0.35, solid_capstyle="butt", label="needed")
    if _goes_wrong(figures):
        ax.plot([], [], color=GREEN, lw=3.0, marker=">", label="the way wanted")
    key(ax)
    return ax


def members_seen(result: LinkageAssessment) -> tuple[list[Member], list[Member]]:
    """Return the members, and those of which the cable's rod has a panel of its own."""
    figures = result.figures
    members = members_of(figures, walk(figures.built.chain, figures.hand))
    return members, [seen for member in members if (seen := member.leaning())]


def hand_places(figures: LinkageFigures) -> list[Place]:
    """Return the positions of the hand that are drawn: neutral, the wanted way, and back."""
    neutral = int(np.argmin(np.abs(figures.hand)))
    ends = [figures.hand.size - 1, 0]
    out, back = ends if figures.built.hand_sense > 0 else ends[::-1]
    looks = [(out, BLUE, (0, (5, 1.5)), "^"), (back, RED, (0, (1.3, 1.0)), "D")]
    grip = figures.built.chain.bodies[0].point(working=False).at(figures.hand)
    places = [Place(neutral, "neutral", INK, "-", "o")]
    for at, colour, line, marker in looks:
        if at != neutral:
            words = f"hand {way(grip[at] - grip[neutral])}"
            places.append(Place(at, words, colour, line, marker))
    return places


def _look(place: Place) -> dict[str, Any]:
    return {
        "color": place.colour,
        "ls": place.line,
        "marker": place.marker,
        "mfc": "white",
        "lw": 2.0,
    }


def _goes_wrong(figures: LinkageFigures) -> bool:
    return figures.direction is not None and (
        figures.direction.mirrored or figures.direction.across
    )


def _draw_member(
    ax: Axes, figures: LinkageFigures, member: Member, places: list[Place], *, unit: str
) -> None:
    scale, name = shown_unit(unit)
    _frame(ax, member)
    lines = [
        line / scale
        for place in places
        for line in (*member.arm_lines(place.at), *member.rod_lines(place.at))
    ]
    path = member.path(member.where) / scale
    seen = np.concatenate((*lines, path, member.cone() / scale, member.rim() / scale))
    set_limits(ax, seen.min(axis=0), seen.max(axis=0), room=_ROOM)
    bar = scale_bar(ax, name)
    _draw_still(ax, member, scale)
    goal = _draw_goal(ax, figures, member, scale)
    for place in places:
        _draw_at(ax, member, place, scale)
    going = [place.at for place in places]
    if len(going) > 1:
        _draw_path(ax, path, going)
    busy = [densely(line) for line in (*lines, path, *goal, bar)] + [member.cone() / scale]
    busy += [line[1:] for line in lines for _ in range(4)]  # a mark is worth more than a line
    labels = _labels(figures, member, places, unit=unit)
    place_labels(ax, labels, avoid=np.concatenate(busy))


def _frame(ax: Axes, member: Member) -> None:
    """Give a panel its heading and say which ways it shows."""
    view = member.view
    ax.set_title(view.heading, loc="left", fontsize=LETTERS, color=INK, pad=4.0, parse_math=False)
    ax.set(xticks=[], yticks=[])
    ax.set_xlabel(view.x, fontsize=SMALL, color=GREY, loc="left", labelpad=3.0)
    ax.set_ylabel(view.y, fontsize=SMALL, color=GREY, loc="bottom", labelpad=3.0)
    ax.spines[:].set_color(PALE)


def _draw_lean(ax: Axes, member: Member, places: list[Place], *, unit: str) -> None:
    """Draw the cable's rod alone, in the plane in which it leans most."""
    scale, name = shown_unit(unit)
    _frame(ax, member)
    rods = np.stack(member.cable_rod, axis=1)
    lines = {place: member.view.project(rods[place.at]) / scale for place in places}
    cone = member.cone() / scale
    seen = np.concatenate((*lines.values(), cone))
    set_limits(ax, seen.min(axis=0), seen.max(axis=0), room=_ROOM)
    bar = scale_bar(ax, name)
    _draw_swivel(ax, member, scale)
    for place, line in lines.items():
        ax.plot(*line.T, **{**_look(place), "marker": "", "lw": 1.6}, zorder=2.0)
        ax.plot(*line[1:].T, **{**_look(place), "ls": ""}, ms=6.0, zorder=3.5)
    busy = [densely(line) for line in (*lines.values(), bar)]
    place_labels(ax, _lean_label(member, scale), avoid=np.concatenate((*busy, cone)))


def _draw_swivel(ax: Axes, member: Member, scale: float) -> None:
    """Draw a cable's swivel, the end of its conduit, and how far its rod may lean."""
    view, swivel = member.view, member.swivel
    if swivel is None:
        return
    ax.fill(*(member.cone() / scale).T, fc="#f1f1f1", ec=GREY, lw=0.7, ls=":", zorder=0.8)
    reach = member.reach
    line = view.project(swivel.point + np.outer((-0.25, 0.0, 1.1), reach * swivel.axis)) / scale
    ax.plot(*line[1:].T, color=GREY, lw=0.7, ls=(0, (8, 2, 1, 2)), zorder=1.0)
    ax.plot(*line[:2].T, color=GREY, lw=6.0, solid_capstyle="butt", zorder=1.0)
    ax.plot(*line[1], "o", ms=7.0, mfc=PALE, mec=INK, mew=1.2, zorder=4.0)


def _draw_still(ax: Axes, member: Member, scale: float) -> None:
    """Draw what stays where it is: swivel, conduit, pivot, the line of a shaft, a drum."""
    point = member.point
    _draw_swivel(ax, member, scale)
    if isinstance(point, Slide):
        shaft = member.path(np.array([1.3, -1.3]) * np.abs(member.where).max(), beside=0.0)
        ax.plot(*shaft.T / scale, color=PALE, lw=9.0, solid_capstyle="butt", zorder=0.9)
    else:
        pivot = member.middle / scale
        ax.fill(*(member.rim() / scale).T, fc=PALE, ec=GREY, lw=1.0, zorder=0.9)
        ax.plot(*pivot, "o", ms=9.0, mfc="white", mec=INK, mew=1.4, zorder=4.0)
        ax.plot(*pivot, "o", ms=2.5, color=INK, zorder=4.1)


def _draw_goal(ax: Axes, figures: LinkageFigures, member: Member, scale: float) -> list[Array]:
    """Draw at the far member the path that is needed, and the way wanted where it goes another."""
    if not member.last:
        return []
    needed = member.path(np.linspace(*figures.built.need, 60)) / scale
    ax.plot(*needed.T, color=GREEN, lw=7.0, alpha=0.35, solid_capstyle="butt", zorder=0.95)
    if not _goes_wrong(figures):
        return [needed]
    start = member.path(np.zeros(1), beside=0.4)[0] / scale
    ahead = member.view.project(np.array(figures.built.entry.wanted.far))
    wanted = np.stack((start, start + 0.15 * float(np.ptp(ax.get_xlim())) * ahead))
    arrow(ax, *wanted, colour=GREEN, width=3.0)
    return [needed, wanted]


def _draw_at(ax: Axes, member: Member, place: Place, scale: float) -> None:
    """Draw the arms and rods at one position of the hand."""
    look = _look(place)
    for rod in member.rod_lines(place.at):
        ax.plot(*rod.T / scale, **{**look, "marker": "", "lw": 1.2}, zorder=2.0)
    for arm in member.arm_lines(place.at):
        ax.plot(*arm.T / scale, **{**look, "marker": "", "lw": 2.4}, zorder=2.5)
    pins = np.stack(
        [line[1] for line in (*member.arm_lines(place.at), *member.rod_lines(place.at))]
    )
    ax.plot(*pins.T / scale, **{**look, "ls": ""}, ms=6.0, zorder=3.5)


def _draw_path(ax: Axes, path: Array, places: list[int]) -> None:
    """Draw the path of a member's point, and with an arrow which way it goes first."""
    neutral, out = places[:2]
    ax.plot(*path.T, color=INK, lw=0.9, zorder=2.0)
    step = 1 if out > neutral else -1
    first = path[neutral : out + step if out + step >= 0 else None : step]
    arrow(ax, first[-2], first[-1], colour=INK)


def _labels(
    figures: LinkageFigures, member: Member, places: list[Place], *, unit: str
) -> list[Label]:
    """Return what to write at a member, the most important first."""
    scale, name = shown_unit(unit)
    labels = []
    ends = member.path(member.where)
    for place in places[1:]:
        x, y = (ends[place.at] / scale).tolist()
        out = ends[place.at] - member.middle
        words = _travel(figures, member, place.at, scale, name)
        labels.append(Label(x, y, words, towards=atan2(out[1], out[0])))
    labels += _lean_label(member, scale)
    for line in member.arm_lines(places[0].at):
        x, y = (line.mean(axis=0) / scale).tolist()
        length = float(np.linalg.norm(line[1] - line[0])) / scale
        labels.append(Label(x, y, f"{length:.3g} {name}", SMALL, towards=0.0, aside=True))
    return labels


def _lean_label(member: Member, scale: float) -> list[Label]:
    if member.lean is None or member.swivel is None:
        return []
    leans, limit = member.lean
    x, y = (member.view.project(member.swivel.point) / scale).tolist()
    words = f"leans {leans:.1f}°\nof {limit:.0f}° allowed"
    return [Label(x, y, words, SMALL, towards=-0.5 * np.pi)]


def _travel(figures: LinkageFigures, member: Member, at: int, scale: float, name: str) -> str:
    """Say how far a member has gone; at the far end above 0 the wanted way."""
    sense = figures.built.far_sense if member.last else 1
    q = sense * float(member.where[at])
    path = f"{abs(q) * member.point.speed / scale:.3g} {name}"
    words = (
        f"{degrees(q):+.1f}°\n{path}"
        if isinstance(member.point, Arm)
        else f"{q / scale:+.3g} {name}"
    )
    return words.replace("-", "−")
