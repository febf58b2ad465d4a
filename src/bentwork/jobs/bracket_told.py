"""Brackets in words: what every face says alike of their holes and of the work at the V-block."""

from __future__ import annotations

from bentwork.jobs.bracket import Bracket, HoleMade
from bentwork.models.flat_holes import flat_holes
from bentwork.models.lines import Inked
from bentwork.planning.steps import Step
from bentwork.units import Ruler, angle

__all__ = ["AT_THE_DRILL", "allowance_words", "bracket_lines", "hole_words", "place_words", "rule_words", "step_words"]

AT_THE_DRILL = (
    "Clamp the bracket: a drill that breaks through grabs flat bar and spins it. No gloves at the drill, eye "
    "protection on. Take the burr off both sides before it is bent: a burr outside a bend starts a crack."
)
"""The caution that stands where holes are drilled (common practice, no source)."""


def hole_words(hole: HoleMade, ruler: Ruler) -> str:
    """Return what is drilled: ``drill 6.6 mm for M6``, ``slot 6.5 × 20 mm along the bar``."""
    asked = hole.asked
    if hole.flat.half_straight > 0.0:
        through = f", for {asked.thread.name} to go through" if asked.thread else ""
        width = ruler.length(asked.diameter).removesuffix(f" {ruler.units}")
        return f"slot {width} × {ruler.length(asked.slot)}, {asked.runs} the bar{through}"
    drill = f"drill {ruler.length(hole.drill)}"
    if asked.thread is None:
        return drill
    inch = f" ({asked.thread.inch_drill})" if asked.tapped and asked.thread.inch_drill else ""
    return (
        f"{drill}{inch}, tap {asked.thread.name}" if asked.tapped else f"{drill} for {asked.thread.name} to go through"
    )


def place_words(hole: HoleMade, ruler: Ruler) -> str:
    """Return where a hole lies in the flat: from end A on one tape, and from the middle of the width."""
    y = hole.flat.y
    beside = (
        "in the middle" if abs(y) < 0.005 else f"{ruler.length(abs(y))} {'above' if y > 0.0 else 'below'} the middle"
    )
    return f"{ruler.tape(hole.flat.x)} {ruler.units} from end A of the flat, {beside}"


def rule_words(hole: HoleMade, ruler: Ruler) -> str:
    """Return when a hole is made and why."""
    seat = hole.seat
    if seat.fold is None:
        return "in the flat"
    near = f"{ruler.length(max(seat.gap, 0.0))} from bend {seat.fold}, {ruler.length(seat.wanted)} wanted"
    if seat.gap < 0.0:
        near = f"reaches into bend {seat.fold}"
    return f"AFTER bending: {near}" if seat.after else f"in the flat: {near}"


def step_words(step: Step, ruler: Ruler) -> str:
    """Return one bend at the V-block: the bend line, how deep the punch goes, with what force, to what angle."""
    told = [f"bend {step.bend}: line up {ruler.tape(step.mark)} {ruler.units} from end A, hold end {step.held}"]
    if step.stroke is not None:
        told.append(f"punch {ruler.length(step.stroke)} deep")
    if step.push is not None:
        told.append(ruler.press(step.push))
    told.append(f"press to {angle(step.bend_to)}")
    return ", ".join(told)


def allowance_words(bracket: Bracket, ruler: Ruler) -> str:
    """Return from what the length of the flat is known."""
    if not bracket.bends:
        return "nothing is bent"
    if bracket.learnt:
        return "what its bends take is known from your test bends"
    takes = sorted({round(bend.allowance, 2) for bend in bracket.bends})
    each = ", ".join(ruler.length(one) for one in takes)
    if not bracket.holes:
        return f"drawn to the middle; by the handbook its bends take {each} each, which is less"
    return (
        f"its bends take {each} by the handbook's neutral line, {bracket.bends[0].k:.2f} of the thickness from inside"
    )


def bracket_lines(bracket: Bracket, ruler: Ruler) -> tuple[Inked, ...]:
    """Return the holes of a bracket for its flat pattern, with words."""
    words = [
        f"{hole.flat.number}: {hole_words(hole, ruler)}{' AFTER bending' if hole.seat.after else ''}"
        for hole in bracket.holes
    ]
    return flat_holes([hole.seat for hole in bracket.holes], words)
