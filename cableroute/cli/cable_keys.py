"""What is asked about a cable while its points are typed: kind, family, load, travel."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from cableroute.cli.points_file import PointsFile
from cableroute.errors import CableRouteError
from cableroute.hardware.family import Family
from cableroute.hardware.library import find_family

#: What is asked for, with an example of each.
ASKED: Mapping[str, str] = {
    "kind": "push-pull, pull or pull-pair",
    "load": "at the far end, as 60 or 14 lbf",
    "travel": "needed at the far end, as 40 or 1 1/2 in",
    "family": "a name of this list",
}
_KINDS = ("push-pull", "pull", "pull-pair")


def is_key(line: str) -> bool:
    """Tell whether a line sets one of the keys."""
    return line.strip().partition(" ")[0].lower() in ASKED


def set_key(points_file: PointsFile, line: str, library: Mapping[str, Family]) -> Iterator[str]:
    """Put what a line says into the file, and say so."""
    word, _, text = line.strip().partition(" ")
    key, text = word.lower(), text.strip()
    if key == "family" and not text:
        yield from families_that_fit(points_file, library)
        return
    if not text:
        raise CableRouteError(f"{key}: expected {ASKED[key]}, got nothing")
    value: Any = text
    if key == "kind" and text.lower() not in _KINDS:
        raise CableRouteError(f"kind: expected {ASKED['kind']}, got {text!r}")
    if key == "family":
        family = find_family(text, dict(library))
        points_file.put({"family": family.name}, family=family)
        yield f"family: {family.name}, bends to {family.min_bend_radius:g} mm at least."
        return
    if key == "kind":
        value = text.lower()
    elif text.replace(".", "", 1).isdigit():
        value = float(text) if "." in text else int(text)
        if key == "travel" and points_file.dialogue.unit != points_file.unit:
            value = f"{text} {points_file.dialogue.unit}"
    points_file.put({key: value})
    yield f"{key}: {text}"


def families_that_fit(points_file: PointsFile, library: Mapping[str, Family]) -> Iterator[str]:
    """Yield the families of the cable's kind, and why one does not fit."""
    entry = points_file.entry()
    for family in library.values():
        pulls = family.kind == "pull"
        if entry.kind is not None and pulls != (entry.kind != "push-pull"):
            continue
        why = []
        if entry.load and family.max_pull and entry.load > family.max_pull:
            why.append(f"{points_file.words().force(family.max_pull)} at most")
        if entry.travel and family.stroke and entry.travel > family.stroke:
            why.append(f"{points_file.words().length(family.stroke)} of stroke")
        fits = f"no: {', '.join(why)}" if why else f"bends to {family.min_bend_radius:g} mm"
        yield f"  {family.name:22}{fits}"
