"""A comparison as text, for a terminal of 80 columns."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Iterator, Mapping, Sequence
from math import degrees, isfinite

from cableroute.comparison.line_up import Comparison
from cableroute.comparison.options import ROWS, Option, Row
from cableroute.measure.wording import Words
from cableroute.output.cautions import CAUTIONS
from cableroute.output.columns import WIDTH, wrapped
from cableroute.verdict.figures import Transmission

#: Options side by side in one block, and the widths of the row's name and of a column [letters].
ABREAST, NAMES, WIDEST = 3, 19, 24
#: Findings told of one option; all are in the JSON.
MOST_FINDINGS = 2
_KINDS = {"pull-pair": "pull pair", "pull": "pull, spring back"}
#: Cells that say nothing when the whole row holds no more.
_SILENT = ("-", "does not push")
_PAIRS = (
    "A pull pair only pulls: no core snakes, no rod folds, and no clearance is crossed at a reversal. "
    "But there are two conduits to route, clip and seal, and a preload that keeps the slack side "
    "taut, to be set and set again as the cores settle."
)
_Length = Callable[[float], str]


def comparison_lines(
    comparisons: Sequence[Comparison], left_out: Sequence[str], *, inches: bool
) -> Iterator[tuple[str, str]]:
    """Yield the comparisons line by line, each after the verdict that may colour it.

    Parameters
    ----------
    comparisons : sequence of Comparison
        What was compared.
    left_out : sequence of str
        Names of cables that there was nothing to compare with.
    inches : bool
        Whether lengths are shown in feet and inches.

    Yields
    ------
    tuple of (str, str)
        ``pass``, ``marginal``, ``fail`` or nothing, and the line.
    """
    for comparison in comparisons:
        what = f"{comparison.name}: " if comparison.name else ""
        head = f"{what}{len(comparison.options)} options"
        yield from (("", line) for line in textwrap.wrap(head, WIDTH))
        for start in range(0, len(comparison.options), ABREAST):
            yield "", ""
            block = comparison.options[start : start + ABREAST]
            yield from (("", line) for line in _block(block, comparison, inches=inches))
        yield "", ""
        yield from _words(comparison)
        yield "", ""
    if left_out:
        yield from _wrapped(f"Nothing to compare with: {', '.join(left_out)}.")
        yield "", ""
    for caution in CAUTIONS:
        yield from _wrapped("Caution: " + caution, indent=9)


def cell_text(row: Row, option: Option, *, inches: bool = False) -> str:
    """Return what a row of the table says of an option.

    Parameters
    ----------
    row : Row
        The row.
    option : Option
        The option.
    inches : bool
        Whether lengths are shown in feet and inches.

    Returns
    -------
    str
        A few letters; ``-`` where there is nothing to say.
    """
    value = row.value(option)
    if value is None:
        return _SILENT[0]
    special, words = _SPECIAL.get(row.key), Words("in" if inches else "mm")
    if special:
        return special(option, value, words.length)
    if not isfinite(value):
        return "LOCKS UP"
    if row.unit == "%":
        return f"{100.0 * value:.0f} %"
    if row.unit == "mm":
        return words.fine(value, digits=row.digits)
    return f"{value:.{row.digits}f} {row.unit}".rstrip()


def hand_text(through: Transmission) -> str:
    """Return the force at the hand over the range of friction.

    Parameters
    ----------
    through : Transmission
        The load moved.

    Returns
    -------
    str
        ``86 to 95 N``, or that the core locks up.
    """
    low, high = through.inputs
    if not isfinite(high):
        return "LOCKS UP" if not isfinite(low) else f"{low:.0f} N, LOCKS UP"
    return f"{high:.0f} N" if round(low) == round(high) else f"{low:.0f} to {high:.0f} N"


def broken(name: str, width: int) -> list[str]:
    """Break a name at its spaces, dashes and underscores if it can be, else where it must.

    Parameters
    ----------
    name : str
        The name.
    width : int
        Letters in a line [-].

    Returns
    -------
    list of str
        One line at least.
    """
    loose = re.sub(r"([_-]+)", r"\1 ", name)
    lines = textwrap.wrap(loose, width) or [""]
    return [re.sub(r"([_-]) ", r"\1", line) for line in lines]


def trade_offs(comparison: Comparison) -> Iterator[str]:
    """Yield in plain words what choosing between the options comes to.

    Parameters
    ----------
    comparison : Comparison
        What was compared.

    Yields
    ------
    str
        A sentence or two.
    """
    options = comparison.options
    if len({option.figures.cable.kind for option in options}) > 1:
        if any(option.pair for option in options):
            yield _PAIRS
            yield from (_pair_words(option) for option in options if option.pair)
        if any(option.figures.push for option in options):
            yield _push_words(options)
        if any(option.figures.cable.kind == "pull" for option in options):
            yield (
                "A pull cable has one conduit and nothing to set, but a spring must bring it back: "
                "the spring's force is part of the load."
            )
    yield from _route_words(comparison)


def _block(options: Sequence[Option], comparison: Comparison, *, inches: bool) -> Iterator[str]:
    """Yield one block of the table: heads, then a line for each row."""
    width = min((WIDTH - NAMES) // len(options), WIDEST)
    heads = [broken(option.name, width - 1) for option in options]
    for i in range(max(map(len, heads))):
        yield _line("", [head[i] if i < len(head) else "" for head in heads], width)
    kinds = (option.figures.cable.kind for option in options)
    yield _line("kind", [_KINDS.get(kind, kind) for kind in kinds], width)
    for row in ROWS:
        if all(cell_text(row, option) in _SILENT for option in comparison.options):
            continue
        cells = [cell_text(row, option, inches=inches) for option in options]
        best = comparison.best.get(row.key, ())
        marks = [" *" if option.name in best else "" for option in options]
        yield _line(row.words, [a + b for a, b in zip(cells, marks, strict=True)], width)


def _line(name: str, cells: Sequence[str], width: int) -> str:
    return (f"{name:{NAMES}}" + "".join(f"{cell:{width}}" for cell in cells)).rstrip()


def _words(comparison: Comparison) -> Iterator[tuple[str, str]]:
    """Say who wins where, what is wrong with whom, and what the choice comes to."""
    yield "", "* best of its row, at high friction" if comparison.best else "All are alike."
    for option in comparison.options:
        won = [row.words for row in ROWS if comparison.wins.get(row.key) == option.name]
        if won:
            yield from _wrapped(f"{option.name} wins: {'; '.join(won)}.")
    for option in comparison.options:
        grave = [finding for finding in option.findings if finding.level != "note"]
        for finding in grave[:MOST_FINDINGS]:
            text = f"{option.name}, {finding.level}: {finding.where}: {finding.message}"
            yield from _wrapped(text, mood=finding.level)
        more = len(grave) - MOST_FINDINGS
        if more > 0:
            count = f"{more} more finding{'' if more == 1 else 's'}"
            where = "--json" if option.what_if else "cableroute check FILE"
            yield from _wrapped(f"{option.name}: and {count}: see {where}")
        if option.linkage in ("marginal", "fail"):
            text = (
                f"{option.name}, {option.linkage}: its linkage or selector: cableroute check tells"
            )
            yield from _wrapped(text, mood=str(option.linkage))
    for text in trade_offs(comparison):
        yield from _wrapped(text)


def _pair_words(option: Option) -> str:
    pair = option.pair
    assert pair is not None
    added = max(float(way.added[1]) for way in (pair.out, pair.back))
    bracket = max(float(way.bracket_hand[1]) for way in (pair.out, pair.back))
    return (
        f"{option.name}: set it to about {pair.preload:.0f} N, at least {pair.least:.0f} N. That adds "
        f"{added:.0f} N at the hand, where a bracket for both conduits carries up to {bracket:.0f} N."
    )


def _push_words(options: Sequence[Option]) -> str:
    crossed = [each.figures.lost for each in options if each.figures.push and each.figures.lost]
    most = max((lost.clearance for lost in crossed), default=0.0)
    play = f" ({options[0].figures.words.fine(most)})" if most else ""
    return (
        "A push-pull cable has one conduit and nothing to set, but its core crosses the clearance at "
        f"every reversal{play}, and core and rod must take the push."
    )


def _route_words(comparison: Comparison) -> Iterator[str]:
    """Yield what the routes differ in, if they do."""
    turns = {each.name: degrees(float(each.figures.route.wrap)) for each in comparison.options}
    least, shortest = (comparison.best.get(key, ("",))[0] for key in ("wrap_deg", "length_mm"))
    if least:
        too = " and is the shortest too" if least == shortest else ""
        yield (
            f"{least} turns least, {turns[least]:.0f} deg of up to {max(turns.values()):.0f}{too}: at "
            "the same friction it loses the least force, whatever the radius."
        )
    if shortest and shortest != least:
        yield f"{shortest} is the shortest run; that saves cable and stretch, not friction."


def _wrapped(text: str, *, indent: int = 2, mood: str = "") -> Iterator[tuple[str, str]]:
    yield from ((mood, line) for line in wrapped(text, indent=indent))


def _folding(_: Option, value: float, __: _Length) -> str:
    if not isfinite(value):
        return _SILENT[1]
    return f"{value:.1f} x the push" if value else "LOCKS UP"


def _leg(_: Option, value: float, length: _Length) -> str:
    return f"{length(abs(value))} {'over' if value >= 0.0 else 'SHORT'}"


#: How rows are told that are no plain figure with a unit.
_SPECIAL: Mapping[str, Callable[[Option, float, _Length], str]] = {
    "verdict": lambda option, _, __: option.verdict.upper(),
    "linkage": lambda option, _, __: str(option.linkage).upper(),
    "hand_pull_n": lambda option, _, __: hand_text(option.figures.pull),
    "hand_back_n": lambda option, _, __: hand_text(option.back) if option.back else "-",
    "folding_margin": _folding,
    "min_bend_radius_mm": lambda _, value, length: length(value) if isfinite(value) else "straight",
    "tightest_leg_slack_mm": _leg,
    "length_mm": lambda _, value, length: length(value),
    "clearance_mm": lambda _, value, length: length(value),
    "bought_mm": lambda option, value, length: (
        f"{option.conduits} x {length(value / option.conduits)}"
    ),
    "slack_mm": lambda _, value, length: length(value),
}
