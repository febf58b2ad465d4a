"""``bentwork buy``."""

from __future__ import annotations

from pathlib import Path

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import folder_of, worked, workshop_option

SHORT = "Say what to buy, and how to cut the bars."
HELP = """Say what to buy for a job, how to cut the bars, and what the frame will weigh.

The bars are chosen from the lengths on sale so that they cost as little as can be: offcuts in the workshop are used
first, and of plans of one cost the one with the longest rest is taken. Pieces, blanks of tabs, lengths for test bends
and spares are cut from them. Filler goes by the length of the welds, paint and abrasive by the surface. A price that
the job does not give is not guessed.

--weighed compares the finished frame on the scales with what was reckoned, and says what a difference may mean.

Exit status: 0 done, 1 done and something stops the job, 2 the file is wrong.

\b
Example: bentwork buy crate-shelf --weighed 1.31
"""


@click.command("buy", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--spares", is_flag=True, help="Add the spare lengths that fit-up advises; takes some seconds.")
@click.option("--weighed", metavar="MASS", help='What the finished frame weighs, in kg or as "2.9 lb".')
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def buy(job: Path, *, spares: bool, weighed: str | None, as_json: bool, workshop: Path | None) -> None:
    """Say what to buy, and how to cut the bars."""
    with edge(as_json=as_json):
        mass = _mass(weighed)
        result = worked(job, workshop)
        from bentwork.door.spares import advised
        from bentwork.jobs import buying

        bought = buying.buying(result, advised(result, folder_of(workshop)) if spares else None)
        scales = None if mass is None or not bought.parts else buying.weighed(bought, mass)
        if as_json:
            from bentwork.files.buying_json import buying_document
            from bentwork.files.plan_json import dumps

            put(dumps(buying_document(bought, scales)))
        else:
            from bentwork.cli import say
            from bentwork.cli.say_buy import show

            show(bought, scales, say.console())
    if result.stopped or bought.stopped:
        raise SystemExit(1)


def _mass(weighed: str | None) -> float | None:
    """Return what the frame weighs, kg.

    Raises:
        InputError: it is no mass.
    """
    from bentwork.errors import Fault, InputError
    from bentwork.files.typed import mass_typed

    faults: list[Fault] = []
    mass = None if weighed is None else mass_typed("--weighed", weighed, faults)
    if faults:
        raise InputError("buy", faults)
    return mass
