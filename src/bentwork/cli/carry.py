"""``bentwork carry``."""

from __future__ import annotations

from pathlib import Path

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import worked, workshop_option

SHORT = "Say what the frame carries and what gives first."
HELP = """Say what the frame carries with the safety that is asked for, what gives first, how far it moves, and how to
prove it.

The job says what is carried in [payload], what holds the frame in [fixing.NAME], how it is used in [load]. Without a
payload and a fixing there is nothing to reckon.

It is an estimate, not a certificate: what carrier and vehicle may bear, local codes and licensed practice have the
last word.

Exit status: 0 done, 1 done and something stops it, 2 the file is wrong.

\b
Example: bentwork carry crate-shelf.toml --what-if
"""


@click.command("carry", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--mass", "weight", metavar="MASS", help='Try another payload than the job\'s, in kg or as "25 lb".')
@click.option("--what-if", "try_others", is_flag=True, help="Try one stock in usual sections and metals.")
@click.option("--stock", metavar="NAME", help="The stock to try; else the one that weighs most.")
@click.option(
    "--radius", "radii", type=float, multiple=True, metavar="MM", help="A bend radius to try; may be repeated."
)
@click.option("--all", "every", is_flag=True, help="Show every try, not only those worth a look.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def carry(
    job: Path,
    weight: str | None,
    *,
    try_others: bool,
    stock: str | None,
    radii: tuple[float, ...],
    every: bool,
    as_json: bool,
    workshop: Path | None,
) -> None:
    """Say what the frame carries and what gives first."""
    with edge(as_json=as_json):
        mass = _checked(weight, radii)
        result = worked(job, workshop)
        from bentwork.jobs.carried import carried

        found = carried(result, mass)
        tried = None
        if found is not None and (try_others or stock is not None or radii):
            from bentwork.files.catalogue import materials
            from bentwork.jobs.what_if import what_if

            tried = what_if(
                result, found, {**materials(), **{one.name: one for one in result.job.materials}}, stock, radii
            )
        if as_json:
            from bentwork.files.carry_json import carry_document, what_if_document
            from bentwork.files.plan_json import dumps

            document = carry_document(found, result.job.name, result.job.version, result.job.ruler)
            if tried is not None:
                document["what_if"] = what_if_document(tried, result.job.ruler)
            put(dumps(document))
        else:
            from bentwork.cli import say
            from bentwork.cli.say_carry import show

            show(found, tried, result.job, say.console(), every=every)
    if found is not None and found.stopped:
        raise SystemExit(1)


def _checked(weight: str | None, radii: tuple[float, ...]) -> float | None:
    """Return the payload to try, kg.

    Raises:
        InputError: a mass or a radius that makes no sense.
    """
    from bentwork.errors import Fault, InputError
    from bentwork.files.typed import mass_typed

    faults: list[Fault] = []
    mass = None if weight is None else mass_typed("--mass", weight, faults)
    faults += [Fault("--radius", f"{one:g}", "a radius from 1 to 10000 mm") for one in radii if not 1 <= one <= 1e4]
    if faults:
        raise InputError("carry", faults)
    return mass
