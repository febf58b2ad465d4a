"""``bentwork check``."""

from __future__ import annotations

from pathlib import Path

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import worked, workshop_option

SHORT = "Read a job and say what is the matter with it."
HELP = """Read a job and say everything that is the matter with it, all at once.

Exit status: 0 nothing stops it, 1 something does, 2 the file is wrong.

\b
Example: bentwork check crate-shelf.toml
"""


@click.command("check", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def check(job: Path, as_json: bool, workshop: Path | None) -> None:
    """Read a job and say everything that is the matter with it."""
    with edge(as_json=as_json):
        result = worked(job, workshop)
        if as_json:
            from bentwork.files.plan_json import check_document, dumps

            put(dumps(check_document(result)))
        else:
            from bentwork.cli import say

            out = say.console()
            made = sum(plan.makes for plan in result.pieces)
            out.print(f"{result.job.name}, version {result.job.version}: {made} to make, {say.tally(result.findings)}")
            say.findings(result.findings, result.job.ruler, out)
    if result.stopped:
        raise SystemExit(1)
