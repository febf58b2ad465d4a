"""The steps of a bar at the bench, made and to come, as cards that can be read from two metres."""

from __future__ import annotations

from dataclasses import replace

from bentwork.jobs.bench import Bench
from bentwork.jobs.papers import subject_of
from bentwork.jobs.work import Result
from bentwork.planning.steps import Step
from bentwork.sheets.bench_card import BenchCard, bench_card
from bentwork.sheets.outlook_words import moved_words

__all__ = ["cards"]


def cards(result: Result, bench: Bench) -> tuple[BenchCard, ...]:
    """Return a card for every step of a bar: those that are made, then those that are left."""
    if bench.plan.line is None or bench.plan.bender is None:
        return ()
    subject = subject_of(result, bench.plan, "", as_drawn=bench.bar.hand in (None, bench.plan.spec.hand))
    if bench.marks:
        subject = replace(subject, marks=bench.marks)
    ruler = result.job.ruler
    moved = {one.bend: moved_words(one.by, one.why, one.of, one.off, ruler) for one in bench.moved}
    found: list[BenchCard] = []
    made: list[int] = []
    before: Step | None = None
    for step in (*bench.past, *bench.ahead):
        found.append(bench_card(subject, step, made, before, moved.get(step.bend, "")))
        made.append(step.bend)
        before = step
    return tuple(found)
