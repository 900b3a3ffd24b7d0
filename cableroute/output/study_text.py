"""A study as text: one screen of 80 columns for each cable."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, isfinite

from cableroute.output.columns import WIDTH, wrapped
from cableroute.study.run import Quantiles, Study

#: Inputs named beside a figure, and the share from which they are worth it [-].
_NAMED, _WORTH = 2, 0.1
#: Chance between which a stock length is told: those surely too short or long are left out [-].
_SURE = 0.9995
LIMITS = (
    "Drawn from what the tape, friction, load and cable data leave open. Asked as read only: solids, "
    "tubes, stroke, temperature. Not asked: clips and linkages; see cableroute check."
)

Lines = Iterator[tuple[str, str]]


def study_lines(study: Study, *, given: int | None = None) -> Lines:
    """Yield what a study found of one cable, line by line; ``given`` is the n that was asked for."""
    mood = _mood(study)
    yield from _named_lines(mood, _head(study), "", 2)
    yield from (("", line) for line in _table(study))
    for rule in study.fails[1:]:
        if rule.chance > 0.0:
            low, high = rule.interval
            words = f"{rule.words}: {per_cent(rule.chance)} ({per_cent(low)} to {per_cent(high)})"
            yield from _named_lines(
                "fail" if rule.chance > 0.05 else "marginal", words, "fails", 12
            )
    if stock := stock_words(study):
        yield from _named_lines("", stock, "stock", 12)
    for advice in study.advice:
        yield from _named_lines("", advice.text, "measure", 12)
    yield from _named_lines("", drawn_words(study, given), "drawn", 12)


def _named_lines(mood: str, text: str, name: str, indent: int) -> Lines:
    head = f"  {name:{indent - 2}}" if name else ""
    yield from ((mood, line) for line in wrapped(head + text, indent=indent))


def _mood(study: Study) -> str:
    chance = study.fails[0].chance
    return "fail" if chance > 0.5 else "marginal" if chance > 0.0 else "pass"


def _head(study: Study) -> str:
    whole, figures = study.fails[0], study.figures
    family = f", {figures.cable.family.name}" if figures.cable.family else ""
    low, high = whole.interval
    return (
        f"{study.name} ({figures.cable.kind}{family}): chance that a rule fails "
        f"{per_cent(whole.chance)} ({per_cent(low)} to {per_cent(high)})"
    )


def _table(study: Study) -> Iterator[str]:
    """Yield the quantiles of each figure and what decides it, so much of that as fits the screen."""
    rows = [
        [quantity_words(study, each, x) for x in (each.p5, each.p50, each.p95)]
        for each in study.quantiles
    ]
    wide = max([9, *(len(cell) + 1 for row in rows for cell in row)])
    lines = [
        f"  {name:20}{''.join(f'{cell:>{wide}}' for cell in row)}  "
        for name, row in (
            ("", ["5 %", "half", "95 %"]),
            *((each.name, row) for each, row in zip(study.quantiles, rows, strict=True)),
        )
    ]
    room = WIDTH - len(lines[0])
    deciding = [_fitting(deciding_words(study, each.key), room) for each in study.quantiles]
    for line, words in zip(lines, ["decided by", *deciding], strict=True):
        yield f"{line}{words}".rstrip()


def _fitting(words: str, room: int) -> str:
    """Leave out what is named last where it has no room."""
    return words if len(words) <= room else words.partition(", ")[0][:room]


def quantity_words(study: Study, each: Quantiles, value: float) -> str:
    """Say a figure, in feet and inches where the tape was."""
    words = study.figures.words
    if each.unit == "N":
        return words.force(value)
    if not isfinite(value):
        return "none"
    if not each.unit:
        return f"{value:.2f}"
    if each.unit == "deg":
        return f"{value:.0f} deg"
    if each.key in ("lost", "arrives"):
        return words.fine(value)
    return words.length(value)


def deciding_words(study: Study, key: str) -> str:
    """Name the inputs that decide a figure, with their shares."""
    index = study.indices.get(key)
    if index is None:
        return ""
    ranked = sorted(
        zip(index.total[:, 0].tolist(), study.inputs, strict=True), key=lambda pair: -pair[0]
    )
    worth = [(share, each) for share, each in ranked[:_NAMED] if share >= _WORTH]
    return ", ".join(
        f"{each.key.replace('_', ' ')} {100 * min(share, 1.0):.0f} %" for share, each in worth
    )


def stock_words(study: Study) -> str:
    """Name the stock lengths that may or may not do, and the first that surely does."""
    words, told = study.figures.words, []
    for each in study.stock:
        if each.reaches <= 1.0 - _SURE:
            continue
        told.append(f"{words.length(each.length)} {per_cent(each.reaches)}")
        if each.lies >= _SURE:
            break
    return f"long enough: {', '.join(told[:4])}" if told else ""


def drawn_words(study: Study, given: int | None = None) -> str:
    """Say how many machines were drawn, and how far off the natural lay may be."""
    rounded = f" ({given} rounded up to a power of two)" if given not in (None, study.n) else ""
    lay = ""
    if study.lay.tried:
        lay = (
            f"; natural lay in proportion, off by {study.figures.words.fine(study.lay.length)} and "
            f"{degrees(study.lay.wrap):.1f} deg at most in {study.lay.tried} worked out in full"
        )
    return (
        f"{study.n} machines{rounded}, seed {study.seed}, {len(study.inputs)} inputs in doubt{lay}"
    )


def per_cent(share: float) -> str:
    """Say a chance."""
    return f"{100.0 * share:.2g} %" if share < 0.995 else f"{100.0 * share:.4g} %"
