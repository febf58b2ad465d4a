"""``bentwork next`` and ``bentwork log``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import folder_of, opened, worked, workshop_option

if TYPE_CHECKING:
    from bentwork.fitup.hand import Hand
    from bentwork.jobs.bars import Bar
    from bentwork.jobs.bench import Bench
    from bentwork.jobs.going_on import GoingOn
    from bentwork.jobs.work import Result
    from bentwork.workshop.log_entries import Logged

NEXT_SHORT = "Say which step is next on a bar."
NEXT_HELP = """Say which step is next on a bar, from the plan and from what was logged so far.

When the bends were made in another order than planned, the rest is planned anew.

Exit status: 0 done, 1 done and something stops the piece, 2 the job or the piece is wrong.

\b
Example: bentwork next crate-shelf loop
"""

LOG_SHORT = "Log a bend as it came out."
LOG_HELP = """Log a bend as it came out: the angle you measured once the bar was let go.

A bend that is logged is made. Log it again when you have corrected it: the last reading counts. Nothing is ever
overwritten; a wrong entry is struck out and stays readable. Lengths are in the job's units, or carry one.

What else you measure is logged by --leg, --across, --gap, --offset, --offset-up, --rock or --height, one at a time:
everything together says what the bar is like, and what is the best way on. A reading that does not go with the rest is
left out until you say that it is right (--sure).

Without any of these nothing is entered: you see what was logged on this bar.

Exit status: 0 done, 1 done and something stops the piece, 2 the entry or the job is wrong; then nothing is kept.

\b
Example: bentwork log crate-shelf loop --bend 3 --angle 89.5
"""

_hand = click.option("--hand", type=click.Choice(["left", "right"]), help="Of a mirrored piece; else the drawn one.")
_number = click.option("--number", type=click.IntRange(1), metavar="N", help="Which of the equal pieces, from 1.")
_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")


@click.command("next", help=NEXT_HELP, short_help=NEXT_SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("piece")
@_hand
@_number
@_json
@workshop_option
def next_step(
    job: Path, piece: str, hand: str | None, number: int | None, as_json: bool, workshop: Path | None
) -> None:
    """Say which step is next on a bar."""
    with edge(as_json=as_json):
        from bentwork.jobs.bars import bar_of

        result = worked(job, workshop)
        bar = bar_of(result.job, piece, hand, number)
        stopped = _told(result, standing(result, bar, workshop).bench, as_json=as_json)
    if stopped:
        raise SystemExit(1)


@click.command("log", help=LOG_HELP, short_help=LOG_SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("piece")
@click.option("--bend", type=click.IntRange(1), metavar="N", help="Its number, from 1 at end A.")
@click.option("--angle", metavar="DEGREES", help="Angle measured once the bar was let go.")
@click.option("--rotation", metavar="DEGREES", help="Against the nearest bend made before it, -180 to 180.")
@click.option("--position", metavar="LENGTH", help="Where the bend begins on the bar, from end A, as its mark.")
@click.option("--leg", metavar="FROM-TO=LENGTH", help="Along a straight: 2-3=214.5; 0 is end A, end B comes last.")
@click.option("--across", metavar="FROM-TO=LENGTH", help="Straight from one corner to another, such as a diagonal.")
@click.option("--gap", metavar="LENGTH", help="Between the ends of a closed piece; below 0 where they overlap.")
@click.option("--offset", metavar="LENGTH", help="How far end B lies to the side that bend 1 turns to.")
@click.option("--offset-up", metavar="LENGTH", help="How far end B lies up along the axis of bend 1, the line's side.")
@click.option("--rock", metavar="LENGTH", help="How far a corner stands off a flat table.")
@click.option("--height", metavar="FLAT-PLACE=LENGTH", help="Bend FLAT flat on a table, turning left: 3-5=64.")
@click.option(
    "--measured-to",
    type=click.Choice(["outside", "middle", "inside"]),
    help="Where on the bar --leg and --across were taken; outside if left out.",
)
@click.option("--gauge", metavar="OUT", help="How far the reading may be out, if not as a finder or a tape usually.")
@click.option("--tape", metavar="LENGTH", help="The same of --position, where --gauge is of the angles.")
@click.option("--sure", is_flag=True, help="It was questioned, and is right: it counts.")
@click.option("--pulled", metavar="DEGREES", help="Angle that it was pulled to, when you read it.")
@click.option("--held", type=click.Choice(["A", "B"]), help="End that was held, when it was not the plan's.")
@click.option("--on", "made_on", metavar="DATE", help="The day, such as 2026-03-12; today if left out.")
@click.option("--note", metavar="TEXT", default="", help="Anything else.")
@click.option("--entry-id", metavar="TEXT", help="Text of your own; the same entry sent twice is kept once.")
@click.option("--strike", type=int, metavar="NUMBER", help="Strike out a wrong entry; it stays readable.")
@click.option("--because", metavar="TEXT", default="", help="What is wrong with it.")
@_hand
@_number
@_json
@workshop_option
def log(
    job: Path,
    piece: str,
    hand: str | None,
    number: int | None,
    strike: int | None,
    because: str,
    as_json: bool,
    workshop: Path | None,
    **told: object,
) -> None:
    """Log a bend as it came out."""
    with edge(as_json=as_json):
        from dataclasses import replace

        from bentwork.door.log_entry import SIZES, bend_entry, size_entry
        from bentwork.errors import Fault, InputError
        from bentwork.jobs.bars import bar_of

        result = worked(job, workshop)
        bar = bar_of(result.job, piece, hand, number)
        given = {key: str(value) for key, value in told.items() if value is not None and value not in ("", False)}
        if strike is not None and given:
            wanted = "either a number to strike out or a new entry"
            raise InputError("log", [Fault("--strike", f"{strike} and an entry", wanted)])
        if strike is not None:
            _strike(workshop, bar, result, strike, because)
        elif given:
            sizes = [name for name in SIZES if name in given]
            if len(sizes) > 1 or (sizes and given.keys() & {"bend", "angle", "rotation", "position", "pulled", "tape"}):
                found = ", ".join(f"--{name.replace('_', '-')}" for name in given)
                raise InputError("log", [Fault("log", found, "a bend or one size at a time")])
            read = size_entry if sizes else bend_entry
            try:
                entry = read(result.job, bar, given, _today(), _new_id())
            except InputError as error:  # told by the options that it was typed with
                options = {"made_on": "--on", "entry_id": "--entry-id", "measured_to": "--measured-to"}
                named = [
                    replace(one, where=options.get(one.where, f"--{one.where.replace('_', '-')}"))
                    for one in error.faults
                ]
                raise InputError(error.source, named) from None
            _keep(workshop, result, bar, entry, quiet=as_json)
        elif not as_json:
            _list(result, bar, workshop)
        stopped = _told(result, standing(result, bar, workshop).bench, as_json=as_json)
    if stopped:
        raise SystemExit(1)


def standing(result: Result, bar: Bar, workshop: Path | None) -> GoingOn:
    """Return how a bar stands by the workshop's log, and the best way on."""
    from bentwork.cli.searching import searching
    from bentwork.door.bench import at_bench

    entries, hand = _entries(result, bar, workshop), _makers_hand(result, bar, workshop)
    with searching() as progress:
        return at_bench(result, bar, entries, hand, progress)


def _makers_hand(result: Result, bar: Bar, workshop: Path | None) -> Hand | None:
    from bentwork.door.hand import hand_for
    from bentwork.workshop.place import has_workshop

    if not has_workshop(folder_of(workshop)):
        return None
    with opened(workshop) as memory:
        return hand_for(memory, result, bar)


def _entries(result: Result, bar: Bar, workshop: Path | None) -> tuple[Logged, ...]:
    from bentwork.door.bench import log_of
    from bentwork.workshop.place import has_workshop

    if not has_workshop(folder_of(workshop)):
        return ()
    with opened(workshop) as memory:
        return log_of(memory, result, bar)


def _keep(workshop: Path | None, result: Result, bar: Bar, entry: Logged, *, quiet: bool) -> None:
    from bentwork.door.bench import as_told, kept, kept_size
    from bentwork.workshop.log_entries import LoggedSize

    if isinstance(entry, LoggedSize):
        with opened(workshop) as memory:
            size = kept_size(memory, result, entry)
        if not quiet:
            put(f"kept as number {size.id}: {size.kind} of {_named(size)}, {result.job.ruler.length(size.length_mm)}")
        return
    entry = as_told(entry, standing(result, bar, workshop).bench)
    with opened(workshop) as memory:
        done = kept(memory, result, entry)
    if not quiet:
        put(f"kept as number {done.id}: bend {done.bend} of {_named(entry)}, {done.angle_deg:g}°")


def _strike(workshop: Path | None, bar: Bar, result: Result, number: int, because: str) -> None:
    from bentwork.errors import Fault, InputError

    with opened(workshop) as memory:
        found = memory.log.numbered(number)
        if found is None or (found.job, found.piece) != (result.job.name, bar.piece):
            wanted = f"the number of an entry of {bar.piece}; bentwork log JOB {bar.piece} lists them"
            raise InputError("log", [Fault("--strike", str(number), wanted)])
        memory.log.strike_out(found.entry_id, because, _today())


def _list(result: Result, bar: Bar, workshop: Path | None) -> None:
    from bentwork.cli import say_bench

    say_bench.entries(result.job, _entries(result, bar, workshop))


def _told(result: Result, bench: Bench, *, as_json: bool) -> bool:
    """Print how a bar stands; True where something stops it."""
    from bentwork.findings import has_stop

    if as_json:
        from bentwork.files.bench_json import next_document
        from bentwork.files.plan_json import dumps

        put(dumps(next_document(result.job, bench)))
    else:
        from bentwork.cli import say_bench

        say_bench.show(result, bench)
    return has_stop(bench.findings)


def _named(entry: Logged) -> str:
    from bentwork.jobs.bars import Bar, bar_words

    return bar_words(Bar(entry.piece, entry.hand, entry.number))


def _today() -> str:
    from datetime import date

    return date.today().isoformat()


def _new_id() -> str:
    from uuid import uuid4

    return str(uuid4())
