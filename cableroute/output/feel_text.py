"""The feel of a lever as text, for a terminal of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Sequence

import numpy as np

from cableroute.mechanics.felt import FeelLoop
from cableroute.output.columns import WIDTH
from cableroute.output.feel_dict import arriving
from cableroute.route.pieces import Array
from cableroute.verdict.findings import Verdict
from cableroute.workings.feel import CableFeel

#: Places of the hand in the table.
_PLACES = 9
LIMITS = (
    "Moved slowly; the core's weight and the snaking of a pushed core are left out. Read the two "
    "ends of a range as a clean cable and a worn one, and try it on a mock-up."
)

Lines = Iterator[tuple[str, str]]


def feel_lines(feel: CableFeel, *, verdict: Verdict) -> Lines:
    """Yield what the hand feels of one cable, line by line.

    Parameters
    ----------
    feel : CableFeel
        The cycle at low and at high friction.
    verdict : str
        ``pass``, ``marginal`` or ``fail``.

    Yields
    ------
    tuple of (str, str)
        The verdict or level that may colour the line, and the line.
    """
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
    drag = feel.figures.pull.drag
    dragged = f", and {drag:.1f} N of drag" if drag else ""
    yield "friction", f"{low:g} to {high:g}{dragged}; below, one figure for each where they differ"
    rest = "from rest" if feel.high.pull_only else "half of it to either side of rest"
    yield "hand", f"{feel.travel:.1f} mm, {rest}"
    yield "far end", _resists(feel)
    yield "hand force", f"{_range(feel, lambda loop: loop.greatest, 0)} N at most"
    yield "arrives", f"{_range(feel, arriving, 1)} mm of {feel.travel:.1f}"
    lost = f"{_range(feel, lambda loop: loop.lost[0], 2)} mm of the hand turning back, "
    yield "lost motion", lost + f"{_range(feel, lambda loop: loop.lost[1], 2)} mm setting out"
    joule = _range(feel, lambda loop: 1e-3 * loop.hysteresis, 2)
    yield "work lost", f"{joule} J a cycle"
    if feel.high.pull_only:
        yield "returns", _returning(feel)
    yield from (("detent", words) for words in _detents(feel))


def _resists(feel: CableFeel) -> str:
    """Say what the far end resists with, nothing that is not there."""
    load = feel.load
    if feel.figures.cable.resists is None:
        pull, push = load.dead + load.friction, load.friction - load.dead
        return f"{round(pull, 1):g} N always" + (
            f", {round(push, 1):g} N pushing" if load.friction else ""
        )
    spring = f"spring {round(load.preload, 1):g} N" if load.preload else "spring"
    parts = [
        f"{spring} and {round(load.rate, 2):g} N/mm" if load.rate else spring * bool(load.preload),
        f"friction {round(load.friction, 1):g} N" * bool(load.friction),
        f"weight {round(load.dead, 1):g} N" * bool(load.dead),
        f"{len(load.detents)} detent{'s' * (len(load.detents) > 1)}" * bool(load.detents),
    ]
    return ", ".join(part for part in parts if part) or "nothing"


def _returning(feel: CableFeel) -> str:
    if feel.returns:
        given = feel.figures.cable.resists is not None
        return "by itself" if given else "by itself, if the load pulls back as hard as it resists"
    return (
        f"NOT by itself: let go, the far end stays {_span(feel.left_out, 1)} mm out; give it a "
        "stronger spring, less friction or fewer bends"
    )


def _detents(feel: CableFeel) -> Iterator[str]:
    for detent in feel.load.detents:
        felt = [each for loop in feel.loops for each in loop.detents if each.at == detent.at]
        if not felt:
            yield f"at {detent.at:z.1f} mm: the far end does not get out of it"
            continue
        hand = _span([each.hand for each in felt], 1)
        snap = "; the far end jumps" if any(each.snaps for each in felt) else ""
        yield (
            f"at {detent.at:z.1f} mm: {round(detent.depth, 1):g} N to get out of it, at the hand "
            f"{_span([each.rise for each in felt], 0)} N, at {hand} mm of its travel{snap}"
        )


def feel_table(feel: CableFeel) -> list[str]:
    """Return the cycle at a few places of the hand.

    Parameters
    ----------
    feel : CableFeel
        The cycle at low and at high friction.

    Returns
    -------
    list of str
        Two lines of head, then one for each place.
    """
    pair = ("low", "high")
    lines = [
        f"{'hand':>9}{'out [N]':>18}{'back [N]':>18}{'far out [mm]':>16}{'far back [mm]':>16}",
        f"{'mm':>9}"
        + "".join(f"{word:>9}" for word in 2 * pair)
        + "".join(f"{word:>8}" for word in 2 * pair),
    ]
    hand = np.linspace(feel.high.hand_travel.min(), feel.high.hand_travel.max(), _PLACES)
    rows = [_read(loop, hand, half) for half in (0, 1) for loop in feel.loops]
    force, far = zip(*rows, strict=True)
    for place, *cells in zip(hand.tolist(), *force, *far, strict=True):
        lines.append(
            f"{place:z9.1f}"
            + "".join(f"{cell:z9.1f}" for cell in cells[:4])
            + "".join(f"{cell:z8.1f}" for cell in cells[4:])
        )
    return lines


def _read(loop: FeelLoop, hand: Array, half: int) -> tuple[Array, Array]:
    """Force and far travel at places of the hand on its way out (0) or back (1)."""
    x, force, far = (
        np.split(values, 2)[half] for values in (loop.hand_travel, loop.hand_force, loop.far_travel)
    )
    way = 1 - 2 * half
    return np.interp(hand, x[::way], force[::way]), np.interp(hand, x[::way], far[::way])


def _range(feel: CableFeel, figure: Callable[[FeelLoop], float], digits: int) -> str:
    """Give a figure at low and at high friction."""
    return _span([figure(loop) for loop in feel.loops], digits)


def _span(values: Sequence[float], digits: int) -> str:
    words = dict.fromkeys(f"{value:z.{digits}f}" for value in values)
    return " to ".join(words)


def _wrap(text: str, indent: int) -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=" " * indent)
