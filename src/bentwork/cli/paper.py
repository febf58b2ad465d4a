"""``bentwork paper``."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bentwork.cli.edge import edge, job_path, put
from bentwork.cli.memory import worked, workshop_option
from bentwork.files.paper_kinds import KINDS, USUAL

if TYPE_CHECKING:
    from bentwork.jobs.work import Result

SHORT = "Print sheets, marking strips, gauges, full-size layouts."
HELP = """Print the papers of a job as PDF: shop sheets, marking strips, angle gauges and full-size layouts.

Where the job says what it carries, the page of its proof load too; where straight bars end on others or there are
tabs, how they are made, with templates of copes at 1:1.

Strips, gauges and layouts are at 1:1: print them at actual size, and measure the check bar before you trust them.
--only benders draws your benders instead, with every size to measure and correct; only when it is asked for.
They are written into a folder beside the job. Papers of an older version are replaced; a file of your own is not.

Exit status: 0 done, 1 done and something stops the job, 2 the file is wrong or a paper could not be written.

\b
Example: bentwork paper crate-shelf.toml --size letter --only sheets
"""


@click.command("paper", help=HELP, short_help=SHORT)
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", help="Folder to write into; JOB-papers if left out."
)
@click.option("--size", type=click.Choice(["a4", "letter"]), help="Size of the paper; a4 for mm, letter for inches.")
@click.option("--only", type=click.Choice(KINDS), multiple=True, help="Only this kind of paper; may be given again.")
@click.option("--force", is_flag=True, help="Write over a file of your own too.")
@workshop_option
def paper(
    job: Path, out: Path | None, size: str | None, only: tuple[str, ...], force: bool, workshop: Path | None
) -> None:
    """Print the papers of a job as PDF."""
    with edge():
        from bentwork.door.papers import papers_folder

        path = job_path(job)
        result = worked(path, workshop)
        folder = out if out is not None else papers_folder(path)
        put("\n".join(str(written) for written in print_papers(result, folder, size, only or USUAL, force=force)))
        if result.stopped:
            print("something stops this job: see bentwork check; the papers say STOP too", file=sys.stderr)
    if result.stopped:
        raise SystemExit(1)


def print_papers(
    result: Result, folder: Path, size: str | None, kinds: Iterable[str], *, force: bool
) -> tuple[Path, ...]:
    """Set and write papers, saying on the terminal what is being set; returns the paths."""
    from datetime import date

    from rich.console import Console

    from bentwork.door.papers import date_words, keep_papers, usual_paper
    from bentwork.files.paper_files import set_papers
    from bentwork.sheets.subject import A4, LETTER

    chosen = {"a4": A4, "letter": LETTER}.get(size or "") or usual_paper(result.job)
    asked = set(kinds)
    wanted = [kind for kind in KINDS if kind in asked]
    made: dict[str, bytes] = {}
    errors = Console(stderr=True, highlight=False)
    with errors.status("setting papers") as status:
        for name, data in set_papers(result, date_words(date.today()), chosen, wanted):
            if data is None:
                status.update(f"setting {name}")
            else:
                made[name] = data
    if not made:
        what = "this job has no bender" if wanted == ["benders"] else "no piece of this job fits or is bent"
        print(f"nothing to print: {what}", file=sys.stderr)
        return ()
    return keep_papers(folder, made, wanted, lambda path: force or _asked(path))


def _asked(path: Path) -> bool:
    """Ask whether a file of the maker's own may go; where nobody can answer, it may not."""
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    return click.confirm(f"{path} was not made by bentwork, or was changed since. Write over it?", err=True)
