"""Points and lines of an OBJ file: ``v`` and ``l``."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from cableroute.errors import RouteFileError
from cableroute.hardware.quantities import LONGEST
from cableroute.measure.drawn import listed
from cableroute.measure.point_list import PointList
from cableroute.measure.strands import Strand, join, once, straight
from cableroute.shown import shown
from cableroute.units import MM_PER_UNIT, Unit, plain_number

#: Surfaces and curves, of which nothing is read.
_LEFT_OUT = {"f": "surfaces", "curv": "curves", "surf": "surfaces"}


def read_obj(text: str, *, source: str, unit: Unit | None) -> PointList:
    """Return the runs of an OBJ file; without lines, the points of each object in order are one."""
    factor = float(MM_PER_UNIT[unit or "mm"])
    points: list[list[float]] = []
    runs: dict[str, list[list[int]]] = {}
    held: dict[str, list[int]] = {}
    name, left_out = "", set()
    faults: list[str] = []
    for line, (word, rest) in _words(text):
        try:
            if word == "v":
                held.setdefault(name, []).append(len(points))
                points.append([0.0, 0.0, 0.0])
                points[-1] = _numbers(rest, factor)
            elif word == "l":
                runs.setdefault(name, []).append(_indices(rest, len(points)))
            elif word in ("o", "g"):
                name = " ".join(rest)
            elif word in _LEFT_OUT:
                left_out.add(_LEFT_OUT[word])
        except ValueError as error:
            faults.append(f"{source}:{line}: {error}")
    if not points:
        faults.append(f"{source}: expected points, as v 0 0 0; got none")
    elif left_out and not runs:
        told = f"expected lines (l) of the centreline, got {' and '.join(sorted(left_out))} alone"
        faults.append(f"{source}: {told}; export it as a line, or give its points alone")
    if faults:
        raise RouteFileError(faults)
    places = np.array(points)
    found: dict[str, Strand] = {}
    twice = 0
    for each, lines in runs.items():
        strands = [straight(places[line]) for line in lines]
        pieces = once(strands)
        twice += len(strands) - len(pieces)
        found[each] = join(pieces, where=f"{source}: {shown(each, most=40) or 'l'}")
    if not runs:
        several = [each for each, of in held.items() if len(of) > 1]
        found = {each: straight(places[held[each]]) for each in several} or {"": straight(places)}
    notes = [f"{each} are left out" for each in sorted(left_out)]
    notes += [f"{twice} drawn twice {'is' if twice == 1 else 'are'} taken once"] * bool(twice)
    return listed(found, unit=unit, notes=notes)


def _words(text: str) -> Iterator[tuple[int, tuple[str, list[str]]]]:
    for number, line in enumerate(text.replace("\\\n", "  ").splitlines(), start=1):
        words = line.partition("#")[0].split()
        if words:
            yield number, (words[0], words[1:])


def _numbers(words: list[str], factor: float) -> list[float]:
    numbers = [plain_number(word) for word in words[:3]]
    if len(numbers) < 3 or None in numbers:
        got = shown(" ".join(words), most=40)
        raise ValueError(f'expected v and three numbers, got "{got}"')
    found = [factor * x for x in numbers if x is not None]
    if max(map(abs, found)) > LONGEST:
        raise ValueError(
            f"expected a point within {LONGEST / 1e6:g} km, got {words[0]} ...; say the unit"
        )
    return found


def _indices(words: list[str], count: int) -> list[int]:
    if len(words) < 2:
        raise ValueError("expected l and two points or more")
    return [_index(word, count) for word in words]


def _index(word: str, count: int) -> int:
    """Return which point a line names: counted from 1, or back from the last."""
    first = word.partition("/")[0]
    number = int(first) if first.lstrip("-").isdecimal() and len(first) < 10 else 0
    index = number - 1 if number > 0 else count + number
    if number == 0 or not 0 <= index < count:
        got = shown(word, most=40)
        raise ValueError(f"expected a point from 1 to {count} that stands above, got '{got}'")
    return index
