"""Ctrl-C while modules are being loaded: it ends the process at once, without a traceback."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def ending_at_once() -> Iterator[None]:
    """Leave Ctrl-C to the system, so that no module half loaded has a say in it."""
    usual = signal.getsignal(signal.SIGINT)
    ours = usual is signal.default_int_handler  # neither ignored nor handled by whoever calls us
    if not ours or threading.current_thread() is not threading.main_thread():
        yield
        return
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, usual)
