"""The bench: which bars there are, how one stands, and what was measured on it. A paired phone may ask all of this."""

from __future__ import annotations

import threading
from dataclasses import asdict, replace

from fastapi import APIRouter

from bentwork.door.bench import as_planned, at_bench, kept, kept_size, log_of, of_bar
from bentwork.door.hand import hand_for
from bentwork.door.settled import entry_words, settled
from bentwork.errors import Fault, InputError
from bentwork.files.bench_json import outlook_document
from bentwork.files.plan_json import findings_document
from bentwork.fitup.doubted import towards
from bentwork.jobs.bars import Bar, bar_of, bar_words, bars, plan_of
from bentwork.jobs.bench import Bench
from bentwork.jobs.bench_cards import cards
from bentwork.jobs.far_off import plausible, turned_against
from bentwork.jobs.going_on import GoingOn
from bentwork.jobs.work import Result
from bentwork.piece.bend import half_turn
from bentwork.sheets.cautions import AT_THE_MARKS, at_the_bender
from bentwork.sheets.stock_words import stock_words
from bentwork.units import angle, parse_length
from bentwork.web.desk import AtDesk, Desk
from bentwork.web.measured_out import doubts_out, measures_out
from bentwork.web.outlook_out import ghost_out, outlook_out
from bentwork.web.wire import Faults, FindingOut
from bentwork.web.wire_bench import (
    BarRow,
    BarsOut,
    BenchOut,
    CardOut,
    GhostOut,
    LogIn,
    MadeOut,
    SizeIn,
    StrikeIn,
    SureIn,
)
from bentwork.workshop.log_entries import Logged, LoggedBend, LoggedSize
from bentwork.workshop.store import Workshop, open_workshop

__all__ = ["router"]

_one_at_a_time = threading.Lock()

router = APIRouter(tags=["bench"], prefix="/bench", responses={409: {"model": Faults}, 422: {"model": Faults}})


@router.get("/{name}/bars")
def list_bars(desk: AtDesk, name: str) -> BarsOut:
    """Return every bar of a job that is bent, and how far it is."""
    result = _result(desk, name)
    with open_workshop(desk.place.workshop) as workshop:
        logged = {one.piece: workshop.log.of(result.job.name, one.piece) for one in bars(result)}
    rows = [_row(result, bar, logged[bar.piece]) for bar in bars(result)]
    return BarsOut(name=name, title=result.job.name, bars=rows)


@router.get("/{name}/bar")
def read_bar(desk: AtDesk, name: str, piece: str, hand: str | None = None, number: int | None = None) -> BenchOut:
    """Return how a bar stands."""
    result = _result(desk, name)
    bar = bar_of(result.job, piece, hand, number)
    with open_workshop(desk.place.workshop) as workshop:
        return _out(name, result, bar, workshop)


@router.get("/{name}/ghost")
def read_ghost(
    desk: AtDesk, name: str, piece: str, hand: str | None = None, number: int | None = None
) -> GhostOut | None:
    """Return a bar as it is believed to be over its drawing; null where nothing is known of it."""
    result = _result(desk, name)
    bar = bar_of(result.job, piece, hand, number)
    with open_workshop(desk.place.workshop) as workshop:
        logged, makers = log_of(workshop, result, bar), hand_for(workshop, result, bar)
    with _one_at_a_time:
        return ghost_out(at_bench(result, bar, logged, makers), result.job.ruler)


@router.post("/{name}/log")
def log_bend(desk: AtDesk, name: str, asked: LogIn) -> BenchOut:
    """Keep the measurement of a bend, and return how its bar stands then, by the plan: what is kept is told at once."""
    result = _result(desk, name)
    bar = bar_of(result.job, asked.piece, asked.hand, asked.number)
    entry = LoggedBend(
        entry_id=asked.entry_id,
        job=result.job.name,
        job_version=asked.version,
        piece=bar.piece,
        hand=bar.hand,
        number=bar.number,
        bend=asked.bend,
        held=asked.held,
        pulled_deg=asked.pulled_deg,
        angle_deg=asked.angle_deg,
        rotation_deg=asked.rotation_deg,
        position_mm=_position(result, bar, asked),
        mark_mm=asked.mark_mm,
        turn_deg=asked.turn_deg,
        sure=asked.sure,
        made_on=asked.made_on,
    )
    with open_workshop(desk.place.workshop) as workshop:
        known = workshop.log.entry(entry.entry_id)
        if isinstance(known, LoggedBend) and None not in (known.position_mm, entry.position_mm):
            entry = replace(entry, position_mm=known.position_mm)  # by its mark then; the job may have changed since
        kept(workshop, result, entry)
        return _out(name, result, bar, workshop, reckon=False)


@router.post("/{name}/size")
def log_size(desk: AtDesk, name: str, asked: SizeIn) -> BenchOut:
    """Keep a size of a bar, and return how the bar stands then, by the plan."""
    result = _result(desk, name)
    bar = bar_of(result.job, asked.piece, asked.hand, asked.number)
    try:
        length = parse_length(asked.length, result.job.ruler.units)
    except ValueError as error:
        raise InputError("log", [Fault("length", repr(asked.length), str(error))]) from None
    entry = LoggedSize(
        entry_id=asked.entry_id,
        job=result.job.name,
        job_version=asked.version,
        piece=bar.piece,
        hand=bar.hand,
        number=bar.number,
        kind=asked.kind,
        length_mm=length,
        from_place=asked.start,
        to_place=asked.end,
        way=asked.way,
        made_on=asked.made_on,
    )
    with open_workshop(desk.place.workshop) as workshop:
        kept_size(workshop, result, entry)
        return _out(name, result, bar, workshop, reckon=False)


@router.post("/{name}/sure")
def settle(desk: AtDesk, name: str, asked: SureIn) -> BenchOut:
    """Settle a reading that was questioned, and return how its bar stands then, by the plan."""
    result = _result(desk, name)
    bar = bar_of(result.job, asked.piece, asked.hand, asked.number)
    with open_workshop(desk.place.workshop) as workshop:
        found = _own_entry(workshop, result, bar, asked.of)
        settled(workshop, found, asked.kind, asked.value, asked.entry_id, asked.made_on)
        return _out(name, result, bar, workshop, reckon=False)


@router.post("/{name}/strike")
def strike_out(desk: AtDesk, name: str, asked: StrikeIn) -> BenchOut:
    """Strike out a wrong measurement of a bar, and return how the bar stands then."""
    result = _result(desk, name)
    bar = bar_of(result.job, asked.piece, asked.hand, asked.number)
    with open_workshop(desk.place.workshop) as workshop:
        found = _own_entry(workshop, result, bar, asked.entry_id)
        workshop.log.strike_out(found.entry_id, "taken back at the bench", asked.made_on)
        return _out(name, result, bar, workshop, reckon=False)


def _own_entry(workshop: Workshop, result: Result, bar: Bar, entry_id: str) -> Logged:
    """The measurement of a bar that came under an id."""
    found = workshop.log.entry(entry_id)
    if found is None or found.job != result.job.name or not of_bar((found,), bar) or found.piece != bar.piece:
        raise InputError("log", [Fault("entry_id", repr(entry_id[:80]), f"a measurement of {bar_words(bar)}")])
    return found


def _result(desk: Desk, name: str) -> Result:
    return desk.room.worked(desk.jobs.read(name)).result


def _position(result: Result, bar: Bar, asked: LogIn) -> float | None:
    """Where the bend was found to begin, from how far off its mark it came out."""
    if not asked.off.strip():
        return None
    start = next((mark.start for mark in plan_of(result, bar).marks if mark.bend == asked.bend), 0.0)
    try:
        return start + parse_length(asked.off, result.job.ruler.units)
    except ValueError as error:
        raise InputError("log", [Fault("off", repr(asked.off), str(error))]) from None


def _row(result: Result, bar: Bar, logged: tuple[Logged, ...]) -> BarRow:
    plan = plan_of(result, bar)
    count = len(plan.table.bends) if plan.table else 0
    made = {one.bend for one in of_bar(logged, bar) if isinstance(one, LoggedBend) and one.bend <= count}
    return BarRow(
        piece=bar.piece,
        hand=bar.hand,
        number=bar.number,
        says=bar_words(bar, plan.spec.count),
        bends=count,
        made=len(made),
        finished=plan.table is not None and len(made) == count,
    )


def _out(name: str, result: Result, bar: Bar, workshop: Workshop, *, reckon: bool = True) -> BenchOut:
    """How a bar stands; with ``reckon`` the best way on, which takes a moment."""
    logged = log_of(workshop, result, bar)
    hand = None
    if reckon:
        hand = hand_for(workshop, result, bar)
        with _one_at_a_time:  # what was worked out before is kept for all
            going = at_bench(result, bar, logged, hand)
    else:
        going = GoingOn(as_planned(result, bar, logged))
    bench = going.bench
    plan, job = bench.plan, result.job
    last = logged[-1] if logged else None
    trim = f", {job.ruler.length(plan.spec.trim)} spare on each end" if plan.spec.trim else ""
    cut = f"cut {job.ruler.tape(plan.cut_length)} {job.ruler.units}{trim}"
    return BenchOut(
        name=name,
        title=job.name,
        version=job.version,
        piece=bar.piece,
        hand=bar.hand,
        number=bar.number,
        says=bar_words(bar, plan.spec.count),
        bar=f"{stock_words(plan.stock, job.ruler)}, {cut}",
        units=job.ruler.units,
        bends=len(plan.table.bends) if plan.table else 0,
        cards=_cards(result, bench),
        made=_made(result, bench, logged),
        finished=bench.finished,
        stopped=not bench.finished and not bench.ahead,
        last_entry=last.entry_id if last else None,
        last_bend=last.bend if isinstance(last, LoggedBend) else None,
        last_says=entry_words(last, plan.table, job.ruler) if last else "",
        doubts=doubts_out(going, logged, job.ruler),
        measures=measures_out(going, job.ruler),
        sizes=[entry_words(one, plan.table, job.ruler) for one in logged if isinstance(one, LoggedSize)],
        **outlook_document(bench.outlook),
        outlook=outlook_out(bench, job.ruler),
        reckoning=not reckon and bool(bench.made),
        findings=[FindingOut(**one) for one in findings_document(bench.findings, job.ruler)],
        cautions=[
            AT_THE_MARKS[1],
            *(at_the_bender(plan.bender.kind, plan.stock.material.group) if plan.bender else ()),
        ],
        hand_says=[] if hand is None else list(hand.learnt),
    )


def _cards(result: Result, bench: Bench) -> list[CardOut]:
    steps = (*bench.past, *bench.ahead)
    assert bench.plan.table is not None or not steps
    found = []
    for step, card in zip(steps, cards(result, bench), strict=True):
        assert bench.plan.table is not None
        span, drawn = plausible(bench.plan, step.bend, bench.done), bench.plan.table.bends[step.bend - 1]
        turned = turned_against(bench.plan.table, step.bend, bench.done)
        start = next(mark.start for mark in bench.plan.marks if mark.bend == step.bend)
        off_least, off_most = (result.job.ruler.number(at - start) for at in span.position)
        found.append(
            CardOut(
                **asdict(card),
                held=step.held,
                pull_deg=step.bend_to,
                mark_mm=step.mark,
                turn_deg=half_turn(step.turn) if bench.made and step is bench.next else None,
                angle_deg=drawn.angle,
                angle_least_deg=span.angle[0],
                angle_most_deg=span.angle[1],
                against=turned[0] if turned else None,
                rotation_deg=turned[1] if turned else None,
                rotation_least_deg=span.rotation[0] if turned else None,
                rotation_most_deg=span.rotation[1] if turned else None,
                off_least=off_least,
                off_most=off_most,
            )
        )
    return found


def _made(result: Result, bench: Bench, logged: tuple[Logged, ...]) -> list[MadeOut]:
    ids = {one.bend: one.entry_id for one in logged if isinstance(one, LoggedBend)}
    starts = {mark.bend: mark.start for mark in bench.plan.marks}
    found = []
    for one in bench.made:
        more = []
        if one.rotation is not None:
            more.append(f"rotation {angle(one.rotation)}")
        if one.position is not None:
            off = one.position - starts[one.bend]
            more.append("on its mark" if abs(off) < 0.05 else towards(off, result.job.ruler.length))
        assert bench.plan.table is not None
        drawn = angle(bench.plan.table.bends[one.bend - 1].angle)
        found.append(
            MadeOut(bend=one.bend, entry_id=ids[one.bend], angle=angle(one.angle), drawn=drawn, more=", ".join(more))
        )
    return found
