"""Brackets on the terminal: the flat, its holes, which are drilled later, the work at the V-block."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from bentwork.jobs.bracket_told import allowance_words, hole_words, place_words, rule_words, step_words

if TYPE_CHECKING:
    from rich.console import Console

    from bentwork.jobs.bracket import Bracket
    from bentwork.units import Ruler

__all__ = ["show_bracket"]


def show_bracket(one: Bracket, ruler: Ruler, out: Console) -> None:
    """Print a bracket that has holes."""
    blank = one.blank
    out.print()
    cut = f"  flat {ruler.tape(blank.length)} {ruler.units} long: {allowance_words(one, ruler)}"
    out.print(Text(f"{one.name}, in the flat", style="bold") + Text(cut, style=""))
    for hole in one.holes:
        out.print(f"  hole {hole.flat.number}: {place_words(hole, ruler)}; {hole_words(hole, ruler)}")
        out.print(f"          {rule_words(hole, ruler)}")
    for step in one.plan.steps:
        out.print(f"  step {step.step}, {step_words(step, ruler)}")
