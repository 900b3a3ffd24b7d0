"""What a core's stiffness may do to a verdict where no drag is measured: a doubt, never a fail."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import isfinite

from cableroute.measure.wording import Words
from cableroute.verdict.check import LEVELS, Check


def sure(
    check: Check,
    without: Check,
    message: Callable[[Check], str],
    *,
    added: float,
    words: Words,
    of: str = "it",
) -> Check:
    """Return a check with its message, failing only if it does without what stiffness adds.

    That is an upper figure which nobody measured. Where the check is less grave without what it
    ``added`` to a force, the message ends with the measurement that decides.
    """
    graver = LEVELS.index(check.level) < LEVELS.index(without.level)
    if check.level == "fail" and without.level != "fail":
        check = replace(check, failing=None)
    if not (graver and isfinite(added)):
        return check.saying(message)
    return check.saying(
        lambda c: (
            f"{message(c)} {words.force(added)} of {of} is the most that the core's stiffness may add: "
            "measure the drag at the hand with nothing attached, and enter it as drag."
        )
    )
