"""How a bar stands at the bench, at the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rich.text import Text

from bentwork.cli import say
from bentwork.cli.say_table import columns
from bentwork.jobs.bars import bar_words
from bentwork.jobs.bench import Bench
from bentwork.jobs.bench_cards import cards
from bentwork.jobs.job import Job
from bentwork.jobs.measured import Asked
from bentwork.jobs.work import Result
from bentwork.sheets.bench_card import BenchCard
from bentwork.sheets.outlook_words import SETTING_BY_HAND, advice_words, gap_words, set_words
from bentwork.sheets.size_words import size_words
from bentwork.workshop.log_entries import Logged, LoggedBend

__all__ = ["entries", "outlook_lines", "show"]


def show(result: Result, bench: Bench) -> None:
    """Print which step is next, or that there is none."""
    out = say.console()
    table = bench.plan.table
    count = len(table.bends) if table else 0
    done = ", ".join(map(str, bench.done)) or "none"
    out.print(
        Text(
            f"{bar_words(bench.bar, bench.plan.spec.count)}: bends made {done}; {len(bench.made)} of {count}",
            style="bold",
        )
    )
    if bench.finished:
        out.print("Every bend is made.")
    for line in outlook_lines(result, bench):
        out.print(Text(line))
    for card in cards(result, bench)[len(bench.past) :][:1]:
        _show_card(card)
    if bench.findings:
        out.print()
        say.findings(bench.findings, result.job.ruler, out)


def outlook_lines(result: Result, bench: Bench) -> Iterator[str]:
    """Yield what to do now, what the piece will miss by, and what to set by hand."""
    told, table = bench.outlook, bench.plan.table
    if told.advice is None or told.expected_gap is None or told.expected_gap_sd is None or table is None:
        return
    words = gap_words(
        told.expected_gap,
        told.expected_gap_sd,
        told.chance,
        result.job.ruler,
        closed=table.closed,
        fails=told.fails,
    )
    yield f"{advice_words(told.advice)}. {words[:1].upper()}{words[1:]}."
    for line in set_words(told.correct or (), told.wring):
        yield f"  {line}"
    if told.correct or told.wring:
        yield from (f"  {caution}" for caution in SETTING_BY_HAND)
    for one in bench.measure:
        yield f"  Measure {_asked(one, len(table.bends), result.job)}."


def _asked(one: Asked, bends: int, job: Job) -> str:
    if one.kind == "rotation":
        return f"the rotation of bend {one.start} against bend {one.end}, drawn {one.about:.1f}°"
    about = f", drawn {job.ruler.tape(one.about)}" if one.about else ""
    return f"{size_words(one.kind, one.start, one.end, one.way, bends)}{about}"


def entries(job: Job, logged: Iterable[Logged]) -> None:
    """Print what was logged on a bar."""
    told = columns("number", "what", "measured", "rotation", "begins", "on", "note", left=("what", "note"))
    tape = job.ruler.tape
    for one in logged:
        if isinstance(one, LoggedBend):
            rotation = "" if one.rotation_deg is None else f"{one.rotation_deg:g}°"
            begins = "" if one.position_mm is None else tape(one.position_mm)
            row = (f"bend {one.bend}", f"{one.angle_deg:g}°", rotation, begins)
        else:
            places = "" if one.to_place is None else f" {one.from_place} to {one.to_place}"
            row = (f"{one.kind}{places}", tape(one.length_mm), "", "")
        told.add_row(str(one.id), *row, one.made_on, one.note)
    if told.row_count:
        say.console().print(told)


def _show_card(card: BenchCard) -> None:
    out = say.console()
    also = f" ({card.mark_also})" if card.mark_also else ""
    lines = (
        f"step {card.step}, bend {card.bend}: {card.mount or card.hold}",
        f"  {card.hold}" if card.mount else "",
        f"  {card.turn}; {card.line}{f'; {card.leg}' if card.leg else ''}",
        f"  mark at {card.mark} {card.unit} {card.mark_from}{also}",
        f"  {card.moved}" if card.moved else "",
        f"  {card.verb} {card.pull}{f' ({card.between})' if card.between else ''}, {card.leaves}",
        f"  {card.packing}" if card.packing else "",
        f"  {card.watch}" if card.watch else "",
        f"  {card.caution}",
    )
    for line in filter(None, lines):
        out.print(Text(line))
