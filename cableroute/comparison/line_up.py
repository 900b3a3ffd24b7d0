"""Set options side by side, and find which is best in what."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from cableroute.assess import Assessment, CableAssessment, assess
from cableroute.comparison.options import CRITERIA, RANKS, RETURN_RANKS, Option
from cableroute.errors import CableRouteError
from cableroute.figures.cable import Figures
from cableroute.frozen import frozen
from cableroute.measure.bounds import MOST_PAIRED, check_at_once
from cableroute.verdict.check import Verdict, verdict_of
from cableroute.verdict.limits import Limits

_NONE_PUSHES = "their families do not push; name one that does, or a build with max_push"


@frozen(eq=False)
class Comparison:
    """Options of which one is to be chosen.

    Parameters
    ----------
    name : str
        The cable that all of them are, or nothing.
    options : tuple of Option
        Two or more.
    best : mapping of str to tuple of str
        Names of the options that are best in a row, by the row's key; rows in which all are alike
        are left out.
    """

    name: str
    options: tuple[Option, ...]
    best: Mapping[str, tuple[str, ...]]

    @property
    def wins(self) -> dict[str, str]:
        """The option that is best in a row, by the row's key; a tie is won by none."""
        return {key: names[0] for key, names in self.best.items() if len(names) == 1}

    @property
    def verdict(self) -> Verdict:
        """The best of their verdicts: ``fail`` only if every one fails."""
        return max((option.verdict for option in self.options), key=lambda word: RANKS[word])


def compare_options(options: Sequence[Option], *, name: str = "") -> Comparison:
    """Find which of several options are best in each row."""
    names = [option.name for option in options]
    if len(set(names)) < max(2, len(names)):
        raise CableRouteError(f"expected two or more options of different names, got {names}")
    best, weak, words = {}, {option.name for option in weaker(options)}, options[0].figures.words
    for row in CRITERIA:
        allowed = [each for each in options if not (row.by_load and each.name in weak)]
        values = [(row.figure.value(option), option.name) for option in allowed]
        rated = [
            (row.better * row.figure.rounded(x, words), who) for x, who in values if x is not None
        ]
        most = max((rate for rate, _ in rated), default=0.0)
        foremost = tuple(who for rate, who in rated if rate == most)
        if row.better and len(foremost) < len(rated):
            best[row.key] = foremost
    return Comparison(name, tuple(options), best)


def weaker(options: Sequence[Option]) -> tuple[Option, ...]:
    """Return the options that come back less surely than others: what is light by that wins nothing.

    A cable worked both ways needs no spring, and comes back as surely as the surest.
    """
    ranks = [RETURN_RANKS[option.returning or "pass"] for option in options]
    return tuple(each for each, rank in zip(options, ranks, strict=True) if rank < max(ranks))


def line_up(
    found: Mapping[str, Assessment],
    *,
    cable: str | None = None,
    pair: bool = False,
    preload: float | None = None,
    limits: Limits | None = None,
) -> tuple[tuple[Comparison, ...], tuple[str, ...]]:
    """Set the cables of some files against each other.

    Cables of one name in several files are routes of one cable, and each such name is a comparison
    of its own. Where no two files share a name, every cable is an option of one comparison. With
    ``pair``, each cable of a single file is compared with its other kind only.
    """
    names = [each.figures.cable.name for one in found.values() for each in one.cables]
    chosen = names if cable is None else [name for name in names if name == cable]
    if not chosen:
        known = ", ".join(dict.fromkeys(names))
        raise CableRouteError(f"cable: no cable {cable!r}; known: {known}", argument="cable")
    if pair:
        check_at_once(chosen, MOST_PAIRED)
    shared = len(set(chosen)) < len(chosen)
    by_name = shared or (pair and len(found) == 1)
    groups: dict[str, list[Option]] = {}
    for source, one in found.items():
        bench = _Bench(one, source, limits or Limits(), preload)
        for each in one.cables:
            name = each.figures.cable.name
            if name in chosen:
                options = bench.options(each, name=source if shared else name, other_kind=pair)
                groups.setdefault(name if by_name else "", []).extend(options)
    if preload is not None and not any(
        option.pair for group in groups.values() for option in group
    ):
        told = "preload: a preload is given, and none of the cables compared is a pull pair"
        raise CableRouteError(told, argument="preload")
    several = {name: group for name, group in groups.items() if len(group) > 1}
    if not several:
        what = f"nothing to compare {', '.join(chosen)} with"
        if pair:
            raise CableRouteError(f"{what}: {_NONE_PUSHES}", argument="family")
        told = f"{what}: expected another route, or a pair of the same"
        raise CableRouteError(told, argument="pair")
    comparisons = tuple(compare_options(group, name=name) for name, group in several.items())
    return comparisons, tuple(name for name in groups if name not in several)


@frozen
class _Bench:
    """Where the options of one file are made."""

    found: Assessment
    source: str
    limits: Limits
    preload: float | None

    def options(self, cable: CableAssessment, *, name: str, other_kind: bool) -> Iterator[Option]:
        """Yield a cable as the file holds it, and as its other kind if it is asked for."""
        linkage = _linkage_verdict(self.found, cable.figures.cable.name)
        own = cable.figures.cable.kind
        again = own == "pull-pair" and self.preload is not None
        given = self._judged(cable, own) if again else cable
        yield replace(self._option(given, name=name), linkage=linkage)
        kind = _other_kind(cable.figures)
        if other_kind and kind:
            what = "a pair" if kind == "pull-pair" else kind
            option = self._option(self._judged(cable, kind), name=f"{name} as {what}")
            yield replace(option, what_if=True)

    def _judged(self, cable: CableAssessment, kind: str) -> CableAssessment:
        """Judge a cable as one of another kind, or with another preload."""
        one = cable.figures.cable
        preload = one.preload if self.preload is None else self.preload
        alone = replace(one, kind=kind, preload=preload if kind == "pull-pair" else None)
        job = replace(self.found.job, cables=(alone,), linkages=(), selectors=())
        return assess(job, limits=self.limits).cables[0]

    def _option(self, cable: CableAssessment, *, name: str) -> Option:
        return Option(name, self.source, cable)


def _other_kind(figures: Figures) -> str | None:
    """Return the kind that a cable could be instead: a pair, or push-pull if its family pushes."""
    if figures.cable.kind == "push-pull":
        return "pull-pair"
    family = figures.cable.family
    pushes = family is not None and (family.kind == "push-pull" or bool(family.max_push))
    return "push-pull" if pushes else None


def _linkage_verdict(found: Assessment, cable: str) -> Verdict | None:
    """Return the gravest verdict on what a cable works."""
    linkages = [each for each in found.linkages if each.figures.built.entry.cable == cable]
    names = {each.figures.name for each in linkages}
    verdicts = [each.verdict for each in linkages]
    verdicts += [
        each.verdict
        for each in found.selectors
        if names & {each.figures.entry.select, each.figures.entry.shift}
    ]
    return verdict_of(verdicts) if verdicts else None
