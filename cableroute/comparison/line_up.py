"""Set options side by side, and find which is best in what."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from cableroute.assess import Assessment, CableAssessment, assess
from cableroute.comparison.options import RANKS, ROWS, Option
from cableroute.errors import CableRouteError
from cableroute.verdict.figures import Figures
from cableroute.verdict.findings import Verdict, verdict_of
from cableroute.verdict.limits import Limits

_NONE_PUSHES = (
    "their families do not push; name one that does, in the file or with --family (cableroute "
    "stock lists them), or a build with max_push"
)


@dataclass(frozen=True, slots=True, eq=False)
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
    """Find which of several options are best in each row.

    Parameters
    ----------
    options : sequence of Option
        Two or more, each with a name of its own.
    name : str
        The cable that all of them are.

    Returns
    -------
    Comparison
        The options, and which are best in what; those that read alike are equally good.

    Raises
    ------
    CableRouteError
        For fewer than two options, or names that are not unique.
    """
    names = [option.name for option in options]
    if len(set(names)) < max(2, len(names)):
        raise CableRouteError(f"expected two or more options of different names, got {names}")
    best = {}
    for row in ROWS:
        values = [(row.value(option), option.name) for option in options]
        rated = [(row.better * round(x, row.digits), who) for x, who in values if x is not None]
        most = max((rate for rate, _ in rated), default=0.0)
        foremost = tuple(who for rate, who in rated if rate == most)
        if row.better and len(foremost) < len(rated):
            best[row.key] = foremost
    return Comparison(name, tuple(options), best)


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

    Parameters
    ----------
    found : mapping of str to Assessment
        What was found in each file, by a short name of the file.
    cable : str, optional
        Only cables of this name.
    pair : bool
        Whether to add each push-pull cable as a pull pair, and a pair as push-pull where its
        family pushes.
    preload : float, optional
        Preload of every pair, instead of one with a reserve over the least [N].
    limits : Limits, optional
        Limits to hold the figures against.

    Returns
    -------
    comparisons : tuple of Comparison
        In the order of the files.
    left_out : tuple of str
        Names of cables that there is nothing to compare with.

    Raises
    ------
    CableRouteError
        If there is nothing to compare, no cable of that name, or a preload but no pair.
    """
    names = [each.figures.cable.name for one in found.values() for each in one.cables]
    chosen = names if cable is None else [name for name in names if name == cable]
    if not chosen:
        known = ", ".join(dict.fromkeys(names))
        raise CableRouteError(f"--cable: no cable {cable!r}; known: {known}")
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
        raise CableRouteError("--preload: none of the cables compared is a pull pair")
    several = {name: group for name, group in groups.items() if len(group) > 1}
    if not several:
        more = _NONE_PUSHES if pair else "give another file, or --pair"
        raise CableRouteError(f"nothing to compare {', '.join(chosen)} with: {more}")
    comparisons = tuple(compare_options(group, name=name) for name, group in several.items())
    return comparisons, tuple(name for name in groups if name not in several)


@dataclass(frozen=True, slots=True)
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
        return Option(name, self.source, cable.figures, cable.findings, cable.pair)


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
