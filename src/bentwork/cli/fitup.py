"""``bentwork fitup`` and ``bentwork mend``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import folder_of, opened, worked, workshop_option

if TYPE_CHECKING:
    from bentwork.jobs.fit_ahead import FitAhead
    from bentwork.jobs.work import Result

FITUP_SHORT = "Say how likely the pieces are to come out."
FITUP_HELP = """Say how likely every piece is to come out, before the first bend.

For each piece: the chance that it keeps its tolerance by the plan alone, and when every bend is logged, mended and set
right by hand; where most of the miss comes from; how much spare length the ends need, where the seam is best, whether
to buy a spare bar, what it takes to spring it into place, and what your log tells of your hand.

Exit status: 0 done, 1 done and something stops the job, 2 the file is wrong.

\b
Example: bentwork fitup crate-shelf
"""

MEND_SHORT = "Say the best way on with a bar."
MEND_HELP = """Say the best way on with a bar of which some bends are made and logged.

The bends that are left, with the marks, turns and pulls that make the best of what is made; bends to set right by hand
first; how the piece comes out this way, and how it would by the drawing. `bentwork next` gives the first of the steps.

Exit status: 0 done, 1 done and something stops the piece, 2 the job or the piece is wrong.

\b
Example: bentwork mend crate-shelf loop
"""


@click.command("fitup", help=FITUP_HELP, short_help=FITUP_SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def fitup(job: Path, as_json: bool, workshop: Path | None) -> None:
    """Say how likely every piece is to come out."""
    with edge(as_json=as_json):
        result = worked(job, workshop)
        found = _ahead(result, workshop)
        if as_json:
            from bentwork.files.fitup_json import fitup_document
            from bentwork.files.plan_json import dumps

            put(dumps(fitup_document(result.job, found)))
        else:
            from bentwork.cli import say_fitup

            say_fitup.ahead(result, found)
    if result.stopped:
        raise SystemExit(1)


def _ahead(result: Result, workshop: Path | None) -> tuple[FitAhead, ...]:
    from bentwork.door.bench import chance
    from bentwork.door.hand import hand_on
    from bentwork.jobs.fit_ahead import fit_ahead
    from bentwork.workshop.place import has_workshop

    hands = {}
    if has_workshop(folder_of(workshop)):
        with opened(workshop) as memory:
            hands = {plan.spec.name: hand_on(memory, plan) for plan in result.pieces}
    found = (fit_ahead(plan, chance, hands.get(plan.spec.name), result) for plan in result.pieces)
    return tuple(one for one in found if one is not None)


@click.command("mend", help=MEND_HELP, short_help=MEND_SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("piece")
@click.option("--hand", type=click.Choice(["left", "right"]), help="Of a mirrored piece; else the drawn one.")
@click.option("--number", type=click.IntRange(1), metavar="N", help="Which of the equal pieces, from 1.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def mend(job: Path, piece: str, hand: str | None, number: int | None, as_json: bool, workshop: Path | None) -> None:
    """Say the best way on with a bar."""
    with edge(as_json=as_json):
        from bentwork.cli.bench import standing
        from bentwork.findings import has_stop
        from bentwork.jobs.bars import bar_of

        result = worked(job, workshop)
        found = standing(result, bar_of(result.job, piece, hand, number), workshop)
        if as_json:
            from bentwork.files.fitup_json import mend_document
            from bentwork.files.plan_json import dumps

            put(dumps(mend_document(result.job, found)))
        else:
            from bentwork.cli import say_fitup

            say_fitup.going_on(result, found)
        stopped = has_stop(found.bench.findings)
    if stopped:
        raise SystemExit(1)
