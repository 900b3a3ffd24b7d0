"""The same tests wherever they run: signals as a terminal has them, properties at the same examples."""

from __future__ import annotations

import signal

from hypothesis import HealthCheck, settings

# A loaded machine is no fault of a property. `pytest --hypothesis-profile any` tries new examples.
_PATIENT = {"deadline": None, "suppress_health_check": [HealthCheck.too_slow]}
settings.register_profile("any", **_PATIENT)
settings.register_profile("same", **_PATIENT, derandomize=True, database=None)
settings.load_profile("same")

# Whoever runs the tests may ignore some signals, and what they start would too.
for name in ("SIGINT", "SIGHUP", "SIGTERM"):
    number = getattr(signal, name, None)  # Windows has no hang-up
    if number is not None and signal.getsignal(number) is signal.SIG_IGN:
        signal.signal(number, signal.default_int_handler if name == "SIGINT" else signal.SIG_DFL)
