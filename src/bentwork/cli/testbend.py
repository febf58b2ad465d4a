"""``bentwork testbend``."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import folder_of, opened, read_with, workshop_option

if TYPE_CHECKING:
    from bentwork.bending.test_bend import TestBend
    from bentwork.jobs.job import Job
    from bentwork.jobs.pairs import Pair

SHORT = "Enter a test bend, and see what it taught."
HELP = """Enter a test bend made in scrap, and see what is known since. Plans use it from then on.

Bend a piece of the same bar on the same bender. Read the angle while you hold the lever, let go, read it again. For
marks that are right to the millimetre also measure the bar before bending, the mark, and both legs afterwards: from
each end to where the legs would meet, along their outside.

Without --pulled and --left nothing is entered: you see what is known, and the next test bend worth making.
Lengths are in the job's units, or carry one: 300, "11 3/4 in".

\b
Exit status: 0 done, 2 the entry or the job is wrong; then nothing is kept.

\b
Example: bentwork testbend shelf --stock rod --pulled 97 --left 90 --bar 300 --mark 120 --held-leg 162 --free-leg 165
"""


@click.command("testbend", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--stock", metavar="NAME", help="Bar, as the job calls it; not needed when only one is bent.")
@click.option("--bender", metavar="NAME", help="Bender, as the job calls it; likewise.")
@click.option("--way", type=click.Choice(["easy", "hard"]), help="Which way flat bar was bent.")
@click.option("--pulled", metavar="DEGREES", help="Angle while the lever is held.")
@click.option("--left", metavar="DEGREES", help="Angle when it is let go.")
@click.option("--bar", metavar="LENGTH", help="Length of the scrap before bending.")
@click.option("--mark", metavar="LENGTH", help="From the held end to the mark that was lined up on the tool.")
@click.option("--held-leg", metavar="LENGTH", help="Leg on the held side, from its end to where the legs would meet.")
@click.option("--free-leg", metavar="LENGTH", help="Leg on the free side, likewise.")
@click.option("--to-middle", is_flag=True, help="Legs were measured to where their middles meet, not their outsides.")
@click.option("--start", metavar="LENGTH", help="How far behind the mark the bend is seen to begin.")
@click.option("--batch", metavar="TEXT", default="", help="What tells this delivery of bar from others.")
@click.option("--on", "made_on", metavar="DATE", help="The day, such as 2026-03-12; today if left out.")
@click.option("--gauge", metavar="DEGREES", help="How far an angle reading may be out (one standard deviation), 0.5.")
@click.option("--tape", metavar="LENGTH", help="How far a tape reading may be out, 0.5 mm.")
@click.option("--note", metavar="TEXT", default="", help="Anything else.")
@click.option("--list", "listed", is_flag=True, help="List the test bends of this bar on this bender.")
@click.option("--strike", type=int, metavar="NUMBER", help="Strike out a wrong test bend; it stays readable.")
@click.option("--sure", type=int, metavar="NUMBER", help="Say that an odd test bend was read twice and is right.")
@click.option("--because", metavar="TEXT", default="", help="What is wrong with it.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def testbend(
    job: Path,
    stock: str | None,
    bender: str | None,
    way: str | None,
    listed: bool,
    strike: int | None,
    sure: int | None,
    because: str,
    as_json: bool,
    workshop: Path | None,
    **told: object,
) -> None:
    """Enter a test bend, and see what it taught."""
    with edge(as_json=as_json):
        from bentwork.errors import Fault, InputError
        from bentwork.files.test_bend_entry import entry_of
        from bentwork.jobs.pairs import pair_of, pairs

        read, bends = read_with(job, workshop)
        if not (as_json or stock or bender or strike or sure or any(told.values())):
            for each in pairs(read):
                _show(read, each, bends, None, listed, folder_of(workshop))
            return
        pair = pair_of(read, stock, bender, "hard" if way == "hard" else "easy" if way == "easy" else None)
        given = {key: str(value) for key, value in told.items() if isinstance(value, str) and value}
        given |= {"to_middle": "yes"} if told.get("to_middle") else {}
        made: TestBend | None = None
        if strike is not None:
            if given:
                wanted = "either a number to strike out or a new test bend"
                raise InputError("test bend", [Fault("--strike", f"{strike} and readings", wanted)])
            bends = _struck(workshop, strike, because)
        elif sure is not None:
            if given:
                wanted = "either the number of one that was read twice or a new test bend"
                raise InputError("test bend", [Fault("--sure", f"{sure} and readings", wanted)])
            bends = _read_twice(workshop, sure)
        elif given:
            with _as_options():
                entry = entry_of(pair, given, read.ruler, _today())
            made = _kept(workshop, entry)
            bends = (*bends, made)
        if as_json:
            from bentwork.files.plan_json import dumps
            from bentwork.files.test_bend_json import known_document

            put(dumps(known_document(read, pair, bends, made)))
        else:
            _show(read, pair, bends, made, listed, folder_of(workshop))


@contextmanager
def _as_options() -> Iterator[None]:
    """Tell what is wrong with an entry by the options that it was typed with."""
    from bentwork.errors import InputError

    try:
        yield
    except InputError as error:
        named = [
            replace(fault, where=_option(fault.where), do=fault.do or _ADD.get((fault.where, fault.found), ""))
            for fault in error.faults
        ]
        raise InputError(error.source, named) from None


_ADD = {
    ("pulled", "nothing"): "Add --pulled DEGREES.",
    ("left", "nothing"): "Add --left DEGREES.",
    ("bar", "nothing"): "Add --bar LENGTH.",
}


def _option(name: str) -> str:
    """Return a name as it is typed: ``--held-leg``."""
    special = {"legs": "--held-leg and --free-leg", "made_on": "--on"}
    return special.get(name, "--" + name.replace("_", "-"))


def _kept(workshop: Path | None, bend: TestBend) -> TestBend:
    with opened(workshop) as memory:
        return memory.test_bends.add(bend)


def _struck(workshop: Path | None, number: int, because: str) -> tuple[TestBend, ...]:
    with opened(workshop) as memory:
        memory.test_bends.strike_out(number, because, _today())
        return memory.test_bends.all()


def _read_twice(workshop: Path | None, number: int) -> tuple[TestBend, ...]:
    with opened(workshop) as memory:
        memory.test_bends.read_twice(number, _today())
        return memory.test_bends.all()


def _today() -> str:
    from datetime import date

    return date.today().isoformat()


def _show(job: Job, pair: Pair, bends: tuple[TestBend, ...], made: TestBend | None, listed: bool, folder: Path) -> None:
    from bentwork.cli import say, say_known

    out = say.console()
    say_known.show(job, pair, bends, made, out)
    if listed:
        say_known.show_bends(job, pair, bends, out)
    if made is not None:
        out.print(f"kept in {folder}", style="dim")
