"""How far the reader of a CAD model is, on the terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bentwork.takeoff.reader import Progress

__all__ = ["model_progress"]

_PATIENCE = 2.0  # seconds before anything is said


def model_progress() -> Callable[[Progress], None] | None:
    """Return what tells how far the reader is; nothing where nobody looks."""
    if not sys.stderr.isatty():
        return None
    words = {"opening": "opening the model", "building": "building its shapes"}

    def tell(progress: Progress) -> None:
        if progress.seconds < _PATIENCE:
            return
        told = words.get(progress.stage, f"{progress.done} of {progress.total} solids")
        end = "\r" if progress.done < progress.total or not progress.total else "\r\x1b[K"
        print(f"\x1b[K{told}, {progress.seconds:.0f} s", end=end, file=sys.stderr, flush=True)

    return tell
