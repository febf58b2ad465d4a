"""``bentwork export``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, job_path, put
from bentwork.cli.memory import worked, workshop_option

if TYPE_CHECKING:
    from bentwork.jobs.work import Result

SHORT = "Write pieces for CAD, 3D printers, cutters, spreadsheets."
HELP = """Write the pieces of a job for other programs and machines.

STEP: every piece as a solid with its holes and cut ends, and the whole frame. DXF, SVG: the views at 1:1, and flat
patterns, those of tabs and copes too. STL: pieces, angle gauges and saddles to print. GLB: to look at. CSV: bend
tables, marks and steps.

They are written into a folder beside the job. Files of an older version are replaced; a file of your own is not.
Exit status: 0 done, 1 done and something stops the job, 2 the file is wrong or nothing could be written.

\b
Example: bentwork export crate-shelf --only step --only dxf
"""

KINDS = ("step", "dxf", "stl", "glb", "csv", "svg")


@click.command("export", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", help="Folder to write into; JOB-models if left out."
)
@click.option("--only", type=click.Choice(KINDS), multiple=True, help="Only this kind of file; may be given again.")
@click.option("--force", is_flag=True, help="Write over a file of your own too.")
@workshop_option
def export(job: Path, out: Path | None, only: tuple[str, ...], force: bool, workshop: Path | None) -> None:
    """Write the pieces of a job for other programs and machines."""
    with edge():
        path = job_path(job)
        result = worked(path, workshop)
        folder = out if out is not None else path.with_name(f"{path.stem}-models")
        written = write_models(result, folder, only or KINDS, force=force)
        if written:
            put("\n".join(map(str, written)))
        if result.stopped:
            print("something stops this job: see bentwork check", file=sys.stderr)
    if result.stopped:
        raise SystemExit(1)


def write_models(result: Result, folder: Path, kinds: tuple[str, ...], *, force: bool) -> tuple[Path, ...]:
    """Make and write files, saying on standard error what is being made and what cannot be; returns the paths."""
    from rich.console import Console

    from bentwork.files.export_files import KINDS as ALL
    from bentwork.files.export_files import export_files
    from bentwork.files.made_files import write_made

    made: dict[str, bytes] = {}
    notes: list[str] = []
    with Console(stderr=True, highlight=False).status("making models") as status:
        for name, data in export_files(result, _now(), [kind for kind in ALL if kind in kinds], notes.append):
            made[name] = data
            status.update(f"making models: {name}")
    for note in notes:
        print(f"note   {note}.".replace("..", "."), file=sys.stderr)
    if not made:
        print("nothing to export" if notes else "nothing to export: the job has no piece that fits", file=sys.stderr)
        return ()
    kept = {name.rpartition(".")[2] for name in made}
    return write_made(folder, made, lambda path: force or _asked(path), lambda name: name.rpartition(".")[2] in kept)


def _asked(path: Path) -> bool:
    """Ask whether a file of the maker's own may go; where nobody can answer, it may not."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    return click.confirm(f"{path} was not made by bentwork, or was changed since. Write over it?", err=True)


def _now() -> str:
    from datetime import datetime

    return datetime.now().isoformat(timespec="seconds")
