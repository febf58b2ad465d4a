"""The bench as the workshop's log has it: how a bar stands, and a measurement on its way into the log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from bentwork.bending.stock_key import StockKey
from bentwork.errors import Fault, InputError
from bentwork.jobs.bars import Bar, plan_of
from bentwork.jobs.bench import Bench, MadeBend, bench
from bentwork.jobs.work import Result
from bentwork.planning.order_problem import Progress
from bentwork.workshop.log_entries import Logged, LoggedBend
from bentwork.workshop.store import Workshop

__all__ = ["at_bench", "kept", "log_of", "of_bar"]


def log_of(workshop: Workshop, result: Result, bar: Bar) -> tuple[Logged, ...]:
    """Return what was measured on a bar and counts, oldest first."""
    return of_bar(workshop.log.of(result.job.name, bar.piece), bar)


def of_bar(entries: Iterable[Logged], bar: Bar) -> tuple[Logged, ...]:
    """Return those of the entries of a piece that are of this bar."""
    return tuple(one for one in entries if (one.hand, one.number) == (bar.hand, bar.number))


def at_bench(result: Result, bar: Bar, entries: Iterable[Logged], progress: Progress | None = None) -> Bench:
    """Return how a bar stands, from what was measured on it.

    Raises:
        InputError: the job has no such bar.
    """
    made = [
        MadeBend(one.bend, one.angle_deg, one.held, one.rotation_deg, one.position_mm, one.job_version)
        for one in entries
        if isinstance(one, LoggedBend)
    ]
    return bench(result, bar, made, progress)


def kept(workshop: Workshop, result: Result, entry: LoggedBend) -> LoggedBend:
    """Keep the measurement of a bend, with the bar and the bender that its piece has; sent again, it is kept once.

    What is filled in here is as it was when the entry came first: the job may have changed since.

    Raises:
        InputError: the piece has no such bend, or another measurement came under its ``entry_id``.
        WorkshopError: it could not be kept.
    """
    plan = plan_of(result, Bar(entry.piece, entry.hand, entry.number))
    known = workshop.log.entry(entry.entry_id)
    if isinstance(known, LoggedBend):
        return workshop.log.add(replace(entry, bender=known.bender, stock_key=known.stock_key))
    count = len(plan.table.bends) if plan.table else 0
    if entry.bend > count:
        wanted = f"a bend of {entry.piece}: it has {count}, numbered from 1 at end A"
        raise InputError("log", [Fault("bend", str(entry.bend), wanted)])
    key = str(StockKey(plan.stock.section, plan.stock.material.name))
    return workshop.log.add(replace(entry, bender=plan.spec.bender or "", stock_key=key))
