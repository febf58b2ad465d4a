"""What a frame carries in words: what every face says alike, in the maker's units."""

from __future__ import annotations

import math

from bentwork.carry.changes import Help
from bentwork.sheets.stock_words import section_words
from bentwork.units import Ruler

__all__ = ["carries_words", "gives_at_words", "help_words"]


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


def help_words(one: Help, ruler: Ruler) -> str:
    """Return what would help in a line: ``a pair of braces from left foot to crossbar 2: +41 %, 96 g``."""
    change = one.change
    what = f"{change.piece} of {section_words(change.section, ruler)}" if change.section else change.words
    gain = "from nothing" if math.isinf(one.gain) else f"{one.gain:+.0%}"
    sign = "+" if one.grams >= 0.0 else "-"
    return f"{what}: {gain}, {sign}{ruler.small_mass(abs(one.grams) / 1000.0)}"
