"""The feel of a lever as text, for a terminal of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator

import numpy as np

from cableroute.arrays import Array
from cableroute.figures.feel import CableFeel
from cableroute.mechanics.felt import FeelLoop
from cableroute.output.columns import WIDTH
from cableroute.output.feel_dict import arriving
from cableroute.verdict.check import Verdict

#: Places of the hand in the table.
_PLACES = 9
LIMITS = (
    "Moved slowly; the core's weight, the snaking of a pushed core and what stiffness adds where no drag is "
    "measured are left out. Read the two "
    "ends of a range as a clean cable and a worn one, and try it on a mock-up."
)

Lines = Iterator[tuple[str, str]]


def feel_lines(feel: CableFeel, *, verdict: Verdict) -> Lines:
    """Yield what the hand feels of one cable, line by line."""
    figures = feel.figures
    family = f", {figures.cable.family.name}" if figures.cable.family else ""
    head = f"{verdict.upper():9}{figures.cable.name} ({figures.cable.kind}{family})"
    yield from ((verdict, line) for line in _wrap(head, 9))
    for name, value in _rows(feel):
        mood = "fail" if name == "returns" and not feel.returns else ""
        yield from ((mood, line) for line in _wrap(f"  {name:14}{value}", 16))
    for note in feel.notes:
        yield from (("note", line) for line in _wrap(f"  {'note':14}{note}", 16))
    yield "", ""
    yield from (("", line) for line in feel_table(feel))


def _rows(feel: CableFeel) -> Iterator[tuple[str, str]]:
    low, high = feel.figures.friction
    drag, words = feel.figures.pull.drag, feel.figures.words
    dragged = f", and {words.force(drag)} of drag" if drag else ""
    yield "friction", f"{low:g} to {high:g}{dragged}; below, one figure for each where they differ"
    rest = "from rest" if feel.high.pull_only else "half of it to either side of rest"
    yield "hand", f"{words.fine(feel.travel)}, {rest}"
    yield "far end", _resists(feel)
    yield "hand force", f"{words.forces(*(loop.greatest for loop in feel.loops))} at most"
    travel = words.fine(feel.travel).removesuffix(" mm")
    yield "arrives", f"{_lengths(feel, arriving, 1)} of {travel}"
    lost = f"{_lengths(feel, lambda loop: loop.lost[0], 2)} of the hand turning back, "
    yield "lost motion", lost + f"{_lengths(feel, lambda loop: loop.lost[1], 2)} setting out"
    joule = _span(f"{1e-3 * loop.hysteresis:z.2f} J" for loop in feel.loops)
    yield "work lost", f"{joule} a cycle"
    if feel.high.pull_only:
        yield "returns", _returning(feel)
    yield from (("detent", words) for words in _detents(feel))


def _resists(feel: CableFeel) -> str:
    """Say what the far end resists with, nothing that is not there."""
    load, words = feel.load, feel.figures.words
    if feel.figures.cable.resists is None:
        pull, push = load.dead + load.friction, load.friction - load.dead
        pushing = f", {words.force(push)} pushing" if load.friction else ""
        return f"{words.force(pull)} always{pushing}"
    spring = f"spring {words.force(load.preload)}" if load.preload else "spring"
    parts = [
        f"{spring} and {words.per_length(load.rate)}" if load.rate else spring * bool(load.preload),
        f"friction {words.force(load.friction)}" * bool(load.friction),
        f"weight {words.force(load.dead)}" * bool(load.dead),
        f"{len(load.detents)} detent{'s' * (len(load.detents) > 1)}" * bool(load.detents),
    ]
    return ", ".join(part for part in parts if part) or "nothing"


def _returning(feel: CableFeel) -> str:
    if feel.returns:
        given = feel.figures.cable.resists is not None
        return "by itself" if given else "by itself, if the load pulls back as hard as it resists"
    out = _span(feel.figures.words.fine(each) for each in feel.left_out)
    return (
        f"NOT by itself: let go, the far end stays {out} out; give it a "
        "stronger spring, less friction or fewer bends"
    )


def _detents(feel: CableFeel) -> Iterator[str]:
    words = feel.figures.words
    for detent in feel.load.detents:
        at = words.fine(detent.at)
        felt = [each for loop in feel.loops for each in loop.detents if each.at == detent.at]
        if not felt:
            yield f"at {at}: the far end does not get out of it"
            continue
        hand = _span(words.fine(each.hand) for each in felt)
        rises = [each.rise for each in felt]
        snap = "; the far end jumps" if any(each.snaps for each in felt) else ""
        yield (
            f"at {at}: {words.force(detent.depth)} to get out of it, at the hand "
            f"{words.forces(min(rises), max(rises))}, at {hand} of its travel{snap}"
        )


def feel_table(feel: CableFeel) -> list[str]:
    """Return the cycle at a few places of the hand."""
    pair, words = ("low", "high"), feel.figures.words
    force, length = f"[{words.force_unit}]", f"[{words.scale[1]}]"
    lines = [
        f"{'hand':>9}{f'out {force}':>18}{f'back {force}':>18}{f'far out {length}':>16}"
        f"{f'far back {length}':>16}",
        f"{words.scale[1]:>9}"
        + "".join(f"{word:>9}" for word in 2 * pair)
        + "".join(f"{word:>8}" for word in 2 * pair),
    ]
    hand = np.linspace(feel.high.hand_travel.min(), feel.high.hand_travel.max(), _PLACES)
    rows = [_read(loop, hand, half) for half in (0, 1) for loop in feel.loops]
    forces, fars = zip(*rows, strict=True)
    for place, *cells in zip(hand.tolist(), *forces, *fars, strict=True):
        lines.append(
            f"{words.number(place):>9}"
            + "".join(f"{cell / words.newtons:z9.1f}" for cell in cells[:4])
            + "".join(f"{words.number(cell):>8}" for cell in cells[4:])
        )
    return lines


def _read(loop: FeelLoop, hand: Array, half: int) -> tuple[Array, Array]:
    """Force and far travel at places of the hand on its way out (0) or back (1)."""
    x, force, far = (
        np.split(values, 2)[half] for values in (loop.hand_travel, loop.hand_force, loop.far_travel)
    )
    way = 1 - 2 * half
    return np.interp(hand, x[::way], force[::way]), np.interp(hand, x[::way], far[::way])


def _lengths(feel: CableFeel, figure: Callable[[FeelLoop], float], digits: int) -> str:
    """Give a length at low and at high friction."""
    return _span(feel.figures.words.fine(figure(loop), digits=digits) for loop in feel.loops)


def _span(told: Iterable[str]) -> str:
    """Join what is told of both ends, the unit once; one of them where they print alike."""
    *first, last = dict.fromkeys(told)
    return " to ".join([*(each.removesuffix(" mm").removesuffix(" J") for each in first), last])


def _wrap(text: str, indent: int) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=" " * indent)
