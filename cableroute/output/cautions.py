"""What must be said beside every figure."""

from __future__ import annotations

from cableroute.measure.job import Job

#: The first of them in one line, for the foot of a picture or a page.
IN_SHORT = "An estimate from tape readings and friction ranges: measure friction on the bench."
CAUTIONS = (
    "This is an estimate from tape readings and friction ranges. Measure friction on a mock-up with "
    "a spring scale before drilling.",
    "Brakes, steering, throttles and selectors can hurt people when a cable jams or breaks. Follow "
    "the local rules, the data of the cable actually bought, and licensed practice; a throttle needs "
    "two return springs, a brake a second way to stop.",
)
#: What to say besides where a cable works one of these.
_OF_CONTROLS = {
    "throttle": "A throttle must close by itself, cold and dirty too, when the cable sticks or "
    "breaks: two springs, each strong enough alone at both ends of the stroke, and a stop switch "
    "within reach.",
    "brake": "A brake on one cable needs a second brake that does not share it. Set it so that the "
    "lever never meets its stop, bring it back by two springs, each strong enough alone, and try it "
    "loaded before anyone relies on it.",
    "clutch": "A clutch that does not free, or grabs, moves the machine: bring it back by two "
    "springs, each strong enough alone, and try it with the driven wheels off the ground.",
    "steering": "Local rules may forbid a flexible cable for steering, or ask for a tested type. "
    "No estimate replaces that; nothing in it may be a single part that can jam.",
    "selector": "A selector that stops short may leave two gears half engaged. Give it a neutral "
    "that can be seen and felt, and an interlock where it may start the machine.",
}


def cautions_for(job: Job) -> tuple[str, ...]:
    """Return the cautions that a job calls for."""
    present = dict.fromkeys(cable.controls for cable in job.cables)
    return CAUTIONS + tuple(_OF_CONTROLS[each] for each in present if each in _OF_CONTROLS)
