"""``bentwork demo``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, put

if TYPE_CHECKING:
    from bentwork.door.example import Example

SHORT = "Make, plan and print an example job."
HELP = """Make an example job, plan it, and print its papers: a crate shelf for an allotment garden's hand cart, or with
--job gear-rack the gear rack of a boathouse's cart, in which everything stands that a job file can say.

FOLDER is bentwork-demo if left out.

\b
Example: bentwork demo
Example: bentwork demo --job gear-rack
"""


@click.command("demo", help=HELP, short_help=SHORT)
@click.argument("folder", type=click.Path(path_type=Path), default=Path("bentwork-demo"))
@click.option(
    "--job",
    "which",
    type=click.Choice(["crate-shelf", "gear-rack"]),
    default="crate-shelf",
    help="Which example; crate-shelf if left out.",
)
@click.option("--force", is_flag=True, help="Write over a job of that name that you have changed.")
def demo(folder: Path, which: Example, force: bool) -> None:
    """Make an example job, plan it, and print its papers."""
    with edge():
        from bentwork.cli import say
        from bentwork.cli.memory import worked
        from bentwork.cli.paper import print_papers
        from bentwork.cli.plan import show
        from bentwork.door.example import example_bytes, remember_example
        from bentwork.errors import FileError
        from bentwork.files.atomic import write_new
        from bentwork.files.paper_kinds import USUAL

        text = example_bytes(which)
        path = folder / f"{which}.toml"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            changed = path.exists() and path.read_bytes() != text
        except OSError as error:
            raise FileError(f"{folder} cannot be used as a folder: {error.strerror}") from error
        if changed and not force:
            raise FileError(f"{path} is there already and has been changed; give another folder, or --force")
        write_new(path, text, replace=True)
        memory = folder / "workshop"
        remember_example(memory, which)
        result = worked(path, memory)
        show(result, say.console())
        written = print_papers(result, folder / f"{which}-papers", None, USUAL, force=force)
        put("\n".join(["", "The job, and what to take to the bench:", *(f"  {p}" for p in (path, *written))]))
        put(f"\nIts test bends are in a workshop of its own: bentwork testbend {path} --workshop {memory}")
    if result.stopped:
        raise SystemExit(1)
