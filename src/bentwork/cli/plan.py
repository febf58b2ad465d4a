"""``bentwork plan``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import worked, workshop_option

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from bentwork.jobs.work import PiecePlan, Result

SHORT = "Work out lengths, marks and steps."
HELP = """Work out cut lengths, marks and steps of every piece.

Marks are measured from end A of the straight bar, trim included. Turns are seen from end A.

Exit status: 0 done, 1 done and something stops the job, 2 the file is wrong.

\b
Example: bentwork plan crate-shelf.toml
"""


@click.command("plan", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def plan(job: Path, as_json: bool, workshop: Path | None) -> None:
    """Work out cut lengths, marks and steps of every piece."""
    with edge(as_json=as_json):
        result = worked(job, workshop)
        if as_json:
            from bentwork.files.plan_json import dumps, plan_document

            put(dumps(plan_document(result)))
        else:
            from bentwork.cli import say

            show(result, say.console())
    if result.stopped:
        raise SystemExit(1)


def show(result: Result, out: Console) -> None:
    """Print a result: a paragraph and a table for each piece, then the findings."""
    from rich.text import Text

    from bentwork.cli import say
    from bentwork.cli.say_brackets import show_bracket
    from bentwork.jobs.bracket import brackets

    out.print(Text(f"{result.job.name}, version {result.job.version}", style="bold"))
    for found in result.pieces:
        out.print()
        for one in (found, found.opposite) if found.opposite else (found,):
            _show_piece(one, found, result, out)
    for bracket in brackets(result):
        if bracket.holes:
            show_bracket(bracket, result.job.ruler, out)
    if result.findings:
        out.print()
        say.findings(result.findings, result.job.ruler, out)


def _show_piece(one: PiecePlan, both: PiecePlan, result: Result, out: Console) -> None:
    from rich.text import Text

    from bentwork.sheets.stock_words import stock_words

    ruler = result.job.ruler
    hand = ""
    if both.opposite:
        hand = (
            f" {one.spec.hand.upper()} (as drawn)" if one is both else f" {one.spec.other_hand.upper()} (opposite hand)"
        )
    if one.table is None:
        out.print(Text(f"{one.spec.name}{hand}: its corners do not fit", style="bold"))
        return
    trim = f" with {ruler.length(one.spec.trim)} spare on each end" if one.spec.trim else ""
    out.print(
        Text(f"{one.spec.name}{hand}", style="bold")
        + Text(
            f"  make {one.spec.count}, {stock_words(one.stock, ruler)}, "
            f"cut {ruler.tape(one.cut_length)} {ruler.units}{trim}, {ruler.mass(one.mass)} each",
            style="",
        )
    )
    if one.marks:
        out.print(_marks(one, result))


_HEADS = "step bend hold mark start end leaves turn~the~bar pull~to 9~in~10 clear of".split()


def _marks(one: PiecePlan, result: Result) -> Table:
    from bentwork.cli.say_table import columns
    from bentwork.units import angle

    tape = result.job.ruler.tape
    steps = columns(*(head.replace("~", " ") for head in _HEADS), left=("of",))
    marks = {mark.bend: mark for mark in one.marks}
    before = None
    for step in one.steps:
        mark = marks[step.bend]
        turned = before is not None and before != step.held
        turn = "" if before is None else angle(step.turn) + (" end for end" if turned else "")
        steps.add_row(
            str(step.step),
            str(step.bend),
            step.held,
            tape(step.mark),
            tape(mark.start),
            tape(mark.end),
            angle(step.bend_to - step.springback),
            turn,
            angle(step.bend_to),
            "" if step.least is None or step.most is None else f"{step.least:.1f}° {step.most:.1f}°",
            "" if step.clearance is None else tape(step.clearance),
            step.nearest or "",
        )
        before = step.held
    return steps
