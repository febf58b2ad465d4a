"""``bentwork weld``."""

from __future__ import annotations

from pathlib import Path

import click

from bentwork.cli.edge import edge, put
from bentwork.cli.memory import worked, workshop_option

SHORT = "In which order to weld the frame, tacks, clamps, filler, heat."
HELP = """Say how a frame is welded so that it comes out straight: what to clamp and which spacers to leave in, where
the seams go, tacks, the order of the welds, the filler for each pair of metals and how warm it may get.

The welds are the joints of the frame (bentwork carry), the seams of closed pieces and the tabs. An aid, not a welding
procedure: local codes and licensed practice decide.

Exit status: 0 done, 1 done and something stops it, 2 the file is wrong.

\b
Example: bentwork weld crate-shelf
"""


@click.command("weld", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")
@workshop_option
def weld(job: Path, *, as_json: bool, workshop: Path | None) -> None:
    """Say how a frame is welded."""
    with edge(as_json=as_json):
        result = worked(job, workshop)
        from bentwork.findings import has_stop
        from bentwork.jobs.welding import welding

        found = welding(result)
        if as_json:
            from bentwork.files.plan_json import dumps
            from bentwork.files.welding_json import welding_document

            put(dumps(welding_document(found)))
        else:
            from rich.text import Text

            from bentwork.cli import say
            from bentwork.cli.say_told import show_parts
            from bentwork.jobs.welding_told import welding_parts

            out, ruler = say.console(), result.job.ruler
            out.print(Text(f"{found.job.name}, version {found.job.version}", style="bold"))
            if not found.steps:
                out.print("Nothing is welded in this frame.")
            show_parts(welding_parts(found, ruler), out)
            if found.findings:
                out.print()
                say.findings(found.findings, ruler, out)
    if has_stop(found.findings):
        raise SystemExit(1)
