"""A comparison as text, for a terminal of 80 columns."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Iterator, Mapping, Sequence
from math import inf, isfinite

from cableroute.comparison.line_up import Comparison, weaker
from cableroute.comparison.options import BACK, CRITERIA, PULLED, RETURN, Criterion, Option
from cableroute.measure.wording import Words
from cableroute.output.cautions import CAUTIONS
from cableroute.output.columns import WIDTH, wrapped
from cableroute.table.forces import ROD_SAFETY
from cableroute.table.pair import LEAST, PRELOAD
from cableroute.table.run import MIN_RADIUS, WRAP, leg_slack_told

#: Options side by side in one block, and the widths of the row's name and of a column [letters].
ABREAST, NAMES, WIDEST = 3, 19, 24
#: Findings told of one option; all are in the JSON.
MOST_FINDINGS = 2
_KINDS = {"pull-pair": "pull pair", "pull": "pull, spring back"}
#: How sure a return spring is, in words.
_RETURNS = {"fail": "too weak", "marginal": "weak", "unknown": "not known", "pass": "strong enough"}
#: Cells that say nothing when the whole row holds no more.
_SILENT = ("-", "does not push")
_PAIRS = (
    "A pull pair only pulls: no core snakes, no rod folds, and no clearance is crossed at a reversal. "
    "But there are two conduits to route, clip and seal, and a preload that keeps the slack side "
    "taut, to be set and set again as the cores settle."
)


def comparison_lines(
    comparisons: Sequence[Comparison], left_out: Sequence[str], *, words: Words
) -> Iterator[tuple[str, str]]:
    """Yield the comparisons line by line, each after the verdict that may colour it."""
    for comparison in comparisons:
        what = f"{comparison.name}: " if comparison.name else ""
        head = f"{what}{len(comparison.options)} options"
        yield from (("", line) for line in textwrap.wrap(head, WIDTH))
        for start in range(0, len(comparison.options), ABREAST):
            yield "", ""
            block = comparison.options[start : start + ABREAST]
            yield from (("", line) for line in _block(block, comparison, words))
        yield "", ""
        yield from _words(comparison, words)
        yield "", ""
    if left_out:
        yield from _wrapped(f"Nothing to compare with: {', '.join(left_out)}.")
        yield "", ""
    for caution in CAUTIONS:
        yield from _wrapped("Caution: " + caution, indent=9)


def cell_text(row: Criterion, option: Option, words: Words) -> str:
    """Return what a row of the table says of an option."""
    value = row.figure.value(option)
    if value is None:
        return _SILENT[0]
    special = _SPECIAL.get(row.key)
    return special(option, value, words) if special else row.figure.word(value, words)


def broken(name: str, width: int) -> list[str]:
    """Break a name at its spaces, dashes and underscores if it can be, else where it must."""
    loose = re.sub(r"([_-]+)", r"\1 ", name)
    lines = textwrap.wrap(loose, width) or [""]
    return [re.sub(r"([_-]) ", r"\1", line) for line in lines]


def trade_offs(comparison: Comparison, words: Words) -> Iterator[str]:
    """Yield in plain words what choosing between the options comes to."""
    options = comparison.options
    if len({option.figures.cable.kind for option in options}) > 1:
        if any(option.pair for option in options):
            yield _PAIRS
            yield from (_pair_words(option, words) for option in options if option.pair)
        if any(option.figures.push for option in options):
            yield _push_words(options, words)
        if any(option.figures.cable.kind == "pull" for option in options):
            yield (
                "A pull cable has one conduit and nothing to set, but a spring must bring it back: "
                "the spring's force is part of the load."
            )
    yield from _route_words(comparison, words)


def _block(options: Sequence[Option], comparison: Comparison, words: Words) -> Iterator[str]:
    """Yield one block of the table: heads, then a line for each row."""
    width = min((WIDTH - NAMES) // len(options), WIDEST)
    heads = [broken(option.name, width - 1) for option in options]
    for i in range(max(map(len, heads))):
        yield _line("", [head[i] if i < len(head) else "" for head in heads], width)
    kinds = (option.figures.cable.kind for option in options)
    yield _line("kind", [_KINDS.get(kind, kind) for kind in kinds], width)
    for row in CRITERIA:
        if all(cell_text(row, option, words) in _SILENT for option in comparison.options):
            continue
        best = comparison.best.get(row.key, ())
        cells = [cell_text(row, option, words) + " *" * (option.name in best) for option in options]
        yield from _lines(row.figure.words, cells, width)


def _lines(name: str, cells: Sequence[str], width: int) -> Iterator[str]:
    """Yield a row of the table, long cells over several lines."""
    parts = [textwrap.wrap(cell, width - 1) for cell in cells]
    for i in range(max(map(len, parts))):
        own = [part[i] if i < len(part) else "" for part in parts]
        yield _line("" if i else name, own, width)


def _line(name: str, cells: Sequence[str], width: int) -> str:
    return (f"{name:{NAMES}}" + "".join(f"{cell:{width}}" for cell in cells)).rstrip()


def _words(comparison: Comparison, words: Words) -> Iterator[tuple[str, str]]:
    """Say who wins where, what is wrong with whom, and what the choice comes to."""
    yield "", "* best of its row, at high friction" if comparison.best else "All are alike."
    for option in comparison.options:
        won = [row.figure.words for row in CRITERIA if comparison.wins.get(row.key) == option.name]
        if won:
            yield from _wrapped(f"{option.name} wins: {'; '.join(won)}.")
    for option in weaker(comparison.options):
        text = (
            f"{option.name}: its return spring is {_RETURNS[option.returning or 'pass']}; that its "
            "lever is light by that, or loses less travel, wins nothing."
        )
        yield from _wrapped(text)
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
    for text in trade_offs(comparison, words):
        yield from _wrapped(text)


def _pair_words(option: Option, words: Words) -> str:
    pair = option.pair
    assert pair is not None
    added = max(float(way.added[1]) for way in (pair.out, pair.back))
    bracket = max(float(way.bracket_hand[1]) for way in (pair.out, pair.back))
    return (
        f"{option.name}: set it to about {PRELOAD.told(pair, words)}, at least {LEAST.told(pair, words)}. That adds "
        f"{words.force(added)} at the hand, where a bracket for both conduits carries up to "
        f"{words.force(bracket)}."
    )


def _push_words(options: Sequence[Option], words: Words) -> str:
    crossed = [each.figures.lost for each in options if each.figures.push and each.figures.lost]
    most = max((lost.clearance for lost in crossed), default=0.0)
    play = f" ({words.fine(most)})" if most else ""
    return (
        "A push-pull cable has one conduit and nothing to set, but its core crosses the clearance at "
        f"every reversal{play}, and core and rod must take the push."
    )


def _route_words(comparison: Comparison, words: Words) -> Iterator[str]:
    """Yield what the routes differ in, if they do."""
    turns = {each.name: WRAP.value(each.figures) for each in comparison.options}
    least, shortest = (comparison.best.get(key, ("",))[0] for key in ("wrap_deg", "length_mm"))
    if least:
        too = " and is the shortest too" if least == shortest else ""
        yield (
            f"{least} turns least, {WRAP.word(turns[least], words)} of up to {WRAP.word(max(turns.values()), words)}{too}: at "
            "the same friction it loses the least force, whatever the radius."
        )
    if shortest and shortest != least:
        yield f"{shortest} is the shortest run; that saves cable and stretch, not friction."


def _wrapped(text: str, *, indent: int = 2, mood: str = "") -> Iterator[tuple[str, str]]:
    yield from ((mood, line) for line in wrapped(text, indent=indent))


def _return(option: Option, _: float, __: Words) -> str:
    margin, word = option.return_margin, _RETURNS[option.returning or "pass"]
    return word if margin is None or not isfinite(margin) else f"{word}, {margin:.1f} x"


def _folding(_: Option, value: float, words: Words) -> str:
    if not isfinite(value):
        return _SILENT[1]
    return f"{ROD_SAFETY.word(value, words)} x the push" if value else words.force(inf)


#: How rows are told that are no plain figure with a unit.
_SPECIAL: Mapping[str, Callable[[Option, float, Words], str]] = {
    "verdict": lambda option, _, __: option.verdict.upper(),
    "linkage": lambda option, _, __: str(option.linkage).upper(),
    RETURN.key: _return,
    PULLED.key: lambda option, _, words: words.forces(*option.figures.pull.inputs),
    BACK.key: lambda option, _, words: words.forces(*option.back.inputs) if option.back else "-",
    "folding_margin": _folding,
    MIN_RADIUS.key: lambda _, value, words: words.length(value) if isfinite(value) else "straight",
    "tightest_leg_slack_mm": lambda _, value, words: leg_slack_told(value, words),
    "bought_mm": lambda option, value, words: (
        f"{option.conduits} x {words.length(value / option.conduits)}"
    ),
}
