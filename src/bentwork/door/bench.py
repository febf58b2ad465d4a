"""The bench as the workshop's log has it: how a bar stands, and a measurement on its way into the log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from bentwork.bending.stock_key import StockKey
from bentwork.errors import Fault, InputError
from bentwork.fitup.hand import Hand
from bentwork.jobs.bars import Bar, plan_of
from bentwork.jobs.bench import Bench, bench
from bentwork.jobs.going_on import GoingOn, going_on
from bentwork.jobs.measured import MadeBend, Measured, MeasuredSize
from bentwork.jobs.sizes import readable
from bentwork.jobs.work import Result
from bentwork.piece.bend import half_turn
from bentwork.planning.order_problem import Progress
from bentwork.workshop.log_entries import Logged, LoggedBend, LoggedSize
from bentwork.workshop.store import Workshop

__all__ = ["as_planned", "as_told", "at_bench", "chance", "kept", "kept_size", "log_of", "measured", "of_bar"]

_SEED = 20
_TOLD = ("mark_mm", "turn_deg", "pulled_deg")


def chance() -> np.random.Generator:
    """Return chance for outlooks, the same each time: who asks twice is told the same."""
    return np.random.default_rng(_SEED)


def log_of(workshop: Workshop, result: Result, bar: Bar) -> tuple[Logged, ...]:
    """Return what was measured on a bar and counts, oldest first."""
    return of_bar(workshop.log.of(result.job.name, bar.piece), bar)


def of_bar(entries: Iterable[Logged], bar: Bar) -> tuple[Logged, ...]:
    """Return those of the entries of a piece that are of this bar."""
    return tuple(one for one in entries if (one.hand, one.number) == (bar.hand, bar.number))


def at_bench(
    result: Result,
    bar: Bar,
    entries: Iterable[Logged],
    hand: Hand | None = None,
    progress: Progress | None = None,
) -> GoingOn:
    """Return how a bar stands, from what was measured on it, and the best way on.

    Args:
        result: of the job.
        bar: which one.
        entries: what was measured on it and counts, oldest first.
        hand: the maker's hand, see ``door.hand``; None for the bender's accuracy.
        progress: see ``order_problem.Progress``.

    Raises:
        InputError: the job has no such bar.
    """
    mountings = result.job.mountings_of(plan_of(result, bar).spec.bender)
    return going_on(as_planned(result, bar, entries, progress), chance, hand, mountings)


def as_planned(result: Result, bar: Bar, entries: Iterable[Logged], progress: Progress | None = None) -> Bench:
    """Return how a bar stands by the plan alone, with nothing reckoned of how it will come out: that is quick.

    Raises:
        InputError: the job has no such bar.
    """
    return bench(result, bar, [measured(one) for one in entries], progress)


def measured(entry: Logged) -> Measured:
    """Return an entry of the log as what was measured on a bar."""
    if isinstance(entry, LoggedBend):
        return MadeBend(
            entry.bend,
            entry.angle_deg,
            entry.held,
            entry.rotation_deg,
            entry.position_mm,
            entry.job_version,
            entry.pulled_deg,
            entry.angle_sd_deg,
            entry.position_sd_mm,
            entry.mark_mm,
            entry.turn_deg,
            entry.sure,
        )
    return MeasuredSize(
        entry.kind,
        entry.length_mm,
        entry.from_place,
        entry.to_place,
        entry.measured_to,
        entry.sd_mm,
        entry.way,
        entry.sure,
    )


def as_told(entry: LoggedBend, bench: Bench) -> LoggedBend:
    """Return the measurement of a bend with mark, turn and pull as they were told, where nobody said others.

    Args:
        entry: to come into the log.
        bench: how its bar stood before it.
    """
    step = next((one for one in bench.ahead if one.bend == entry.bend), None)
    if step is None:
        return entry
    turned = bench.made and step is bench.next  # from the step before, which it is only told of the next one
    return replace(
        entry,
        mark_mm=step.mark if entry.mark_mm is None else entry.mark_mm,
        turn_deg=half_turn(step.turn) if turned and entry.turn_deg is None else entry.turn_deg,
        pulled_deg=step.bend_to if entry.pulled_deg is None else entry.pulled_deg,
    )


def kept(workshop: Workshop, result: Result, entry: LoggedBend) -> LoggedBend:
    """Keep the measurement of a bend, with the bar and the bender that its piece has; sent again, it is kept once.

    What is filled in, here and by ``as_told``, is as it was when the entry came first: the job may have changed since.

    Raises:
        InputError: the piece has no such bend, or another measurement came under its ``entry_id``.
        WorkshopError: it could not be kept.
    """
    plan = plan_of(result, Bar(entry.piece, entry.hand, entry.number))
    known = workshop.log.entry(entry.entry_id)
    if isinstance(known, LoggedBend):
        filled = {name: getattr(known, name) for name in _TOLD if getattr(entry, name) is None}
        return workshop.log.add(replace(entry, bender=known.bender, stock_key=known.stock_key, **filled))
    count = len(plan.table.bends) if plan.table else 0
    if entry.bend > count:
        wanted = f"a bend of {entry.piece}: it has {count}, numbered from 1 at end A"
        raise InputError("log", [Fault("bend", str(entry.bend), wanted)])
    key = str(StockKey(plan.stock.section, plan.stock.material.name))
    return workshop.log.add(replace(entry, bender=plan.spec.bender or "", stock_key=key))


def kept_size(workshop: Workshop, result: Result, entry: LoggedSize) -> LoggedSize:
    """Keep a size of a bar; sent again, it is kept once.

    Raises:
        InputError: it cannot be measured on the bar as it stands, or another measurement came under its ``entry_id``.
        WorkshopError: it could not be kept.
    """
    bar = Bar(entry.piece, entry.hand, entry.number)
    plan = plan_of(result, bar)
    if plan.table is None:
        raise InputError("log", [Fault(entry.kind, "no shape", f"a piece whose corners fit; {entry.piece}'s do not")])
    made = [one.bend for one in log_of(workshop, result, bar) if isinstance(one, LoggedBend)]
    known = workshop.log.entry(entry.entry_id)
    if known is None:
        size = measured(entry)
        assert isinstance(size, MeasuredSize)
        why = readable(size, len(plan.table.bends), made, closed=plan.table.closed)
        if why:
            raise InputError("log", [Fault(entry.kind, f"{entry.length_mm:g} mm", f"what can be measured: {why}")])
    return workshop.log.add(entry)
