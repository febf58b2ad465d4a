"""From a result to what the papers of its brackets are about."""

from __future__ import annotations

from collections.abc import Iterator

from bentwork.jobs.bracket import Bracket, brackets
from bentwork.jobs.bracket_told import AT_THE_DRILL, allowance_words, hole_words, place_words, rule_words, step_words
from bentwork.jobs.papers import subject_of
from bentwork.jobs.work import Result
from bentwork.sheets.bracket_sheet import BracketSubject
from bentwork.sheets.cautions import at_the_pull
from bentwork.sheets.stock_words import stock_words
from bentwork.sheets.told_pages import ToldPart
from bentwork.units import Ruler

__all__ = ["bracket_subjects"]


def bracket_subjects(result: Result, date: str) -> tuple[BracketSubject, ...]:
    """Return every bracket of a job, of either hand, that is bent or drilled."""
    found = []
    for bracket in brackets(result):
        subject = subject_of(result, bracket.plan, date, as_drawn=bracket.as_drawn)
        seats = tuple(hole.seat for hole in bracket.holes)
        found.append(BracketSubject(subject, bracket.blank.width, seats, tuple(_parts(bracket, result.job.ruler))))
    return tuple(found)


def _parts(bracket: Bracket, ruler: Ruler) -> Iterator[ToldPart]:
    plan = bracket.plan
    cut = f"Cut {stock_words(plan.stock, ruler)} to {ruler.tape(bracket.blank.length)} {ruler.units}"
    yield ToldPart("The flat", (f"{cut}: {allowance_words(bracket, ruler)}.",))
    early = tuple(hole for hole in bracket.holes if hole.cut_in_the_flat)
    late = tuple(hole for hole in bracket.holes if not hole.cut_in_the_flat)
    for title, holes in (("Holes in the flat", early), ("Holes AFTER bending", late)):
        if holes:
            told = (
                f"{hole.flat.number}: {place_words(hole, ruler)}; {hole_words(hole, ruler)}; {rule_words(hole, ruler)}."
                for hole in holes
            )
            yield ToldPart(title, tuple(told), (AT_THE_DRILL,), ticks=True)
    if plan.steps and plan.bender is not None:
        caution = at_the_pull(plan.bender.kind, max(step.springback for step in plan.steps))
        yield ToldPart(
            "Bends, in this order",
            tuple(step_words(step, ruler) + "." for step in plan.steps),
            (caution,),
            numbered=True,
        )
