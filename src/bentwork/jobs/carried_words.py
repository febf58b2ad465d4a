"""What a frame carries in words: what every face says alike, in the maker's units."""

from __future__ import annotations

import math

from bentwork.units import Ruler

__all__ = ["carries_words", "gives_at_words"]


def carries_words(kg: float, ruler: Ruler) -> str:
    """Return how heavy a payload it carries: ``26.5 kg``, ``any load``, ``nothing``."""
    if not math.isfinite(kg):
        return "any load"
    return ruler.load(kg) if kg > 0.0 else "nothing"


def gives_at_words(kg: float, ruler: Ruler) -> str:
    """Return under which payload something gives: ``26.5 kg``, ``never``; ``any load`` where it gives without one."""
    if not math.isfinite(kg):
        return "never"
    return ruler.load(kg) if kg > 0.0 else "any load"
