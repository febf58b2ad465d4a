"""What is known of a bar on a bender, on the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console

    from bentwork.bending.learnt import Fit
    from bentwork.bending.test_bend import TestBend
    from bentwork.jobs.job import Job
    from bentwork.jobs.pairs import Pair

__all__ = ["show", "show_bends"]


def show(job: Job, pair: Pair, bends: Sequence[TestBend], made: TestBend | None, out: Console) -> None:
    """Print what is known; beside it what was known before the test bend that was just entered."""
    from rich.text import Text

    from bentwork.bending.learnt import Fit
    from bentwork.jobs import known_words
    from bentwork.jobs.trial import trial_for
    from bentwork.planning.sureness import advice_for, advice_words
    from bentwork.sheets.cautions import AT_THE_TEST_BEND
    from bentwork.sheets.stock_words import stock_words

    what, ruler = pair.known(bends), job.ruler
    out.print(Text(f"{pair}", style="bold") + Text(f": {stock_words(job.stocks[pair.stock], ruler)}", style=""))
    if made is not None:
        out.print(f"test bend {made.id}: pulled to {made.pulled_deg:g}°, left {made.left_deg:g}°")
    out.print(known_words.known_line(what))
    if not isinstance(what.fit, Fit):
        out.print(known_words.nothing_left(what))
        return
    before = pair.known([bend for bend in bends if made is None or bend.id != made.id]).fit
    out.print(_pulls(what.fit, before if made is not None and isinstance(before, Fit) else None, pair))
    for line in known_words.size_lines(what.fit, ruler):
        out.print(line)
    for doubt in what.fit.doubts:
        out.print(Text(f"watch  {known_words.doubt_line(doubt)}", style="yellow"))
    advice, trial = advice_for(what, pair.bends), trial_for(pair, what)
    if advice is not None:
        out.print(advice_words(advice))
    if trial is not None:
        out.print(known_words.trial_line(trial, ruler))
        out.print(known_words.HOW_TO_READ)
        out.print(AT_THE_TEST_BEND[0])


def show_bends(job: Job, pair: Pair, bends: Sequence[TestBend], out: Console) -> None:
    """Print the test bends of a bar on a bender, one a line."""
    from bentwork.bending.known import made_in
    from bentwork.cli.say_table import columns

    tape = job.ruler.tape
    words, figures = ("made on", "batch", "note"), ("pulled", "left", "bar", "mark", "held leg", "free leg")
    made = columns("no.", *words[:2], *figures, words[2], left=words)
    for bend in made_in(pair.set_up, bends):
        lengths = (bend.bar_mm, bend.mark_mm, bend.held_leg_mm, bend.free_leg_mm)
        made.add_row(
            str(bend.id),
            bend.made_on,
            bend.batch,
            f"{bend.pulled_deg:g}°",
            f"{bend.left_deg:g}°",
            *("" if length is None else tape(length) for length in lengths),
            bend.note,
        )
    out.print(made)


def _pulls(fit: Fit, before: Fit | None, pair: Pair) -> object:
    from bentwork.cli.say_table import columns
    from bentwork.units import angle

    pulls = columns("to leave", "pull to", "9 in 10", *(("before", "9 in 10") if before else ()))
    for wanted in pair.angles((90.0,)):
        pull = fit.pull(wanted)
        cells = [angle(wanted), angle(pull.bend_to), f"{pull.low:.1f}° {pull.high:.1f}°"]
        if before:
            old = before.pull(wanted)
            cells += [angle(old.bend_to), f"{old.low:.1f}° {old.high:.1f}°"]
        pulls.add_row(*cells)
    return pulls
