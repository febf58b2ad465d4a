"""``bentwork finish``."""

from __future__ import annotations

from pathlib import Path

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import worked, workshop_option

SHORT = "How to clean, mask, vent and coat the frame; bolts to keep apart."
HELP = """Say how a frame is finished: surfaces, what is done to each metal step by step with coats and times, what to
mask, which closed tubes need a vent before heat, and where steel bolts in aluminium must be kept apart.

The job says what is wanted in [finish]; paint is taken where it says nothing. How much paint to buy: bentwork buy.

Exit status: 0 done, 1 done and something stops it, 2 the file is wrong.

\b
Example: bentwork finish crate-shelf
"""


@click.command("finish", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def finish(job: Path, *, as_json: bool, workshop: Path | None) -> None:
    """Say how a frame is finished."""
    with edge(as_json=as_json):
        result = worked(job, workshop)
        from bentwork.findings import has_stop
        from bentwork.jobs.finish import finish as finished

        found = finished(result)
        if as_json:
            from bentwork.files.finish_json import finish_document
            from bentwork.files.plan_json import dumps

            put(dumps(finish_document(found)))
        else:
            from rich.text import Text

            from bentwork.cli import say
            from bentwork.cli.say_told import show_parts
            from bentwork.jobs.finish_told import finish_parts

            out, ruler = say.console(), result.job.ruler
            out.print(Text(f"{found.job.name}, version {found.job.version}", style="bold"))
            show_parts(finish_parts(found, ruler), out)
            if found.findings:
                out.print()
                say.findings(found.findings, ruler, out)
    if has_stop(found.findings):
        raise SystemExit(1)
