"""What to move, to leave out, to sweep wider: each tried on the cable and judged again in full."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

import numpy as np

from cableroute.arrays import Array
from cableroute.assess import Assessment, CableAssessment, assess
from cableroute.errors import CableRouteError
from cableroute.figures.cable import Figures, work_out
from cableroute.frozen import frozen
from cableroute.measure.fewer_points import fewer_points
from cableroute.measure.job import Cable, Job
from cableroute.route._least_moves import legs_near
from cableroute.route.doubt import room_doubt
from cableroute.route.fillet import refit
from cableroute.route.pieces import Route
from cableroute.route.repair import FARTHEST, Repair, freedoms_of, repair
from cableroute.verdict.advice import Advice, Change, advise
from cableroute.verdict.check import FOUND, LEVELS, Check

#: Points to leave out, and sweeps, that are tried on one cable: those that gain the most.
MOST_TRIED = 6
#: Force at the hand below which leaving a point out gains nothing [N]; our own choice.
LEAST_GAIN = 0.5
#: Share of its limit by which a figure gets worse that is past its limit already [-]; our own choice.
_WORSE = 0.01
#: Room by which a leg may fall short of its doubt and be taken to have it [mm].
_EXACT = 1e-6


@frozen
class Spare:
    """Room on the leg with the least of it to spare, over what the tape leaves in doubt.

    Parameters
    ----------
    room : float
        Leg less what its bends need [mm].
    doubt : float
        What the tape leaves in doubt of that [mm].
    """

    room: float
    doubt: float

    @property
    def is_enough(self) -> bool:
        """Whether the bends fit however the tape was off."""
        return self.room >= self.doubt - _EXACT


@frozen(eq=False)
class Offer:
    """One change that may be made to a cable, and what comes of it.

    Parameters
    ----------
    kind : str
        ``move``, ``leave-out`` or ``sweep``.
    at : tuple of str
        The points it is about.
    cable : Cable
        The cable with it.
    found : Assessment
        That cable, and what it works, judged again.
    worse : tuple of Check
        Every rule that is worse kept than before.
    spare : Spare or None
        Room on the legs that it changes; None where it changes none.
    is_graver : bool
        Whether its verdict is graver than the one before.
    change : Change or None
        What it gains; None of a move.
    """

    kind: str
    at: tuple[str, ...]
    cable: Cable
    found: Assessment
    worse: tuple[Check, ...]
    spare: Spare | None
    is_graver: bool
    change: Change | None = None

    @property
    def after(self) -> CableAssessment:
        """The cable with it."""
        return next(each for each in self.found.cables if each.name == self.cable.name)


@frozen(eq=False)
class Suggestion:
    """What is suggested for one cable.

    Parameters
    ----------
    before : CableAssessment
        The cable as measured.
    repair : Repair
        What to move.
    advice : Advice
        What would make it easier to pull.
    offers : tuple of Offer
        What may be taken: moves first, then what gains the most. None makes the verdict graver.
    declined : tuple of Offer
        What was tried and is not offered, as it does.
    """

    before: CableAssessment
    repair: Repair
    advice: Advice
    offers: tuple[Offer, ...] = ()
    declined: tuple[Offer, ...] = ()

    @property
    def move(self) -> Offer | None:
        """The moves; None where nothing moves."""
        return next((each for each in self.offers if each.kind == "move"), None)

    @property
    def after(self) -> CableAssessment | None:
        """The cable with the points moved and judged again; None where nothing moves."""
        return self.move.after if self.move else None


def numbered(found: Sequence[Suggestion]) -> dict[int, tuple[Suggestion, Offer]]:
    """Return every offer by the number that it is listed under, counted from one."""
    every = [(each, offer) for each in found for offer in each.offers]
    return dict(enumerate(every, start=1))


def suggest(
    job: Job,
    *,
    cable: str | None = None,
    within: float = FARTHEST,
    told: Callable[[str], None] = lambda _: None,
) -> tuple[Suggestion, ...]:
    """Look for the smallest moves that make every bend fit, and for what lowers the force.

    Parameters
    ----------
    job : Job
        What was measured.
    cable : str, optional
        Name of one of its cables; all of them if not given.
    within : float
        No point is moved further than this [mm].
    told : callable
        Told what is being looked at, which takes a second or more a cable.

    Returns
    -------
    tuple of Suggestion
        One for each cable, in the job's order.

    Raises
    ------
    CableRouteError
        For the name of no cable, or a distance that is none.
    """
    chosen = [each for each in job.cables if cable in (None, each.name)]
    if not chosen:
        known = ", ".join(each.name for each in job.cables)
        raise CableRouteError(f"cable: expected one of {known}, got {cable!r}")
    found = []
    for number, each in enumerate(chosen, start=1):
        told(f"looking for moves, cable {number} of {len(chosen)}: {each.name}")
        found.append(suggest_for(each, job=job, farthest=within))
    return tuple(found)


def suggest_for(cable: Cable, *, job: Job, farthest: float = FARTHEST) -> Suggestion:
    """Find the smallest moves that make every bend of a cable fit, and judge it with them.

    Parameters
    ----------
    cable : Cable
        One cable of the job.
    job : Job
        The machine.
    farthest : float
        No point is moved further than this [mm].

    Returns
    -------
    Suggestion
        The cable as measured, and as it would be.
    """
    trial = _Trial(cable, _around(job, cable.name))
    mended = trial.mend(farthest)
    figures = trial.before.figures
    advice = advise(figures, tubes=job.tubes)
    offers = [trial.moved(mended)] if mended.moves.any() else []
    gains = [each for each in advice.omissions if each.is_good and each.force >= LEAST_GAIN]
    for kind, changes in (("leave-out", gains), ("sweep", advice.sweeps)):
        offers += [trial.changed(kind, each) for each in changes[:MOST_TRIED]]
    good = [each for each in offers if not _is_declined(each)]
    declined = [each for each in offers if _is_declined(each)]
    return Suggestion(trial.before, mended, advice, tuple(good), tuple(declined))


def _is_declined(offer: Offer) -> bool:
    """Whether an offer is worth no number: a graver verdict, or a fit that rests on the tape's luck."""
    tight = offer.kind != "move" and offer.spare is not None and not offer.spare.is_enough
    return offer.is_graver or tight


def _around(job: Job, name: str) -> Job:
    """Return a job with one cable and what is judged along with it: what it works, and with whom."""
    own = {each.name for each in job.linkages if each.cable == name}
    selectors = tuple(each for each in job.selectors if own & {each.select, each.shift})
    needed = own | {each for one in selectors for each in (one.select, one.shift)}
    linkages = tuple(each for each in job.linkages if each.name in needed)
    names = {name, *(each.cable for each in linkages)}
    cables = tuple(each for each in job.cables if each.name in names)
    return replace(job, cables=cables, linkages=linkages, selectors=selectors)


class _Trial:
    """A cable in its machine, judged as it is, and again with every change."""

    def __init__(self, cable: Cable, job: Job) -> None:
        self.cable, self.job = cable, job
        self.tolerance = 0.0 if cable.is_drawn else job.tape_tolerance
        self.found = assess(job)
        self.others = {each.name: each for each in self.found.cables if each.name != cable.name}
        self.before = next(each for each in self.found.cables if each.name == cable.name)

    def mend(self, farthest: float) -> Repair:
        """Find the smallest moves that leave the tape's doubt to spare, or else that just fit."""
        figures, held = self.before.figures, self.before.figures.cable
        alone = replace(self.job, cables=(held,), linkages=(), selectors=())

        def holds(moves: Array, *, sure: bool) -> bool:
            after = work_out(replace(held, points=held.points + moves), job=alone)
            spare = self.spare(after.route, np.flatnonzero(moves.any(axis=1)).tolist())
            return _is_better(after, figures) and (not sure or spare is None or spare.is_enough)

        def tried(spare: Array | float, *, sure: bool) -> Repair:
            return repair(
                figures.route,
                freedoms=freedoms_of(held),
                farthest=farthest,
                grid=figures.words.grid,
                holds=lambda moves: holds(moves, sure=sure),
                spare=spare,
            )

        bare = tried(0.0, sure=False)
        if not (bare.fits and bare.moves.any() and self.tolerance):
            return bare
        fitted = refit(figures.route, figures.route.points + bare.moves[figures.route.kept])
        legs = legs_near(fitted, np.flatnonzero(bare.distances).tolist())
        doubt = room_doubt(fitted, tolerance=self.tolerance, legs=legs)
        roomy = tried(doubt, sure=True)
        return roomy if roomy.fits else bare

    def moved(self, mended: Repair) -> Offer:
        """Judge the cable with its points moved."""
        points = np.flatnonzero(mended.distances).tolist()
        cable = replace(self.cable, points=self.cable.points + mended.moves)
        return self._offer("move", points, cable, near=points)

    def changed(self, kind: str, change: Change) -> Offer:
        """Judge the cable with a point left out, or two made one."""
        first, grid = min(change.gone), self.before.figures.words.grid
        instead = np.round(np.array(change.point) / grid) * grid if change.point else None
        cable = fewer_points(self.cable, change.gone, instead=instead)
        near = [first - 1, first, first + (instead is not None)]
        return self._offer(kind, change.gone, cable, near=near, change=change)

    def _offer(
        self,
        kind: str,
        points: Sequence[int],
        cable: Cable,
        *,
        near: Sequence[int],
        change: Change | None = None,
    ) -> Offer:
        cables = tuple(cable if each.name == cable.name else each for each in self.job.cables)
        found = assess(replace(self.job, cables=cables), known=self.others)
        after = next(each for each in found.cables if each.name == cable.name)
        return Offer(
            kind=kind,
            at=tuple(self.cable.point_name(i) for i in points),
            cable=cable,
            found=found,
            worse=tuple(_worse(self.found, found)),
            spare=self.spare(after.figures.route, near),
            is_graver=LEVELS.index(found.verdict) < LEVELS.index(self.found.verdict),
            change=change,
        )

    def spare(self, route: Route, points: Sequence[int]) -> Spare | None:
        """Return the room on the legs near some points, where it is least over its doubt."""
        near = legs_near(route, points) & ~route.held
        if not near.any():
            return None
        doubt = room_doubt(route, tolerance=self.tolerance, legs=near)
        worst = int(np.argmin(np.where(near, route.slacks - doubt, np.inf)))
        return Spare(float(route.slacks[worst]), float(doubt[worst]))


def _is_better(after: Figures, before: Figures) -> bool:
    """Whether all bends fit, and neither shape comes near a solid that it was clear of."""
    return bool(after.route.fits) and after.in_the_way <= before.in_the_way


def _worse(before: Assessment, after: Assessment) -> Iterator[Check]:
    """Yield every rule that is worse kept: at a graver level, or further past the same limit."""
    was: dict[tuple[str, str, str], Check] = {}
    for name, check in _checks(before):
        key = (name, check.code, check.where)
        was[key] = min(was.get(key, check), check, key=lambda one: LEVELS.index(one.level))
    for name, check in _checks(after):
        old = was.get((name, check.code, check.where))
        if check.level in FOUND and (old is None or _is_worse(check, old)):
            yield check


def _is_worse(new: Check, old: Check) -> bool:
    if new.level != old.level:
        return LEVELS.index(new.level) < LEVELS.index(old.level)
    if new.level == "note" or new.margin is None or old.margin is None:
        return False
    return new.margin < old.margin - _WORSE * abs(new.limit or 0.0)


def _checks(found: Assessment) -> Iterator[tuple[str, Check]]:
    for one in (*found.cables, *found.linkages, *found.selectors):
        yield from ((one.name, check) for check in one.checks)
