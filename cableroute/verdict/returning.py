"""Checks of what brings a pull cable back: how many springs, and how strong each must be alone."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from cableroute.figures.cable import Figures
from cableroute.figures.frost import lubricant_of
from cableroute.figures.returning import Returning
from cableroute.measure.wording import Words
from cableroute.mechanics.return_spring import ReturnBand
from cableroute.verdict.check import PRACTICE, Check, finite
from cableroute.verdict.limits import Limits

#: Where a cable that does not come back by itself hurts.
MUST_RETURN = ("throttle", "brake", "clutch")
#: The check that says what a spring must pull with, as the list of what to buy repeats it.
WANTED = "return-wanted"


def springs_wanted(controls: str | None) -> int:
    """Return how many springs should bring a cable back: two where sticking hurts, in case one breaks."""
    return 2 if controls in MUST_RETURN else 1


def return_checks(figures: Figures, demand: Returning, limits: Limits) -> Iterator[Check]:
    """Yield what a spring must pull with, whether those given do, and how many there are."""
    must = figures.cable.controls in MUST_RETURN
    yield _wanted(figures, demand, limits)
    if not demand.given:
        if must:
            yield _unknown(figures, demand, limits)
        return
    if not demand.drag_known:
        yield Check(
            code="return-without-drag",
            name="Return spring without the cable's drag",
            where="far end",
            value=1.0 if must else None,
            marginal=0.0 if must else None,
            message="The cable's own drag is not known, so its return spring is held against friction "
            "alone. Measure the force that moves the core with nothing attached, and give it as drag.",
        )
    strong = _strong_enough(figures, demand, limits)
    yield strong
    if (strong.value or 0.0) >= 1.0:
        yield _when_neglected(figures, demand)
    if must:
        yield _enough_of_them(figures, demand, limits)


def _wanted(figures: Figures, demand: Returning, limits: Limits) -> Check:
    share = limits.return_margin[0]
    return Check(
        code=WANTED,
        name="Pull wanted of each return spring, at both ends of the stroke",
        where="far end",
        value=finite(max(demand.wanted(share))),
        unit="N",
        formula=f"{share:g}·(e^(μ·wrap)·(F_hand + D) + F_far) − weight and detents",
        source=f"capstan the other way; limit: {PRACTICE}",
        detail=_each(figures, demand, limits),
    )


def _each(figures: Figures, demand: Returning, limits: Limits) -> str:
    """Say what one spring must pull with, warm and cold, rounded up."""
    warm, cold = demand.wanted(limits.return_margin[0])
    if not isfinite(cold):
        return "no spring is strong enough: too much friction, take out bends"
    force, family = figures.words.force_up, figures.cable.family
    count = springs_wanted(figures.cable.controls)
    most = family.max_pull if family else None
    too_strong = most is not None and count * max(warm, cold) > most
    more = ", more than this cable can pull" if too_strong else ""
    more += "" if demand.is_sure else ", less once the drag is measured"
    return f"at least {force(warm)} at rest and at full travel, {force(cold)} cold{more}"


def _springs(figures: Figures, demand: Returning, limits: Limits) -> str:
    """Say how many springs and how strong."""
    if springs_wanted(figures.cable.controls) > 1:
        return f"two springs, each of {_each(figures, demand, limits)}"
    return f"a spring of {_each(figures, demand, limits)}"


def _unknown(figures: Figures, demand: Returning, limits: Limits) -> Check:
    return Check(
        code="return-unknown",
        name="Return springs not given",
        where="far end",
        value=1.0,
        marginal=0.0,
        message=f"What brings this {figures.cable.controls} back is not given. By the cable's own "
        f"friction and drag it wants {_springs(figures, demand, limits)}. Say what they pull with, "
        "resists = { preload, spring, friction, springs }, and they will be judged, cold too.",
    )


def _enough_of_them(figures: Figures, demand: Returning, limits: Limits) -> Check:
    """Hold their number against two; where it is not given nobody is failed for it."""
    control, wanted = figures.cable.controls, float(springs_wanted(figures.cable.controls))
    single = control == "throttle" and demand.springs is not None
    return Check(
        code="return-springs",
        name="Return springs, each strong enough alone",
        where="far end",
        value=float(demand.springs or 1),
        noting=wanted,
        marginal=wanted if single else None,
        at_least=True,
        source=f"{PRACTICE}; compare 49 CFR 571.124: two sources of energy",
    ).saying(
        lambda _: (
            f"One spring is {'given' if demand.springs else 'taken, as their number is not given'}; "
            f"where it breaks this {control} stays where it was left. Fit "
            f"{_springs(figures, demand, limits)}, and say springs = 2, preload and spring of both "
            "together."
        )
    )


def _strong_enough(figures: Figures, demand: Returning, limits: Limits) -> Check:
    """Hold each spring against what it must drag back: a pass only where no stiffness undoes it."""
    marginal, failing = limits.return_margin
    state, worst = min(demand.states.items(), key=lambda pair: float(pair[1].stiff.margin))
    hopeless = any(bool(band.hopeless) for band in demand.states.values())
    each = "each " if (demand.springs or 1) > 1 else ""
    words = figures.words
    rest, pulled = (words.force(force) for force in demand.alone)
    return Check(
        code="return-spring",
        name="Return spring over what it must drag back",
        where="far end",
        value=finite(float(worst.stiff.margin)),
        marginal=marginal,
        failing=failing if hopeless else None,
        at_least=True,
        formula="F_spring / (e^(μ·wrap)·(F_hand + D) + F_far)",
        source="capstan the other way, all drag at the hand, D from free to locked wires; limit: "
        f"{PRACTICE}; cold: compare 49 CFR 571.124",
        detail=f"{each}{rest} at rest, {pulled} at full travel; {needed(demand.warm, words)} bring it back, "
        f"{needed(demand.cold, words)} cold",
    ).saying(lambda c: _weak(figures, demand, limits, c, state))


def _when_neglected(figures: Figures, demand: Returning) -> Check:
    """Note a cable that comes back as it should be kept, but neither dirty nor dry."""
    words = figures.words
    stuck = {n: each for n, each in demand.neglected.items() if float(each.stiff.margin) < 1.0}
    worst = min(demand.neglected.values(), key=lambda each: float(each.stiff.margin))
    one = "each spring" if (demand.springs or 1) > 1 else "the spring"
    return Check(
        code="return-neglected",
        name="Return spring over what it must drag back, dirty or dry",
        where="far end",
        value=finite(float(worst.stiff.margin)),
        noting=1.0,
        at_least=True,
        formula="as the return spring, at that friction",
        source="the same laws; friction as of the share that arrives dirty and dry",
    ).saying(
        lambda _: (
            f"Well kept it comes back, but {' or '.join(stuck)} it may not: {one} gives "
            f"{words.force(float(worst.stiff.available))} where it is weakest, {needed(worst, words)} are "
            "needed. Keep it clean and greased, and try its return in that state on the bench."
        )
    )


def needed(band: ReturnBand, words: Words) -> str:
    """Say what just brings a cable back, from free wires to locked ones."""
    return words.forces(float(band.slack.required), float(band.stiff.required))


def _weak(figures: Figures, demand: Returning, limits: Limits, check: Check, state: str) -> str:
    worst, what, words = demand.states[state], figures.cable.controls, figures.words
    control = what if what and what != "other" else "lever"
    spare, wanted = (100.0 * (share - 1.0) for share in (check.value or 0.0, check.marginal or 1.0))
    said = f"may come back weakly, {spare:.0f} % to spare where {wanted:.0f} are wanted"
    if check.level == "fail":
        said = "may not come back"
    elif spare < 0.0:
        said = "comes back at best and may not at worst"
    danger = (
        "the engine runs on" if what == "throttle" else f"the {control} stays where it was left"
    )
    mend = f"Fit {_springs(figures, demand, limits)}; take out bends."
    if check.level != "fail":
        mend = _decider(figures, demand, limits, state) or mend
    one = "each spring" if (demand.springs or 1) > 1 else "the spring"
    return (
        f"This {control} {said}: {one} gives {words.force(float(worst.stiff.available))} where it is "
        f"weakest, {needed(worst, words)} are needed {state}. Where it sticks, {danger}. {mend}"
    )


def _decider(figures: Figures, demand: Returning, limits: Limits, state: str) -> str:
    """Say which measurement decides whether it comes back, or nothing where all is measured."""
    cable, most = figures.cable, demand.most_reading
    said = []
    if not demand.is_sure:
        reads = (
            f" up to {figures.words.force(most)}" if most > 0.0 else ", the friction lowered too"
        )
        said.append(
            f"read the drag at the hand with the spring off, and give it: it comes back{reads}"
        )
    if state == "cold" and not lubricant_of(figures) and cable.temperature:
        said.append(
            'give its lubricant (as lubricant = "mineral-2"), which is not known, or try it in the cold'
        )
    if not said:
        return ""
    text = "; ".join([*said, f"or fit {_springs(figures, demand, limits)}"])
    return f"{text[0].upper()}{text[1:]}."
