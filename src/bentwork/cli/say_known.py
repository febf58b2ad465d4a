"""What is known of a bar on a bender, on the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console

    from bentwork.bending.known import Known
    from bentwork.bending.learnt import Fit, Measured
    from bentwork.bending.test_bend import TestBend
    from bentwork.jobs.job import Job
    from bentwork.jobs.pairs import Pair
    from bentwork.units import Ruler

__all__ = ["show", "show_bends"]


def show(job: Job, pair: Pair, bends: Sequence[TestBend], made: TestBend | None, out: Console) -> None:
    """Print what is known; beside it what was known before the test bend that was just entered."""
    from rich.text import Text

    from bentwork.bending.learnt import Fit
    from bentwork.planning.sureness import came_from, doubt_words
    from bentwork.sheets.stock_words import stock_words

    what, ruler = pair.known(bends), job.ruler
    out.print(Text(f"{pair}", style="bold") + Text(f": {stock_words(job.stocks[pair.stock], ruler)}", style=""))
    if made is not None:
        out.print(f"test bend {made.id}: pulled to {made.pulled_deg:g}°, left {made.left_deg:g}°")
    out.print(f"How far to pull is known {came_from(what)}.")
    if not isinstance(what.fit, Fit):
        out.print("On this die nothing of a bend is left; bentwork check says why.")
        return
    before = pair.known([bend for bend in bends if made is None or bend.id != made.id]).fit
    out.print(_pulls(what.fit, before if made is not None and isinstance(before, Fit) else None, pair))
    for line in _sizes(what.fit, ruler):
        out.print(line)
    for doubt in what.fit.doubts:
        number = f"Test bend {doubt.bend.id}" if doubt.bend.id is not None else "This test bend"
        out.print(
            Text(
                f"watch  {number} does not go with {'the handbook' if doubt.against == 'handbook' else 'the others'}"
                f"{' and is left out' if doubt.left_out else ''}: {doubt_words(doubt)}",
                style="yellow",
            )
        )
    for line in _next(pair, what, ruler):
        out.print(line)


def show_bends(job: Job, pair: Pair, bends: Sequence[TestBend], out: Console) -> None:
    """Print the test bends of a bar on a bender, one a line."""
    from rich import box
    from rich.table import Table

    from bentwork.bending.known import made_in

    tape = job.ruler.tape
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for head in ("no.", "made on", "batch", "pulled", "left", "bar", "mark", "held leg", "free leg", "note"):
        table.add_column(head, justify="left" if head in ("made on", "batch", "note") else "right")
    for bend in made_in(pair.set_up, bends):
        lengths = (bend.bar_mm, bend.mark_mm, bend.held_leg_mm, bend.free_leg_mm)
        table.add_row(
            str(bend.id),
            bend.made_on,
            bend.batch,
            f"{bend.pulled_deg:g}°",
            f"{bend.left_deg:g}°",
            *("" if length is None else tape(length) for length in lengths),
            bend.note,
        )
    out.print(table)


def _pulls(fit: Fit, before: Fit | None, pair: Pair) -> object:
    from rich import box
    from rich.table import Table

    from bentwork.units import angle

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for head in ("to leave", "pull to", "9 in 10", *(("before", "9 in 10") if before else ())):
        table.add_column(head, justify="right")
    for wanted in sorted({90.0, *(bend.angle for bend in pair.bends)}):
        pull = fit.pull(wanted)
        cells = [angle(wanted), angle(pull.bend_to), f"{pull.low:.1f}° {pull.high:.1f}°"]
        if before:
            old = before.pull(wanted)
            cells += [angle(old.bend_to), f"{old.low:.1f}° {old.high:.1f}°"]
        table.add_row(*cells)
    return table


def _sizes(fit: Fit, ruler: Ruler) -> list[str]:
    def told(what: Measured) -> str:
        return f"{ruler.length(what.mean)} ± {ruler.length(2.0 * what.sd)}"

    law = fit.law
    lines = [
        f"springback {law.fixed.mean:.1f}° ± {2 * law.fixed.sd:.1f}° and {law.proportional.mean:.3f} ± "
        f"{2 * law.proportional.sd:.3f} for each degree that is left"
    ]
    if not fit.taped:
        lines.append("radius and marks: not measured; bar, mark and both legs of a test bend would tell")
        return lines
    where = "behind" if fit.start.mean >= 0.0 else "before"
    off = f"{ruler.length(abs(fit.start.mean))} ± {ruler.length(2.0 * fit.start.sd)}"
    lines += [
        f"radius that is left {told(fit.radius)}, to the middle of the bar",
        f"the bend starts {off} {where} what the tool is set to",
        f"legs together, to the corner, are {told(fit.drawn_in)} longer than the bar at 90°",
    ]
    return lines


def _next(pair: Pair, what: Known, ruler: Ruler) -> list[str]:
    from bentwork.jobs.trial import trial_for
    from bentwork.planning.sureness import advice_for, advice_words
    from bentwork.units import angle

    advice, trial = advice_for(what, pair.bends), trial_for(pair, what)
    lines = [] if advice is None else [advice_words(advice)]
    if trial is not None:
        lines += [
            f"Next test bend: saw {ruler.tape(trial.bar)} {ruler.units} of the same bar, mark it at "
            f"{ruler.tape(trial.mark)} from the end you hold, pull to {angle(trial.pull)}, let go.",
            "Read the angle before and after, and both legs, to where their outsides would meet. Wear glasses and "
            "make the first pull slow: test bends snap.",
        ]
    return lines
