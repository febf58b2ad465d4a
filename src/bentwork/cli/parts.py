"""``bentwork parts``."""

from __future__ import annotations

from pathlib import Path

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import worked, workshop_option

SHORT = "Crossbars, copes, the jig for them, and tabs."
HELP = """Say how the small parts of a frame are made: straight bars that end on others, their length, angle and cope;
spacer blocks and stops to set them by; tabs with their blanks, holes and threads.

Crossbars are asked for in [crossbar.NAME], tabs in [tab.NAME], the blocks you own in [shop]. Straight pieces that end
on other bars are found by themselves; ends that a piece makes by itself (end_a, end_b) and holes drilled into the bar
are told too. Templates at 1:1: bentwork paper JOB --only small-parts.

Exit status: 0 done, 1 done and something stops it, 2 the file is wrong.

\b
Example: bentwork parts crate-shelf
"""


@click.command("parts", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def parts(job: Path, *, as_json: bool, workshop: Path | None) -> None:
    """Say how the small parts of a frame are made."""
    with edge(as_json=as_json):
        result = worked(job, workshop)
        from bentwork.findings import has_stop
        from bentwork.jobs.small_parts import small_parts

        found = small_parts(result)
        if as_json:
            from bentwork.files.parts_json import parts_document
            from bentwork.files.plan_json import dumps

            put(dumps(parts_document(found)))
        else:
            from bentwork.cli import say
            from bentwork.cli.say_parts import show

            show(found, say.console())
    if has_stop(found.findings):
        raise SystemExit(1)
