"""``bentwork bender``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, job_path, put

if TYPE_CHECKING:
    from collections.abc import Iterable

    from bentwork.tooling.archetypes import Archetype

SHORT = "Start the table of a bender from a kind that you recognise."
HELP = """Print the table of a bender for a job file, or add it to one, from a kind of bender that you recognise.

Without a name, the kinds are listed. Every size is only a start: measure yours, and correct each line. What each size
is and how to measure it is drawn by bentwork paper JOB --only benders. Lengths may carry a unit: 50, "1 3/4", "50 mm".

\b
Example: bentwork bender plate-roller --radius 50 --diameter 12 >> crate-shelf.toml
         bentwork bender ram --radius 60 --name press --into crate-shelf.toml
"""


def _archetypes(context: click.Context, parameter: click.Parameter, incomplete: str) -> list[str]:
    from bentwork.tooling.archetypes import ARCHETYPES

    return [name for name in ARCHETYPES if name.startswith(incomplete)]


@click.command("bender", help=HELP, short_help=SHORT)
@click.argument("archetype", required=False, shell_complete=_archetypes)
@click.option("--radius", metavar="LENGTH", help="Centreline radius; 4 bars if left out.")
@click.option(
    "--diameter",
    "--thickness",
    "size",
    metavar="LENGTH",
    help="Diameter of the bar; 12 mm or 1/2 in if left out. Of flat the thickness; 4 mm or 1/8 in.",
)
@click.option("--hand", default="left", show_default=True, help="Which way it turns the free side: left or right.")
@click.option("--name", default="lever", show_default=True, help="What the job calls it.")
@click.option("--units", help="Units of the table: mm or in; those of the job with --into, else mm.")
@click.option("--into", type=click.Path(path_type=Path), metavar="JOB", help="Job file to add it to.")
def bender(
    archetype: str | None,
    radius: str | None,
    size: str | None,
    hand: str,
    name: str,
    units: str | None,
    into: Path | None,
) -> None:
    """Start the table of a bender from a kind that you recognise."""
    with edge():
        from bentwork.files.atomic import write_new
        from bentwork.files.bender_text import BenderWish, start_bender
        from bentwork.files.job_file import bytes_of
        from bentwork.tooling.archetypes import ARCHETYPES

        if archetype is None and into is None:
            put(_listed(ARCHETYPES.values()))
            return
        path = None if into is None else job_path(into)
        job = None if path is None else bytes_of(path)
        text = start_bender(BenderWish(archetype, name, radius, size, hand, units, job, str(path)))
        if path is None or job is None:
            put("\n" + text.rstrip("\n"))  # so that it stands apart where it is appended
            return
        mark = b"\xef\xbb\xbf" if job.startswith(b"\xef\xbb\xbf") else b""
        write_new(path, mark + text.encode(), replace=True)
        put(f"[bender.{name}] is in {path}: measure yours, and correct it.\nNext: bentwork paper {path} --only benders")


def _listed(archetypes: Iterable[Archetype]) -> str:
    lines = ["Kinds of bender to start from:", ""]
    lines += [f"  {one.name:<13} {one.says}" for one in archetypes]
    return "\n".join([*lines, "", "bentwork bender KIND [--radius 50 --diameter 12] prints its table for a job file"])
