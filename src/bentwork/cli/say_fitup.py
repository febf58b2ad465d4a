"""How pieces will come out, and the best way on with a bar, at the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.table import Table
from rich.text import Text

from bentwork.cli import say
from bentwork.cli.say_bench import outlook_lines
from bentwork.cli.say_table import columns
from bentwork.fitup.outlook import Outlook
from bentwork.jobs.bars import bar_words
from bentwork.jobs.fit_ahead import FitAhead
from bentwork.jobs.going_on import GoingOn
from bentwork.jobs.onto import onto_words, slot_words
from bentwork.jobs.seam_choice import load_words
from bentwork.jobs.work import Result
from bentwork.sheets.outlook_words import AT_MOST_WHY, gap_words, share_words
from bentwork.units import Ruler, angle

__all__ = ["ahead", "going_on"]

_MOST_SHARES = 3


def ahead(result: Result, found: Sequence[FitAhead]) -> None:
    """Print what is known of every piece before its first bend."""
    out, ruler = say.console(), result.job.ruler
    out.print(Text(f"{result.job.name}, version {result.job.version}", style="bold"))
    if not found:
        out.print("No piece of it is bent, or none can be made; bentwork check says why.")
    for one in found:
        out.print()
        out.print(Text(one.plan.spec.name, style="bold"))
        for line in _lines(one, ruler):
            out.print(Text(f"  {line}"))
    told = [finding for one in found for finding in one.findings]
    if told:
        out.print()
        say.findings(told, ruler, out)


def _lines(one: FitAhead, ruler: Ruler) -> Iterator[str]:
    closed = one.plan.table is not None and one.plan.table.closed
    tolerance = one.plan.spec.tolerance
    ends = f"gap {ruler.length(tolerance.gap)}, offset {ruler.length(tolerance.offset)}, " if closed else ""
    ends += f"twist {tolerance.twist:g}°, " if closed else ""
    yield f"good is: {ends}corners {'' if closed else 'and ends '}within {ruler.length(tolerance.position)}"
    yield f"good by the plan alone: {one.attempts.unmended:.0%}"
    yield f"good when logged and mended: {share_words(one.good, closed=closed)}"
    if closed:
        yield f"  ({AT_MOST_WHY})"
    yield f"most of the miss comes from {', '.join(_shares(one))}"
    trim = one.trim
    if closed:
        yield f"spare length wanted on end B: {ruler.length(trim.end_b)}"
    else:
        yield f"spare length wanted: {ruler.length(trim.end_a)} on end A, {ruler.length(trim.end_b)} on end B"
    if one.seams:
        best = one.seams[0]
        here = one.seam is not None and one.seam.seam == best.seam
        place = f"side {best.seam[0]}, {'its middle' if abs(best.seam[1] - 0.5) < 0.01 else f'at {best.seam[1]:.2f}'}"
        yield f"best seam: {place}, {ruler.length(best.from_bend)} from a bend{' (as it is)' if here else ''}"
        if best.load is not None:
            yield f"  beside it the load takes {load_words(best.load)}"
    if one.sprung is not None:
        sprung = one.sprung
        yield (
            f"a piece that just keeps its tolerance is sprung into place with {ruler.force(sprung.force)}, "
            f"{sprung.yield_share:.0%} of what bends it anew"
        )
        if sprung.yield_share > 0.5:
            yield f"  left free {sprung.slacks[0].where} (a slot, a late hole): {sprung.slacks[0].strain:.0%}"
    if one.onto is not None:
        yield onto_words(one.onto, ruler)
        slot = slot_words(one.onto, ruler)
        if slot is not None:
            yield f"  {slot}"
    if one.pair is not None:
        apart = ruler.length(round(one.pair.worst_in_20, 1))
        yield f"left and right: 19 pairs of 20 differ by no more than {apart}"
    if one.spare is not None:
        yield f"spare bars: {one.spare.bars or 'none'}" + (
            "" if one.spare.bars or not one.spare.lengths else "; what is left of the bars gives the spare lengths"
        )
    yield from (f"your hand: {words}" for words in one.hand.words)


def _shares(one: FitAhead) -> Iterator[str]:
    for part in one.shares[:_MOST_SHARES]:
        yield f"{f'bend {part.bend}' if part.bend else 'springback not known'} ({part.share:.0%})"


def going_on(result: Result, found: GoingOn) -> None:
    """Print the best way on with a bar."""
    out, bench, best, ruler = say.console(), found.bench, found.mend, result.job.ruler
    done = ", ".join(map(str, bench.done)) or "none"
    out.print(Text(f"{bar_words(bench.bar, bench.plan.spec.count)}: bends made {done}", style="bold"))
    for line in outlook_lines(result, bench):
        out.print(Text(line))
    if best is not None and bench.plan.table is not None:
        closed = bench.plan.table.closed
        out.print(Text(f"by the drawing from here on: {_words(best.before, ruler, closed=closed)}"))
        out.print(Text(f"this way:                    {_words(best.after, ruler, closed=closed)}"))
        if bench.ahead:
            out.print(_steps(found, ruler))
    if bench.findings:
        out.print()
        say.findings(bench.findings, ruler, out)


def _words(one: Outlook, ruler: Ruler, *, closed: bool) -> str:
    return gap_words(one.gap, one.gap_sd, one.good, ruler, closed=closed, fails=one.fails)


def _steps(found: GoingOn, ruler: Ruler) -> Table:
    steps = columns("step", "bend", "hold", "mark", "turn the bar", "pull to", "leaves", "drawn")
    drawn = found.bench.plan.table
    assert drawn is not None
    for step in found.bench.ahead:
        steps.add_row(
            str(step.step),
            str(step.bend),
            step.held,
            ruler.tape(step.mark),
            angle(step.turn) if step.step > 1 else "",
            angle(step.bend_to),
            angle(step.bend_to - step.springback),
            angle(drawn.bends[step.bend - 1].angle),
        )
    return steps
