"""``bentwork measure``."""

from __future__ import annotations

from pathlib import Path

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import worked, workshop_option

SHORT = "What was measured, the stays to it, and the room to be left."
HELP = """Say where the measured points are and how surely, which reading disagrees with the rest, what to measure next,
how left differs from right; how long the stays to these points are; how near the frame comes to what it must clear.

The job says it in [measured], [stay.NAME], [keepout.NAME] and [opening.NAME] (docs/measure.md).

Exit status: 0 done, 1 done and something stops it, 2 the file is wrong.

\b
Example: bentwork measure crate-shelf
"""


@click.command("measure", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def measure(job: Path, *, as_json: bool, workshop: Path | None) -> None:
    """Say what was measured and whether the frame fits it."""
    with edge(as_json=as_json):
        result = worked(job, workshop)
        from bentwork.findings import has_stop
        from bentwork.jobs.fit_round import fit_round

        found = fit_round(result)
        if as_json:
            from bentwork.files.measure_json import measure_document
            from bentwork.files.plan_json import dumps

            put(dumps(measure_document(found)))
        else:
            from bentwork.cli import say
            from bentwork.cli.say_measure import show

            show(found, say.console())
    if has_stop(found.findings):
        raise SystemExit(1)
