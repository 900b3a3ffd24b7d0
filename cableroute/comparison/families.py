"""One run with every family of a library: which would do, how long to buy, why the others fail."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import inf

from cableroute.assess import Assessment, CableAssessment, assess
from cableroute.errors import CableRouteError, RouteFileError
from cableroute.figures.sampled import as_drawn
from cableroute.frozen import frozen
from cableroute.hardware.family import Family
from cableroute.measure.bounds import check_tried
from cableroute.measure.drawn import not_below_the_least_radius
from cableroute.measure.job import Job
from cableroute.measure.models import CableEntry, RouteFile
from cableroute.measure.positions import Frame
from cableroute.measure.reading import job_of
from cableroute.verdict.check import Check, Verdict

#: Verdicts from best to worst; none where a family cannot be laid there at all.
_ORDER = ("pass", "marginal", "fail", None)
#: What a file says of the cable that is in it, and not of another.
OWN_DATA = ("build", "bend_radius", "friction", "drag", "bending_stiffness")


@frozen(eq=False)
class FamilyOnRun:
    """A run judged with one family.

    Parameters
    ----------
    family : Family
        The family.
    found : Assessment or None
        The cable with it, and what it works; None where it cannot be laid there at all.
    faults : tuple of str
        Why it cannot.
    dropped : tuple of str
        Keys of the file that are of another cable and were left out.
    shared : frozenset of str
        Codes of the findings that every family has on this run: no choice among them mends it.
    """

    family: Family
    found: Assessment | None
    faults: tuple[str, ...] = ()
    dropped: tuple[str, ...] = ()
    shared: frozenset[str] = frozenset()

    @property
    def cable(self) -> CableAssessment | None:
        """The cable as judged."""
        return self.found.cables[0] if self.found else None

    @property
    def verdict(self) -> Verdict | None:
        """The gravest of the cable and of what it works; None where it cannot be laid."""
        return self.found.verdict if self.found else None

    @property
    def why(self) -> tuple[str, ...]:
        """What keeps it from passing: the findings as grave as its verdict, the shared ones last."""
        if self.found is None:
            return self.faults
        if self.verdict == "pass":
            return ()
        grave = (each for each in self.findings if each.level == self.verdict)
        last = sorted(grave, key=lambda each: each.code in self.shared)
        return tuple(f"{each.where}: {each.message}" for each in last)

    @property
    def findings(self) -> tuple[Check, ...]:
        """All findings of the cable and of what it works."""
        judged = (*self.found.cables, *self.found.linkages) if self.found else ()
        return tuple(each for one in judged for each in one.findings)

    @property
    def hand(self) -> float:
        """Pull at the hand at high friction [N]."""
        return self.cable.figures.pull.inputs[1] if self.cable else inf

    @property
    def stock(self) -> float | None:
        """Stock length to buy; None where it is cut to length, or no length is known [mm]."""
        choice = self.cable.figures.order.choice if self.cable else None
        return choice.stock if choice else None


def rank_families(
    job: Job,
    *,
    cable: str | None = None,
    library: Mapping[str, Family],
    told: Callable[[str], None] = lambda _: None,
) -> tuple[FamilyOnRun, ...]:
    """Judge one run with every family, the best first, and of equals the one that pulls easiest.

    Each is judged with its own least radius, friction and stiffness: what the file says of these is
    of the cable that it names. Points on tubes are placed anew, as conduits differ in width.

    Parameters
    ----------
    job : Job
        The machine, as it was read.
    cable : str, optional
        Name of the cable; of a file with one cable it may be left out.
    library : mapping of str to Family
        The families.
    told : callable
        Told which family is being judged.

    Returns
    -------
    tuple of FamilyOnRun
        One for each family.

    Raises
    ------
    CableRouteError
        For a job that was not read from a file; for more points and families than can be judged
        while somebody waits; with ``argument`` "cable" for the name of no cable, or none where
        there are several.
    """
    if job.as_read is None:
        raise CableRouteError("families: expected a job that was read from a file or a text")
    names = [each.name for each in job.cables]
    if cable is None and len(names) == 1:
        cable = names[0]
    if cable not in names:
        asked = "none" if cable is None else repr(cable)
        wrong = f"cable: expected one of {', '.join(names)}, got {asked}"
        raise CableRouteError(wrong, argument="cable")
    chosen = job.cables[names.index(cable)]
    check_tried(cable, points=len(chosen.points), families=len(library))
    alone = _alone(job.as_read, cable)
    frame = Frame.of(alone, place=lambda _: "", faults=[])
    found = []
    for number, each in enumerate(library, start=1):
        told(f"judging family {number} of {len(library)}: {each}")
        found.append(_judged(alone, each, library, frame, drawn=chosen.is_drawn))
    found = _shared(found)
    return tuple(sorted(found, key=lambda one: (_ORDER.index(one.verdict), one.hand)))


def _shared(found: list[FamilyOnRun]) -> list[FamilyOnRun]:
    """Tell each of several families which faults all of them have."""
    codes = [
        frozenset(each.code for each in one.findings if each.level in ("marginal", "fail"))
        for one in found
        if one.found
    ]
    if len(codes) < 2:
        return found
    return [replace(one, shared=frozenset.intersection(*codes)) for one in found]


def _alone(file: RouteFile, cable: str) -> RouteFile:
    """Return a file with one cable and the linkages that it works."""
    cables = tuple(each for each in file.cable if each.name == cable)
    linkages = tuple(each for each in file.linkage if each.cable == cable)
    return file.model_copy(update={"cable": cables, "linkage": linkages, "selector": ()})


def _judged(
    file: RouteFile, name: str, library: Mapping[str, Family], frame: Frame, *, drawn: bool
) -> FamilyOnRun:
    (entry,) = file.cable
    dropped = dropped_for(entry, name)
    other = entry.model_copy(update={"family": name, **dict.fromkeys(dropped)})
    family = library[name]
    try:
        tried = file.model_copy(update={"cable": (other,)})
        job = job_of(tried, library=library, place=lambda _: "", frame=frame)
        job = as_drawn(not_below_the_least_radius(job)) if drawn else job
        return FamilyOnRun(family, assess(replace(job, selectors=())), dropped=dropped)
    except CableRouteError as error:
        faults = error.faults if isinstance(error, RouteFileError) else (str(error),)
        return FamilyOnRun(family, None, tuple(each.removeprefix(": ") for each in faults), dropped)


def dropped_for(entry: CableEntry, family: str) -> tuple[str, ...]:
    """Return what a file says of its own cable and not of one of another family."""
    if family == entry.family:
        return ()
    return tuple(key for key in OWN_DATA if getattr(entry, key) is not None)
