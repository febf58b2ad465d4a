"""A long search on the terminal: progress after a second, and Ctrl-C that takes the best found so far."""

from __future__ import annotations

import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType

__all__ = ["searching"]

_PATIENCE = 1.0  # seconds before anything is said


@contextmanager
def searching() -> Iterator[Callable[[int, int], bool]]:
    """Yield a function to be told how much is done and of how much; it answers whether to stop.

    The first Ctrl-C asks the search to stop with the best it has; the second ends the program as usual.
    """
    from rich.console import Console

    asked = False
    begun = time.monotonic()
    console = Console(stderr=True, highlight=False)
    status = console.status("looking for the order of bends; Ctrl-C takes the best found so far")
    shown = False

    def stop(number: int, frame: FrameType | None) -> None:
        nonlocal asked
        if asked:
            raise KeyboardInterrupt
        asked = True

    def progress(done: int, of: int) -> bool:
        nonlocal shown
        if not shown and time.monotonic() - begun > _PATIENCE and sys.stderr.isatty():
            status.start()
            shown = True
        if shown and of:
            status.update(f"looking for the order of bends, {100 * done // of} %; Ctrl-C takes the best found so far")
        return asked

    try:
        before = signal.signal(signal.SIGINT, stop)
    except ValueError:  # not in the main thread: nobody presses Ctrl-C there
        yield progress
        return
    try:
        yield progress
    finally:
        signal.signal(signal.SIGINT, before)
        if shown:
            status.stop()
