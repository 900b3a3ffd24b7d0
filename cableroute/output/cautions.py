"""What must be said beside every figure."""

from __future__ import annotations

CAUTIONS = (
    "This is an estimate from tape readings and friction ranges. Measure friction on a mock-up with "
    "a spring scale before drilling.",
    "Brakes, steering, throttles and selectors can hurt people when a cable jams or breaks. Follow "
    "the local rules, the data of the cable actually bought, and licensed practice; a throttle needs "
    "its own return spring, a brake a second way to stop.",
)
