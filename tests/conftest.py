"""Signals as a terminal has them: whoever runs the tests may ignore some, and what they start would."""

from __future__ import annotations

import signal

for name in ("SIGINT", "SIGHUP", "SIGTERM"):
    number = getattr(signal, name, None)  # Windows has no hang-up
    if number is not None and signal.getsignal(number) is signal.SIG_IGN:
        signal.signal(number, signal.default_int_handler if name == "SIGINT" else signal.SIG_DFL)
